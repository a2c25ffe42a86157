// Names and explanations of numbers, for people.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace aplomb::viewer {

/// One number of a shoe as the panel lists it.
struct ShoeWord {
  const char* key;   ///< of shoe::number_fields()
  const char* name;  ///< e.g. "Ball breadth"
  const char* what;  ///< one sentence
  double reach;      ///< the slider goes this far to both sides of the file's number; 0: over the whole range
};
/// What stands after the sliders of a group that is no slider.
enum class ShoeExtra { none, cut, shank_table };
struct ShoeGroup {
  const char* title;
  std::vector<ShoeWord> words;
  ShoeExtra extra = ShoeExtra::none;
};
/// Every number of a shoe once, what a fitter asks for first.
const std::vector<ShoeGroup>& shoe_groups();

/// One constant as the panel lists it; its source is in the constants file.
struct ConstantWord {
  const char *key, *name, *unit;
};
struct ConstantGroup {
  const char* title;
  std::vector<ConstantWord> words;
};
/// Every constant once.
const std::vector<ConstantGroup>& constant_groups();

/// What a finding means, by its key in the JSON; empty when it says all itself.
std::string finding_words(std::string_view key);

/// As a line that begins with it.
inline std::string capital(std::string words) {
  if (!words.empty() && words[0] >= 'a' && words[0] <= 'z') words[0] = static_cast<char>(words[0] - 'a' + 'A');
  return words;
}

/// "mm" of "ball_breadth_mm", as shown; empty for a pure number.
std::string unit_of(std::string_view key);

/// A key and what it does, as the help lists them.
struct Shortcut {
  const char* keys;
  const char* what;
};
const std::vector<Shortcut>& shortcuts();

}  // namespace aplomb::viewer
