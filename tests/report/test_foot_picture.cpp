// The sheets of a foot as pictures, looked at by pixel.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <filesystem>

#include "aplomb/io/files.h"
#include "aplomb/report/foot_picture.h"
#include "drawing.h"
#include "extreme_feet.h"
#include "pixels.h"

namespace fs = std::filesystem;
using namespace aplomb;
using namespace aplomb::report;
using namespace aplomb::report::test;
using aplomb::scratch::Folder;

namespace {

const fs::path shaders = fs::path(APLOMB_SOURCE_DIR) / "shaders";

FootSheet sheet_of(const foot::Foot& foot) {
  return {.portrait = foot::make_portrait(source_data::model(), foot),
          .numbers = foot_sections(foot, {}),
          .notes = foot_notes(foot, source_data::prior(), foot::Load::standing),
          .name = "card.toml",
          .version = "0.1.0"};
}

Pixels drawn(const FootSheet& sheet) {
  const Folder folder;
  const auto done = write_foot_picture(sheet, folder.path / "f.png", shaders);
  INFO((done ? std::string() : io::to_line(done.error())));
  REQUIRE(done);
  return read_png(folder.path / "f.png");
}

/// Pixels that are skin: warm, between light and shadow.
int skin(const Pixels& pixels, int x0, int y0, int x1, int y1) {
  int count = 0;
  for (int y = y0; y < y1; ++y)
    for (int x = x0; x < x1; ++x) {
      const Rgb c = pixels.at(x, y);
      count += c.r > c.b + 8 && c.r > c.g && c.r < 240 ? 1 : 0;
    }
  return count;
}

/// Pixels of dimension lines and boxes.
int marks(const Pixels& pixels) {
  // A line that falls between two rows of pixels is spread over both: most of its colour still makes a mark.
  constexpr int off = 165;
  int count = 0;
  for (int y = 0; y < pixels.height; ++y)
    for (int x = 0; x < pixels.width; ++x) count += pixels.at(x, y).distance({13, 71, 107}) < off ? 1 : 0;
  return count;
}

}  // namespace

TEST_CASE("The sheet of a foot: size, a foot in every view, the side it is of", "[report][foot-sheet]") {
  if (!graphics()) return;
  const std::string numbers = "foot_length_mm = 238\nfoot_breadth_mm = 89\n";
  const Pixels right = drawn(sheet_of(fitted("side = \"right\"\n" + numbers))),
               left = drawn(sheet_of(fitted("side = \"left\"\n" + numbers)));
  CHECK(right.width == 2000);
  CHECK(right.height == 1414);
  // Views as laid out in foot_layout.cpp: plan, inner side, front, pointed from the front and the side.
  for (const auto& [x0, y0, x1, y1] : {std::array{40, 126, 1080, 576},
                                       {40, 596, 1080, 1166},
                                       {1100, 126, 1520, 576},
                                       {1100, 596, 1470, 1166},
                                       {1490, 596, 1960, 1166}}) {
    CAPTURE(x0, y0);
    CHECK(skin(right, x0, y0, x1, y1) > 12000);
  }
  // From the inner side the leg of a right foot stands on the right, that of a left foot on the left.
  CHECK(skin(right, 560, 640, 1080, 820) > 4 * skin(right, 40, 640, 560, 820));
  CHECK(skin(left, 40, 640, 560, 820) > 4 * skin(left, 560, 640, 1080, 820));
  CHECK(right.differing(left) > 20000);
}

TEST_CASE("What is on the card looks different from what is estimated", "[report][foot-sheet]") {
  if (!graphics()) return;
  FootSheet sheet = sheet_of(extreme_feet().front().foot);
  const Pixels before = drawn(sheet);
  for (FootSection& section : sheet.numbers)
    for (FootRow& row : section.rows)
      if (row.key == "heel_breadth_mm" || row.key == "toes.hallux.breadth_mm") row.source = "card";
  // Box, unbroken lines, full arrowheads.
  CHECK(marks(drawn(sheet)) - marks(before) > 500);
}

TEST_CASE("The sheet of every foot is drawn, the same bits twice", "[report][foot-sheet]") {
  if (!graphics()) return;
  const Folder folder;
  for (const NamedFoot& one : extreme_feet()) {
    CAPTURE(one.name);
    REQUIRE(write_foot_picture(sheet_of(one.foot), folder.path / "a.png", shaders));
  }
  REQUIRE(write_foot_picture(sheet_of(extreme_feet().back().foot), folder.path / "b.png", shaders));
  CHECK(*io::read_file(folder.path / "a.png") == *io::read_file(folder.path / "b.png"));
  CHECK(folder.files() == 2);
}

TEST_CASE("The measuring sheet is drawn, and is no foot's sheet", "[report][foot-sheet]") {
  if (!graphics()) return;
  const Folder folder;
  REQUIRE(write_measuring_picture(foot::make_portrait(source_data::model()), folder.path / "m.png", shaders, "0.1.0"));
  const Pixels how = read_png(folder.path / "m.png");
  CHECK(how.width == 2000);
  CHECK(how.differing(drawn(sheet_of(extreme_feet().front().foot))) > 20000);
}

TEST_CASE("Sheets that cannot be drawn are refused, with nothing left behind", "[report][foot-sheet]") {
  const Folder folder;
  FootSheet sheet = sheet_of(extreme_feet().front().foot);
  const auto nowhere = write_foot_picture(sheet, folder.path / "none" / "f.png", shaders);
  REQUIRE_FALSE(nowhere);
  CHECK(nowhere.error().kind == io::ErrorKind::cannot_write);
  const auto no_shaders = write_foot_picture(sheet, folder.path / "f.png", folder.path);
  CHECK_FALSE(no_shaders);
  sheet.portrait.standing_F = {};
  const auto no_skin = write_foot_picture(sheet, folder.path / "f.png", shaders);
  REQUIRE_FALSE(no_skin);
  CHECK(no_skin.error().message.find("no skin") != std::string::npos);
  CHECK_FALSE(write_measuring_picture(sheet.portrait, folder.path / "m.png", shaders, ""));
  CHECK(folder.files() == 0);
}
