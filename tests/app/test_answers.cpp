// Whole answers of the program as a process: outputs agree with each other, repeat, and survive odd but honest inputs.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <set>

#include "../report/schema.h"
#include "program.h"

using namespace aplomb::test;
using Catch::Contains;
using nlohmann::json;

namespace {

std::vector<std::string> stand(const std::string& foot, std::vector<std::string> more) {
  std::vector<std::string> words = {"stand",      "--foot",         foot, "--shoe", source("meshes/shoes/tapered.toml"),
                                    "--position", "full-pointe-two"};
  words.insert(words.end(), more.begin(), more.end());
  return words;
}

/// The answer without what differs from run to run.
json lasting(json answer) {
  answer.erase("solve_ms");
  return answer;
}

}  // namespace

TEST_CASE("The sample stands: table, JSON, picture and report of one run", "[app]") {
  const Workplace work;
  const Outcome outcome = work.run(
      stand(source("meshes/feet/sample.toml"), {"--json", "a.json", "--picture", "a.png", "--report", "a.pdf"}));
  INFO(outcome.err);
  REQUIRE(outcome.exit_code == 0);
  CHECK(outcome.err.empty());
  CHECK_THAT(outcome.out, Contains("Sink") && Contains("never a clearance to dance on pointe"));
  CHECK(work.names() == std::vector<std::string>{"a.json", "a.pdf", "a.png"});
  // Signatures of the formats: PNG specification (W3C), section 5.2; ISO 32000-1, section 7.5.2.
  CHECK(work.read("a.png").substr(0, 8) == "\x89PNG\r\n\x1a\n");
  CHECK(work.read("a.pdf").substr(0, 5) == "%PDF-");

  const json answer = json::parse(work.read("a.json"));
  CHECK(aplomb::report::test::schema_fault("stand.schema.json", answer).empty());
  CHECK(answer["converged"] == true);
  CHECK(answer["force_balance_error"].get<double>() <= 1e-4);
  double sum = 0;
  for (const char* part : {"platform", "wall_normal", "wall_friction", "vamp", "shank_heel"})
    sum += answer["load_share"][part].get<double>();
  CHECK(sum == Approx(100).margin(0.1));
  // Half the weight on this shoe: 52 kg at the standard acceleration of gravity, 9.80665 m/s^2 (3rd CGPM, 1901).
  CHECK(answer["inputs"]["load_N"].get<double>() == Approx(52 * 9.80665 / 2).epsilon(1e-12));
  for (const char* key : {"heel_slack_mm", "toe_room_mm"}) CHECK(answer[key].is_null());
}

TEST_CASE("The same inputs give the same answer, from a foot file and with other threads too", "[app]") {
  const Workplace work;
  const Outcome first = work.run(stand(source("meshes/feet/sample.toml"), {"--json", "-", "--threads", "1"}));
  REQUIRE(first.exit_code == 0);
  // With --json - standard output is JSON and nothing else.
  const json answer = json::parse(first.out);
  const Outcome second =
      work.run(stand(source("meshes/feet/sample.toml"), {"--json", "-", "--threads", "2", "--seed", "7"}));
  CHECK(lasting(json::parse(second.out)) == lasting(answer));

  REQUIRE(work.run({"foot", source("meshes/feet/sample.toml"), "--out", "f.foot.json"}).exit_code == 0);
  json from_file = lasting(json::parse(work.run(stand("f.foot.json", {"--json", "-"})).out));
  json from_card = lasting(answer);
  from_file.erase("inputs");
  from_card.erase("inputs");  // name and hash of the foot's file differ
  CHECK(from_file == from_card);
}

TEST_CASE("A left foot in a straight shoe is the right one's mirror", "[app]") {
  const Workplace work;
  const std::string numbers = "foot_length_mm = 244\nfoot_breadth_mm = 90\nmass_kg = 50\n";
  work.write("r.toml", "side = \"right\"\n" + numbers);
  work.write("l.toml", "side = \"left\"\n" + numbers);
  json right = lasting(json::parse(work.run(stand("r.toml", {"--json", "-"})).out));
  json left = lasting(json::parse(work.run(stand("l.toml", {"--json", "-"})).out));
  CHECK(right["side"] == "right");
  CHECK(left["side"] == "left");
  for (json* answer : {&right, &left}) {
    answer->erase("side");
    answer->erase("inputs");
  }
  CHECK(left == right);
}

TEST_CASE("A foot 40 mm longer than the shoe is a finding: it does not go in", "[app]") {
  const Workplace work;
  work.write("long.toml", "side = \"right\"\nfoot_length_mm = 278\nfoot_breadth_mm = 100\nmass_kg = 62\n");
  const Outcome outcome = work.run(stand("long.toml", {"--json", "a.json"}));
  INFO(outcome.err);
  CHECK(outcome.exit_code == 0);
  CHECK_THAT(outcome.out, Contains("Goes in") && Contains("heel is still outside its seat"));
  const json answer = json::parse(work.read("a.json"));
  CHECK(aplomb::report::test::schema_fault("stand.schema.json", answer).empty());
  CHECK(answer["goes_in"] == false);
}

TEST_CASE("A child's foot in a grown dancer's shoe goes in and has an answer", "[app]") {
  const Workplace work;
  work.write("small.toml", "side = \"right\"\nfoot_length_mm = 160\nfoot_breadth_mm = 64\nmass_kg = 30\n");
  const Outcome outcome = work.run(stand("small.toml", {"--json", "a.json"}));
  INFO(outcome.err);
  REQUIRE(outcome.exit_code == 0);
  const json answer = json::parse(work.read("a.json"));
  CHECK(answer["converged"] == true);
  CHECK(answer["goes_in"] == true);
}

TEST_CASE("Interrupting is exit 130 and writes nothing", "[app]") {
  const Workplace work;
  const Outcome outcome = work.run(stand(source("meshes/feet/sample.toml"), {"--json", "a.json"}), 150);
  INFO(outcome.err);
  CHECK(outcome.exit_code == 130);
  CHECK(outcome.error_lines() == 1);
  CHECK(work.names().empty());
}

TEST_CASE("An empty card is written once, and reads once filled in", "[app]") {
  const Workplace work;
  REQUIRE(work.run({"foot", "--new-card", "c.toml"}).exit_code == 0);
  const std::string card = work.read("c.toml");
  CHECK(work.run({"foot", "--new-card"}).out == card);
  const Outcome again = work.run({"foot", "--new-card", "c.toml"});
  CHECK(again.exit_code == 5);
  CHECK_THAT(again.err, Contains("c.toml: --new-card: exists already"));
  CHECK(work.read("c.toml") == card);
  // Every key that the contract names stands on the empty card.
  for (const char* key :
       {"foot_length_mm", "foot_breadth_mm", "ball_length_mm", "heel_breadth_mm", "ball_girth_mm",
        "heel_ankle_girth_mm", "ankle_girth_mm", "bimalleolar_breadth_mm", "lateral_malleolus_height_mm",
        "foot_breadth_relaxed_mm", "foot_breadth_squeezed_mm", "arch_height_mm", "instep_height_mm", "hallux_angle_deg",
        "plantarflexion_deg", "mass_kg", "age_years", "load"})
    CHECK_THAT(card, Contains(key));
}

TEST_CASE("A foot's numbers as JSON have every card key, and come near the card", "[app]") {
  const Workplace work;
  REQUIRE(work.run({"foot", source("meshes/feet/sample.toml"), "--json", "n.json", "--picture", "n.png"}).exit_code ==
          0);
  const json numbers = json::parse(work.read("n.json"));
  CHECK(aplomb::report::test::schema_fault("foot.schema.json", numbers).empty());
  CHECK(numbers["foot_length_mm"].get<double>() == Approx(238).margin(0.5));
  CHECK(numbers["foot_breadth_mm"].get<double>() == Approx(89).margin(0.5));
  CHECK(numbers["toes"]["hallux"]["length_mm"].get<double>() > 40);
  CHECK(numbers["sd"]["toes"]["hallux"]["length_mm"].get<double>() > 0);
  CHECK(std::abs(numbers["residual"]["foot_length_mm"].get<double>()) <= 0.5);
  CHECK(numbers["plan_box_mm"].size() == 2);
  CHECK(work.read("n.png").substr(1, 3) == "PNG");
}
