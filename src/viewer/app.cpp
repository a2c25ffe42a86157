// Answers in, panels out, and what the panels asked for.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "app.h"

#include <fmt/format.h>

#include <algorithm>

#include "session.h"

namespace aplomb::viewer {

namespace {

/// Answers kept: seven positions of a few changes back and forth, some megabytes each.
constexpr std::size_t answers_kept = 48;

}  // namespace

const Frame* SeatView::frame(std::optional<int> step) const {
  if (!solved || !solved->shown()) return nullptr;
  return &solved->frames[solved->at(step)];
}

App::App(Library library, const AppOptions& options, std::function<void()> wake)
    : library_(std::move(library)), options_(options), solver_(library_, wake), wake_(std::move(wake)) {
  screen_.constants = library_.constants;
  screen_.constant_notes = library_.constant_notes;
  screen_.rules = library_.rules != nullptr;
  if (!screen_.rules) say(library_.rules_complaint, true);
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

std::shared_ptr<const Solved> App::known(const std::string& key) const {
  const auto found = answers_.find(key);
  return found == answers_.end() ? nullptr : found->second;
}

std::shared_ptr<const Solved> App::known(const std::string& choice, stance::Position position, Care care,
                                         bool band) const {
  return known(request_key(choice, position, care, band));
}

void App::take_answers() {
  for (auto& answer : solver_.take()) {
    if (!answers_.contains(answer->key)) answer_order_.push_back(answer->key);
    answers_[answer->key] = answer;
    wanted_keys_.clear();  // what is wanted now may have changed
    if (answer_order_.size() > answers_kept) {
      answers_.erase(answer_order_.front());
      answer_order_.erase(answer_order_.begin());
    }
  }
  screen_.work = solver_.work();
}

void App::choose_shown() {
  const Subject& subject = screen_.document.subject;
  const bool band = screen_.document.look.band;
  for (int i = 0; i < 2; ++i) {
    const auto seat = static_cast<std::size_t>(i);
    SeatView& view = screen_.seats[seat];
    if (keyed_[seat] != subject.seat[seat] || keys_[seat].empty()) {
      keyed_[seat] = subject.seat[seat];
      keys_[seat] = choice_key(keyed_[seat]);
      const Source& shoe = keyed_[seat].shoe;
      if (screen_.shoe_files[seat].text != shoe.text) screen_.shoe_files[seat] = read_shoe_file(shoe);
    }
    const std::string& choice = keys_[seat];
    auto best = known(choice, subject.position, Care::full, band);
    if (!best) best = known(choice, subject.position, Care::full, false);
    if (!best) best = known(choice, subject.position, Care::quick, false);
    view.current = best != nullptr;
    if (best) last_shown_[seat] = best;
    const bool usable = last_shown_[seat] && last_shown_[seat]->position == subject.position;
    view.solved = best ? best : usable ? last_shown_[seat] : nullptr;
    for (const std::string& name : stance::position_names()) {
      const stance::Position position = *stance::position_named(name);
      const auto answer = known(choice, position, Care::full, false);
      Known& state = view.known[static_cast<std::size_t>(position)];
      if (answer)
        state = answer->error ? Known::refused : answer->shown() ? Known::solved : Known::not_converged;
      else
        state = screen_.work.key == request_key(choice, position, Care::full, false) ? Known::solving : Known::not_yet;
    }
  }
  show_doubts();
  screen_.seats[0].reference = screen_.seats[1].solved;
  screen_.seats[1].reference = screen_.seats[0].solved;
  if (!subject.side_by_side) {
    const auto before = history_.before();
    screen_.seats[0].reference =
        before ? known(choice_key(before->seat[0]), subject.position, Care::full, false) : nullptr;
  }
  const auto& shown = screen_.seats[0].solved;
  // What is wrong is said in the view's place; a card beside it only where there is something to decide.
  if (shown && screen_.seats[0].current && shown->error && shown->key != refused_key_ &&
      shown->error->kind == io::ErrorKind::decision_needed) {
    refused_key_ = shown->key;
    say(*shown->error);
  }
}

void App::want() {
  const Subject& subject = screen_.document.subject;
  std::vector<Request> list;
  std::vector<std::string> keys;
  const auto add = [&](std::size_t seat, stance::Position position, Care care, bool band) {
    if (known(keys_[seat], position, care, band)) return;
    list.push_back({subject.seat[seat], position, care, band});
    keys.push_back(request_key(keys_[seat], position, care, band));
  };
  const int seats = subject.seats();
  const bool ahead = options_.solves_ahead && !shelf_;  // a shelf takes both cores
  if (screen_.dragging) {
    cancelled_ = false;
    const auto active = static_cast<std::size_t>(std::min(screen_.active_seat, seats - 1));
    if (!known(keys_[active], subject.position, Care::full, false)) add(active, subject.position, Care::quick, false);
  } else if (!cancelled_) {
    for (int i = 0; i < seats; ++i) add(static_cast<std::size_t>(i), subject.position, Care::full, false);
    if (screen_.document.look.band)
      for (int i = 0; i < seats; ++i) add(static_cast<std::size_t>(i), subject.position, Care::full, true);
    const auto& now = screen_.seats[0].solved;
    const bool makes_sense = now && screen_.seats[0].current && !now->error;
    // What rules speak of first, on both seats; then what helps; then the rest of the strip.
    const bool judges = library_.rules != nullptr && makes_sense && (ahead || screen_.document.look.advice);
    if (judges)
      for (int i = 0; i < seats; ++i)
        for (const std::string& name : library_.rules->positions())
          add(static_cast<std::size_t>(i), *stance::position_named(name), Care::full, false);
    if (screen_.document.look.advice && judges && !known(advice_key(keys_[0]))) {
      list.push_back({.choice = subject.seat[0], .advice = true});
      keys.push_back(advice_key(keys_[0]));
    }
    if (ahead && makes_sense)
      for (const std::string& name : stance::position_names()) add(0, *stance::position_named(name), Care::full, false);
  }
  if (keys == wanted_keys_) return;
  wanted_keys_ = std::move(keys);
  solver_.want(std::move(list));
}

void App::play() {
  if (!screen_.playing) return;
  constexpr double position_s = 1.4, height_s = 0.35;
  screen_.play_clock_s += ImGui::GetIO().DeltaTime;
  const SeatView& view = screen_.seats[0];
  if (!view.solved || !view.current) {
    screen_.play_clock_s = 0;
    return;
  }
  auto& step = screen_.document.look.step;
  const std::size_t at = view.solved->shown() ? view.solved->at(step) : 0;
  const bool on_the_way = at + 1 < view.solved->frames.size();
  if (screen_.play_clock_s < (on_the_way ? height_s : position_s)) return;
  screen_.play_clock_s = 0;
  if (on_the_way) {
    step = static_cast<int>(at) + 1;
    return;
  }
  Subject& subject = screen_.document.subject;
  const int count = static_cast<int>(stance::position_names().size());
  subject.position = static_cast<stance::Position>((static_cast<int>(subject.position) + 1) % count);
  step = 0;  // from where a way begins
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

void App::close() {
  closing_ = true;
  solver_.cancel();
  if (doubt_job_) doubt_job_->cancel();
  if (options_.keeps_state) state_.forget_own();
}

}  // namespace aplomb::viewer
