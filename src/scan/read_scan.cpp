// One way into every format, and what must be true of any scan.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>

#include "aplomb/io/files.h"
#include "reading.h"

namespace aplomb::scan {

namespace {

/// Twenty million points of the longest form that is read; with what is kept of them, under 4 GB.
constexpr std::size_t most_bytes = std::size_t{2200} << 20;
/// Fewer points are no surface that a foot could be told by.
constexpr std::size_t least_points = 200;

std::string ending_of(const std::filesystem::path& file) {
  std::string text = file.extension().string();
  std::transform(text.begin(), text.end(), text.begin(), [](unsigned char c) { return std::tolower(c); });
  return text;
}

using Reader = io::Result<RawScan> (*)(const Source&);
Reader reader_of(const std::string& ending) {
  if (ending == ".ply") return read_ply;
  if (ending == ".obj") return read_obj;
  if (ending == ".stl") return read_stl;
  if (ending == ".glb") return read_glb;
  if (ending == ".off") return read_off;
  if (ending == ".xyz") return read_xyz;
  return nullptr;
}

/// The format that content begins like, when that can be told.
std::string looks_like(std::string_view bytes) {
  if (bytes.starts_with("ply\n") || bytes.starts_with("ply\r")) return ".ply";
  if (bytes.starts_with("glTF")) return ".glb";
  if (bytes.starts_with("OFF") || bytes.starts_with("COFF") || bytes.starts_with("NOFF")) return ".off";
  if (bytes.starts_with("solid ")) return ".stl";
  return {};
}

}  // namespace

bool is_scan_name(const std::filesystem::path& file) { return reader_of(ending_of(file)) != nullptr; }

io::Result<RawScan> read_scan(const std::filesystem::path& file, std::string_view field) {
  const std::string ending = ending_of(file);
  const auto content = io::read_file(file, field, most_bytes);
  if (!content) return tl::unexpected(content.error());
  const Source source{*content, file.string(), std::string(field)};
  const Reader reader = reader_of(ending);
  if (reader == nullptr)
    return source.refuse(fmt::format("\"{}\" is not the ending of a scan", ending),
                         "give a scan as .ply, .obj, .stl, .glb, .off or .xyz");
  if (const std::string like = looks_like(*content); !like.empty() && like != ending)
    return source.refuse(fmt::format("begins like a {} file", like.substr(1)),
                         fmt::format("give it the ending {}", like));
  auto scan = reader(source);
  if (!scan) return scan;
  scan->file = file.string();
  const auto& vertices = scan->mesh.vertices;
  const auto strange = std::find_if(vertices.begin(), vertices.end(),
                                    [](const Vec3& p) { return !(p.cwiseAbs().maxCoeff() < 1e9) || !p.allFinite(); });
  if (strange != vertices.end())
    return source.refuse(fmt::format("point {} is at ({}, {}, {}), which is nowhere", strange - vertices.begin() + 1,
                                     strange->x(), strange->y(), strange->z()),
                         "take out points without place and export the scan again");
  if (scan->points_in_file < least_points && scan->mesh.faces.size() < least_points)
    return source.refuse(fmt::format("has {} points and {} faces, too few to show a foot", scan->points_in_file,
                                     scan->mesh.faces.size()),
                         fmt::format("give a scan of at least {} points", least_points));
  return scan;
}

}  // namespace aplomb::scan
