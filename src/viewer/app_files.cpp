// Opening, saving, exporting, recovering; and the other things that panels ask for.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <initializer_list>

#include "aplomb/io/files.h"
#include "app.h"
#include "export.h"
#include "session.h"

namespace aplomb::viewer {

namespace fs = std::filesystem;

namespace {

constexpr std::size_t most_messages = 5;
constexpr auto autosave_every = std::chrono::milliseconds(1500);

/// Turning the view and stepping through the positions is nothing that wants saving.
Document without_eye(Document document) {
  document.look.orbit = {};
  document.look.step.reset();
  document.subject.position = {};
  if (document.shelf) document.shelf->shown = false;
  return document;
}

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

void App::say(std::string text, bool problem) {
  screen_.messages.push_back({std::move(text), problem, {}, {}});
  if (screen_.messages.size() > most_messages) screen_.messages.erase(screen_.messages.begin());
}

void App::say(const io::Error& error) { say(io::to_line(error), true); }

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

/// The same foot in both views is meant in both.
void App::accept(const Unlikely& number) {
  Subject& subject = screen_.document.subject;
  const Source foot = subject.seat[static_cast<std::size_t>(number.seat)].foot;
  for (Choice& choice : subject.seat)
    if (choice.foot == foot) choice.foot.accepted.push_back(number.key);
  std::erase_if(screen_.messages, [&](const Message& message) { return message.accept == number; });
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
    saved_ = without_eye(session->document);
    bring_back(std::move(session->document));
    screen_.session_file = file.string();
    session_hash_ = io::read_file(file, {}, io::max_json_bytes).map(io::content_hash).value_or("");
    if (const auto& shelf = screen_.document.shelf)
      if (std::error_code code; !fs::is_regular_file(shelf->stock, code))
        say(fmt::format("{} is gone since; open the stock where it is now.", shelf->stock));
    for (const Choice& held : screen_.document.subject.seat)
      for (const Source* source : {&held.foot, &held.shoe}) {
        std::error_code code;
        if (!fs::is_regular_file(source->file, code))
          say(fmt::format("{} is gone since; the session's own copy is shown.", source->file));
      }
    std::sort(screen_.messages.begin(), screen_.messages.end(),
              [](const auto& a, const auto& b) { return a.text < b.text; });
    screen_.messages.erase(std::unique(screen_.messages.begin(), screen_.messages.end(),
                                       [](const auto& a, const auto& b) { return a.text == b.text; }),
                           screen_.messages.end());
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

void App::save(const fs::path& file) {
  // Somebody else may have written it since it was read here.
  const std::string there = io::read_file(file, {}, io::max_json_bytes).map(io::content_hash).value_or("");
  const bool own = file.string() == screen_.session_file;
  if (own && !there.empty() && there != session_hash_) {
    session_hash_ = there;
    return say(fmt::format("{} was changed by another window since it was opened here. Save again to write over it, or "
                           "save under another name.",
                           file.string()),
               true);
  }
  if (const auto written = write_session(screen_.document, file); !written) return say(written.error());
  screen_.session_file = file.string();
  session_hash_ = io::read_file(file, {}, io::max_json_bytes).map(io::content_hash).value_or("");
  saved_ = without_eye(screen_.document);
  if (options_.keeps_state) state_.add_recent(file), screen_.recent = state_.recent();
  say(fmt::format("Saved: {}", file.string()));
}

void App::save_as(const fs::path& named) {
  const fs::path file = whole_path(named);
  std::error_code code;
  if (file.string() != screen_.session_file && fs::exists(file, code)) {
    FilePanel& panel = *screen_.files;
    const bool session = read_session(file).has_value();
    if (!session || panel.told_of != file) {
      panel.told_of = file;
      panel.told = file.filename().string() + (session ? " is there already. Save again to write over it."
                                                       : " is there already and is no session: choose another name.");
      return;
    }
  }
  save(file);
  screen_.files.reset();
}

void App::choose_name() {
  screen_.files = FilePanel::make(FilePanel::Purpose::save, folder());
  if (!screen_.session_file.empty()) screen_.files->name = fs::path(screen_.session_file).filename().string();
}

fs::path App::folder() const {
  if (!screen_.session_file.empty()) return fs::path(screen_.session_file).parent_path();
  std::error_code code;
  const fs::path here = fs::current_path(code);
  return code ? fs::path("/") : here;  // the folder that it was started in is gone
}

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

void App::take_export() {
  if (!exporting_.valid() || exporting_.wait_for(std::chrono::seconds(0)) != std::future_status::ready) return;
  if (const auto written = exporting_.get())
    say(*written);
  else
    say(written.error());
}

void App::do_asked() {
  Asked asked = std::exchange(screen_.asked, {});
  screen_.asked.frame_all = asked.frame_all;  // until there is something to frame
  if (asked.open) screen_.files = FilePanel::make(FilePanel::Purpose::open, folder());
  if (asked.save && !screen_.session_file.empty())
    save(screen_.session_file);
  else if (asked.save || asked.save_as)
    choose_name();
  if (asked.open_file && drop(*asked.open_file)) screen_.files.reset();
  if (asked.save_to && screen_.files) save_as(*asked.save_to);
  if (options_.keeps_state && screen_.letter_paper != kept_letter_paper_)
    state_.keep_letter_paper(kept_letter_paper_ = screen_.letter_paper);
  if (asked.export_all) start_exporting();
  if (asked.scan) {
    if (!screen_.messages.empty()) screen_.messages.pop_back();
    start_scan(std::move(*asked.scan));
  }
  if (asked.cancel_scan && scan_) scan_->cancel();
  if (asked.undo && history_.can_undo()) screen_.document.subject = history_.undo();
  if (asked.redo && history_.can_redo()) screen_.document.subject = history_.redo();
  if (asked.accept) accept(*asked.accept);
  do_tries(asked);
  do_shelf(asked);
  if (asked.cancel && screen_.work.busy) {
    solver_.cancel();
    cancelled_ = wish();
  }
  if (asked.recover) leave({Leaving::Way::recovery});
  if (asked.forget_recovery) {
    screen_.recovery = false;
    if (const auto file = state_.left_behind()) state_.forget(*file);
  }
  if (asked.restart_theme) theme_stale_ = true;
  if (asked.quit) ask_to_close();
  do_leaving(asked);
}

bool App::is_unsaved() const { return without_eye(screen_.document) != saved_; }

void App::autosave() {
  const Document& now = screen_.document;
  screen_.unsaved = is_unsaved();
  const auto clock = std::chrono::steady_clock::now();
  if (!options_.keeps_state || closing_ || screen_.dragging || now == kept_ || clock - kept_at_ < autosave_every)
    return;
  kept_at_ = clock;
  if (!screen_.unsaved) {
    state_.forget_own();
    kept_ = now;
    return;
  }
  if (const auto done = state_.keep(kept_session()); done) {
    kept_ = now;
    told_read_only_ = false;
  } else if (!told_read_only_) {
    told_read_only_ = true;
    io::Error error = done.error();
    error.remedy = "what is not saved is lost in a crash; set XDG_STATE_HOME to a folder that can be written";
    say(error);
  }
}

}  // namespace aplomb::viewer
