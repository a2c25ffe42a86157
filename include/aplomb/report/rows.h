// The findings in plain words with units: one list of display rows that table, picture and PDF share.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "aplomb/findings/findings.h"

namespace aplomb::report {

/// One finding as a person reads it.
struct Row {
  std::string key;      ///< its key in the JSON, e.g. "load_share.platform"
  std::string name;     ///< e.g. "Sink"
  std::string value;    ///< with unit, C locale; signed where the sign means a direction
  std::string meaning;  ///< one short phrase, chosen by the sign where there is one
  std::string band;     ///< "3.9 to 4.6 mm" between path and settled friction, or "unchanged"; empty when not asked for
  /// "[3.1 .. 5.4]" in the unit of the value, 5 to 95 % of what is plausible; "~" before plain quantiles; or empty
  std::string doubt = {};
};

struct Section {
  std::string title;
  std::vector<Row> rows;
};

/// A small table with a head: one row a toe, or one a skin region. The first column holds the names.
struct Grid {
  std::string title;
  std::vector<std::string> columns;
  std::vector<std::vector<std::string>> rows;
  /// As rows, a Row's doubt for each number, "" for names; no rows where there are no bands.
  std::vector<std::vector<std::string>> doubts = {};
};

/// "RIGHT foot, full pointe on two feet".
std::string heading(const findings::Findings& findings);
/// "full pointe on two feet" for "full-pointe-two"; a position without words of its own is returned as it is.
std::string position_words(const std::string& position);
/// "converged" or "not converged: <reason>".
std::string outcome(const findings::Findings& findings);

/// What the answer rests on: foot, shoe, load, friction, force balance, hashes. Always complete.
std::vector<Row> basis(const findings::Findings& findings);
/// Where the bands of the findings that matter most come from, and what to know of all of them; empty without bands.
std::vector<std::string> doubt_lines(const findings::Findings& findings);
/// How to read a row's doubt; one sentence.
std::string doubt_words();

/// Findings that apply, in the order of a fitting. Empty when not converged.
std::vector<Section> sections(const findings::Findings& findings);
/// Toe by toe; columns in which no toe has a number are left out. No rows when not converged.
Grid toe_grid(const findings::Findings& findings);
/// Pressure by skin region, only regions that carry load. No rows when not converged.
Grid region_grid(const findings::Findings& findings);
/// Heel heights of a way up or down, a row each.
Grid heights_grid(std::string title, const std::vector<findings::HeightFinding>& heights);
/// Heel heights of a roll-down; no rows in other positions.
Grid way_down_grid(const findings::Findings& findings);

/// Which numbers of the shoe and of the foot move each of the main findings most; no rows without gradients.
Grid gradient_grid(const findings::Findings& findings);

/// What every sheet says whatever the result: who decides, and the signs on which to stop.
std::vector<std::string> cautions();

}  // namespace aplomb::report
