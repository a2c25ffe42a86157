// Changed numbers do what the same numbers in a file do; what is wrong with them is named.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>
#include <map>

#include "aplomb/io/files.h"
#include "viewer/changes.h"
#include "viewer/solve_job.h"
#include "viewer/words.h"

using namespace aplomb;
using namespace aplomb::viewer;

namespace {

const std::filesystem::path meshes = std::filesystem::path(APLOMB_SOURCE_DIR) / "meshes";

Source tapered() {
  const auto file = meshes / "shoes/tapered.toml";
  return {file.string(), io::read_file(file).value()};
}

/// The sample shoe with more lines at its end, read by the reader of shoe files.
shoe::ShoeParameters with_lines(const std::string& lines) {
  const auto read = shoe::parse_shoe(tapered().text + "\n" + lines, "lines");
  REQUIRE(read);
  return *read;
}

std::string refusal(const Changes& numbers, const WordChanges& words = {}) {
  Source source = tapered();
  source.changes = numbers, source.words = words;
  const auto done = parameters_of(source);
  REQUIRE_FALSE(done);
  CHECK(done.error().file == source.file);
  CHECK_FALSE(done.error().remedy.empty());
  return done.error().field;
}

}  // namespace

TEST_CASE("every number of shoe and constants is listed once", "[changes]") {
  std::map<std::string, int> listed;
  for (const ShoeGroup& group : shoe_groups())
    for (const ShoeWord& word : group.words) ++listed[word.key];
  for (const shoe::NumberField& field : shoe::number_fields()) {
    INFO(field.key);
    CHECK(listed[field.key] == 1);
  }
  CHECK(listed.size() == shoe::number_fields().size());

  listed.clear();
  stance::Constants constants;
  const auto library = load_library(meshes, {}, "test");
  REQUIRE(library);
  for (const ConstantGroup& group : constant_groups())
    for (const ConstantWord& word : group.words) {
      INFO(word.key);
      ++listed[word.key];
      CHECK(constant_of(constants, word.key) != nullptr);
      const std::string key = word.key, file_key = key.substr(0, key.find('.'));
      REQUIRE(library->constant_notes.contains(file_key));
      const std::string mark = library->constant_notes.at(file_key).substr(0, 3);
      CHECK((mark == "[S]" || mark == "[C]" || mark == "[G]"));
    }
  for (const stance::ConstantField& field : stance::constant_fields()) {
    INFO(field.key);
    CHECK(listed[field.key] == 1);
  }
  CHECK(listed.size() == stance::constant_fields().size() + 5);  // and the rays
}

TEST_CASE("a changed number is the same number in the file", "[changes]") {
  Source source = tapered();
  source.changes = {{"tights.thickness_mm", 0.6},
                    {"padding.toe_tips.thickness_mm", 2},
                    {"padding.toe_tips.modulus_MPa", 0.4},
                    {"spacer.third_fourth.thickness_mm", 3},
                    {"tape.little.thickness_mm", 0.5}};
  const auto changed = parameters_of(source);
  REQUIRE(changed);
  const shoe::ShoeParameters file = with_lines(
      "[tights]\nthickness_mm = 0.6\n[padding.toe_tips]\nthickness_mm = 2\nmodulus_MPa = 0.4\n"
      "[spacer.third_fourth]\nthickness_mm = 3\n[tape.little]\nthickness_mm = 0.5\n");
  int layers = 0;
  const auto same = [&](const shoe::SoftLayer& a, const shoe::SoftLayer& b) {
    CHECK(a.thickness_mm == b.thickness_mm);
    if (b.thickness_mm <= 0) return;
    ++layers;
    CHECK(a.modulus_MPa == b.modulus_MPa);
  };
  same(changed->layers.tights, file.layers.tights);
  for (std::size_t i = 0; i < file.layers.padding.size(); ++i) same(changed->layers.padding[i], file.layers.padding[i]);
  for (std::size_t i = 0; i < file.layers.spacer.size(); ++i) same(changed->layers.spacer[i], file.layers.spacer[i]);
  for (std::size_t i = 0; i < file.layers.tape.size(); ++i) same(changed->layers.tape[i], file.layers.tape[i]);
  CHECK(layers == 4);

  source = tapered();
  source.changes = {{"wing_medial_mm", 60}};
  CHECK(refusal(source.changes) == "cut");  // straight: equal wings
  source.words = {{"cut", "left"}, {"throat", "v"}};
  const auto cut = parameters_of(source);
  REQUIRE(cut);
  CHECK(cut->cut == shoe::Cut::left);
  CHECK(cut->throat == shoe::Throat::v);
}

TEST_CASE("the shank's table is started, thinned and taken back", "[changes]") {
  const shoe::ShoeParameters given = with_lines("");
  REQUIRE(given.shank_EI_table.empty());
  auto table = started_table(given);
  REQUIRE(table.size() == 4);
  for (const auto& point : table) CHECK(point.EI_Nm2 == given.shank_EI_Nm2);
  // A plate's bending stiffness goes with the cube of its thickness (Timoshenko and Woinowsky-Krieger, Theory of Plates
  // and Shells, section 2): a fifth off leaves 0.8^3.
  skive_heel_end(table, table.back().from_heel_mm);
  CHECK(table.front().EI_Nm2 == Approx(0.512 * given.shank_EI_Nm2).epsilon(1e-12));
  CHECK(table.back().EI_Nm2 == given.shank_EI_Nm2);
  add_point(table);
  REQUIRE(table.size() == 5);
  for (std::size_t i = 1; i < table.size(); ++i) CHECK(table[i].from_heel_mm > table[i - 1].from_heel_mm);

  Source source = tapered();
  source.changes = table_changes(table);
  source.changes["crown_height_mm"] = 41;
  const auto changed = parameters_of(source);
  REQUIRE(changed);
  REQUIRE(changed->shank_EI_table.size() == 5);
  for (std::size_t i = 0; i < 5; ++i) CHECK(changed->shank_EI_table[i].EI_Nm2 == table[i].EI_Nm2);
  const double between = 0.5 * (table[0].from_heel_mm + table[1].from_heel_mm);
  CHECK(shank_EI_at(*changed, between) == Approx(0.5 * (table[0].EI_Nm2 + table[1].EI_Nm2)));
  CHECK(shank_EI_at(*changed, 1000) == table[4].EI_Nm2);
  erase_table(source.changes);
  CHECK(source.changes == Changes{{"crown_height_mm", 41}});
}

TEST_CASE("changes that cannot be are refused by name", "[changes]") {
  CHECK(refusal({{"crown_hight_mm", 41}}) == "crown_hight_mm");
  CHECK(refusal({{"padding.elbow.thickness_mm", 1}}) == "padding.elbow.thickness_mm");
  CHECK(refusal({{"padding.toes.thickness_mm", -1}}) == "padding.toes.thickness_mm");
  CHECK(refusal({{"padding.toes.thickness_mm", 9}}) == "padding.toes");  // no room for a toe
  CHECK(refusal({{"tights.colour", 1}}) == "tights.colour");
  CHECK(refusal({{"shank_stiffness.points", 1e9}}) == "shank_stiffness.points");
  CHECK(refusal({{"shank_stiffness.points", 2}}) == "shank_stiffness.1.from_heel_mm");
  CHECK(refusal({}, {{"cut", "crooked"}}) == "cut");
  CHECK(refusal({}, {{"colour", "pink"}}) == "colour");
  CHECK(refusal({{"crown_height_mm", std::nan("")}}) == "crown_height_mm");

  stance::Constants constants;
  CHECK(apply({{"tone_factor", 99}}, constants).error().field == "tone_factor");
  CHECK(apply({{"ray_flexion_Nm.6", 50}}, constants).error().field == "ray_flexion_Nm.6");
  REQUIRE(apply({{"ray_flexion_Nm.5", 50}, {"tone_factor", 2}}, constants));
  CHECK(constants.ray_flexion_Nm[4] == 50);
  CHECK(constants.tone_factor == 2);
}

TEST_CASE("load and constants reach the solver, and the answer says so", "[changes]") {
  const auto library = load_library(meshes, {}, "test");
  REQUIRE(library);
  Solver solver(*library);
  const auto solve = [&](const Choice& choice) {
    Solved solved = solver.solve({choice, stance::Position::full_pointe_two, Care::quick, false}, {});
    REQUIRE_FALSE(solved.error);
    REQUIRE(solved.findings.converged);
    return solved;
  };
  const auto card = meshes / "feet/sample.toml";
  Choice choice{{card.string(), io::read_file(card).value()}, tapered()};
  const Solved plain = solve(choice);
  Choice heavy = choice;
  heavy.load_N = 1.3 * plain.findings.load_N;
  const Solved loaded = solve(heavy);
  CHECK(loaded.findings.load_N == *heavy.load_N);
  CHECK(*loaded.findings.depth_mm > *plain.findings.depth_mm + 0.05);
  Choice soft = choice;
  soft.constants = {{"toe_forefoot_E_MPa", 0.35}};
  const Solved sunk = solve(soft);
  CHECK(*sunk.findings.depth_mm > *plain.findings.depth_mm + 0.05);
  CHECK(sunk.findings.constants_hash != plain.findings.constants_hash);
  CHECK(choice_key(soft) != choice_key(choice));
  Choice padded = choice;
  padded.shoe.changes = {{"padding.toe_tips.thickness_mm", 4}};
  const Solved raised = solve(padded);
  // She stands on the pad. Its law, p = -M ln(1 - d/h), leaves h exp(-p/M) of it: at 0.15 MPa and the 200 to 400 kPa
  // under her toes that is 1.1 to 0.3 mm of 4 mm.
  const double raised_mm = *plain.findings.depth_mm - *raised.findings.depth_mm;
  CHECK(raised_mm > 0.2);
  CHECK(raised_mm < 1.5);
  CHECK(raised.findings.shoe_hash != plain.findings.shoe_hash);
  CHECK(raised.findings.shoe_name.ends_with("with 1 number changed"));
}
