// What a file says it is: its keys `format` and `format_version`.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "aplomb/io/error.h"

namespace aplomb::io {

/// A key of an older version under its present name. `from` and `to` are keys of the root table.
struct KeyRename {
  int until_version = 0;  ///< last format_version that used `from`
  std::string from, to;
};

/// A format and how its older versions become the present one.
struct FileFormat {
  std::string name;  ///< e.g. "aplomb-card"
  int version = 1;   ///< the one written now; newer is refused, older is migrated by `renames`
  std::vector<KeyRename> renames{};
};

/// The fault in what a file says it is, if any: `field` "format" or "format_version", message and remedy; the caller
/// adds file and line. A key that the file leaves out (nothing) is taken as right.
std::optional<Error> check_format(const FileFormat& format, const std::optional<std::string>& name,
                                  std::optional<double> version);

}  // namespace aplomb::io
