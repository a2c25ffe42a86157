// The plain state that panels show and change, and what they ask of the program.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <filesystem>
#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "advice.h"
#include "aplomb/report/rows.h"
#include "document.h"
#include "file_panel.h"
#include "marks.h"
#include "picked.h"
#include "scan_job.h"
#include "shelf_job.h"
#include "solve_job.h"
#include "solver_thread.h"
#include "visits.h"
#include "widgets.h"

namespace aplomb::viewer {

/// What would drop work that is not saved: asked about before it is done.
struct Leaving {
  enum class Way { quit, session, recovery } way = Way::quit;
  std::filesystem::path session{};  ///< to be opened
  bool saving = false;              ///< a name to save under is being chosen; it is done once it is saved
};

/// A card number that few feet have: asked whether it is meant.
struct Unlikely {
  std::string key;
  int seat = 0;

  bool operator==(const Unlikely&) const = default;
};

/// What is known of one position of a seat.
enum class Known { not_yet, solving, solved, not_converged, refused };

/// What a panel asked for in this frame; the program does it after the frame.
struct Asked {
  bool open = false, save = false, save_as = false, export_all = false, undo = false, redo = false;
  bool cancel = false, quit = false, frame_all = false, restart_theme = false;
  bool next_panel = false;  ///< the keyboard goes to the next panel
  std::optional<std::filesystem::path> open_file{}, save_to{};
  bool recover = false, forget_recovery = false;
  bool save_and_leave = false, leave_unsaved = false, stay = false;
  std::optional<Unlikely> accept{};    ///< its value is meant
  std::optional<shop::Try> attempt{};  ///< a change to be seen beside the shoe as it is
  bool keep_try = false, leave_try = false;
  std::optional<ScanWish> scan{};  ///< to be fitted, with an answer to what was asked
  bool cancel_scan = false;
  bool cancel_shelf = false, resume_shelf = false;
  std::optional<int> put_on{};      ///< item of the shelf
  std::optional<ShelfPage> page{};  ///< to be written
};

/// What a scan does not tell by itself.
struct ScanQuestion {
  ScanWish wish;
  bool of_side = true;  ///< else of the unit
};

struct Message {
  std::string text;
  bool problem = false;
  std::optional<Unlikely> accept{};        ///< whether it is meant is asked
  std::optional<ScanQuestion> question{};  ///< one about a scan
};

/// A scan that is being fitted.
struct ScanShown {
  std::string name;
  double fraction = 0;
  std::string what;
};

/// A shelf that is compared, or was, or is to be.
struct ShelfShown {
  std::string name;                           ///< of the stock's file
  ShelfSoFar so_far;                          ///< while there is no answer
  std::shared_ptr<const ShelfAnswer> answer;  ///< null until it is whole
  bool cancelled = false;
  bool kept = false;                ///< as a session kept it: cancelled, and not compared since
  std::filesystem::path file;       ///< whole path, to be compared again
  std::vector<std::string> before;  ///< labels that came first when it was last compared
  int put_on = -1;                  ///< item whose pair stands on the seats, in this frame
  bool other_feet = false;          ///< the answer is not of the feet on the seats, in this frame
};

/// The 5 to 95 % bands that are asked for and not all there.
struct DoubtsShown {
  bool running = false;  ///< else it waits
  double fraction = 0;
  std::string what;
};

/// One of its frames, which lives as long as the answer; null where there is none to show.
std::shared_ptr<const Frame> frame_of(const std::shared_ptr<const Solved>& solved, std::optional<int> step);

/// One seat as it is shown.
struct SeatView {
  std::shared_ptr<const Solved> solved;     ///< newest answer for its position; may be of older numbers
  std::shared_ptr<const Solved> reference;  ///< what the difference map takes away: the other seat, or before; or null
  bool comes = false;                       ///< a reference that is not there is wanted
  bool compared() const { return reference && reference->shown(); }
  bool current = false;  ///< `solved` answers the numbers as they stand
  /// Findings of `solved`; with their 5 to 95 % bands where these are asked for, at hand, and of this very answer.
  std::shared_ptr<const findings::Findings> told;
  std::optional<io::Error> no_doubts;  ///< why there are no such bands
  std::array<Known, 7> known{};        ///< by position
  std::vector<Verdict> verdicts;       ///< of the rules, from what is solved so far
  int judged = 0, to_judge = 0;        ///< positions that are solved, of those that rules speak of
  /// Nothing when not converged. The answer lives as long as it.
  std::shared_ptr<const Frame> frame(std::optional<int> step) const;
};

/// The numbers that a shoe's file gives, before any change.
struct ShoeFile {
  std::string text;                           ///< that they were read from
  std::optional<shoe::ShoeParameters> given;  ///< nothing where it cannot be read
  std::set<std::string> keys;                 ///< numbers and tables that the file names itself; the rest are usual
};
ShoeFile read_shoe_file(const Source& source);

/// A length on the slice.
struct Measured {
  std::array<geometry::Vec2, 2> ends;  ///< mm in its plane
  std::shared_ptr<const Frame> frame;  ///< that was cut
  SliceAxis axis = SliceAxis::none;    ///< where
  double mm = 0, tilt_deg = 0;
  bool mirrored = false;  ///< drawn as seen from behind
};

struct Screen {
  Document document;
  std::array<ShoeFile, 2> shoe_files;
  stance::Constants constants;                        ///< before any change
  std::map<std::string, std::string> constant_notes;  ///< "[G] 0.3-0.8" by key, from the constants file
  std::array<SeatView, 2> seats;
  bool rules = false;                                      ///< there are rules
  std::shared_ptr<const Solved> advice;                    ///< for the first seat as it stands; null until it is solved
  std::optional<ScanShown> scan;                           ///< being fitted
  std::optional<DoubtsShown> doubts;                       ///< bands are on their way
  std::optional<ShelfShown> shelf;                         ///< a stock is open
  bool show_shelf = false;                                 ///< in the place of the findings
  std::shared_ptr<const shop::Visit> visit;                ///< that the feet are of; null: none
  bool shelf_in_sight = false, findings_in_sight = false;  ///< as the last frame found it
  Work work;
  bool cancelled = false;         ///< what is not solved stays so until something else is asked for
  std::vector<Message> messages;  ///< newest last; a few
  std::optional<Picked> picked;
  bool dragging = false;  ///< a number is being dragged
  bool playing = false;
  double play_clock_s = 0;
  int tab = 0;          ///< 0 shoe, 1 foot, 2 constants
  int active_seat = 0;  ///< whose numbers are shown
  bool show_numbers = true, show_findings = true, show_help = false;
  /// What a window with too little room for all of it shows beside the view.
  enum class Sheet { view, numbers, findings, look } sheet = Sheet::view;
  bool crowded = false;    ///< it is such a window; as the last frame found it
  bool show_more = false;  ///< all buttons on top of a narrow window
  bool can_undo = false, can_redo = false;
  bool recovery = false;           ///< a session that was not closed is there
  std::optional<Leaving> leaving;  ///< asked about
  std::string session_file;        ///< whole path; empty: not saved yet
  bool unsaved = false;
  std::optional<FilePanel> files;  ///< open while it is there
  std::vector<std::filesystem::path> recent;
  std::vector<std::filesystem::path> samples;  ///< that come with the program
  bool letter_paper = false;                   ///< of every page; else A4; of this machine, not of a session
  bool view_moving = false;
  bool framed_by_itself = false;  ///< the camera was not given: everything was put in the picture
  std::optional<Measured> measured;
  Asked asked;

  Choice& choice() { return document.subject.seat[static_cast<std::size_t>(active_seat)]; }
  /// Whose numbers are shown; the one on the page for the client.
  int chosen_seat() const { return document.subject.side_by_side ? active_seat : 0; }
  const Solved* shown(int seat) const { return seats[static_cast<std::size_t>(seat)].solved.get(); }
};

/// "left foot", "right foot"; "" until the foot is known.
std::string side_words(const SeatView& seat);
/// As a line that begins with it.
std::string capital(std::string words);

// Panels; each fills the current ImGui window or the rectangle given.
void top_panel(Ui& ui, Screen& screen);
void numbers_panel(Ui& ui, Screen& screen);
void findings_panel(Ui& ui, Screen& screen);
/// Pre: there is a shelf.
void shelf_panel(Ui& ui, Screen& screen);
/// Who she is, and what is to be said of her before any shoe is.
void visit_words(Ui& ui, const Screen& screen);
/// Asks for the 5 to 95 % bands; how far they are, with a way to stop them; or why there are none.
void doubts_controls(Ui& ui, Screen& screen);
/// Under a finding, where it has one: its band, and that of the same finding of the second seat (null: none).
void band_line(Ui& ui, const Screen& screen, const report::Row& row, const report::Row* second);
/// Where the bands of what matters most come from, and what to know of all of them.
void how_sure_lines(Ui& ui, const findings::Findings& findings);
/// A row for each number, a column for each toe, with their bands. `id` begins what is noted.
void toe_table(Ui& ui, const findings::Findings& findings, const std::string& id);
/// A row for each region of the skin that carries load.
void region_table(Ui& ui, const findings::Findings& findings, const std::string& id);
/// What the rules say of it; what would help, with a try of each.
void verdicts(Ui& ui, const Screen& screen);
void what_helps(Ui& ui, Screen& screen);
/// The change that stands in the second view, to be kept or left.
void trying(Ui& ui, Screen& screen);
void positions_panel(Ui& ui, Screen& screen);
void status_panel(Ui& ui, Screen& screen);
void look_bar(Ui& ui, Screen& screen);
void file_window(Ui& ui, Screen& screen);
void help_window(Ui& ui, Screen& screen);
void message_cards(Ui& ui, Screen& screen, const ViewRect& rect);
void picked_card(Ui& ui, Screen& screen, const ViewRect& rect);
void slice_panel(Ui& ui, Screen& screen);
void client_words(Ui& ui, Screen& screen, const ViewRect& rect);
/// Plays or stops; at the end of a way it begins anew.
void toggle_playing(Screen& screen);
/// Keys that work everywhere; call once a frame.
void take_keys(Screen& screen);

}  // namespace aplomb::viewer
