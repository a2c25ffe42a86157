// Answers in, panels out, and what the panels asked for.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "app.h"

#include <fmt/format.h>

#include <algorithm>

namespace aplomb::viewer {

namespace fs = std::filesystem;

std::shared_ptr<const Frame> frame_of(const std::shared_ptr<const Solved>& solved, std::optional<int> step) {
  if (!solved || !solved->shown()) return nullptr;
  return {solved, &solved->frames[solved->at(step)]};
}

std::shared_ptr<const Frame> SeatView::frame(std::optional<int> step) const { return frame_of(solved, step); }

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

std::shared_ptr<const Solved> App::known(const std::string& key) const { return answers_.find(key); }

std::shared_ptr<const Solved> App::known(const std::string& choice, stance::Position position, Care care,
                                         bool band) const {
  return known(request_key(choice, position, care, band));
}

void App::take_answers() {
  for (auto& answer : solver_.take()) {
    answers_.add(std::move(answer));
    wanted_keys_.clear();  // what is wanted now may have changed
  }
  std::set<std::string> held(keys_.begin(), keys_.end());
  held.insert(before_key_);
  answers_.trim(held);
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
  choose_reference();
  follow_picked();
  ask_unlikely();
}

/// The other view; or what stood here before the last change, whatever the position was then.
void App::choose_reference() {
  const Subject& subject = screen_.document.subject;
  if (auto before = subject.side_by_side ? std::nullopt : history_.before(subject.seat[0]); before != before_) {
    before_ = std::move(before);
    before_key_ = before_ ? choice_key(*before_) : "";
  }
  SeatView &first = screen_.seats[0], &second = screen_.seats[1];
  if (subject.side_by_side)
    first.reference = second.solved;
  else
    first.reference = before_ ? known(before_key_, subject.position, Care::full, false) : nullptr;
  second.reference = first.solved;
  first.comes = !first.reference && before_ && !cancelled_;
  second.comes = false;
}

/// What was picked is read again from each new frame.
void App::follow_picked() {
  if (!screen_.picked) return;
  const auto seat = static_cast<std::size_t>(screen_.picked->seat);
  const bool there = screen_.picked->seat < screen_.document.subject.seats();
  const auto frame = there ? screen_.seats[seat].frame(screen_.document.look.step) : nullptr;
  if (frame != screen_.picked->frame)
    screen_.picked = picked_again(*screen_.picked, frame, screen_.document.subject.position);
}

/// What is wrong is said in the view's place; a card beside it only where there is something to decide.
void App::ask_unlikely() {
  if (screen_.dragging) return;  // every number on the way would be asked about
  const Subject& subject = screen_.document.subject;
  for (int seat = 0; seat < 2; ++seat) {
    const auto place = static_cast<std::size_t>(seat);
    const SeatView& view = screen_.seats[place];
    // One foot in two shoes is asked about once.
    const bool there = seat == 0 || (subject.side_by_side && subject.seat[0].foot != subject.seat[1].foot);
    if (there && !view.current) continue;
    const bool asks = there && view.solved->error && view.solved->error->kind == io::ErrorKind::decision_needed;
    const std::string key = asks ? view.solved->key : "";
    if (key == asked_of_[place]) continue;
    asked_of_[place] = key;
    std::erase_if(screen_.messages, [&](const Message& m) { return m.accept && m.accept->seat == seat; });
    if (!asks) continue;
    const io::Error& error = *view.solved->error;
    say(fmt::format("{}{}: {}", seat == 1 ? "Second view: " : "", error.field, error.message), true);
    screen_.messages.back().accept = Unlikely{error.field, seat};
  }
}

/// What hands ask to be solved, whatever of it is solved: cancelled, it stays so until they ask for something else.
std::string App::wish() const {
  const Document& document = screen_.document;
  std::string wish = fmt::format("{} {} {} {}", stance::name(document.subject.position), document.look.band,
                                 document.look.advice, document.look.skin == SkinLook::difference);
  for (int i = 0; i < document.subject.seats(); ++i) wish += " " + keys_[static_cast<std::size_t>(i)];
  return wish;
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
  if (screen_.dragging || cancelled_ != wish()) cancelled_.reset();
  screen_.cancelled = cancelled_.has_value();
  if (screen_.dragging) {
    const auto active = static_cast<std::size_t>(std::min(screen_.active_seat, seats - 1));
    if (!known(keys_[active], subject.position, Care::full, false)) add(active, subject.position, Care::quick, false);
  } else if (!cancelled_) {
    for (int i = 0; i < seats; ++i) add(static_cast<std::size_t>(i), subject.position, Care::full, false);
    if (before_ && screen_.document.look.skin == SkinLook::difference &&
        !known(before_key_, subject.position, Care::full, false)) {
      list.push_back({*before_, subject.position});
      keys.push_back(request_key(before_key_, subject.position, Care::full, false));
    }
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

}  // namespace aplomb::viewer
