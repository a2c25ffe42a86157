// A scan as it lies in its file.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <filesystem>
#include <string>
#include <string_view>

#include "aplomb/geometry/types.h"
#include "aplomb/io/error.h"

namespace aplomb::scan {

/// Points or triangles in the file's own unit and frame. Vertices are finite, faces within range.
struct RawScan {
  geometry::TriMesh mesh;          ///< faces empty: points alone
  std::size_t points_in_file = 0;  ///< more than in `mesh` when it was thinned on reading; corners of an STL by sixes
  std::string file;                ///< for messages
};

/// More points than these are refused, and more than `kept_points` thinned.
inline constexpr std::size_t most_points = 20'000'000, kept_points = 4'000'000;
/// More triangles than these are refused, so that no file asks for more than 4 GB of memory.
inline constexpr std::size_t most_faces = 40'000'000;

/// Whether the ending is one that read_scan() knows: .ply .obj .stl .glb .off .xyz, upper or lower case.
bool is_scan_name(const std::filesystem::path& file);

/// Reads a scan. The ending says what it is; text or bytes, byte order and so on are found. `field` names in errors the
/// option that brought the path. Errors (bad_input), with the line where there are lines: missing, empty, not what its
/// ending says, counts larger than the file, cut off, coordinates that are not finite numbers, faces that name no
/// point, fewer points than could be a foot, more than `most_points` or `most_faces`.
io::Result<RawScan> read_scan(const std::filesystem::path& file, std::string_view field = {});

}  // namespace aplomb::scan
