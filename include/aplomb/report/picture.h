// Pictures without a display: a foot standing in a shoe from three sides.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "aplomb/findings/findings.h"
#include "aplomb/io/error.h"

namespace aplomb::report {

/// The folder with the shaders that belongs to a data folder: <data>/shaders when installed, <data>/../shaders in the
/// source tree.
std::filesystem::path shader_folder_of(const std::filesystem::path& data_folder);

struct PictureOptions {
  std::filesystem::path shader_folder{};            ///< see shader_folder_of()
  std::vector<double> lines_kPa = {100, 200, 350};  ///< contour lines on the skin, at most 4; empty: none
  std::optional<double> scale_end_kPa{};            ///< end of the colour scale; else round above the highest pressure
};

/// A PNG of 2000 x 1100 px: front, inner side and below with pressure on the skin, box and upper see-through, platform,
/// load line, centre of pressure, break and arch; key numbers; caution. Written whole or not at all. Errors:
/// not_converged (there is no map to draw; or a number is not finite); bad_input (scene or shaders are faulty);
/// cannot_write (no graphics on this machine, or the file).
io::Result<void> write_picture(const findings::Scene& scene, const findings::Findings& findings,
                               const std::filesystem::path& file, const PictureOptions& options);

}  // namespace aplomb::report
