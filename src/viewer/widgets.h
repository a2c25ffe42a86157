// The widgets of every panel. Each has an id of its own, is explained on hover, and is written down for tests.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>

#include "aplomb/io/error.h"
#include "theme.h"
#include "ui_state.h"

namespace aplomb::viewer {

struct ButtonLook {
  bool enabled = true, selected = false;
  bool strong = false;  ///< the one thing to do here
  float width = 0;      ///< 0: as wide as its words
};

/// What the hand did to a slider in this frame.
struct SliderMove {
  bool changed = false, dragging = false;
};

/// A judgement: told by a shape of its own and by the word that goes with it.
enum class Mark { good, change, unsuitable };

/// A number to be set: name, value in its own unit, and how it is shown.
struct NumberRow {
  std::string id, name, hover;
  double value = 0, low = 0, high = 1;
  std::string unit{};  ///< as shown
  double factor = 1;   ///< shown = value * factor
  int decimals = 1;
  std::string origin{};  ///< "card", "file", "changed", ...
  bool changed = false;  ///< by hand: can be put back
  bool enabled = true;
};

/// Words, values and hovers come in millimetres, and are shown in inches when asked.
class Ui {
 public:
  Ui(const Theme& sizes, ScreenRecord& record, bool shows_inches)
      : theme(sizes), inches(shows_inches), record_(record) {}

  bool button(const std::string& id, const std::string& label, const std::string& hover, const ButtonLook& look = {});
  /// A switch between on and off; true when it was pressed.
  bool toggle(const std::string& id, const std::string& label, const std::string& hover, bool& on, bool enabled = true);
  /// Name and value, a slider under them, where the value comes from; `put_back` is set when that was asked for.
  SliderMove number(const NumberRow& row, double& value, bool& put_back);
  /// Name left, value right, in one line; hovering explains.
  void value_row(const std::string& id, const std::string& name, const std::string& value, const std::string& hover,
                 bool stale, const std::string& second = {});
  void words(const std::string& id, const std::string& text, ImFont* font, ImU32 colour = ink::text, float width = 0);
  /// A mark before words that wrap beside it.
  void judged(const std::string& id, Mark mark, const std::string& text, const std::string& hover = {});
  void title(const std::string& text);
  /// How much of long work is done, 0 to 1; its words stand beside it.
  void progress(double fraction, float width);
  /// Goes on in the same line when a button with these words still fits there.
  void flow(const std::string& label, float gap = 0);
  /// Writes down the last ImGui item, or a rectangle of a drawing.
  void note(ScreenItem item);
  void note_last(ScreenItem item);
  /// Explains the last item on hover.
  void explain(const std::string& hover);
  /// Explains a place of a drawing.
  void explain_there(ImVec2 low, ImVec2 high, const std::string& hover);

  std::string in_shown_units(const std::string& words) const;

  const Theme& theme;
  const bool inches;
  io::Json& state() { return record_.state; }

 private:
  void tell(const std::string& hover);

  ScreenRecord& record_;
};

/// "+3.1", C locale; never "-0.0".
std::string shown_number(double value, int decimals, bool with_sign = false);

/// The line of an error with the file's name alone: folders say nothing to a fitter.
std::string error_words(io::Error error);

}  // namespace aplomb::viewer
