// Bands of real stands: the same for any number of threads, narrower for a foot that is known better, and what is
// absent or does not balance is counted.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>

#include "aplomb/bands/doubts.h"
#include "aplomb/findings/assess.h"
#include "sample_stand.h"

using namespace aplomb;
using namespace aplomb::bands;
using namespace aplomb::bands::test;
using namespace aplomb::source_data;

namespace {

const findings::Findings& answer() {
  static const findings::Findings found =
      findings::assess(need(stance::stand(card_foot(), sample_shoe(), stance::StandOptions{})));
  return found;
}

const findings::Doubt& band(const findings::Doubts& doubts, const std::string& key) {
  for (const findings::Doubt& one : doubts.bands)
    if (one.key == key) return one;
  FAIL("no band of " << key);
  return doubts.bands.front();
}

/// The foot alone: all guesses known.
DoubtOptions foot_alone() {
  DoubtOptions options;
  options.runs = least_runs;
  options.ranges.clear();
  return options;
}

}  // namespace

TEST_CASE("A foot that is known better has narrower bands", "[bands][doubts]") {
  const DoubtOptions options = foot_alone();
  const findings::Doubts wide = need(doubts(card_foot(), sample_shoe(), model(), answer(), options));
  CHECK(wide.bands.size() > 60);
  CHECK(wide.runs == wide.not_converged + wide.refused + band(wide, "depth_mm").runs + band(wide, "depth_mm").absent);

  // A quarter of the variance of everything.
  foot::Foot surer = *card_foot();
  for (double& entry : surer.covariance) entry /= 4;
  for (auto& [key, number] : surer.measurements) number.sd /= 2;
  const findings::Doubts narrow =
      need(doubts(std::make_shared<const foot::Foot>(surer), sample_shoe(), model(), answer(), options));
  for (const char* const key : {"depth_mm", "sink_mm", "crowding_index", "peak_kPa", "load_share.platform",
                                "plantarflexion_used_deg", "wing_cover.medial_mm"}) {
    const findings::Doubt &before = band(wide, key), &after = band(narrow, key);
    CAPTURE(key, before.low, before.high, after.low, after.high);
    CHECK(after.high - after.low <= before.high - before.low + before.low_error + before.high_error);
    CHECK(after.high - after.low > 0);
    CHECK(before.low < before.median);
    CHECK(before.median < before.high);
  }
}

TEST_CASE("Runs that do not balance or lack a number are counted, not dropped", "[bands][doubts]") {
  const Inputs inputs = need(Inputs::make(card_foot(), sample_shoe(), model(), stance::StandOptions{}, usual_ranges()));
  const Eigen::MatrixXd standard = standard_points(inputs.laws(), 60, 1);
  // Findings made up: depth is a sum of two inputs; every third run has no heel slack but it, ten do not balance.
  Runs runs(60);
  for (int i = 0; i < 60; ++i) {
    if (i == 7) continue;  // refused
    runs[i] = findings::Findings{};
    runs[i]->converged = i >= 10 || i == 0;
    runs[i]->depth_mm = 2 * standard(i, 0) + standard(i, 20);
    if (i % 3 != 0) runs[i]->heel_slack_mm = standard(i, 1);
    if (i > 50) runs[i]->toe_room_mm = 1;
  }
  const findings::Doubts found = doubts_of(inputs, standard, runs, *runs[0], nullptr, 1, 2);
  const findings::Doubts alone = doubts_of(inputs, standard, runs, *runs[0], nullptr, 1, 1);
  REQUIRE(alone.bands.size() == found.bands.size());
  for (std::size_t k = 0; k < found.bands.size(); ++k) {
    CHECK(alone.bands[k].low == found.bands[k].low);
    CHECK(alone.bands[k].high == found.bands[k].high);
    CHECK(alone.bands[k].words == found.bands[k].words);
  }
  CHECK(found.refused == 1);
  CHECK(found.not_converged == 8);
  CHECK(band(found, "depth_mm").runs == 51);
  CHECK(band(found, "depth_mm").absent == 0);
  CHECK(band(found, "depth_mm").by_expansion);
  // Normal of variance 4 plus uniform on -1..1.
  REQUIRE(band(found, "depth_mm").sources.size() == 2);
  CHECK(band(found, "depth_mm").sources[0].key == "foot_shape");
  CHECK(band(found, "depth_mm").sources[0].total == Approx(4 / (4 + 1.0 / 3)).epsilon(1e-6));
  CHECK(band(found, "depth_mm").sources[1].guess);
  CHECK(band(found, "heel_slack_mm").runs + band(found, "heel_slack_mm").absent == 51);
  CHECK(band(found, "heel_slack_mm").absent > 10);
  std::string notes;
  for (const std::string& note : found.notes) notes += note + "\n";
  CHECK_THAT(notes, Catch::Contains("8 of 60 runs found no place of rest") && Catch::Contains("1 of 60 runs had") &&
                        Catch::Contains("No band of toe_room_mm: only 9 of 60"));
}

TEST_CASE("Runs are the same bits for any number of threads", "[bands][doubts]") {
  stance::StandOptions stand;
  stand.solve = contact::quick_options(nullptr);
  const Inputs inputs = need(Inputs::make(card_foot(), sample_shoe(), model(), stand, usual_ranges()));
  const Eigen::MatrixXd standard = standard_points(inputs.laws(), 4, 1);
  const Runs one = need(stand_runs(inputs, standard, 1)), three = need(stand_runs(inputs, standard, 3));
  for (std::size_t i = 0; i < one.size(); ++i) {
    REQUIRE(one[i]);
    REQUIRE(three[i]);
    const auto before = findings::named_numbers(*one[i]), after = findings::named_numbers(*three[i]);
    for (std::size_t k = 0; k < before.size(); ++k) CHECK(before[k].value == after[k].value);
  }
}

TEST_CASE("Too few runs, and being cancelled, are told", "[bands][doubts]") {
  DoubtOptions options = foot_alone();
  options.runs = least_runs - 1;
  const auto few = doubts(card_foot(), sample_shoe(), model(), answer(), options);
  REQUIRE_FALSE(few);
  CHECK(few.error().field == "--bands-runs");
  options.runs = least_runs;
  const std::atomic<bool> cancel{true};
  const auto stopped = doubts(card_foot(), sample_shoe(), model(), answer(), options, {{}, &cancel});
  REQUIRE_FALSE(stopped);
  CHECK(stopped.error().kind == io::ErrorKind::cancelled);
}

TEST_CASE("Being cancelled once all runs are there is told too", "[bands][doubts]") {
  DoubtOptions options = foot_alone();
  options.runs = least_runs;
  std::atomic<bool> cancel{false};
  std::atomic<int> late{0};
  const auto stopped = doubts(card_foot(), sample_shoe(), model(), answer(), options,
                              {[&](double fraction, std::string_view what) {
                                 if (what.find("all runs") == what.npos) return;
                                 CHECK(fraction < 1);
                                 ++late;
                                 cancel = true;
                               },
                               &cancel});
  CHECK(late == 1);
  REQUIRE_FALSE(stopped);
  CHECK(stopped.error().kind == io::ErrorKind::cancelled);
}
