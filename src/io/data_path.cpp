// Search order of the data folder.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/io/data_path.h"

#include <cstdlib>
#include <system_error>

namespace aplomb::io {

namespace fs = std::filesystem;

namespace {

/// The foot template is the one thing without which nothing works.
bool is_data_folder(const fs::path& folder) {
  std::error_code code;
  return fs::is_directory(folder / "foot", code);
}

Result<fs::path> named(const std::string& folder, const std::string& field) {
  if (is_data_folder(folder)) return fs::path(folder);
  return fail({.file = folder,
               .field = field,
               .message = "is no data folder: it holds no folder \"foot\"",
               .remedy = "name the installed share/aplomb or the source tree's meshes"});
}

}  // namespace

Result<fs::path> data_folder(const std::string& option) {
  if (!option.empty()) return named(option, "--data");
  if (const char* variable = std::getenv("APLOMB_DATA"); variable != nullptr && *variable != '\0')
    return named(variable, "APLOMB_DATA");
  std::error_code code;
  const fs::path program = fs::read_symlink("/proc/self/exe", code);
  const fs::path installed = program.parent_path().parent_path() / "share" / "aplomb";
  for (const fs::path& folder : {installed, fs::path(APLOMB_SOURCE_MESHES)})
    if (is_data_folder(folder)) return folder;
  return fail({.field = "--data",
               .message = "the program's data was not found",
               .remedy = "give --data or set APLOMB_DATA to the folder that holds \"foot\""});
}

}  // namespace aplomb::io
