// aplomb foot SCAN as a process: foot file, JSON, what is refused, and that the foot stands like any other.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "../report/schema.h"
#include "../source_data.h"
#include "aplomb/foot/build.h"
#include "program.h"

using namespace aplomb::test;
using Catch::Contains;
using nlohmann::json;

namespace {

aplomb::foot::Foot standing_template() {
  using namespace aplomb;
  return foot::foot_under(source_data::model(), foot::Build(), foot::Load::standing);
}

/// The template standing, as a scanner might give it: y up, so many units to the millimetre (in metres .001).
std::string template_obj(double per_mm = 0.001) {
  const aplomb::foot::Foot foot = standing_template();
  std::string text;
  for (const auto& p : foot.skin.vertices_F)
    text += fmt::format("v {:.6f} {:.6f} {:.6f}\n", p.x() * per_mm, p.z() * per_mm, -p.y() * per_mm);
  for (const auto& [a, b, c] : foot.skin.faces) text += fmt::format("f {} {} {}\n", a + 1, b + 1, c + 1);
  return text;
}

}  // namespace

TEST_CASE("A scan gives a foot file that stands like a card's", "[app][scan]") {
  const Workplace work;
  work.write("s.obj", template_obj());
  const Outcome made = work.run({"foot", "s.obj", "--out", "s.foot.json", "--json", "s.json"});
  INFO(made.err);
  REQUIRE(made.exit_code == 0);
  CHECK_THAT(made.out, Contains("RIGHT foot from s.obj") && Contains("in m (found)"));
  const json answer = json::parse(work.read("s.json"));
  CHECK(aplomb::report::test::schema_fault("foot.schema.json", answer).empty());
  CHECK(answer["side"] == "right");
  CHECK(answer["foot_length_mm"].get<double>() == Approx(240).margin(0.5));
  CHECK(answer["source"]["foot_length_mm"] == "scan");
  CHECK(answer["scan"]["unit"] == "m");
  CHECK(answer["scan"]["up"][1].get<double>() == Approx(1).margin(0.01));
  CHECK(answer["scan"]["scan_to_skin_mm"]["mean"].get<double>() < 0.5);
  CHECK(aplomb::report::test::schema_fault("foot_file.schema.json", json::parse(work.read("s.foot.json"))).empty());
  // The foot file says the same, and the foot goes into a shoe.
  const Outcome again = work.run({"foot", "s.foot.json", "--json", "-"});
  REQUIRE(again.exit_code == 0);
  CHECK(json::parse(again.out)["foot_length_mm"] == answer["foot_length_mm"]);
  const Outcome stands = work.run({"stand", "--foot", "s.foot.json", "--shoe", source("meshes/shoes/tapered.toml"),
                                   "--position", "full-pointe-two", "--load", "255", "--json", "stand.json"});
  INFO(stands.err);
  CHECK(stands.exit_code == 0);
  CHECK(json::parse(work.read("stand.json"))["converged"] == true);
}

TEST_CASE("Where a scan tells neither unit nor side the program asks, with both answers", "[app][scan]") {
  const Workplace work;
  // 12.5 long: a small child's foot in centimetres, a man's in inches.
  work.write("unit.obj", template_obj(12.5 / 240));
  const Outcome unit = work.run({"foot", "unit.obj", "--out", "unit.foot.json"});
  CHECK(unit.exit_code == 3);
  CHECK(unit.error_lines() == 1);
  CHECK_THAT(unit.err, Contains("--unit") && Contains("125 mm long in cm") && Contains("317 mm in inch"));
  const Outcome told = work.run({"foot", "unit.obj", "--unit", "inch", "--json", "unit.json"});
  INFO(told.err);
  CHECK(told.exit_code == 0);

  // A foot and its mirror image in one: as much of a right foot as of a left one.
  std::string both;
  for (const auto& p : standing_template().skin.vertices_F)
    for (const double side : {1.0, -1.0}) both += fmt::format("{:.3f} {:.3f} {:.3f}\n", p.x(), side * p.y(), p.z());
  work.write("side.xyz", both);
  const Outcome side = work.run({"foot", "side.xyz", "--out", "side.foot.json"});
  INFO(side.err);
  CHECK(side.exit_code == 3);
  CHECK(side.error_lines() == 1);
  CHECK_THAT(side.err, Contains("--side") && Contains("a right foot lies") && Contains("a left one"));
  CHECK(work.names() == std::vector<std::string>{"side.xyz", "unit.json", "unit.obj"});
}

TEST_CASE("A scan is refused in one line and leaves nothing behind", "[app][scan]") {
  const Workplace work;
  std::string cube;
  for (int i = 0; i <= 10; ++i)
    for (int j = 0; j <= 10; ++j)
      for (const int side : {0, 100})
        cube += fmt::format("{} {} {}\n{} {} {}\n{} {} {}\n", 10 * i, 10 * j, side, 10 * i, side, 10 * j, side, 10 * i,
                            10 * j);
  work.write("cube.xyz", cube);
  work.write("empty.ply", "");
  work.write("words.stl", "solid words\n");
  const auto before = work.names();
  for (const char* file : {"cube.xyz", "empty.ply", "words.stl", "none.obj"}) {
    const Outcome refused = work.run({"foot", file, "--out", "f.foot.json", "--json", "f.json"});
    INFO(file << refused.err);
    CHECK(refused.exit_code == 2);
    CHECK(refused.out.empty());
    CHECK(refused.error_lines() == 1);
    CHECK_THAT(refused.err, Contains(file));
  }
  work.write("s.obj", template_obj());
  const Outcome stopped = work.run({"foot", "s.obj", "--out", "f.foot.json"}, 250);
  CHECK(stopped.exit_code == 130);
  CHECK(work.names().size() == before.size() + 1);
  CHECK_THAT(work.run({"foot", "--unit", "mm", source("meshes/feet/sample.toml")}).err,
             Contains("--unit: goes with a scan"));
}
