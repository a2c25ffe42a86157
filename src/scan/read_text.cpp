// OBJ, OFF and XYZ: one point or face to a line.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "reading.h"

namespace aplomb::scan {

namespace {

/// Three coordinates off the front of a line.
std::optional<Vec3> point_in(std::string_view& line, bool loose = false) {
  Vec3 p;
  for (int k = 0; k < 3; ++k) {
    const auto value = number_in(take_word(line, loose));
    if (!value) return std::nullopt;
    p[k] = *value;
  }
  return p;
}

std::string shown(std::string_view line) {
  std::string text;
  for (const char c : line.substr(0, 40)) text += c >= ' ' && c < 127 ? c : '?';
  return line.size() > 40 ? text + "..." : text;
}

/// A polygon as a fan of triangles.
void add_fan(const std::vector<int>& corners, std::vector<std::array<int, 3>>& faces) {
  for (std::size_t k = 2; k < corners.size(); ++k) faces.push_back({corners[0], corners[k - 1], corners[k]});
}

bool is_binary(std::string_view bytes) {
  const std::string_view head = bytes.substr(0, 4096);
  return std::find(head.begin(), head.end(), '\0') != head.end();
}

}  // namespace

io::Result<RawScan> read_obj(const Source& source) {
  if (is_binary(source.bytes)) return source.refuse("holds bytes that are no text, so it is no OBJ", export_again);
  std::size_t count = 0;
  for (Lines lines(source.bytes); const auto line = lines.next();) count += line->starts_with("v ") ? 1 : 0;
  if (const auto error = too_many(source, count)) return tl::unexpected(*error);
  const std::size_t step = thinning(count);
  RawScan scan;
  scan.points_in_file = count;
  std::size_t seen = 0;
  std::vector<int> corners;
  Lines lines(source.bytes);
  while (const auto next = lines.next()) {
    std::string_view line = *next;
    const std::string_view what = take_word(line);
    if (what == "v") {
      const auto p = point_in(line);
      if (!p)
        return source.refuse(fmt::format("\"{}\" has not three numbers after v", shown(*next)), export_again,
                             lines.number());
      if (seen++ % step == 0) scan.mesh.vertices.push_back(*p);
    } else if (what == "f" && step == 1) {
      corners.clear();
      for (std::string_view word = take_word(line); !word.empty(); word = take_word(line)) {
        const auto index = whole_in(word.substr(0, word.find('/')));
        const long long at = !index ? -1 : *index < 0 ? static_cast<long long>(seen) + *index : *index - 1;
        if (at < 0 || at >= static_cast<long long>(count))
          return source.refuse(fmt::format("\"{}\" names point {} of {}", shown(*next), shown(word), count),
                               export_again, lines.number());
        corners.push_back(static_cast<int>(at));
        if (const auto error = too_many_faces(source, scan.mesh.faces.size() + corners.size()))
          return tl::unexpected(*error);
      }
      add_fan(corners, scan.mesh.faces);
    }
  }
  return scan;
}

io::Result<RawScan> read_off(const Source& source) {
  if (is_binary(source.bytes)) return source.refuse("holds bytes that are no text, so it is no OFF", export_again);
  Lines lines(source.bytes);
  std::string_view line;
  const auto next_line = [&] {
    while (const auto next = lines.next()) {
      line = next->substr(0, next->find('#'));
      std::string_view look = line;
      if (!take_word(look).empty()) return true;
    }
    return false;
  };
  if (!next_line()) return source.refuse("is empty", export_again);
  std::string_view rest = line;
  const std::string_view kind = take_word(rest);
  std::string_view look = rest;
  if (kind != "OFF" && kind != "COFF" && kind != "NOFF" && kind != "STOFF")
    return source.refuse(fmt::format("begins with \"{}\", not with OFF", shown(kind)), "give the file its right ending",
                         lines.number());
  if (take_word(look).empty()) {
    if (!next_line()) return source.refuse("ends before its counts", export_again, lines.number());
    rest = line;
  }
  const auto vertices = whole_in(take_word(rest)), faces = whole_in(take_word(rest));
  // A line has at least a digit for each coordinate and their blanks.
  const auto fits = static_cast<long long>(source.bytes.size() / 5 + 1);
  if (!vertices || !faces || *vertices < 0 || *faces < 0)
    return source.refuse("has no counts of points and faces", export_again, lines.number());
  if (*vertices > fits || *faces > fits)
    return source.refuse(
        fmt::format("promises {} points and {} faces in {} bytes", *vertices, *faces, source.bytes.size()),
        export_again, lines.number());
  if (const auto error = too_many(source, static_cast<std::size_t>(*vertices))) return tl::unexpected(*error);
  RawScan scan;
  scan.points_in_file = static_cast<std::size_t>(*vertices);
  const std::size_t step = thinning(scan.points_in_file);
  for (long long i = 0; i < *vertices; ++i) {
    if (!next_line())
      return source.refuse(fmt::format("ends after {} of {} points", i, *vertices),
                           "copy the file again: it is cut off", lines.number());
    std::string_view words = line;
    const auto p = point_in(words);
    if (!p) return source.refuse(fmt::format("\"{}\" is not three numbers", shown(line)), export_again, lines.number());
    if (static_cast<std::size_t>(i) % step == 0) scan.mesh.vertices.push_back(*p);
  }
  if (step > 1) return scan;
  std::vector<int> corners;
  for (long long i = 0; i < *faces; ++i) {
    if (!next_line())
      return source.refuse(fmt::format("ends after {} of {} faces", i, *faces), "copy the file again: it is cut off",
                           lines.number());
    std::string_view words = line;
    const auto n = whole_in(take_word(words));
    corners.clear();
    for (long long k = 0; n && k < *n; ++k) {
      const auto index = whole_in(take_word(words));
      if (!index || *index < 0 || *index >= *vertices) break;
      corners.push_back(static_cast<int>(*index));
      if (const auto error = too_many_faces(source, scan.mesh.faces.size() + corners.size()))
        return tl::unexpected(*error);
    }
    if (!n || *n < 1 || static_cast<long long>(corners.size()) != *n)
      return source.refuse(fmt::format("\"{}\" is no face of {} points", shown(line), *vertices), export_again,
                           lines.number());
    add_fan(corners, scan.mesh.faces);
  }
  return scan;
}

io::Result<RawScan> read_xyz(const Source& source) {
  if (is_binary(source.bytes)) return source.refuse("holds bytes that are no text, so it is no XYZ", export_again);
  const auto count = static_cast<std::size_t>(std::count(source.bytes.begin(), source.bytes.end(), '\n')) + 1;
  if (const auto error = too_many(source, count)) return tl::unexpected(*error);
  const std::size_t step = thinning(count);
  RawScan scan;
  Lines lines(source.bytes);
  while (const auto next = lines.next()) {
    std::string_view line = next->substr(0, next->find('#')), look = line;
    if (take_word(look, true).empty()) continue;
    const auto p = point_in(line, true);
    if (!p) {
      // Some programs write a count or column names before the first point.
      if (scan.points_in_file == 0 && lines.number() <= 2) continue;
      return source.refuse(fmt::format("\"{}\" does not begin with three numbers", shown(*next)), export_again,
                           lines.number());
    }
    if (scan.points_in_file++ % step == 0) scan.mesh.vertices.push_back(*p);
  }
  return scan;
}

}  // namespace aplomb::scan
