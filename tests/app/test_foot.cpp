// aplomb foot as a process: new cards, tables, JSON, foot files, sheets, and what it refuses.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>
#include <nlohmann/json.hpp>
#include <regex>
#include <sstream>

#include "../report/schema.h"
#include "program.h"

using namespace aplomb::test;
using Catch::Contains;
using nlohmann::json;

namespace {

const std::string sample = "meshes/feet/sample.toml";

json foot_json(const Workplace& work, const std::string& file) {
  const Outcome outcome = work.run({"foot", file, "--json", "-"});
  INFO(outcome.err);
  REQUIRE(outcome.exit_code == 0);
  json answer = json::parse(outcome.out);
  CHECK(aplomb::report::test::schema_fault("foot.schema.json", answer).empty());
  return answer;
}

/// Standard error of a refused run that leaves the folder as it was.
std::string refusal(const Workplace& work, const std::vector<std::string>& words, int exit_code = 2) {
  const std::vector<std::string> before = work.names();
  const Outcome outcome = work.run(words);
  INFO(outcome.err);
  CHECK(outcome.exit_code == exit_code);
  CHECK(outcome.out.empty());
  CHECK(outcome.error_lines() == 1);
  CHECK(work.names() == before);
  return outcome.err;
}

/// Without its title, which names the file.
std::string below_heading(const std::string& table) { return table.substr(table.find('\n', table.find('\n') + 1)); }

}  // namespace

TEST_CASE("A new card is written once, says how to take each number, and reads as it is", "[app][foot]") {
  const Workplace work;
  REQUIRE(work.run({"foot", "--new-card", "c.toml"}).exit_code == 0);
  const std::string card = work.read("c.toml");
  CHECK(work.run({"foot", "--new-card"}).out == card);
  CHECK_THAT(refusal(work, {"foot", "--new-card", "c.toml"}, 5), Contains("c.toml: --new-card: exists already"));
  CHECK(work.read("c.toml") == card);
  // Every key that the contract names stands on the new card.
  for (const char* key : {"foot_length_mm",
                          "foot_breadth_mm",
                          "ball_length_mm",
                          "heel_breadth_mm",
                          "ball_girth_mm",
                          "heel_ankle_girth_mm",
                          "ankle_girth_mm",
                          "bimalleolar_breadth_mm",
                          "lateral_malleolus_height_mm",
                          "foot_breadth_relaxed_mm",
                          "foot_breadth_squeezed_mm",
                          "arch_height_mm",
                          "instep_height_mm",
                          "hallux_angle_deg",
                          "plantarflexion_deg",
                          "mass_kg",
                          "age_years",
                          "load",
                          "toes.hallux",
                          "toes.little",
                          "lift_mm",
                          "bend_deg"})
    CHECK_THAT(card, Contains(key));
  CHECK_THAT(card, Contains("NEEDED: three lines") && Contains("both feet") && Contains("Late in the day") &&
                       Contains("painful") && Contains("army survey") && Contains("Dancers differ"));
  CHECK(work.run({"foot", "c.toml"}).exit_code == 0);
}

TEST_CASE("With --picture a new card comes with a drawn measuring sheet", "[app][foot]") {
  const Workplace work;
  REQUIRE(work.run({"foot", "--new-card", "c.toml", "--picture", "how.png"}).exit_code == 0);
  CHECK(work.names() == std::vector<std::string>{"c.toml", "how.png"});
  CHECK(work.read("how.png").substr(0, 8) == "\x89PNG\r\n\x1a\n");
  // Of the pair, neither is written when the other cannot be.
  const std::string card = work.read("c.toml");
  CHECK_THAT(refusal(work, {"foot", "--new-card", "c.toml", "--picture", "other.png"}, 5), Contains("exists already"));
  CHECK_THAT(refusal(work, {"foot", "--new-card", "d.toml", "--picture", "no/how.png"}, 5), Contains("no/how.png"));
  CHECK_THAT(refusal(work, {"foot", "--new-card", "d.toml", "--picture", "./d.toml"}), Contains("two outputs"));
  CHECK(work.read("c.toml") == card);
}

TEST_CASE("A new card goes with no option that needs a foot", "[app][foot]") {
  const Workplace work;
  work.write("c.toml", "side = \"left\"\nfoot_length_mm = 240\nfoot_breadth_mm = 90\n");
  CHECK_THAT(refusal(work, {"foot", "c.toml", "--new-card", "d.toml"}), Contains("--new-card: "));
  CHECK_THAT(refusal(work, {"foot", "--new-card", "d.toml", "--out", "f.foot.json"}), Contains("--out: does not go"));
  CHECK_THAT(refusal(work, {"foot", "--new-card", "d.toml", "--json", "n.json"}), Contains("--json: does not go"));
  CHECK_THAT(refusal(work, {"foot", "--new-card", "d.toml", "--side", "left"}), Contains("--side: does not go"));
}

TEST_CASE("A foot's numbers as JSON have every card key, and come near the card", "[app][foot]") {
  const Workplace work;
  REQUIRE(work.run({"foot", source(sample), "--json", "n.json", "--picture", "n.png"}).exit_code == 0);
  CHECK(work.read("n.png").substr(0, 8) == "\x89PNG\r\n\x1a\n");
  const json numbers = json::parse(work.read("n.json"));
  CHECK(aplomb::report::test::schema_fault("foot.schema.json", numbers).empty());
  CHECK(numbers["side"] == "right");
  CHECK(numbers["foot_length_mm"].get<double>() == Approx(238).margin(0.5));
  CHECK(numbers["foot_breadth_mm"].get<double>() == Approx(89).margin(0.5));
  CHECK(numbers["toes"]["hallux"]["length_mm"].get<double>() > 40);
  CHECK(numbers["sd"]["toes"]["hallux"]["length_mm"].get<double>() > 0);
  CHECK(numbers["source"]["foot_length_mm"] == "card");
  CHECK(numbers["source"]["toes"]["hallux"]["length_mm"] == "prior");
  CHECK(numbers["source"]["age_years"] == "card");
  CHECK(std::abs(numbers["residual"]["foot_length_mm"].get<double>()) <= 0.5);
  CHECK_FALSE(numbers["residual"].contains("arch_height_mm"));
  CHECK_THAT(numbers["notes"][0].get<std::string>(), Contains("Prior") && Contains("no dancers"));
}

TEST_CASE("What a measurement tells makes its number surer", "[app][foot]") {
  const Workplace work;
  const std::string three = "side = \"left\"\nfoot_length_mm = 244\nfoot_breadth_mm = 92\n";
  work.write("three.toml", three);
  work.write("four.toml", three + "arch_height_mm = 44\n");
  const json few = foot_json(work, "three.toml"), more = foot_json(work, "four.toml");
  CHECK(few["side"] == "left");
  CHECK(few["mass_kg"].is_null());
  CHECK(few["source"]["mass_kg"].is_null());
  CHECK(few["source"]["arch_height_mm"] == "prior");
  CHECK(more["source"]["arch_height_mm"] == "card");
  CHECK(more["sd"]["arch_height_mm"].get<double>() < 0.6 * few["sd"]["arch_height_mm"].get<double>());
  CHECK(more["sd"]["instep_height_mm"].get<double>() < few["sd"]["instep_height_mm"].get<double>());
}

TEST_CASE("The table says number, value, unit, band, source, and what the prior is", "[app][foot]") {
  const Workplace work;
  const Outcome outcome = work.run({"foot", source(sample)});
  REQUIRE(outcome.exit_code == 0);
  CHECK(outcome.err.empty());
  // Notes wrap where the table ends.
  const std::string words = std::regex_replace(outcome.out, std::regex("\\s+"), " ");
  CHECK_THAT(words, Contains("RIGHT foot from sample.toml") && Contains("ANSUR II") && Contains("no dancers") &&
                        Contains("5 to 95 %") && Contains("fit - card"));
  std::istringstream lines(outcome.out);
  bool length = false, arch = false;
  for (std::string line; std::getline(lines, line);) {
    // Foot length  foot_length_mm  238.0 mm  1.1  card  0.0
    length = length || (line.find("foot_length_mm") != std::string::npos &&
                        line.find("238.0 mm") != std::string::npos && line.find("card") != std::string::npos);
    arch = arch || (line.find("arch_height_mm") != std::string::npos && line.find("prior") != std::string::npos);
  }
  CHECK(length);
  CHECK(arch);
  CHECK_THAT(outcome.out, !Contains("unusual"));
}

TEST_CASE("A foot file shows the same numbers as its card", "[app][foot]") {
  const Workplace work;
  // Unusual, but not so much that it has to be accepted.
  work.write("c.toml",
             "side = \"left\"\nload = \"full\"\nfoot_length_mm = 240\nfoot_breadth_mm = 92\nhallux_angle_deg = 23\n");
  const Outcome card = work.run({"foot", "c.toml", "--out", "f.foot.json"});
  INFO(card.err);
  REQUIRE(card.exit_code == 0);
  CHECK_THAT(card.out, Contains("unusual: 2.") && Contains("under all her weight"));
  CHECK(aplomb::report::test::schema_fault("foot_file.schema.json", json::parse(work.read("f.foot.json"))).empty());
  const Outcome file = work.run({"foot", "f.foot.json", "--picture", "f.png"});
  REQUIRE(file.exit_code == 0);
  CHECK(below_heading(file.out) == below_heading(card.out));
  CHECK(foot_json(work, "f.foot.json") == foot_json(work, "c.toml"));
  CHECK(work.read("f.png").substr(0, 8) == "\x89PNG\r\n\x1a\n");
}

TEST_CASE("A foot file that lacks a number it must have is refused by name", "[app][foot]") {
  const Workplace work;
  REQUIRE(work.run({"foot", source(sample), "--out", "f.foot.json"}).exit_code == 0);
  for (const char* key : {"plan_box_length_mm", "foot_length_mm"}) {
    json file = json::parse(work.read("f.foot.json"));
    file["measurements"].erase(key);
    work.write("g.foot.json", file.dump());
    CHECK_THAT(refusal(work, {"foot", "g.foot.json", "--json", "n.json"}),
               Contains("g.foot.json: measurements." + std::string(key) + ": is missing"));
  }
}

TEST_CASE("Unlikely numbers are accepted one by one, by foot and by stand", "[app][foot]") {
  const Workplace work;
  // 77 mm at the malleolus and an arch of 20 mm: both beyond 3 SD of the prior, and forbidden by no geometry.
  // At 79 this foot finds no balance in the sample shoe.
  work.write("c.toml",
             "side = \"right\"\nfoot_length_mm = 238\nfoot_breadth_mm = 89\nmass_kg = 52\n"
             "lateral_malleolus_height_mm = 77\narch_height_mm = 20\n");
  const std::vector<std::string> stand = {
      "stand", "--foot", "c.toml", "--shoe", source("meshes/shoes/tapered.toml"), "--position", "full-pointe-two"};
  const auto with = [](std::vector<std::string> words, const std::vector<std::string>& more) {
    words.insert(words.end(), more.begin(), more.end());
    return words;
  };
  std::vector<std::string> accepted;
  for (int round = 0; round < 2; ++round) {
    const std::string asked = refusal(work, with({"foot", "c.toml", "--out", "f.foot.json"}, accepted), 3);
    CHECK(asked == refusal(work, with(stand, accepted), 3));
    const std::string option = "--accept-unlikely ";
    REQUIRE_THAT(asked, Contains(option));
    const std::size_t name = asked.find(option) + option.size();
    accepted.push_back("--accept-unlikely");
    accepted.push_back(asked.substr(name, asked.find(' ', name) - name));
  }
  CHECK(accepted[1] != accepted[3]);
  const Outcome foot = work.run(with({"foot", "c.toml"}, accepted));
  CHECK(foot.exit_code == 0);
  CHECK_THAT(foot.out, Contains("unusual"));
  CHECK(work.run(with(stand, accepted)).exit_code == 0);
  CHECK_THAT(refusal(work, {"foot", "c.toml", "--accept-unlikely", "arch_hight_mm"}),
             Contains("did you mean arch_height_mm?"));
}

TEST_CASE("Outputs of foot that cannot be are refused before any work", "[app][foot]") {
  const Workplace work;
  work.write("c.toml", "side = \"left\"\nfoot_length_mm = 240\nfoot_breadth_mm = 90\n");
  const std::string card = work.read("c.toml");
  for (const char* option : {"--out", "--json", "--picture"}) {
    CHECK_THAT(refusal(work, {"foot", "c.toml", option, "no/such/a.out"}, 5), Contains("no/such/a.out: "));
    CHECK_THAT(refusal(work, {"foot", "c.toml", option, "./c.toml"}), Contains("./c.toml: is an input"));
  }
  CHECK_THAT(refusal(work, {"foot", "c.toml", "--side", "right"}),
             Contains("c.toml: --side: is right, but the file says left"));
  CHECK_THAT(refusal(work, {"foot", "c.csv"}), Contains("c.csv: CARD: "));
  CHECK(refusal(work, {"foot", "none.toml"}) ==
        "none.toml: CARD: there is no such file; check the spelling and the folder\n");
  CHECK(work.read("c.toml") == card);
}
