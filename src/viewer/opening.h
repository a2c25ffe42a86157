// Opening a file of any kind: the one handler of drop, file panel, recent files and command line.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <variant>

#include "aplomb/io/error.h"
#include "document.h"
#include "visits.h"

namespace aplomb::viewer {

struct OpenedFoot {
  Source source;
};
struct OpenedShoe {
  Source source;
};
struct OpenedSession {
  Document document;
  std::filesystem::path file;
};
/// Told by its format or its rows; a ShelfJob reads it with its designs.
struct OpenedStock {
  std::filesystem::path file;
};
using Opened = std::variant<OpenedFoot, OpenedShoe, OpenedSession, OpenedStock, OpenedVisit>;

/// From the root of all folders, so that it is found from any; as it is named where that cannot be told.
std::filesystem::path whole_path(const std::filesystem::path& file);

/// Whether a file is named as a scan; those are not for open_file() but for a ScanJob.
bool is_scan(const std::filesystem::path& file);

/// Cards, shoes, visits and stock (.toml), stock (.csv), foot files and sessions (.json), told apart by what they say
/// they are; read whole and checked. Errors (bad_input): missing, of another kind, or what their readers refuse.
io::Result<Opened> open_file(const std::filesystem::path& file);

}  // namespace aplomb::viewer
