// Whole answers of the program as a process: outputs agree with each other, repeat, and survive odd but honest inputs.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
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

TEST_CASE("Every position in one run: tables, an array, pictures and a report of all", "[app]") {
  const Workplace work;
  const Outcome outcome =
      work.run({"stand", "--foot", source("meshes/feet/sample.toml"), "--shoe", source("meshes/shoes/parallel.toml"),
                "--position", "all", "--json", "a.json", "--picture", "a.png", "--report", "a.pdf"});
  INFO(outcome.err);
  REQUIRE(outcome.exit_code == 0);
  const json answer = json::parse(work.read("a.json"));
  CHECK(aplomb::report::test::schema_fault("stand.schema.json", answer).empty());
  const std::vector<std::string> positions{"parallel",        "demi-plie",       "on-box",   "demi-pointe",
                                           "full-pointe-two", "full-pointe-one", "roll-down"};
  REQUIRE(answer.size() == positions.size());
  std::vector<std::string> names{"a.json", "a.pdf", "a.png"};
  for (std::size_t i = 0; i < positions.size(); ++i) {
    CHECK(answer[i]["position"] == positions[i]);
    CHECK(answer[i]["converged"] == true);
    CHECK(answer[i]["force_balance_error"].get<double>() <= 1e-4);
    names.push_back("a-" + positions[i] + ".png");
  }
  std::sort(names.begin(), names.end());
  CHECK(work.names() == names);
  CHECK(answer[6]["way_down"].size() >= 12);
  CHECK_THAT(outcome.out, Contains("Position by position") && Contains("On the way down") && Contains("Toe room"));
  // One page for all and one for each: ISO 32000-1, section 7.7.3, a page object for each page.
  const std::string pdf = work.read("a.pdf");
  CHECK_THAT(pdf, Contains("/Count 8"));

  // One position alone gives the same numbers.
  const Outcome alone = work.run({"stand", "--foot", source("meshes/feet/sample.toml"), "--shoe",
                                  source("meshes/shoes/parallel.toml"), "--position", "demi-plie", "--json", "-"});
  REQUIRE(alone.exit_code == 0);
  CHECK(lasting(json::parse(alone.out)) == lasting(answer[1]));
}
