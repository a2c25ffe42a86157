// Advice in the window: a change is what the shop makes of the shoe, and what was promised is what is seen when it is
// tried.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "aplomb/io/files.h"
#include "aplomb/shop/solver.h"
#include "viewer/advice.h"
#include "viewer/changes.h"
#include "viewer/solver_thread.h"

using namespace aplomb;
using namespace aplomb::viewer;

namespace {

const std::filesystem::path meshes = std::filesystem::path(APLOMB_SOURCE_DIR) / "meshes";

Source source(const char* below) { return {(meshes / below).string(), io::read_file(meshes / below).value()}; }

}  // namespace

TEST_CASE("every change of the shop is the same change in the window", "[advice]") {
  int made = 0, refused = 0;
  for (const char* file : {"shoes/tapered.toml", "shoes/parallel.toml", "shoes/deep_box.toml"})
    for (const shop::Change& change : shop::changes())
      for (const double by : {change.range.min, change.range.max}) {
        const foot::Side side = by == change.range.min ? foot::Side::right : foot::Side::left;
        const shop::Try attempt{change.name, by};
        const Source before = source(file);
        const auto altered = shop::altered(*parameters_of(before), attempt, side);
        const auto after = with_try(before, attempt, side);
        INFO(file << " " << change.name);
        REQUIRE(altered.has_value() == after.has_value());
        if (!altered) {
          ++refused;
          CHECK(after.error().message == altered.error().message);
          continue;
        }
        ++made;
        const auto read = parameters_of(*after);
        REQUIRE(read);
        CHECK(shop::shoe_hash(*read) == shop::shoe_hash(*altered));
        CHECK(after->text == before.text);
      }
  CHECK(made > 150);
  CHECK(refused > 5);
}

TEST_CASE("a change comes on top of what was changed by hand", "[advice]") {
  Source shoe = source("shoes/tapered.toml");
  shoe.changes = {{"crown_height_mm", 41}, {"padding.ball.thickness_mm", 1}};
  shoe.words = {{"throat", "round"}};
  const auto after = with_try(shoe, {"padding_ball", 1.5}, foot::Side::right);
  REQUIRE(after);
  const shoe::ShoeParameters read = *parameters_of(*after);
  CHECK(read.crown_height_mm == 41);
  CHECK(read.throat == shoe::Throat::round);
  CHECK(read.layers.padding[static_cast<std::size_t>(shoe::PadRegion::ball)].thickness_mm == 2.5);
}

TEST_CASE("what an offer promises is what the shoe so changed does", "[advice]") {
  auto library = load_library(meshes, {}, "test");
  REQUIRE(library);
  REQUIRE(library->rules);
  // On the box and on full pointe, a tenth of the time of all six positions: what is offered is held against a stand in
  // its own position, and the sample's offers are of these.
  auto rules = std::make_shared<shop::Rules>(*library->rules);
  std::erase_if(rules->rules, [](const shop::Rule& rule) {
    const std::string& position = rule.condition.position;
    return position != shop::by_measure && position != "on-box" && position != "full-pointe-two";
  });
  library->rules = rules;
  Solver solver(*library);
  const Choice choice{source("feet/sample.toml"), source("shoes/tapered.toml")};
  const Solved advised = solver.solve({.choice = choice, .advice = true}, {});
  REQUIRE_FALSE(advised.error);
  REQUIRE(advised.advice);
  const shop::Advice& advice = *advised.advice;
  REQUIRE(advice.raised.size() >= 1);
  REQUIRE(advice.offers.size() >= 1);
  for (const shop::Offer& offer : advice.offers) {
    CHECK(offer.cost_after < offer.cost_before);
    const auto position = stance::position_named(offer.position);
    if (!position) continue;  // by measure
    Choice tried = choice;
    tried.shoe = *with_try(choice.shoe, offer.attempt, advised.foot->side);
    const Solved seen = solver.solve({tried, *position}, {});
    REQUIRE(seen.shown());
    CHECK(answer_of(seen.findings).values.at(offer.finding) == offer.after);
    const Solved before = solver.solve({choice, *position}, {});
    CHECK(answer_of(before.findings).values.at(offer.finding) == offer.before);
    // And the verdict that raised it is milder or gone.
    shop::Answers answers = advice.answers;
    answers[offer.position] = answer_of(seen.findings);
    CHECK(shop::cost(*library->rules, answers) < advice.cost);
  }
  // A load set by hand counts for advice too.
  Choice light = choice;
  light.load_N = 60;
  const Solved other = solver.solve({.choice = light, .advice = true}, {});
  REQUIRE(other.advice);
  CHECK(other.advice->answers.at("full-pointe-two").values.at("depth_mm") !=
        advice.answers.at("full-pointe-two").values.at("depth_mm"));
}

TEST_CASE("a foot that does not go in, or finds no balance, is no good verdict", "[advice]") {
  shop::Answers answers;
  answers["on-box"] = {true, "", true, {}};
  CHECK(judge({}, answers).empty());
  answers["on-box"].goes_in = false;
  answers["full-pointe-two"] = {false, "it slips", true, {}};
  const auto verdicts = judge({}, answers);
  REQUIRE(verdicts.size() == 2);
  for (const Verdict& one : verdicts) {
    CHECK(one.grade == shop::Grade::unsuitable);
    CHECK_FALSE(one.of_rule());
  }
  CHECK(verdicts[0].cause == "no balance was found");
  CHECK(verdicts[0].why == "not solved, full pointe on two feet: it slips");
  CHECK(verdicts[1].cause == "the foot does not go in");
}
