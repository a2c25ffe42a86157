// Several states side by side: every position of a foot in a shoe, or the heel heights of a way down.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "aplomb/findings/findings.h"
#include "aplomb/io/error.h"
#include "aplomb/io/json.h"
#include "aplomb/report/pdf.h"
#include "aplomb/report/rows.h"

namespace aplomb::report {

/// One state as a small picture from the inner side, with a few words.
struct Step {
  findings::Scene scene;
  std::string title;
  std::vector<std::string> lines;
};

/// One position with all its sheets need; `steps` where it is a way rather than one state.
struct Sheet {
  findings::Findings findings;
  findings::Scene scene;  ///< of a converged position
  std::vector<Step> steps;
};

/// Heel height and what is on the floor, of each height of a way down. Pre: as many scenes as heights.
std::vector<Step> way_down_steps(const findings::Findings& findings, std::vector<findings::Scene> scenes);

/// The documents of to_json() in an array, in order. Errors: as write_json().
io::Result<void> write_sequence_json(const std::string& target, const std::vector<Sheet>& sheets);

/// The findings of every position side by side, one row each.
Grid sequence_grid(const std::vector<Sheet>& sheets);

/// sequence_grid() and then table() of each.
std::string sequence_table(const std::vector<Sheet>& sheets);

/// The name of one position's picture: "a/b.png" and "on-box" give "a/b-on-box.png".
std::filesystem::path picture_of_position(const std::filesystem::path& file, const std::string& position);

/// A picture of all converged positions side by side at `picture_file`, one of each beside it; and at `report_file` a
/// PDF whose first page shows them all, with a page for each after it. Empty names are left out. Errors: see
/// write_sheets(); not_converged where no position is.
io::Result<void> write_sequence(const std::vector<Sheet>& sheets, const std::filesystem::path& picture_file,
                                const std::filesystem::path& report_file, const ReportOptions& options);

}  // namespace aplomb::report
