// What files bring: a foot, a shoe, a visit, a stock or a session; opened, dropped or named at the start.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "app.h"

namespace aplomb::viewer {

namespace fs = std::filesystem;

io::Result<void> App::open_sample() {
  auto foot = open_file(library_.data / "feet" / "sample.toml");
  if (!foot) return tl::unexpected(foot.error());
  auto shoe = open_file(library_.data / "shoes" / "tapered.toml");
  if (!shoe) return tl::unexpected(shoe.error());
  Subject& subject = screen_.document.subject;
  for (Choice& choice : subject.seat) {
    choice.foot = std::get<OpenedFoot>(*foot).source;
    choice.shoe = std::get<OpenedShoe>(*shoe).source;
  }
  saved_ = without_eye(screen_.document);
  return {};
}

void App::put(Opened opened, const fs::path& named, int seat) {
  const fs::path file = whole_path(named);
  Subject& subject = screen_.document.subject;
  Choice& choice = subject.seat[static_cast<std::size_t>(seat)];
  if (auto* foot = std::get_if<OpenedFoot>(&opened)) {
    choice.foot = std::move(foot->source);
    screen_.tab = 1;
    watch_visit();
    if (screen_.visit && names_foot(*screen_.visit, file)) {
      if (const std::string words = lay_mass(*screen_.visit, choice.foot); !words.empty()) say(words);
    } else if (screen_.visit) {
      subject.visit.reset();
      say("The visit is closed, because a foot that is not of it was opened. Undo brings it back.");
    }
  } else if (auto* shoe = std::get_if<OpenedShoe>(&opened)) {
    choice.shoe = std::move(shoe->source);
    screen_.tab = 0;
    lay_hers(seat);
  } else if (auto* visit = std::get_if<OpenedVisit>(&opened)) {
    put_visit(std::move(*visit));
  } else if (auto* session = std::get_if<OpenedSession>(&opened)) {
    put_session(std::move(*session), file);
  }
  if (std::holds_alternative<OpenedStock>(opened)) return open_shelf(file);
  if (!subject.side_by_side) subject.seat[1] = subject.seat[0];
  screen_.picked.reset();
  frame_new_ = screen_.framed_by_itself && !std::holds_alternative<OpenedSession>(opened);
  if (options_.keeps_state) {
    state_.add_recent(file);
    screen_.recent = state_.recent();
  }
}

io::Result<void> App::open(const fs::path& named, const io::Progress& progress) {
  const fs::path file = whole_path(named);
  const auto as_named = [&](io::Error error) {
    if (error.file == file.string()) error.file = named.string();
    return error;
  };
  if (is_scan(file)) {
    auto made = foot_of_scan(library_, file, {}, progress);
    if (!made) {
      io::Error error = as_named(made.error());
      if (error.kind == io::ErrorKind::decision_needed) error.remedy = "drop the scan on the window, which asks";
      return tl::unexpected(error);
    }
    say(made->told);
    put(OpenedFoot{std::move(made->source)}, file, seat_for_files());
    return {};
  }
  auto opened = open_file(file);
  if (!opened) return tl::unexpected(as_named(opened.error()));
  put(std::move(*opened), file, seat_for_files());
  return {};
}

bool App::drop(const fs::path& file) { return drop(file, seat_for_files()); }

bool App::drop(const fs::path& named, int seat) {
  const fs::path file = whole_path(named);
  if (is_scan(file)) {
    start_scan({file, seat, {}});
    return true;
  }
  auto opened = open_file(file);
  if (!opened) {
    say(opened.error());
    return false;
  }
  if (std::holds_alternative<OpenedSession>(*opened)) {
    leave({Leaving::Way::session, file});
    return true;
  }
  put(std::move(*opened), file, seat);
  return true;
}

void App::drop(const std::vector<fs::path>& files) {
  // Which of them are feet, which are shoes; what cannot be opened says so once it is dropped for itself.
  std::vector<fs::path> feet, shoes, others;
  for (const fs::path& file : files) {
    const auto opened = is_scan(file) ? io::Result<Opened>(OpenedFoot{}) : open_file(file);
    const bool foot = opened && std::holds_alternative<OpenedFoot>(*opened),
               shoe = opened && std::holds_alternative<OpenedShoe>(*opened);
    (foot ? feet : shoe ? shoes : others).push_back(file);
  }
  for (const fs::path& file : others) drop(file);
  Subject& subject = screen_.document.subject;
  if (feet.size() == 2 || shoes.size() == 2) {
    if (!subject.side_by_side) subject.seat[1] = subject.seat[0];
    subject.side_by_side = true;
  }
  for (const auto* list : {&shoes, &feet})
    for (std::size_t i = 0; i < list->size(); ++i)
      drop((*list)[i], list->size() == 2 ? static_cast<int>(i) : seat_for_files());
}

}  // namespace aplomb::viewer
