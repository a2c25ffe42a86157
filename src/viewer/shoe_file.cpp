// Which numbers a file names itself is told from its lines: its reader fills in the rest.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shoe_file.h"

#include <algorithm>
#include <sstream>

#include "solve_job.h"

namespace aplomb::viewer {

namespace {

/// "crown_height_mm" of `crown_height_mm = 40`, "padding.toes" of `[padding.toes]`; empty in other lines.
std::string key_in(const std::string& line) {
  constexpr const char* blanks = " \t";
  std::size_t begin = line.find_first_not_of(blanks);
  if (begin != std::string::npos && line[begin] == '[') ++begin;
  if (begin == std::string::npos) return {};
  constexpr const char* letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz_0123456789.";
  const std::size_t end = std::min(line.find_first_not_of(letters, begin), line.size());
  const std::size_t after = line.find_first_not_of(blanks, end);
  if (after == std::string::npos || (line[after] != '=' && line[after] != ']')) return {};
  return line.substr(begin, end - begin);
}

}  // namespace

ShoeFile read_shoe_file(const Source& source) {
  ShoeFile file{source.text, std::nullopt, {}};
  if (auto read = parameters_of({source.file, source.text})) file.given = std::move(*read);
  std::istringstream lines(source.text);
  for (std::string line; std::getline(lines, line);)
    if (std::string key = key_in(line); !key.empty()) file.keys.insert(std::move(key));
  return file;
}

}  // namespace aplomb::viewer
