// Pictures and pages to print: of what is shown, named so that none of before is lost.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <initializer_list>

#include "app.h"
#include "export.h"

namespace aplomb::viewer {

namespace fs = std::filesystem;

namespace {

/// With a number behind it where pages of that name are there: a page of before is not lost to one of after.
fs::path free_name(const fs::path& stem, std::initializer_list<const char*> endings) {
  const auto taken = [&](const std::string& name) {
    std::error_code code;
    return std::any_of(endings.begin(), endings.end(),
                       [&](const char* ending) { return fs::exists(name + ending, code); });
  };
  std::string name = stem.string();
  for (int number = 2; taken(name); ++number) name = fmt::format("{}-{}", stem.string(), number);
  return name;
}

}  // namespace

void App::start_exporting() {
  // Of what the client is shown; else of the view whose numbers are shown.
  const bool client = screen_.document.look.client;
  const int seat = screen_.chosen_seat();
  const SeatView& view = screen_.seats[static_cast<std::size_t>(seat)];
  auto solved = view.solved;
  if (exporting_.valid()) return say("The picture and the page are being made.");
  if (!solved || !solved->shown() || !view.current) return say("There is nothing solved to export yet.", true);
  if (const auto& told = view.told; told->doubts) {
    auto with_doubts = std::make_shared<Solved>(*solved);
    with_doubts->findings = *told;
    solved = std::move(with_doubts);
  }
  const Choice& choice = screen_.document.subject.seat[static_cast<std::size_t>(seat)];
  const Look& look = screen_.document.look;
  const fs::path usual =
      folder() / fmt::format("{}-{}-{}", choice.foot.name(), choice.shoe.name(), stance::name(solved->position));
  const fs::path stem = client ? free_name(usual, {"-client.pdf"}) : free_name(usual, {".png", ".pdf"});
  exporting_ =
      client ? start_client_export({solved, screen_.visit, paper(), look.step, look.orbit}, stem, library_.shaders)
             : start_export(solved, paper(), stem, library_.shaders);
}

void App::write_page(ShelfPage page) {
  if (exporting_.valid()) return say("A page is being made.");
  watch_shelf();
  const auto& answer = screen_.shelf->answer;
  // The client's page has a picture where the pair stands in the view.
  const auto& shown = screen_.seats[0].solved;
  const bool pictured = screen_.shelf->put_on == answer->comparison.pairs.ranking.front().item && shown &&
                        shown->choice == choice_key(screen_.document.subject.seat[0]) && screen_.seats[0].current &&
                        shown->shown();
  exporting_ = start_shelf_export({answer, page, pictured ? shown : nullptr, library_.version, screen_.visit, paper()},
                                  folder() / page_name(*answer), library_.shaders);
}

void App::take_export() {
  if (!exporting_.valid() || exporting_.wait_for(std::chrono::seconds(0)) != std::future_status::ready) return;
  if (const auto written = exporting_.get())
    say(*written);
  else
    say(written.error());
}

}  // namespace aplomb::viewer
