// What the own file panel lists.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <fstream>

#include "app_program.h"
#include "viewer/file_panel.h"

using namespace aplomb;
using namespace aplomb::viewer;
namespace fs = std::filesystem;

namespace {

std::vector<std::string> names(const FilePanel& panel) {
  std::vector<std::string> all;
  for (const FolderEntry& entry : panel.entries) all.push_back(entry.name);
  return all;
}

}  // namespace

TEST_CASE("folders come first, then whatever can be opened, scans too", "[file_panel]") {
  const scratch::Folder folder;
  fs::create_directory(folder.path / "scans");
  for (const char* name : {"b.toml", "a.json", "stock.csv", "foot.PLY", "foot.obj", "notes.txt", ".hidden.toml"})
    std::ofstream(folder.path / name) << "x";
  using Names = std::vector<std::string>;
  const FilePanel opening = FilePanel::make(FilePanel::Purpose::open, folder.path);
  CHECK(names(opening) == Names{"scans", "a.json", "b.toml", "foot.PLY", "foot.obj", "stock.csv"});
  CHECK(names(FilePanel::make(FilePanel::Purpose::save, folder.path)) ==
        Names{"scans", "a.json", "b.toml", "stock.csv"});
}

TEST_CASE("the samples that come with the program are at hand", "[file_panel]") {
  test::Program program;
  program.ask_once([](Asked& asked) { asked.open = true; });
  program.frame();
  std::vector<std::string> shown;
  for (int i = 0; !program.words("sample." + std::to_string(i)).empty(); ++i)
    shown.push_back(program.words("sample." + std::to_string(i)));
  for (const char* name : {"sample_left.toml", "parallel.toml", "sample.csv"}) {
    INFO(name);
    const auto at = std::find(shown.begin(), shown.end(), name);
    REQUIRE(at != shown.end());
  }
  const auto left = std::find(shown.begin(), shown.end(), "sample_left.toml") - shown.begin();
  program.click("sample." + std::to_string(left));
  CHECK(program.seat(0).foot.name() == "sample_left");
}

TEST_CASE("what a shoe's file gives itself is found line by line, however long a line is", "[file_panel]") {
  const Source shoe{"shoe.toml",
                    "format = \"aplomb-shoe\"\n  crown_height_mm=40 # 41\n[padding.toes]\n\tthickness_mm = 2\r\n" +
                        ("# " + std::string(3'000'000, 'a')) + "\n" + std::string(3'000'000, 'b')};
  CHECK(read_shoe_file(shoe).keys ==
        std::set<std::string>{"format", "crown_height_mm", "padding.toes", "thickness_mm"});
}
