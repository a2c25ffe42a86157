// What is looked at: one foot in one shoe, as files brought them and as numbers were changed since.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "aplomb/io/error.h"
#include "aplomb/io/json.h"
#include "aplomb/stance/positions.h"

namespace aplomb::viewer {

/// A file's text with numbers changed by key; the text travels along, so that a session does not need the file.
struct Source {
  std::string file;  ///< as the user named it
  std::string text;
  std::map<std::string, double> changes{};
  std::vector<std::string> accepted{};         ///< card keys whose unlikely value is meant; feet only
  std::map<std::string, std::string> words{};  ///< what else was changed: "cut", "throat"; shoes only

  bool operator==(const Source&) const = default;
  std::string name() const;  ///< of the file, without folder and ending
  bool is_card() const;      ///< else a foot file or a scan's foot, whose shape is fixed
  std::size_t changed() const { return changes.size() + words.size(); }
};

struct Choice {
  Source foot, shoe;
  std::optional<double> load_N{};             ///< else from mass and position
  std::map<std::string, double> constants{};  ///< changed by hand; keys of constants.toml

  bool operator==(const Choice&) const = default;
};

/// Same key, same answer (for the same program and data).
std::string choice_key(const Choice& choice);

io::Json to_json(const Source& source);
io::Json to_json(const Choice& choice);
/// Throws what the JSON library throws; see io::guard_json().
Source source_from(const io::Json& json);
Choice choice_from(const io::Json& json);

}  // namespace aplomb::viewer
