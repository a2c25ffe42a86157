// The data folder: what is named must be right, what is not named is looked for.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <stdlib.h>

#include <catch2/catch.hpp>
#include <filesystem>

#include "aplomb/io/data_path.h"

using namespace aplomb::io;
namespace fs = std::filesystem;

TEST_CASE("Data folder: option before variable before source tree", "[io]") {
  std::string name = (fs::temp_directory_path() / "aplomb.XXXXXX").string();
  const fs::path folder = ::mkdtemp(name.data());
  fs::create_directories(folder / "one" / "foot");
  fs::create_directories(folder / "two" / "foot");

  ::setenv("APLOMB_DATA", (folder / "two").c_str(), 1);
  CHECK(data_folder((folder / "one").string()).value() == folder / "one");
  CHECK(data_folder("").value() == folder / "two");
  CHECK(to_line(data_folder(folder.string()).error()) ==
        folder.string() +
            ": --data: is no data folder: it holds no folder \"foot\"; name the installed share/aplomb or the source "
            "tree's meshes");
  ::setenv("APLOMB_DATA", folder.c_str(), 1);
  CHECK(data_folder("").error().field == "APLOMB_DATA");
  ::unsetenv("APLOMB_DATA");
  CHECK(fs::equivalent(data_folder("").value(), fs::path(APLOMB_SOURCE_DIR) / "meshes"));
  fs::remove_all(folder);
}
