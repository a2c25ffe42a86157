// Sheets of a foot by itself: a fitted foot with all its numbers where they are taken, and how to take them.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "aplomb/foot/portrait.h"
#include "aplomb/io/error.h"
#include "aplomb/report/foot_rows.h"

namespace aplomb::report {

/// How a scan lies over the skin that was fitted to it.
struct Residuals {
  geometry::TriMesh skin_F;        ///< as scanned, of the person's own side, mm
  std::vector<double> gap_mm;      ///< by vertex: + where the scan lies outside the skin; not a number: not shown
  std::string line;                ///< under the title
  std::vector<std::string> notes;  ///< what was found in the scan
};

/// What the sheet of a foot shows.
struct FootSheet {
  foot::Portrait portrait;           ///< of the person's own side
  std::vector<FootSection> numbers;  ///< see foot_sections()
  std::vector<std::string> notes;    ///< see foot_notes()
  std::string name;                  ///< e.g. the card's file name
  std::string version;
  std::optional<Residuals> residuals{};  ///< of a foot from a scan: a second sheet under the first
};

/// A PNG of 2000 x 1414 px: the standing foot from above, the inner side and the front, the pointed foot from two
/// sides, dimension lines where the numbers are taken, numbers with unit and 90 % band, what the prior is, cautions.
/// Numbers from the card stand in solid boxes on solid lines, estimated ones without box on dashed lines. With
/// residuals twice as high: under it the scan over the fitted skin from six sides, by colour with a numbered bar in mm,
/// the greatest patches with their numbers, hatched where the scan shows nothing. Written whole or not at all. Errors:
/// bad_input (no skin, shaders), cannot_write (no graphics on this machine, or the file).
io::Result<void> write_foot_picture(const FootSheet& sheet, const std::filesystem::path& file,
                                    const std::filesystem::path& shader_folder);

/// The same sheet with the keys of the card in place of numbers, and how to take each. Errors: as above.
io::Result<void> write_measuring_picture(const foot::Portrait& portrait, const std::filesystem::path& file,
                                         const std::filesystem::path& shader_folder, const std::string& version);

}  // namespace aplomb::report
