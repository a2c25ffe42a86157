// The findings' JSON: contract keys, nulls, round trip, locale, refusal of numbers that are none.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <clocale>
#include <cmath>
#include <limits>
#include <locale>

#include "../temporary_folder.h"
#include "aplomb/findings/assess.h"
#include "aplomb/report/json.h"
#include "aplomb/report/table.h"
#include "sample.h"

using namespace aplomb;
using namespace aplomb::report;
using namespace aplomb::report::test;
using aplomb::scratch::Folder;

namespace {

std::vector<std::string> keys(const io::Json& json) {
  std::vector<std::string> names;
  for (auto item = json.begin(); item != json.end(); ++item) names.push_back(item.key());
  return names;
}

void check_holds(const io::Json& json, const std::vector<std::string>& names) {
  for (const std::string& name : names) {
    CAPTURE(name);
    CHECK(json.contains(name));
  }
}

}  // namespace

TEST_CASE("Every key of the contract is there", "[report][json]") {
  const io::Json json = to_json(sample_findings());
  // DEVELOPERS.md, files: `stand --json`.
  check_holds(json, {"format",          "format_version",
                     "version",         "side",
                     "position",        "inputs",
                     "converged",       "force_balance_error",
                     "depth_mm",        "tip_clearance_seated_mm",
                     "sink_mm",         "sink_parts",
                     "crowding_index",  "load_share",
                     "load_kind",       "toes",
                     "peak_kPa",        "contact_area_mm2",
                     "break_point",     "plumb",
                     "ankle_moment_Nm", "plantarflexion_used_deg",
                     "side_roll_deg",   "twist_deg",
                     "heel_slack_mm",   "toe_room_mm",
                     "wing_cover",      "vamp_cover_mm",
                     "crown_gap_mm",    "wall_give_mm",
                     "friction_band",   "bands",
                     "advice",          "limits",
                     "solve_ms"});
  check_holds(json["inputs"], {"hashes", "mass_kg", "load_N"});
  check_holds(json["sink_parts"], {"slide_mm", "tissue_mm", "curl_mm"});
  // Parts that sum to the whole: whoever adds up the keys must get 100, so exactly these.
  CHECK(keys(json["load_share"]) ==
        std::vector<std::string>{"platform", "wall_normal", "wall_friction", "vamp", "shank_heel"});
  CHECK(keys(json["load_kind"]) == std::vector<std::string>{"forefoot_normal", "all_friction", "heel_and_shank"});
  check_holds(json["break_point"],
              {"front_offset_mm", "apex_offset_mm", "back_offset_mm", "arch_fraction", "width_mm"});
  check_holds(json["plumb"], {"fore_aft_mm", "medial_mm", "margin_mm"});
  check_holds(json["wing_cover"], {"medial_mm", "lateral_mm"});
  REQUIRE(json["toes"].size() == 5);
  for (const io::Json& toe : json["toes"])
    check_holds(toe, {"name", "squeeze_mm", "load_share", "peak_kPa", "overlap_mm", "bend_deg", "room_mm", "gap_mm"});
  CHECK_FALSE(json.contains("reason"));
  CHECK(keys(json).front() == "format");
  CHECK(keys(json).back() == "solve_ms");
}

TEST_CASE("Every number lands under its own key", "[report][json]") {
  const io::Json json = to_json(sample_findings());
  CHECK(json["depth_mm"] == -3.25);
  CHECK(json["sink_parts"]["slide_mm"] == 3.5);
  CHECK(json["sink_parts"]["tissue_mm"] == 1.25);
  CHECK(json["sink_parts"]["curl_mm"] == 0.75);
  CHECK(json["load_share"]["wall_normal"] == 38.25);
  CHECK(json["load_share"]["wall_friction"] == 14.75);
  CHECK(json["load_share"]["shank_heel"] == 8);
  CHECK(json["load_kind"]["forefoot_normal"] == 75.75);
  CHECK(json["load_kind"]["all_friction"] == 16.25);
  CHECK(json["load_kind"]["heel_and_shank"] == 8);
  CHECK(json["toes"][4]["name"] == "little");
  CHECK(json["toes"][4]["overlap_mm"] == 2.25);
  CHECK(json["toes"][1]["load_share"] == 17);
  CHECK(json["regions"][1]["region"] == "ball_medial");
  CHECK(json["break_point"]["back_offset_mm"] == -38.5);
  CHECK(json["plumb"]["cop_medial_mm"] == -1.25);
  CHECK(json["plantarflexion_left_deg"] == 4);
  CHECK(json["side_roll_deg"] == -1.75);
  CHECK(json["twist_deg"] == 2.25);
  CHECK(json["wing_cover"]["lateral_mm"] == -3.25);
  CHECK(json["vamp_cover_toes_mm"][3] == 9);
  CHECK(json["crown_gap_mm"][0] == -1.5);
  CHECK(json["friction_band"]["peak_kPa"] == io::Json({310, 355}));
  CHECK(json["friction_band"]["depth_mm"] == io::Json({-3.25, -1.75}));
}

TEST_CASE("Bands stand beside the friction band, with what they rest on", "[report][json]") {
  const io::Json json = to_json(doubtful_findings());
  CHECK(json["bands"].size() == 2);
  CHECK(json["bands"]["depth_mm"]["low"] == -5.5);
  CHECK(json["bands"]["depth_mm"]["high"] == -1.25);
  CHECK(json["bands"]["depth_mm"]["method"] == "expansion");
  CHECK(json["bands"]["depth_mm"]["sources"][0]["guess"] == true);
  CHECK(json["bands"]["peak_kPa"]["method"] == "quantiles");
  CHECK(json["bands"]["peak_kPa"]["absent"] == 6);
  CHECK(json["bands"]["peak_kPa"]["quick_minus_full"].is_null());
  CHECK(json["bands_evidence"]["not_converged"] == 2);
  CHECK(json["friction_band"]["depth_mm"] == io::Json({-3.25, -1.75}));
  CHECK(to_json(sample_findings())["bands"] == io::Json::object());
  CHECK_FALSE(to_json(sample_findings()).contains("bands_evidence"));
}

TEST_CASE("Gradients are listed number by number, or say why not", "[report][json]") {
  const io::Json json = to_json(steered_findings())["gradients"];
  REQUIRE(json.size() == 4);
  CHECK(json[0]["of"] == "shoe");
  CHECK(json[1]["of"] == "foot");
  CHECK(json[2]["of"] == "stand");
  CHECK(json[1]["number"] == "toes.second.length_mm");
  CHECK(json[1]["value"] == 38);
  CHECK(json[1]["slopes"] == io::Json({{"depth_mm", -0.75}, {"peak_kPa", 2.0}}));
  CHECK(json[1]["why_not"].is_null());
  CHECK(json[3]["slopes"] == io::Json::object());
  CHECK(json[3]["why_not"].get<std::string>().starts_with("it cannot move both ways"));
  CHECK_FALSE(to_json(sample_findings()).contains("gradients"));
}

TEST_CASE("What does not apply is null", "[report][json]") {
  findings::Findings f = sample_findings();
  f.load_share.reset();
  f.load_kind.reset();
  f.break_point = {};
  const io::Json json = to_json(f);
  CHECK(json["heel_slack_mm"].is_null());
  CHECK(json["toe_room_mm"].is_null());
  CHECK(json["toes"][0]["room_mm"].is_null());
  CHECK(json["load_share"].is_null());
  CHECK(json["load_kind"].is_null());
  CHECK(json["break_point"]["front_offset_mm"].is_null());
  CHECK(json["break_point"]["held"] == false);
  f.friction_band.reset();
  CHECK(to_json(f)["friction_band"].is_null());
}

TEST_CASE("Friction bands: the lower end first, under keys of numbers of the document", "[report][json]") {
  findings::Findings path = sample_findings(), settled = path;
  settled.depth_mm = *path.depth_mm - 1;
  settled.sink_mm.reset();
  path.friction_band = findings::friction_band(path, settled);
  const io::Json json = to_json(path);
  CHECK(json["friction_band"]["depth_mm"] == io::Json({-4.25, -3.25}));
  CHECK_FALSE(json["friction_band"].contains("sink_mm"));
  CHECK(json["friction_band"].size() > 40);
  for (const auto& [key, band] : json["friction_band"].items()) {
    CAPTURE(key);
    std::string pointer = "/" + key;
    std::replace(pointer.begin(), pointer.end(), '.', '/');
    const io::Json& value = json.at(nlohmann::json_pointer<std::string>(pointer));
    REQUIRE(value.is_number());
    CHECK((value == band[0] || value == band[1]));
  }
}

TEST_CASE("Numbers are the same under a comma locale and read back", "[report][json]") {
  const findings::Findings f = sample_findings();
  const std::string json = io::to_text(to_json(f)), text = table(f);
  const char* found = nullptr;
  for (const char* name : {"de_DE.UTF-8", "de_DE.utf8", "fr_FR.UTF-8", "de_DE"})
    if (found == nullptr) found = std::setlocale(LC_ALL, name);
  // Without an installed comma locale the C++ side can still be given one.
  struct Comma : std::numpunct<char> {
    char do_decimal_point() const override { return ','; }
  };
  const std::locale before = std::locale::global(std::locale(std::locale::classic(), new Comma));
  CHECK(io::to_text(to_json(f)) == json);
  CHECK(table(f) == text);
  std::locale::global(before);
  std::setlocale(LC_ALL, "C");
  CHECK(io::Json::parse(json)["sink_mm"].get<double>() == *f.sink_mm);
  CHECK(json.find("0.062") != std::string::npos);
}

TEST_CASE("Numbers that are none are refused by name", "[report][json]") {
  const auto refused = [](auto change) -> std::string {
    findings::Findings f = sample_findings();
    change(f);
    const auto done = check_finite(f);
    return done ? "" : done.error().field;
  };
  const double nan = std::nan(""), infinite = std::numeric_limits<double>::infinity();
  CHECK(refused([](auto&) {}) == "");
  CHECK(refused([&](auto& f) { f.sink_mm = nan; }) == "sink_mm");
  CHECK(refused([&](auto& f) { f.toes[3].peak_kPa = infinite; }) == "toes.3.peak_kPa");
  CHECK(refused([&](auto& f) { f.load_share->vamp = -infinite; }) == "load_share.vamp");
  CHECK(refused([&](auto& f) { f.force_balance_error = nan; }) == "force_balance_error");
  CHECK(refused([&](auto& f) { f.crown_gap_mm[2] = nan; }) == "crown_gap_mm.2");

  findings::Findings f = stopped_findings();  // a run that broke down has no balance to state
  f.force_balance_error = nan;
  f.sink_mm = nan;
  CHECK(check_finite(f));
  CHECK(to_json(f)["force_balance_error"].is_null());

  const Folder folder;
  f = sample_findings();
  f.plumb.margin_mm = nan;
  CHECK_FALSE(write_json((folder.path / "f.json").string(), f));
  CHECK(folder.files() == 0);
  const auto nowhere = write_json("/nonexistent/x.json", sample_findings());
  REQUIRE_FALSE(nowhere);
  CHECK(nowhere.error().kind == io::ErrorKind::cannot_write);
}
