// The program from its start to its end, frame by frame: answers in, panels out, and what the panels asked for.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "app.h"

#include <algorithm>

#include "keys.h"

namespace aplomb::viewer {

namespace fs = std::filesystem;

App::App(Library library, const AppOptions& options, std::function<void()> wake)
    : library_(std::move(library)), options_(options), solver_(library_, wake), wake_(std::move(wake)) {
  screen_.constants = library_.constants;
  screen_.constant_notes = library_.constant_notes;
  screen_.rules = library_.rules != nullptr;
  if (!screen_.rules) say(library_.rules_complaint, true);
  for (const char* folder : {"feet", "shoes", "stock"}) {
    std::error_code code;
    for (fs::directory_iterator it(library_.data / folder, code), end; !code && it != end; it.increment(code))
      if (const auto ending = it->path().extension(); ending == ".toml" || ending == ".csv")
        screen_.samples.push_back(it->path());
  }
  std::sort(screen_.samples.begin(), screen_.samples.end());
  if (!options_.keeps_state) return;
  screen_.recent = state_.recent();
  kept_letter_paper_ = screen_.letter_paper = state_.letter_paper();
  screen_.recovery = state_.left_behind().has_value();
}

App::~App() {
  if (exporting_.valid()) exporting_.wait();
}

io::Result<void> App::start_graphics() {
  auto view = ViewArea::make(library_.shaders);
  if (!view) return tl::unexpected(view.error());
  view_ = std::make_unique<ViewArea>(std::move(*view));
  return {};
}

void App::stop_graphics() { view_.reset(); }

void App::set_theme(float content_scale) {
  std::string complaint;
  theme_ = make_theme(content_scale * static_cast<float>(screen_.document.look.font_scale), complaint);
  if (!complaint.empty() && screen_.messages.empty()) say(complaint);
  theme_stale_ = false;
}

void App::frame() {
  record_.clear();
  take_answers();
  take_doubts();
  take_export();
  take_scan();
  play();
  watch_visit();
  choose_shown();
  take_shelf();
  Ui ui(theme_, record_, screen_.document.look.inches);
  screen_.dragging = false;
  screen_.can_undo = history_.can_undo();
  screen_.can_redo = history_.can_redo();
  take_keys(screen_);
  const bool client = screen_.document.look.client;
  const Subject& subject = screen_.document.subject;
  lay_out(ui);
  if (client != client_before_) screen_.asked.frame_all = true;  // the view has another size now
  client_before_ = client;
  // Two views are half as wide, and a flat foot is not where a pointed one is; an eye that came nearer stays there.
  const auto shape = std::pair(subject.seats(), subject.position);
  if (shape != shape_before_ && screen_.framed_by_itself) screen_.asked.frame_all = true;
  shape_before_ = shape;
  if (frame_new_ && screen_.seats[0].current && screen_.shown(0)->shown())
    screen_.asked.frame_all = true, frame_new_ = false;
  do_asked();
  watch_shelf();
  keep_shelf();
  keep_history();
  choose_shown();  // what was asked for may be another position or another number
  judge_shown();
  want();
  want_doubts();
  autosave();
  write_state(ui);
}

void App::keep_history() {
  if (screen_.dragging || screen_.playing) return;
  history_.note(screen_.document.subject);
}

bool App::settled() const {
  const Subject& subject = screen_.document.subject;
  for (int i = 0; i < subject.seats(); ++i)
    if (!screen_.seats[static_cast<std::size_t>(i)].current) return false;
  if (doubt_job_ || screen_.doubts) return false;
  return !screen_.work.busy && solver_.idle() && !scan_ && scans_waiting_.empty() && !shelf_ && !shelf_waiting_;
}

bool App::restless() const { return screen_.playing || screen_.dragging || screen_.view_moving || exporting_.valid(); }

}  // namespace aplomb::viewer
