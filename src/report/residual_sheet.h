// The sheet of a foot from a scan that shows how the scan lies over the fitted skin.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <vector>

#include "aplomb/report/foot_picture.h"
#include "canvas.h"

namespace aplomb::report {

/// Patches of skin whose scan lies farthest off: means over all that is shown within `patch_mm`, greatest first, none
/// within `apart_mm` of another, none below `least_mm`.
struct Patch {
  geometry::Vec3 at_F, normal_F;
  double gap_mm = 0;
};
std::vector<Patch> greatest_patches(const Residuals& residuals, double least_mm);

/// End of the bar, mm: the least of .5, 1, 2, 3, 5 that 98 % of the gaps stay within.
double residual_scale_end_mm(const std::vector<double>& gap_mm);

/// Draws it on the canvas, foot_sheet_width x foot_sheet_height from its origin on. Pre: sheet.residuals. Errors: as
/// write_foot_picture().
io::Result<void> draw_residual_sheet(Canvas& canvas, const FootSheet& sheet,
                                     const std::filesystem::path& shader_folder);

}  // namespace aplomb::report
