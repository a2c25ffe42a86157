// The page for the client: one big picture, three sentences, no trade words.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "screen.h"

namespace aplomb::viewer {

namespace {

/// Where it presses most, as one says it to a child.
std::string plain_region(const std::string& region) {
  if (region == "hallux") return "the big toe";
  if (region == "second" || region == "third" || region == "fourth") return "the " + region + " toe";
  if (region == "little") return "the little toe";
  if (region == "ball_medial") return "the inner side of the ball of the foot";
  if (region == "ball_lateral") return "the outer side of the ball of the foot";
  if (region == "ball_middle") return "the middle of the ball of the foot";
  if (region == "dorsum") return "the top of the foot";
  if (region == "lateral_border") return "the outer edge of the foot";
  return "the " + region;
}

std::vector<std::string> sentences(const findings::Findings& f) {
  std::vector<std::string> all;
  if (!f.goes_in) all.push_back("This foot does not get down into this shoe.");
  if (f.load_share)
    all.push_back(
        fmt::format("Of every 10 kilos that rest on this foot, about {:.1f} go down through the tips of the toes; the "
                    "shoe's sides, top and sole hold the rest.",
                    std::max(0.0, f.load_share->platform / 10)));
  const auto most = std::max_element(f.regions.begin(), f.regions.end(),
                                     [](const auto& a, const auto& b) { return a.peak_kPa < b.peak_kPa; });
  if (most != f.regions.end() && most->peak_kPa > 0) {
    std::string words =
        fmt::format("The shoe presses most on {}, where the colour is darkest", plain_region(most->region));
    if (f.plumb.applies && f.plumb.margin_mm)
      words += f.plumb.gets_over ? ", and she stands over the flat end of the shoe."
                                 : ", and she does not yet stand over the flat end of the shoe.";
    else
      words += ".";
    all.push_back(words);
  }
  while (all.size() > 2) all.erase(all.begin() + 1);
  all.push_back(
      "This is an estimate to talk over; whether to dance in these shoes is for fitter, teacher and doctor to say.");
  return all;
}

}  // namespace

void client_words(Ui& ui, Screen& screen, const ViewRect& rect) {
  const Solved* solved = screen.shown(0);
  ImGui::SetCursorScreenPos({rect.x + 3 * ui.theme.unit, rect.y + ui.theme.unit});
  ImGui::BeginGroup();
  if (solved == nullptr || !solved->shown() || !screen.seats[0].current) {
    ui.words("client.none", "One moment: the foot is still finding its place.", ui.theme.title, ink::quiet);
  } else {
    int number = 0;
    for (const std::string& sentence : sentences(solved->findings))
      ui.words(fmt::format("client.{}", ++number), sentence, ui.theme.title, ink::text, rect.w - 6 * ui.theme.unit);
  }
  if (ui.button("client.close", "Back to the numbers", "C")) screen.document.look.client = false;
  ImGui::EndGroup();
}

}  // namespace aplomb::viewer
