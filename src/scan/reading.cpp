// SPDX-License-Identifier: GPL-3.0-or-later
#include "reading.h"

#include <fmt/format.h>

namespace aplomb::scan {

std::optional<std::string_view> Lines::next() {
  if (rest_.empty()) return std::nullopt;
  const std::size_t end = rest_.find('\n');
  std::string_view line = rest_.substr(0, end);
  rest_.remove_prefix(end == std::string_view::npos ? rest_.size() : end + 1);
  if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
  ++number_;
  return line;
}

std::string_view take_word(std::string_view& line, bool loose) {
  const auto blank = [loose](char c) {
    return c == ' ' || c == '\t' || c == '\r' || (loose && (c == ',' || c == ';'));
  };
  std::size_t begin = 0;
  while (begin < line.size() && blank(line[begin])) ++begin;
  std::size_t end = begin;
  while (end < line.size() && !blank(line[end])) ++end;
  const std::string_view word = line.substr(begin, end - begin);
  line.remove_prefix(end);
  return word;
}

std::optional<double> number_in(std::string_view word) {
  if (!word.empty() && word.front() == '+') word.remove_prefix(1);
  double value = 0;
  const auto [end, code] = std::from_chars(word.data(), word.data() + word.size(), value);
  if (code != std::errc() || end != word.data() + word.size()) return std::nullopt;
  return value;
}

std::optional<long long> whole_in(std::string_view word) {
  long long value = 0;
  const auto [end, code] = std::from_chars(word.data(), word.data() + word.size(), value);
  if (code != std::errc() || end != word.data() + word.size()) return std::nullopt;
  return value;
}

std::size_t thinning(std::size_t count) {
  return (count + kept_points - 1) / kept_points > 1 ? (count + kept_points - 1) / kept_points : 1;
}

std::optional<io::Error> too_many(const Source& source, std::size_t count) {
  if (count <= most_points) return std::nullopt;
  return io::Error{.file = source.file,
                   .field = source.field,
                   .message = fmt::format("has {} points, more than the {} that are read", count, most_points),
                   .remedy = "thin the scan to a million points, which is plenty"};
}

std::optional<io::Error> too_many_faces(const Source& source, std::size_t count) {
  if (count <= most_faces) return std::nullopt;
  return io::Error{.file = source.file,
                   .field = source.field,
                   .message = fmt::format("has more than the {} triangles that are read", most_faces),
                   .remedy = "thin the scan to a million points, which is plenty"};
}

}  // namespace aplomb::scan
