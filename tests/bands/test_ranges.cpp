// Plausible ranges of the guesses: as shipped, as given by the user, and refused.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <fstream>
#include <limits>

#include "../temporary_folder.h"
#include "aplomb/bands/ranges.h"

using namespace aplomb;
using namespace aplomb::bands;
using aplomb::scratch::Folder;

namespace {

const std::string head = "format = \"aplomb-constants\"\nformat_version = 1\n";

io::Result<std::vector<GuessRange>> read(const std::string& lines) {
  const Folder folder;
  std::ofstream(folder.path / "c.toml") << head << lines;
  return read_ranges(folder.path / "c.toml");
}

std::string refusal(const std::string& lines) {
  const auto ranges = read(lines);
  if (ranges) return "";
  const std::string line = io::to_line(ranges.error());
  CHECK(line.find('\n') == std::string::npos);
  CHECK(ranges.error().kind == io::ErrorKind::bad_input);
  return line.substr(line.find("c.toml"));
}

const GuessRange& of(const std::vector<GuessRange>& ranges, const std::string& key) {
  return *std::find_if(ranges.begin(), ranges.end(), [&](const GuessRange& range) { return range.key == key; });
}

}  // namespace

TEST_CASE("The shipped ranges are the built-in ones, and hold the shipped constants", "[bands][ranges]") {
  const std::filesystem::path shipped = APLOMB_SOURCE_DIR "/meshes/constants.toml";
  const auto ranges = read_ranges(shipped);
  REQUIRE(ranges);
  REQUIRE(ranges->size() == usual_ranges().size());
  std::ifstream in(shipped);
  const std::string text((std::istreambuf_iterator<char>(in)), {});
  const std::string table = text.substr(text.find("[plausible]"));
  for (std::size_t i = 0; i < ranges->size(); ++i) {
    const GuessRange &read = (*ranges)[i], &built_in = usual_ranges()[i];
    CAPTURE(built_in.key);
    CHECK(read.low == built_in.low);
    CHECK(read.high == built_in.high);
    CHECK(built_in.low < built_in.high);
    // Each is written out with its mark.
    const std::size_t at = table.find("\n" + built_in.key + " = [");
    REQUIRE(at != std::string::npos);
    CHECK(table.substr(at, table.find('\n', at + 1) - at).find("# [G] ") != std::string::npos);
  }
  CHECK(check(usual_ranges(), stance::Constants{}));
}

TEST_CASE("Ranges of one's own are used, the others stay", "[bands][ranges]") {
  const auto ranges = read("heel_E_MPa = 2\n[plausible]\nheel_E_MPa = [1.5, 3]\nwall_E_GPa = [1, 1]\n");
  REQUIRE(ranges);
  CHECK(of(*ranges, "heel_E_MPa").high == 3);
  CHECK(of(*ranges, "wall_E_GPa").low == 1);
  CHECK(of(*ranges, "ankle_hold_Nm").low == of(usual_ranges(), "ankle_hold_Nm").low);
}

TEST_CASE("Ranges that cannot be are one line with its place", "[bands][ranges]") {
  using Catch::Contains;
  const std::string table = "[plausible]\n";
  CHECK_THAT(refusal(table + "heel_E_MPa = [1.4, 0.5]\n"),
             Contains("c.toml:4: plausible.heel_E_MPa: ") && Contains("reversed"));
  CHECK_THAT(refusal(table + "heel_E_MPa = [0.5, nan]\n"), Contains("c.toml:4: plausible.heel_E_MPa"));
  CHECK_THAT(refusal(table + "heel_E_MPa = [0.5]\n"), Contains("c.toml:4: plausible.heel_E_MPa"));
  CHECK_THAT(refusal(table + "heel_E_MPa = [-1, 2]\n"), Contains("c.toml:4: plausible.heel_E_MPa"));
  CHECK_THAT(refusal(table + "heel_E_MPA = [0.5, 2]\n"), Contains("c.toml:4: plausible.heel_E_MPA"));
  CHECK_THAT(refusal(table + "wall_E_GPa = [0, 2]\n"), Contains("c.toml:4: plausible.wall_E_GPa"));
  // A value of one's own outside the usual range wants a range of its own.
  CHECK_THAT(refusal("heel_E_MPa = 4\n"), Contains("c.toml:3: plausible.heel_E_MPa: 4 lies outside"));
  // Given to the library rather than in a file.
  std::vector<GuessRange> ranges = usual_ranges();
  ranges[2].low = std::numeric_limits<double>::quiet_NaN();
  CHECK_FALSE(check(ranges, stance::Constants{}));
}

TEST_CASE("Guesses act on what they are of", "[bands][ranges]") {
  stance::Constants constants;
  const stance::Constants before;
  set(constants, of(usual_ranges(), "ray_splay_factor"), 1.5);
  CHECK(constants.ray_splay_firm_Nm == Approx(1.5 * before.ray_splay_firm_Nm));
  set(constants, of(usual_ranges(), "tone_factor"), 1.25);
  CHECK(constants.tone_factor == 1.25);
  shoe::ShoeParameters shoe;
  shoe.shank_EI_table = {{0, 0.05}, {100, 0.2}};
  set(shoe, of(usual_ranges(), "shank_EI_Nm2"), 2);
  CHECK(shoe.shank_EI_table[1].EI_Nm2 == Approx(0.4));
  CHECK(shoe.shank_EI_Nm2 == Approx(0.2));
}
