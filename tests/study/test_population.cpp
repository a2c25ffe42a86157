// Studies: seeds, grading, order and bits on any thread count, refusals, cancelling; without a solve.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <atomic>
#include <set>
#include <stdexcept>

#include "../../src/study/parallel.h"
#include "setup.h"

using namespace aplomb;
using namespace aplomb::study;
using namespace aplomb::study::test;
using Catch::Contains;

namespace {

/// Feet and shoes are made in full, but the solver may not take a step: quick, and every stand says why it has no rest.
PopulationOptions without_solving(int feet) {
  PopulationOptions options;
  options.feet = feet;
  options.shoes = {sample_shoe("tapered"), sample_shoe("deep_box")};
  options.stand.solve.max_iterations = 0;
  return options;
}

std::string refusal(const PopulationOptions& options) {
  const auto stands = stand_population(model(), prior(), options);
  REQUIRE_FALSE(stands);
  CHECK(stands.error().kind == io::ErrorKind::bad_input);
  CHECK_FALSE(stands.error().remedy.empty());
  return io::to_line(stands.error());
}

}  // namespace

TEST_CASE("seeds of feet are the outputs of SplitMix64") {
  // First outputs for seed 1234567, as published with the generator's translations (Rosetta Code, "Pseudo-random
  // numbers/Splitmix64").
  const std::uint64_t published[] = {6457827717110365317ULL, 3203168211198807973ULL, 9817491932198370423ULL,
                                     4593380528125082431ULL, 16408922859458223821ULL};
  for (int i = 0; i < 5; ++i) CHECK(foot_seed(1234567, i) == published[i]);
  std::set<std::uint64_t> seen;
  for (std::uint64_t seed = 0; seed < 20; ++seed)
    for (int i = 0; i < 500; ++i) seen.insert(foot_seed(seed, i));
  CHECK(seen.size() == 20 * 500);
}

TEST_CASE("a shoe graded to the foot it fits stays as it is, to another keeps its ratios") {
  const auto base = sample_shoe("tapered");
  const auto same = need(graded_to(base, 238, 89, 238, 89));
  CHECK(same.inner_length_mm == base.inner_length_mm);
  CHECK(same.ball_breadth_mm == base.ball_breadth_mm);
  CHECK(same.platform_breadth_mm == base.platform_breadth_mm);
  CHECK(same.wing_medial_mm == base.wing_medial_mm);
  const auto other = need(graded_to(base, 238, 89, 260, 92));
  CHECK(other.inner_length_mm / 260 == Approx(base.inner_length_mm / 238).epsilon(1e-12));
  CHECK(other.ball_breadth_mm / 92 == Approx(base.ball_breadth_mm / 89).epsilon(1e-12));
}

TEST_CASE("stands come foot by foot, shoe by shoe, position by position, in any number of threads") {
  PopulationOptions options = without_solving(4);
  options.threads = 1;
  const auto stands = run_study(options);
  REQUIRE(stands.size() == 4 * 2 * 2);
  for (std::size_t i = 0; i < stands.size(); ++i) {
    CAPTURE(i);
    const StandRecord& stand = stands[i];
    CHECK(stand.foot == static_cast<int>(i / 4));
    CHECK(stand.shoe == options.shoes[i / 2 % 2].name);
    CHECK(stand.position == options.positions[i % 2]);
    CHECK(stand.foot_length_mm == stands[i / 4 * 4].foot_length_mm);
    CHECK(stand.inner_length_mm / stand.foot_length_mm ==
          Approx(options.shoes[i / 2 % 2].inner_length_mm / 238).epsilon(1e-12));
    CHECK(stand.mass_kg >= 35);
    CHECK_FALSE(stand.findings.converged);
    CHECK_FALSE(stand.findings.reason.empty());
  }
  CHECK(stands[0].foot_length_mm != stands[4].foot_length_mm);
  for (const int threads : {2, 5}) {
    options.threads = threads;
    CHECK(untimed(run_study(options)) == untimed(stands));
  }
  options.feet = 2;  // the first feet are the same however many are drawn
  CHECK(untimed(run_study(options)) == untimed({stands.begin(), stands.begin() + 8}));
  options.seed = 2;
  CHECK(run_study(options)[0].foot_length_mm != stands[0].foot_length_mm);
}

TEST_CASE("a foot that cannot be had says why and the others go on") {
  PopulationOptions options = without_solving(2);
  options.shoes[0].wall_thickness_mm = -1;
  const auto stands = run_study(options);
  for (const StandRecord& stand : stands) {
    const bool good = stand.shoe == options.shoes[1].name;
    CHECK(stand.foot_length_mm > 120);
    CHECK((stand.inner_length_mm > 0) == good);
    CHECK_FALSE(stand.findings.converged);
    CHECK_THAT(stand.findings.reason, Contains(good ? "seat" : "no shoe"));
    if (!good) CHECK_THAT(stand.findings.reason, Contains("wall_thickness_mm"));
  }
}

TEST_CASE("impossible studies are refused") {
  for (const int feet : {0, -3, most_feet + 1}) {
    PopulationOptions options = without_solving(feet);
    CHECK_THAT(refusal(options), Contains("--feet"));
  }
  PopulationOptions options = without_solving(1);
  options.threads = -1;
  CHECK_THAT(refusal(options), Contains("--threads"));
  options = without_solving(1);
  options.shoes.clear();
  CHECK_THAT(refusal(options), Contains("--shoe"));
  options = without_solving(1);
  options.positions.clear();
  CHECK_THAT(refusal(options), Contains("--position"));
  options = without_solving(1);
  options.fits_length_mm = std::nan("");
  CHECK_THAT(refusal(options), Contains("--fits"));
}

TEST_CASE("studies of any position are answered") {
  for (const std::string& name : stance::position_names()) {
    PopulationOptions options = without_solving(1);
    options.positions = {*stance::position_named(name)};
    const auto stands = stand_population(model(), prior(), options);
    CAPTURE(name);
    REQUIRE(stands);
    CHECK(stands->size() == options.shoes.size());
  }
}

TEST_CASE("a cancelled study stops and gives no answer") {
  std::atomic<bool> cancel{false};
  PopulationOptions options = without_solving(50);
  options.threads = 2;
  // Reported by the first stand: stops long before the last foot is drawn.
  std::atomic<int> reports{0};
  io::Progress progress;
  progress.cancel = &cancel;
  progress.report = [&](double, std::string_view) {
    if (++reports > 1) cancel = true;
  };
  const auto stands = stand_population(model(), prior(), options, progress);
  REQUIRE_FALSE(stands);
  CHECK(stands.error().kind == io::ErrorKind::cancelled);
  CHECK(reports < 10);
}

TEST_CASE("every index is worked on once, and a fault comes out") {
  for (const int threads : {1, 3, 16}) {
    // Many and short, so that the threads meet at the counter.
    std::vector<std::atomic<int>> visits(200000);
    for_each_index(200000, threads, nullptr, [&](int i) { ++visits[static_cast<std::size_t>(i)]; });
    CHECK(std::count(visits.begin(), visits.end(), 1) == 200000);
    std::atomic<int> worked{0};
    CHECK_THROWS_AS(for_each_index(1000000, threads, nullptr,
                                   [&](int i) {
                                     ++worked;
                                     if (i == 7) throw std::runtime_error("broken");
                                   }),
                    std::runtime_error);
    CHECK(worked < 1000000);
  }
}
