// What the readers of all formats share: whole lines, numbers, whole values of bytes, and refusals.
// Readers of our own, because a scan comes from anywhere: every count is checked against the bytes that are there
// before anything is reserved, and a fault is told with its line. The packaged libraries reserve what a header asks
// for.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <bit>
#include <charconv>
#include <cstdint>
#include <cstring>
#include <optional>
#include <string>
#include <string_view>

#include "aplomb/scan/raw_scan.h"

namespace aplomb::scan {

using geometry::Vec3;

/// A file's content under its name.
struct Source {
  std::string_view bytes;
  std::string file, field;

  tl::unexpected<io::Error> refuse(std::string message, std::string remedy, int line = 0) const {
    return io::fail(
        {.file = file, .line = line, .field = field, .message = std::move(message), .remedy = std::move(remedy)});
  }
};

/// Lines one after the other, without their ends.
class Lines {
 public:
  explicit Lines(std::string_view text) : rest_(text) {}
  std::optional<std::string_view> next();
  int number() const { return number_; }  ///< of the line given last, 1-based
  std::string_view rest() const { return rest_; }

 private:
  std::string_view rest_;
  int number_ = 0;
};

/// The next word of a line (blanks, tabs; also commas and semicolons when `loose`), taken off it; empty at its end.
std::string_view take_word(std::string_view& line, bool loose = false);

/// A whole word as a number in the C locale; nan and inf are numbers here.
std::optional<double> number_in(std::string_view word);
std::optional<long long> whole_in(std::string_view word);

/// A value of a machine type at `at` in `bytes`. Pre: it lies inside.
template <class T>
T value_at(std::string_view bytes, std::size_t at, bool big_endian = false) {
  char raw[sizeof(T)];
  std::memcpy(raw, bytes.data() + at, sizeof(T));
  if (big_endian != (std::endian::native == std::endian::big))
    for (std::size_t i = 0; i < sizeof(T) / 2; ++i) std::swap(raw[i], raw[sizeof(T) - 1 - i]);
  T value;
  std::memcpy(&value, raw, sizeof(T));
  return value;
}

/// Every how many-th of `count` points (or triangles) is kept; 1: all.
std::size_t thinning(std::size_t count);

/// Refused: more points than are read at all.
std::optional<io::Error> too_many(const Source& source, std::size_t count);

/// Refused: more triangles than are kept in memory.
std::optional<io::Error> too_many_faces(const Source& source, std::size_t count);

inline const char* const export_again = "export the scan again, or in another format";

/// Readers by format. Faces may still name points that are not there; read_scan() checks them.
io::Result<RawScan> read_obj(const Source& source);
io::Result<RawScan> read_off(const Source& source);
io::Result<RawScan> read_xyz(const Source& source);
io::Result<RawScan> read_stl(const Source& source);
io::Result<RawScan> read_ply(const Source& source);
io::Result<RawScan> read_glb(const Source& source);

}  // namespace aplomb::scan
