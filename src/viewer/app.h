// The program behind the window: document, history, solver, results. The same for window and pictures without one.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <chrono>
#include <functional>
#include <future>
#include <memory>
#include <optional>
#include <string>
#include <unordered_map>
#include <utility>

#include "answers.h"
#include "aplomb/report/fitting_page.h"
#include "doubt_job.h"
#include "history.h"
#include "input_seen.h"
#include "library.h"
#include "opening.h"
#include "screen.h"
#include "shelf_pairs.h"
#include "solver_thread.h"
#include "state_folder.h"
#include "ui_state.h"
#include "view_area.h"

namespace aplomb::viewer {

struct AppOptions {
  bool keeps_state = true;   ///< autosave, recovery, recent files; a picture needs none
  bool solves_ahead = true;  ///< the other positions too, when there is nothing better to do
  int doubt_runs = 128;      ///< that the 5 to 95 % bands rest on
};

class App {
 public:
  /// `wake` is called from the solver's thread when there is something new to show; empty when the
  /// answers are waited for.
  App(Library library, const AppOptions& options, std::function<void()> wake);
  ~App();

  /// Shows the sample until something is opened. Errors: as opening.
  io::Result<void> open_sample();
  /// Opens as a drop does; what is wrong becomes a message. False then. A scan is fitted meanwhile.
  bool drop(const std::filesystem::path& file);
  /// Files dropped together: of two feet or two shoes each gets a view of its own.
  void drop(const std::vector<std::filesystem::path>& files);
  /// Errors: as opening; for the command line, which waits for a scan.
  io::Result<void> open(const std::filesystem::path& file, const io::Progress& progress = {});
  void set_position(stance::Position position) { screen_.document.subject.position = position; }

  /// With the OpenGL context current. Errors: as ViewArea.
  io::Result<void> start_graphics();
  void stop_graphics();
  /// Fonts and style for the screen's scale; between frames, before the renderer makes its font texture.
  void set_theme(float content_scale);
  bool theme_is_stale() const { return theme_stale_; }
  void forget_theme() { theme_stale_ = true; }

  /// One frame, inside ImGui::NewFrame() and Render().
  void frame();
  bool closing() const { return closing_; }
  /// As the window's close button: asks first where something is not saved.
  void ask_to_close();
  void close();  ///< unasked; what is not saved is dropped
  /// The program ends unasked, as when it is interrupted: what is not saved is offered at the next start.
  void break_off();
  /// Everything that was asked for is shown.
  bool settled() const;
  /// It changes by itself soon: playing, a drag, a message about to go.
  bool restless() const;
  const ScreenRecord& record() const { return record_; }
  Screen& screen() { return screen_; }

 private:
  void keep_history();
  // app_shown.cpp
  void take_answers();
  void choose_shown();
  void choose_reference();
  void follow_picked();
  std::shared_ptr<const Solved> known(const std::string& key) const;
  std::shared_ptr<const Solved> known(const std::string& choice, stance::Position position, Care care, bool band) const;
  // app_wanted.cpp
  void want();
  std::string wish() const;
  // app_verdicts.cpp, app_tries.cpp
  void judge_shown();
  void do_tries(const Asked& asked);
  // app_doubts.cpp
  void take_doubts();
  void show_doubts();
  void want_doubts();
  void start_doubts(std::size_t seat);
  std::string doubts_key(std::size_t seat) const;
  // app_playing.cpp
  void play();
  // app_layout.cpp, app_ui_state.cpp
  void lay_out(Ui& ui);
  void write_state(Ui& ui);
  // app_asked.cpp
  void do_asked();
  // app_messages.cpp
  void say(std::string text, bool problem = false);
  void say(const io::Error& error);
  // app_unlikely.cpp
  void ask_unlikely();
  void accept(const Unlikely& number);
  // app_opening.cpp
  bool drop(const std::filesystem::path& file, int seat);
  void put(Opened opened, const std::filesystem::path& file, int seat);
  int seat_for_files() const { return screen_.document.subject.side_by_side ? screen_.active_seat : 0; }
  // app_scans.cpp
  void start_scan(ScanWish wish);
  void take_scan();
  void leave_scans();
  // app_visits.cpp
  void put_visit(OpenedVisit opened);
  void lay_hers(int seat);
  void watch_visit();
  // app_shelf.cpp, app_pairs.cpp, app_shelf_kept.cpp
  void open_shelf(const std::filesystem::path& file);
  void start_shelf();
  void take_shelf();
  void watch_shelf();
  void do_shelf(const Asked& asked);
  void put_on(int item);
  void keep_pair(PairOn pair);
  void keep_shelf();
  void bring_back_shelf();
  // app_session.cpp
  void put_session(OpenedSession session, const std::filesystem::path& file);
  void bring_back(Document document);
  // app_saving.cpp
  void save(const std::filesystem::path& file);
  void save_as(const std::filesystem::path& file);
  void choose_name();
  std::filesystem::path folder() const;
  bool is_unsaved() const;
  /// Turning the view and stepping through the positions is nothing that wants saving.
  static Document without_eye(Document document);
  // app_recovery.cpp
  void autosave();
  void recover();
  KeptSession kept_session() const { return {screen_.document, screen_.session_file, session_hash_}; }
  // app_leaving.cpp
  void leave(Leaving leaving);
  void go(const Leaving& leaving);
  void do_leaving(const Asked& asked);
  void stop_work();
  // app_export.cpp
  void start_exporting();
  void write_page(ShelfPage page);
  void take_export();
  report::Paper paper() const { return screen_.letter_paper ? report::Paper::letter : report::Paper::a4; }

  Library library_;
  AppOptions options_;
  Screen screen_;
  Theme theme_;
  ScreenRecord record_;
  InputSeen input_seen_;
  History history_;
  StateFolder state_;
  SolverThread solver_;
  std::function<void()> wake_;
  std::unique_ptr<ScanJob> scan_;
  std::vector<ScanWish> scans_waiting_;
  std::shared_ptr<ShelfMemory> shelf_memory_;
  std::string shelf_basis_;  ///< of the constants that shelf_memory_ is of
  std::unique_ptr<ShelfJob> shelf_;
  std::optional<std::filesystem::path> shelf_waiting_;  ///< for the feet to be solved
  std::vector<PairOn> pairs_;                           ///< put on in this run or its session, newest last
  std::optional<Source> visit_;                         ///< that screen_.visit was read from
  std::unique_ptr<ViewArea> view_;
  Answers answers_;
  std::optional<Choice> before_;  ///< that the difference map takes away
  std::string before_key_;
  std::vector<std::string> wanted_keys_;
  std::optional<std::string> cancelled_;  ///< wish() that was cancelled
  std::unique_ptr<DoubtJob> doubt_job_;
  std::unordered_map<std::string, std::shared_ptr<const DoubtAnswer>> doubts_;  ///< by doubts_key()
  std::vector<std::string> doubt_order_;
  /// What SeatView::told was made of.
  std::array<std::pair<std::shared_ptr<const Solved>, std::shared_ptr<const DoubtAnswer>>, 2> told_of_;
  std::array<Choice, 2> keyed_;  ///< whose keys are in keys_
  std::array<std::string, 2> keys_;
  std::array<std::shared_ptr<const Solved>, 2> last_shown_;
  std::array<std::string, 2> judged_;    ///< what the verdicts of a seat are of
  std::array<std::string, 2> asked_of_;  ///< answers whose unlikely number was asked about
  Document kept_, saved_;                ///< as last autosaved; as last saved or opened, without the eye
  std::string session_hash_;             ///< of the session's file as it is known here; empty: not known
  std::chrono::steady_clock::time_point kept_at_{};
  std::future<io::Result<std::string>> exporting_;
  /// Of bars that wrap, as the last frame found them.
  struct {
    float top = 0, strip = 0, look = 0;
  } heights_;
  bool client_before_ = false, kept_letter_paper_ = false;
  std::pair<int, stance::Position> shape_before_{1, stance::Position::full_pointe_two};
  bool frame_new_ = false, theme_stale_ = true, closing_ = false, told_read_only_ = false;
};

}  // namespace aplomb::viewer
