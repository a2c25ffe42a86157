// Options of stand that change what is solved: constants of one's own, the friction band.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <map>
#include <nlohmann/json.hpp>

#include "../report/schema.h"
#include "program.h"

using namespace aplomb::test;
using Catch::Contains;
using nlohmann::json;

namespace {

Outcome stand(const Workplace& work, std::vector<std::string> more) {
  std::vector<std::string> words = {"stand",
                                    "--foot",
                                    source("meshes/feet/sample.toml"),
                                    "--shoe",
                                    source("meshes/shoes/parallel.toml"),
                                    "--position",
                                    "full-pointe-two",
                                    "--json",
                                    "-"};
  words.insert(words.end(), more.begin(), more.end());
  return work.run(words);
}

const std::string head = "format = \"aplomb-constants\"\nformat_version = 1\n";

}  // namespace

TEST_CASE("Constants of one's own are used and show in the hash", "[app]") {
  const Workplace work;
  work.write("same.toml", head);
  work.write("soft.toml", head + "toe_forefoot_E_MPa = 0.5\n");
  const json plain = json::parse(stand(work, {}).out);
  const json same = json::parse(stand(work, {"--constants", "same.toml"}).out);
  const json soft = json::parse(stand(work, {"--constants", "soft.toml"}).out);
  CHECK(same["inputs"] == plain["inputs"]);
  CHECK(same["sink_mm"] == plain["sink_mm"]);
  CHECK(soft["inputs"]["hashes"]["constants"] != plain["inputs"]["hashes"]["constants"]);
  CHECK(soft["sink_parts"]["tissue_mm"].get<double>() > plain["sink_parts"]["tissue_mm"].get<double>());
  CHECK(plain["friction_band"].is_null());
}

TEST_CASE("Constants that cannot be are one line and exit 2", "[app]") {
  const Workplace work;
  work.write("c.toml", head + "\npoisson_ratio = 0.6\n");
  const Outcome bad = stand(work, {"--constants", "c.toml"});
  CHECK(bad.exit_code == 2);
  CHECK(bad.out.empty());
  CHECK(bad.error_lines() == 1);
  CHECK_THAT(bad.err, Contains("c.toml:4: poisson_ratio: "));
  const Outcome missing = stand(work, {"--constants", "none.toml"});
  CHECK(missing.exit_code == 2);
  CHECK_THAT(missing.err, Contains("none.toml: "));
  CHECK(missing.error_lines() == 1);
}

TEST_CASE("The friction band is asked for, holds the path's answer or says why not, and changes nothing else",
          "[app]") {
  const Workplace work;
  const json plain = json::parse(stand(work, {}).out);
  const json banded = json::parse(stand(work, {"--friction-band"}).out);
  CHECK(aplomb::report::test::schema_fault("stand.schema.json", banded).empty());
  CHECK(banded["sink_mm"] == plain["sink_mm"]);
  CHECK(banded["load_share"] == plain["load_share"]);
  if (banded["friction_band"].is_null()) {
    CHECK_THAT(banded["limits"].back().get<std::string>(), Contains("friction band is not known"));
    return;
  }
  for (const auto& [key, band] : banded["friction_band"].items()) {
    CAPTURE(key);
    CHECK(band[0].get<double>() <= band[1].get<double>());
  }
  const double sink = banded["sink_mm"];
  const json& band = banded["friction_band"]["sink_mm"];
  CHECK((sink == band[0] || sink == band[1]));
}

TEST_CASE("Bands come with their evidence", "[app]") {
  const Workplace work;
  const json one = json::parse(stand(work, {"--bands", "--bands-runs", "40"}).out);
  CHECK(aplomb::report::test::schema_fault("stand.schema.json", one) == "");
  CHECK(one["bands_evidence"]["runs"] == 40);
  CHECK(one["bands"].size() > 60);
  CHECK(one["bands"]["depth_mm"]["low"] < one["bands"]["depth_mm"]["high"]);
  CHECK(one["friction_band"].is_null());
}

TEST_CASE("Gradients are asked for and change nothing else", "[app]") {
  const Workplace work;
  const json plain = json::parse(stand(work, {}).out), one = json::parse(stand(work, {"--gradients"}).out);
  CHECK(aplomb::report::test::schema_fault("stand.schema.json", one) == "");
  CHECK(one["depth_mm"] == plain["depth_mm"]);
  CHECK_FALSE(plain.contains("gradients"));
  std::map<std::string, json> by_number;
  for (const json& number : one["gradients"]) by_number[number["number"]] = number;
  CHECK(by_number.size() == one["gradients"].size());
  // Stiffer walls give less; more weight sinks deeper; a shoe without wear cannot have less.
  CHECK(by_number.at("wall_E_GPa")["slopes"]["wall_give_mm"].get<double>() < 0);
  CHECK(by_number.at("load_N")["slopes"]["sink_mm"].get<double>() > 0);
  CHECK(by_number.at("wear_hours")["why_not"].is_string());
  CHECK(by_number.at("foot_length_mm")["of"] == "foot");
}

TEST_CASE("Bands that cannot be are one line and exit 2", "[app]") {
  const Workplace work;
  work.write("turned.toml", head + "[plausible]\nheel_E_MPa = [1.4, 0.5]\n");
  const auto refused = [&](const std::vector<std::string>& more, const std::string& words) {
    const Outcome bad = stand(work, more);
    CHECK(bad.exit_code == 2);
    CHECK(bad.out.empty());
    CHECK(bad.error_lines() == 1);
    CHECK_THAT(bad.err, Contains(words));
  };
  refused({"--bands", "--bands-runs", "10"}, "--bands-runs: 10 runs are not between 40 and");
  refused({"--bands-runs", "100"}, "--bands-runs: no bands are asked for");
  refused({"--bands", "--constants", "turned.toml"}, "turned.toml:4: plausible.heel_E_MPa: ");
}
