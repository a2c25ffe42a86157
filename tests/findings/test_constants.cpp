// The constants file as shipped, changed and broken.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <fstream>
#include <regex>
#include <set>
#include <sstream>

#include "../temporary_folder.h"
#include "aplomb/stance/constants.h"

using namespace aplomb;
using aplomb::scratch::Folder;

namespace {

const std::filesystem::path shipped = APLOMB_SOURCE_DIR "/meshes/constants.toml";

std::vector<std::string> lines_of(const std::filesystem::path& file) {
  std::ifstream in(file);
  std::vector<std::string> lines;
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

/// Reads a constants file of these lines.
io::Result<stance::Constants> read(const std::string& lines) {
  const Folder folder;
  std::ofstream(folder.path / "c.toml") << "format = \"aplomb-constants\"\nformat_version = 1\n" << lines;
  return stance::read_constants(folder.path / "c.toml");
}

std::string refusal(const std::string& lines) {
  const auto constants = read(lines);
  return constants ? "" : constants.error().field + ": " + constants.error().message;
}

}  // namespace

TEST_CASE("The shipped constants are the built-in ones, each written out with its mark", "[findings][constants]") {
  const auto constants = stance::read_constants(shipped);
  REQUIRE(constants);
  const stance::Constants built_in;
  std::set<std::string> expected{"ray_flexion_Nm", "subtalar_command_deg"};
  for (const stance::ConstantField& field : stance::constant_fields()) {
    CAPTURE(field.key);
    CHECK((*constants).*field.member == built_in.*field.member);
    expected.insert(field.key);
  }
  for (int k = 0; k < 5; ++k) CHECK(constants->ray_flexion_Nm[k] == built_in.ray_flexion_Nm[k]);
  CHECK(constants->subtalar_command_deg == built_in.subtalar_command_deg);
  CHECK(stance::constants_hash(*constants) == stance::constants_hash(built_in));

  std::set<std::string> written;
  const std::regex key_line("^([a-z]\\w*) = [^#]*# \\[[SCG]\\].*$"), any_key("^\\w+ = .*$"), format("^format.*$");
  for (const std::string& line : lines_of(shipped)) {
    CAPTURE(line);
    if (line == "[plausible]") break;  // ranges, not values
    std::smatch match;
    if (std::regex_match(line, match, key_line))
      written.insert(match[1]);
    else
      CHECK((!std::regex_match(line, any_key) || std::regex_match(line, format)));
    CHECK(line.size() <= 120);
  }
  CHECK(written == expected);
}

TEST_CASE("A changed constant is taken and shows in the hash", "[findings][constants]") {
  const stance::Constants built_in;
  for (const stance::ConstantField& field : stance::constant_fields()) {
    const double value = field.min + 0.37 * (field.max - field.min);
    std::ostringstream line;
    line << field.key << " = " << value << "\n";
    const auto constants = read(line.str());
    CAPTURE(line.str());
    REQUIRE(constants);
    CHECK((*constants).*field.member == Approx(value));
    CHECK(stance::constants_hash(*constants) != stance::constants_hash(built_in));
    for (const stance::ConstantField& other : stance::constant_fields())
      if (other.member != field.member) CHECK((*constants).*other.member == built_in.*other.member);
  }
  const auto rays = read("ray_flexion_Nm = [1, 2, 3, 4, 5]\n");
  REQUIRE(rays);
  CHECK(rays->ray_flexion_Nm[4] == 5);
  CHECK(stance::constants_hash(*rays) != stance::constants_hash(built_in));
}

TEST_CASE("Constants that cannot be are refused by name", "[findings][constants]") {
  CHECK(refusal("") == "");
  CHECK(refusal("heel_E_MPa = 0\n").starts_with("heel_E_MPa: "));
  CHECK(refusal("heel_E_MPa = -0.8\n").starts_with("heel_E_MPa: "));
  CHECK(refusal("heel_E_MPa = 830\n").starts_with("heel_E_MPa: "));  // kPa
  CHECK(refusal("heel_E_MPa = nan\n").starts_with("heel_E_MPa: "));
  CHECK(refusal("heel_E_MPa = inf\n").starts_with("heel_E_MPa: "));
  CHECK(refusal("heel_E_MPa = \"0.83\"\n").starts_with("heel_E_MPa: "));
  CHECK(refusal("heel_E_kPa = 0.83\n").starts_with("heel_E_kPa: "));
  CHECK(refusal("poisson_ratio = 0.5\n").starts_with("poisson_ratio: "));
  CHECK(refusal("ray_flexion_Nm = [60, 80, 80, 40]\n").starts_with("ray_flexion_Nm: "));
  CHECK(refusal("ray_flexion_Nm = [60, 80, 80, 40, -30]\n").starts_with("ray_flexion_Nm"));
  CHECK_FALSE(stance::read_constants("nowhere/constants.toml"));
}
