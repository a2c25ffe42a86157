// Format name and version: wrong and newer are refused.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/io/format.h"

#include <fmt/format.h>

#include <cmath>

namespace aplomb::io {

std::optional<Error> check_format(const FileFormat& format, const std::optional<std::string>& name,
                                  std::optional<double> version) {
  if (name && *name != format.name)
    return Error{.field = "format",
                 .message = fmt::format("this file is of format \"{}\"", *name),
                 .remedy = fmt::format("give a file of format \"{}\"", format.name)};
  if (!version) return std::nullopt;
  Error error{.field = "format_version"};
  if (!(*version >= 1) || *version != std::floor(*version)) {
    error.message = fmt::format("{:.6g} is not a whole number from 1 up", *version);
    error.remedy = fmt::format("write {}", format.version);
    return error;
  }
  if (*version > format.version) {
    error.message = fmt::format("{:.6g} is newer than {}, the newest this program knows", *version, format.version);
    error.remedy = "use a newer version of the program";
    return error;
  }
  return std::nullopt;
}

}  // namespace aplomb::io
