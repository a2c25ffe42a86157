// STL as bytes or text. Corners are not joined: what follows asks for the surface, not for its net.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "reading.h"

namespace aplomb::scan {

namespace {

constexpr std::size_t header_bytes = 84, triangle_bytes = 50;

io::Result<RawScan> read_binary(const Source& source) {
  const std::string_view bytes = source.bytes;
  if (bytes.size() < header_bytes)
    return source.refuse(fmt::format("has {} bytes, fewer than the {} of an STL's head", bytes.size(), header_bytes),
                         export_again);
  const std::size_t count = value_at<std::uint32_t>(bytes, 80), room = (bytes.size() - header_bytes) / triangle_bytes;
  if (count > room)
    return source.refuse(fmt::format("promises {} triangles and has bytes for {}", count, room),
                         "copy the file again: it is cut off or no STL");
  if (count == 0) return source.refuse("has no triangles", export_again);
  RawScan scan;
  scan.points_in_file = (count + 1) / 2;  // a closed surface has half as many points as triangles
  if (const auto error = too_many(source, scan.points_in_file)) return tl::unexpected(*error);
  const std::size_t step = thinning(count);
  scan.mesh.vertices.reserve(3 * (count / step + 1));
  scan.mesh.faces.reserve(count / step + 1);
  for (std::size_t t = 0; t < count; t += step) {
    const auto first = static_cast<int>(scan.mesh.vertices.size());
    for (std::size_t corner = 0; corner < 3; ++corner) {
      Vec3 p;
      for (std::size_t k = 0; k < 3; ++k)
        p[static_cast<Eigen::Index>(k)] =
            value_at<float>(bytes, header_bytes + t * triangle_bytes + 12 * (corner + 1) + 4 * k);
      scan.mesh.vertices.push_back(p);
    }
    scan.mesh.faces.push_back({first, first + 1, first + 2});
  }
  return scan;
}

io::Result<RawScan> read_words(const Source& source) {
  std::size_t count = 0;
  for (Lines lines(source.bytes); auto line = lines.next();) count += take_word(*line) == "facet" ? 1 : 0;
  if (const auto error = too_many(source, (count + 1) / 2)) return tl::unexpected(*error);
  const std::size_t step = thinning(count);
  RawScan scan;
  Lines lines(source.bytes);
  int corners = 0;
  std::size_t triangles = 0;
  bool open = false, ended = false;  // in a facet; past the last
  while (const auto next = lines.next()) {
    std::string_view line = *next;
    const std::string_view what = take_word(line);
    if (what == "endsolid") ended = true;
    if (what == "facet" || what == "endfacet") {
      if (open == (what == "facet"))
        return source.refuse(open ? "has a facet within a facet" : "has an end of no facet", export_again,
                             lines.number());
      open = !open;
      triangles += open ? 1 : 0;
      if (corners != (open ? 0 : 3))
        return source.refuse(fmt::format("a triangle with {} corners", corners), export_again, lines.number());
      corners = 0;
    }
    if (what != "vertex") continue;
    Vec3 p;
    for (int k = 0; k < 3; ++k) {
      const auto value = number_in(take_word(line));
      if (!value) return source.refuse("has not three numbers after vertex", export_again, lines.number());
      p[k] = *value;
    }
    if (!open) return source.refuse("has a corner outside any facet", export_again, lines.number());
    if (++corners > 3) return source.refuse("a triangle with a fourth corner", export_again, lines.number());
    if ((triangles - 1) % step != 0) continue;
    scan.mesh.vertices.push_back(p);
    const auto last = static_cast<int>(scan.mesh.vertices.size());
    if (corners == 3) scan.mesh.faces.push_back({last - 3, last - 2, last - 1});
  }
  if (scan.mesh.faces.empty()) return source.refuse("is a text STL without triangles", export_again);
  if (!ended || open)
    return source.refuse(fmt::format("ends in the middle, after {} triangles", triangles),
                         "copy the file again: it is cut off", lines.number());
  scan.points_in_file = (triangles + 1) / 2;
  return scan;
}

}  // namespace

io::Result<RawScan> read_stl(const Source& source) {
  // Binary files may begin with "solid" too: then the byte count says which it is.
  const bool says_solid = source.bytes.starts_with("solid");
  if (says_solid && source.bytes.size() >= header_bytes &&
      header_bytes + std::size_t{value_at<std::uint32_t>(source.bytes, 80)} * triangle_bytes == source.bytes.size())
    return read_binary(source);
  const std::string_view head = source.bytes.substr(0, 1024);
  if (says_solid && std::find(head.begin(), head.end(), '\0') == head.end()) return read_words(source);
  return read_binary(source);
}

}  // namespace aplomb::scan
