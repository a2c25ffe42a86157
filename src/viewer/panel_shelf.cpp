// The shelf: which pair to bring out first, why, what to try on it, what is lacking.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "aplomb/report/rows.h"
#include "aplomb/shop/tell.h"
#include "panels.h"
#include "shelf_pairs.h"
#include "words.h"

namespace aplomb::viewer {

namespace {

constexpr std::size_t rows_shown = 8;

/// Reasons of both feet, what is said of both once.
std::vector<std::string> reasons(const ShelfAnswer& answer, const shop::Standing& one, std::size_t most) {
  const bool right_first = answer.comparison.difference.right_is_larger;
  std::vector<std::pair<std::string, std::string>> said;  // words, foot
  for (std::size_t w = 0; w < one.answers.size(); ++w) {
    const char* side = (w == 0) == right_first ? "Right" : "Left";
    const auto all = shop::reasons(answer.inputs.rules, one.answers[w]);
    for (std::size_t i = 0; i < std::min(most, all.size()); ++i) {
      const auto same = std::find_if(said.begin(), said.end(), [&](const auto& s) { return s.first == all[i]; });
      if (same == said.end())
        said.emplace_back(all[i], side);
      else if (same->second != side)
        same->second = "Both feet";
    }
  }
  std::vector<std::string> lines;
  for (const auto& [words, foot] : said) lines.push_back(fmt::format("{}: {}", foot, words));
  return lines;
}

/// Peak pressure of the pair that comes first, shown and not graded.
void peaks(Ui& ui, const shop::Telling& telling) {
  const auto rows = shop::peaks_of(telling);
  if (rows.empty()) return;
  ui.title("Peak pressure, kPa");
  const auto shown = [](const std::string& kPa) { return kPa.empty() ? std::string("-") : kPa; };
  int number = 0;
  for (const shop::PeakRow& row : rows) {
    ui.words(fmt::format("shelf.peak.{}", ++number),
             fmt::format("{}: left {}, right {}", capital(row.position), shown(row.left_kPa), shown(row.right_kPa)),
             ui.theme.small, ink::text, ImGui::GetContentRegionAvail().x);
    ui.explain("On the skin, in the pair that comes first. Shown and not graded: nobody knows how much is too much.");
  }
}

std::string points(const shop::Standing& one) {
  if (one.complete) return fmt::format("{:.2f} points", one.cost);
  return fmt::format("at least {:.2f} points, left {}", one.cost,
                     one.solved ? "after " + report::position_words(one.left_at) : "by measure");
}

void row(Ui& ui, Screen& screen, std::size_t place) {
  const ShelfAnswer& answer = *screen.shelf->answer;
  const shop::Standing& one = answer.comparison.pairs.ranking[place];
  const shop::StockItem& item = answer.inputs.stock.items[static_cast<std::size_t>(one.item)];
  const std::string id = fmt::format("shelf.{}", place + 1);
  const bool on = screen.shelf->put_on == one.item;
  if (ui.button(id + ".put_on", on ? "Is on" : "Put on",
                "Puts this pair, in its size and with what she wears, on the feet in the view.", {.selected = on}))
    screen.asked.put_on = one.item;
  ImGui::SameLine();
  ImGui::BeginGroup();
  const float width = ImGui::GetContentRegionAvail().x;
  ui.words(id, fmt::format("{}   {}", shop::place_words(answer.comparison, place), item.label), ui.theme.strong,
           ink::text, width);
  ui.words(id + ".size", shop::item_words(item) + "; " + points(one), ui.theme.small, ink::quiet, width);
  ui.explain("Points: what the rules of the house find fault with, added up. Fewer are better, for these feet only.");
  int number = 0;
  for (const std::string& line : reasons(answer, one, place == 0 ? 4 : 1))
    ui.words(fmt::format("{}.reason.{}", id, ++number), line, ui.theme.small, ink::text, width);
  ImGui::EndGroup();
  ImGui::Dummy({0, 0.25f * ui.theme.unit});
}

std::string feet_words(const ShelfAnswer& answer) {
  if (!answer.mirrored) return capital(answer.comparison.difference.words);
  if (answer.feet.sources.size() < 2)
    return "Only one foot is open: the other is taken to be its mirror image. Open both feet side by side to fit both.";
  const char* side = answer.feet.sides.front() == foot::Side::right ? "right" : "left";
  return fmt::format(
      "Two {0} feet are open: only the first is compared, and its mirror image is taken for the other. Open a left and "
      "a right foot side by side to fit both.",
      side);
}

void running(Ui& ui, Screen& screen) {
  const ShelfShown& shelf = *screen.shelf;
  ui.words("shelf.progress", fmt::format("{:.0f} %: {}", 100 * shelf.so_far.fraction, shelf.so_far.what), ui.theme.body,
           ink::quiet);
  ui.progress(shelf.so_far.fraction, ImGui::GetContentRegionAvail().x);
  if (ui.button("shelf.cancel", "Cancel", "Stops; what is solved is kept, and going on starts from there. Esc"))
    screen.asked.cancel_shelf = true;
  if (shelf.so_far.first.empty()) return;
  ui.title("So far, provisional");
  int number = 0;
  for (const std::string& label : shelf.so_far.first)
    ui.words(fmt::format("shelf.first.{}", ++number), label, ui.theme.strong);
}

/// Of a session: what came first then, not solved again before somebody asks.
void kept(Ui& ui, Screen& screen) {
  const ShelfShown& shelf = *screen.shelf;
  if (ui.button("shelf.resume", "Compare now", "With the stock as its file is today.", {.strong = true}))
    screen.asked.resume_shelf = true;
  if (shelf.before.empty()) return ui.words("shelf.kept", "Not compared yet.", ui.theme.body, ink::quiet);
  ui.words("shelf.kept", "When the session was kept, these came first:", ui.theme.body, ink::quiet,
           ImGui::GetContentRegionAvail().x);
  int number = 0;
  for (const std::string& label : shelf.before)
    ui.words(fmt::format("shelf.before.{}", ++number), label, ui.theme.strong);
}

void whole(Ui& ui, Screen& screen) {
  const ShelfAnswer& answer = *screen.shelf->answer;
  const shop::Comparison& c = answer.comparison;
  const auto words = [&](const std::string& id, const std::string& text) {
    ui.words(id, text, ui.theme.small, ink::text, ImGui::GetContentRegionAvail().x);
  };
  shop::Telling telling;
  telling.inputs = &answer.inputs, telling.comparison = &c, telling.visit = screen.visit.get();
  visit_words(ui, screen);
  if (screen.shelf->other_feet) {
    words("shelf.other_feet", other_feet);
    if (ui.button("shelf.again", "Compare again", "With the feet that are shown.", {.strong = true}))
      screen.asked.resume_shelf = true;
  }
  words("shelf.feet", feet_words(answer));
  int number = 0;
  if (!c.difference.even)
    for (const std::string& layer : shop::layer_words(c.smaller_layers))
      words(fmt::format("shelf.wears.{}", ++number),
            fmt::format("{} foot wears {}", c.difference.right_is_larger ? "Left" : "Right", layer));
  if (ui.button("shelf.workshop", "Workshop page", "Dimensions, alterations, ribbons and an order sheet as a PDF."))
    screen.asked.page = ShelfPage::workshop;
  ui.flow("Client page");
  if (ui.button("shelf.client", "Client page",
                "The same in plain words as a PDF; put the first pair on for a picture."))
    screen.asked.page = ShelfPage::client;
  ui.title("Which pair");
  ui.words("shelf.headline", shop::headline(telling), ui.theme.strong, ink::text, ImGui::GetContentRegionAvail().x);
  number = 0;
  for (const std::string& line : shop::ties_and_split(telling)) words(fmt::format("shelf.also.{}", ++number), line);
  const auto& ranking = c.pairs.ranking;
  for (std::size_t place = 0; place < std::min(rows_shown, ranking.size()); ++place) row(ui, screen, place);
  words("shelf.rejected",
        fmt::format("{} {}; {} rejected by measure, {} before every position was solved", ranking.size(),
                    ranking.size() == 1 ? "shoe" : "shoes", c.pairs.never_solved, c.pairs.not_complete));
  peaks(ui, telling);
  ui.title("What to try on the first");
  number = 0;
  for (std::size_t w = 0; w < c.advice.size(); ++w)
    for (const shop::Offer& offer : c.advice[w].offers)
      words(fmt::format("shelf.offer.{}", ++number),
            fmt::format("{}: {}; {}", (w == 0) == c.difference.right_is_larger ? "Right" : "Left",
                        shop::words(offer.attempt), shop::before_and_after(offer)));
  if (number == 0) words("shelf.offer.none", "Nothing, or nothing that was solved helps.");
  if (!c.lacks.empty()) ui.title("What the shelf lacks");
  number = 0;
  for (const shop::Lack& lack : c.lacks) words(fmt::format("shelf.lack.{}", ++number), capital(lack.words));
  ui.title("The visit");
  number = 0;
  for (const std::string& line : shop::visit_lines(telling)) words(fmt::format("shelf.visit.{}", ++number), line);
}

}  // namespace

void shelf_panel(Ui& ui, Screen& screen) {
  const ShelfShown& shelf = *screen.shelf;
  ui.words("shelf.title", "The shelf: " + shelf.name, ui.theme.title, ink::text, ImGui::GetContentRegionAvail().x);
  if (ui.button("shelf.back", "Back to the findings", "The button Shelf on top brings it back. K"))
    screen.show_shelf = false;
  ImGui::BeginChild("shelf", {0, 0}, false, ImGuiWindowFlags_AlwaysVerticalScrollbar | ImGuiWindowFlags_NavFlattened);
  if (shelf.answer) {
    whole(ui, screen);
  } else if (shelf.kept) {
    kept(ui, screen);
  } else if (shelf.cancelled) {
    ui.words("shelf.cancelled", "Stopped. What was solved is kept.", ui.theme.body);
    if (ui.button("shelf.resume", "Go on", "From where it stopped.", {.strong = true}))
      screen.asked.resume_shelf = true;
  } else {
    running(ui, screen);
  }
  ImGui::EndChild();
}

}  // namespace aplomb::viewer
