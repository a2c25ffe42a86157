// The published schema accepts what the program writes and refuses what it must not write.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <functional>

#include "aplomb/report/json.h"
#include "sample.h"
#include "schema.h"

using namespace aplomb;
using namespace aplomb::report;
using namespace aplomb::report::test;

namespace {

const char* const stand = "stand.schema.json";

/// The sample's document after one change.
std::string fault_after(const std::function<void(io::Json&)>& change) {
  io::Json json = to_json(sample_findings());
  change(json);
  return schema_fault(stand, json);
}

}  // namespace

TEST_CASE("Documents the program writes are valid", "[report][schema]") {
  CHECK(schema_fault(stand, to_json(sample_findings())) == "");
  CHECK(schema_fault(stand, to_json(stopped_findings())) == "");
  CHECK(schema_fault(stand, to_json(doubtful_findings())) == "");
  CHECK(schema_fault(stand, to_json(steered_findings())) == "");

  findings::Findings bare = sample_findings();  // nothing applies but what is always known
  const auto keep = bare;
  bare = findings::Findings{};
  bare.version = keep.version;
  bare.position = "on-box";
  bare.converged = true;
  for (int i = 0; i < 5; ++i) bare.toes[i].name = keep.toes[i].name;
  CHECK(schema_fault(stand, to_json(bare)) == "");

  // What only some positions have; and all positions in an array.
  findings::Findings rolled = bare;
  rolled.position = "roll-down";
  rolled.break_point.applies = rolled.plumb.applies = false;
  rolled.rise = findings::RiseFinding{105, 62, 14, true};
  rolled.way_down.emplace(12, findings::HeightFinding{"box", 40, -6, 5, 80, 20, 25, 500});
  CHECK(schema_fault(stand, to_json(rolled)) == "");
  CHECK(to_json(rolled)["plumb"].is_null());
  CHECK(to_json(rolled)["break_point"].is_null());
  CHECK(schema_fault(stand, io::Json::array({to_json(bare), to_json(rolled), to_json(stopped_findings())})) == "");
  CHECK(schema_fault(stand, io::Json::array()) != "");
  rolled.way_down->pop_back();  // fewer heights than a way down has
  CHECK(schema_fault(stand, to_json(rolled)) != "");
}

TEST_CASE("A left foot is written as one", "[report][schema]") {
  findings::Findings f = sample_findings();
  f.side = foot::Side::left;
  CHECK(to_json(f)["side"] == "left");
  CHECK(schema_fault(stand, to_json(f)) == "");
}

TEST_CASE("Broken documents are refused", "[report][schema]") {
  CHECK(fault_after([](io::Json&) {}) == "");
  CHECK(fault_after([](io::Json& j) { j.erase("sink_mm"); }) != "");
  CHECK(fault_after([](io::Json& j) { j["sink_cm"] = 1; }) != "");
  CHECK(fault_after([](io::Json& j) { j["sink_mm"] = "5.5"; }) != "");
  CHECK(fault_after([](io::Json& j) { j["sink_mm"] = 5500; }) != "");
  CHECK(fault_after([](io::Json& j) { j["format"] = "stand"; }) != "");
  CHECK(fault_after([](io::Json& j) { j["format_version"] = 2; }) != "");
  CHECK(fault_after([](io::Json& j) { j["side"] = "links"; }) != "");
  CHECK(fault_after([](io::Json& j) { j["position"] = "tiptoe"; }) != "");
  CHECK(fault_after([](io::Json& j) { j["force_balance_error"] = 2e-4; }) != "");
  CHECK(fault_after([](io::Json& j) { j["peak_kPa"] = -1; }) != "");
  CHECK(fault_after([](io::Json& j) { j["load_share"].erase("vamp"); }) != "");
  CHECK(fault_after([](io::Json& j) { j["load_share"]["floor"] = 3; }) != "");
  CHECK(fault_after([](io::Json& j) { j["load_share"]["all_friction"] = 3; }) != "");
  CHECK(fault_after([](io::Json& j) { j["load_kind"].erase("all_friction"); }) != "");
  CHECK(fault_after([](io::Json& j) { j["load_kind"]["vamp"] = 3; }) != "");
  CHECK(fault_after([](io::Json& j) { j["toes"].erase(4); }) != "");
  CHECK(fault_after([](io::Json& j) { std::swap(j["toes"][0], j["toes"][1]); }) != "");
  CHECK(fault_after([](io::Json& j) { j["toes"][2]["gap_mm"] = true; }) != "");
  CHECK(fault_after([](io::Json& j) { j["crown_gap_mm"].push_back(1.0); }) != "");
  CHECK(fault_after([](io::Json& j) { j["inputs"]["hashes"]["shoe"] = "xyz"; }) != "");
  CHECK(fault_after([](io::Json& j) { j["friction_band"]["depth_mm"].erase(1); }) != "");
  CHECK(fault_after([](io::Json& j) { j["friction_band"]["depth_mm"][0] = nullptr; }) != "");
  CHECK(fault_after([](io::Json& j) { j["friction_band"]["toes hallux"] = {1, 2}; }) != "");
  CHECK(fault_after([](io::Json& j) { j["friction_band"] = nullptr; }) == "");
  CHECK(fault_after([](io::Json& j) { j["break_point"]["held"] = nullptr; }) != "");
}

TEST_CASE("What did not converge carries no findings", "[report][schema]") {
  CHECK(fault_after([](io::Json& j) { j["converged"] = false; }) != "");
  CHECK(fault_after([](io::Json& j) { j["reason"] = "because"; }) != "");
  io::Json json = to_json(stopped_findings());
  CHECK(json["reason"] == "the load step fell below 1/64 at 160 N");
  json["sink_mm"] = 1;
  CHECK(schema_fault(stand, json) != "");
  json.erase("sink_mm");
  CHECK(schema_fault(stand, json) == "");
  json["goes_in"] = true;
  CHECK(schema_fault(stand, json) != "");
  findings::Findings too_long = stopped_findings();
  too_long.goes_in = false;
  CHECK(to_json(too_long)["goes_in"] == false);
  CHECK(schema_fault(stand, to_json(too_long)) == "");
  json.erase("goes_in");
  CHECK(schema_fault(stand, json) == "");
  json.erase("reason");
  CHECK(schema_fault(stand, json) != "");
}

namespace {

/// Numbers of an invented foot, `leaf` under every card key.
io::Json numbers_with(const io::Json& leaf) {
  io::Json json;
  for (const char* key :
       {"foot_length_mm", "ball_length_mm", "foot_breadth_mm", "heel_breadth_mm", "ball_girth_mm",
        "heel_ankle_girth_mm", "ankle_girth_mm", "bimalleolar_breadth_mm", "lateral_malleolus_height_mm",
        "arch_height_mm", "instep_height_mm", "hallux_angle_deg", "foot_breadth_relaxed_mm", "foot_breadth_squeezed_mm",
        "plantarflexion_deg", "mass_kg", "age_years"})
    json[key] = leaf;
  for (const char* toe : {"hallux", "second", "third", "fourth", "little"})
    for (const char* key : {"length_mm", "breadth_mm", "height_mm", "bend_deg", "lift_mm"})
      json["toes"][toe][key] = leaf;
  return json;
}

io::Json foot_numbers() {
  io::Json json = {
      {"format", "aplomb-foot-numbers"}, {"format_version", 1}, {"side", "right"}, {"plan_box_mm", {238.4, 90.1}}};
  json.update(numbers_with(nullptr));
  json["foot_length_mm"] = 238;
  json["toes"]["hallux"]["length_mm"] = 63.5;
  json["sd"] = numbers_with(1.5);
  json["source"] = numbers_with("prior");
  json["source"]["foot_length_mm"] = "card";
  json["notes"] = {"What is not on the card comes from the prior."};
  json["residual"] = {{"foot_length_mm", 0.1}, {"toes", {{"hallux", {{"length_mm", -0.2}}}}}};
  return json;
}

io::Json foot_file() {
  return {{"format", "aplomb-foot"},
          {"format_version", 1},
          {"side", "left"},
          {"template_hash", "0123456789abcdef"},
          {"shape", {0.01, -1.5}},
          {"covariance", {{1e-4, 0}, {0, 2.5}}},
          {"measurements", {{"foot_length_mm", {{"value", 238}, {"sd", 0.7}, {"source", "card"}}}}},
          {"residual", {{"toes.hallux.length_mm", 0.2}}}};
}

std::string fault_of(const char* schema, io::Json json, const std::function<void(io::Json&)>& change) {
  change(json);
  return schema_fault(schema, json);
}

}  // namespace

TEST_CASE("Numbers of a foot: schema of foot --json", "[report][schema]") {
  const auto fault = [](auto change) { return fault_of("foot.schema.json", foot_numbers(), change); };
  CHECK(fault([](io::Json&) {}) == "");
  CHECK(fault([](io::Json& j) { j.erase("ball_girth_mm"); }) != "");
  CHECK(fault([](io::Json& j) { j["foot_length_mm"] = 23.8; }) != "");
  CHECK(fault([](io::Json& j) { j["toes"].erase("little"); }) != "");
  CHECK(fault([](io::Json& j) { j["toes"]["sixth"] = j["toes"]["little"]; }) != "");
  CHECK(fault([](io::Json& j) { j["plan_box_mm"].push_back(1); }) != "");
  CHECK(fault([](io::Json& j) { j["sd"]["mass_kg"] = -1; }) != "");
  CHECK(fault([](io::Json& j) { j["sd"].erase("age_years"); }) != "");
  CHECK(fault([](io::Json& j) { j["source"]["mass_kg"] = nullptr; }) == "");
  CHECK(fault([](io::Json& j) { j["source"]["foot_length_mm"] = "felt"; }) != "");
  CHECK(fault([](io::Json& j) { j["source"]["toes"]["little"].erase("lift_mm"); }) != "");
  CHECK(fault([](io::Json& j) { j["notes"] = io::Json::array(); }) != "");
  CHECK(fault([](io::Json& j) { j["residual"]["toes"]["hallux"].erase("length_mm"); }) == "");
  CHECK(fault([](io::Json& j) { j["residual"]["toes"]["hallux"]["length_mm"] = nullptr; }) != "");
  CHECK(fault([](io::Json& j) { j["residual"]["shoe_size"] = 1; }) != "");
}

TEST_CASE("Foot files: schema", "[report][schema]") {
  const auto fault = [](auto change) { return fault_of("foot_file.schema.json", foot_file(), change); };
  CHECK(fault([](io::Json&) {}) == "");
  CHECK(fault([](io::Json& j) { j["covariance"] = io::Json::array(); }) == "");
  CHECK(fault([](io::Json& j) { j.erase("template_hash"); }) != "");
  CHECK(fault([](io::Json& j) { j["shape"] = io::Json::array(); }) != "");
  CHECK(fault([](io::Json& j) { j["shape"][0] = "a"; }) != "");
  CHECK(fault([](io::Json& j) { j["measurements"]["foot_length_mm"]["source"] = "felt"; }) != "");
  CHECK(fault([](io::Json& j) { j["measurements"]["length"] = j["measurements"]["foot_length_mm"]; }) != "");
  CHECK(fault([](io::Json& j) { j["vertices"] = 1; }) != "");
}
