// Sink, its parts and depth: identities on any posture, closed forms on straight moves.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <random>

#include "standing_foot.h"

using namespace aplomb;
using namespace aplomb::findings;
using namespace aplomb::findings::test;
using geometry::rad_per_deg;
using U = stance::FootUnknowns;

namespace {

/// Pointed straight down, toes straight, the lowest toe's tip `clear_mm` over the platform.
struct Pointed {
  stance::Stance stance = unsolved_stance();
  contact::Equilibrium state;

  explicit Pointed(double clear_mm) {
    auto problem = std::make_shared<contact::Problem>(*stance.problem);
    problem->linkage.T_world_rest =
        geometry::Isometry(Eigen::AngleAxisd(90 * rad_per_deg, Vec3::UnitY())) * problem->linkage.T_world_rest;
    // The slides go along the world's axes.
    for (int k = 0; k < 3; ++k)
      problem->linkage.links[foot::tibia].axes[static_cast<std::size_t>(k)].axis =
          Eigen::AngleAxisd(-90 * rad_per_deg, Vec3::UnitY()) * Vec3::Unit(k);
    stance.problem = problem;
    state = standing_state(stance);
    for (int k = 0; k < foot::toe_count; ++k) {
      const auto mtp = static_cast<std::size_t>(foot::joint_index(*stance.foot, numbered("MTP", k)));
      state.q[U::mtp_flexion + k] = stance.foot->joints[mtp].straight_deg * rad_per_deg;
      state.q[U::ip + k] = 0;
    }
    double lowest = 1e9;
    const PosedFoot posed = pose_foot(stance, state);
    for (int k = 0; k < foot::toe_count; ++k)
      lowest = std::min(lowest, posed.landmark_S(numbered("bonetip", k)).z() - tip_layer_mm(*stance.foot, k));
    state.q[U::slide_z] += stance.shoe->box.platform_z() + clear_mm - lowest;
  }

  Findings to(const contact::Equilibrium& rest) const {
    Findings f;
    find_sink(pose_foot(stance, state), pose_foot(stance, rest), f);
    return f;
  }
};

}  // namespace

TEST_CASE("A foot that comes straight down sinks by that much: slide till it touches, tissue from there on",
          "[findings][sink]") {
  const Pointed seated(4);
  contact::Equilibrium rest = seated.state;
  rest.q[U::slide_z] -= 5.5;
  const Findings f = seated.to(rest);
  CHECK(*f.sink_mm == Approx(5.5).epsilon(1e-12));
  CHECK(*f.curl_mm == Approx(0).margin(1e-9));
  CHECK(*f.tip_clearance_seated_mm == Approx(4).epsilon(1e-12));
  CHECK(*f.depth_mm == Approx(1.5).epsilon(1e-9));  // straight toes would reach 1.5 mm through the platform
  double most_tissue = 0;
  for (const ToeFindings& toe : f.toes) {
    CHECK(*toe.sink_mm == Approx(5.5).epsilon(1e-12));
    CHECK(*toe.slide_mm >= 4 - 1e-9);
    CHECK(*toe.slide_mm + *toe.tissue_mm == Approx(5.5).epsilon(1e-12));
    most_tissue = std::max(most_tissue, *toe.tissue_mm);
  }
  CHECK(most_tissue == Approx(1.5).epsilon(1e-9));
}

TEST_CASE("Hung up in the box: depth is negative by what the straight toes lack to the platform", "[findings][sink]") {
  const Pointed seated(7);
  CHECK(*seated.to(seated.state).depth_mm == Approx(-7).epsilon(1e-9));
  CHECK(*seated.to(seated.state).sink_mm == Approx(0).margin(1e-12));
}

TEST_CASE("Depth lays the toes straight: their bend at rest does not change it", "[findings][sink]") {
  const Pointed seated(3);
  contact::Equilibrium rest = seated.state;
  rest.q[U::slide_z] -= 2;
  const double straight = *seated.to(rest).depth_mm;
  for (int k = 0; k < foot::toe_count; ++k) {
    rest.q[U::ip + k] = 0.3 + 0.1 * k;
    rest.q[U::mtp_flexion + k] -= 0.2;
  }
  const Findings bent = seated.to(rest);
  CHECK(*bent.depth_mm == Approx(straight).margin(1e-12));
  CHECK(*bent.depth_mm == Approx(-1).epsilon(1e-9));
  for (int k = 0; k < foot::toe_count; ++k)
    CHECK(*bent.toes[k].bend_deg == Approx((0.3 + 0.1 * k) * geometry::deg_per_rad).epsilon(1e-12));
  CHECK(*bent.curl_mm > 0);  // bent toes are shorter
}

TEST_CASE("Slide, tissue and curl add up to sink in any two postures, toe by toe", "[findings][sink]") {
  const Pointed seated(2);
  std::mt19937 random(20);
  std::uniform_real_distribution<double> turn(-0.15, 0.15), move(-6, 6);
  for (int round = 0; round < 20; ++round) {
    Pointed from = seated;
    contact::Equilibrium rest = seated.state;
    for (int i = 0; i < U::count; ++i) {
      const bool slides = i <= U::slide_z;
      from.state.q[i] += slides ? move(random) : turn(random);
      rest.q[i] += slides ? move(random) : turn(random);
    }
    const Findings f = from.to(rest);
    CHECK(std::abs(*f.slide_mm + *f.tissue_mm + *f.curl_mm - *f.sink_mm) < 1e-9);
    double mean = 0;
    for (const ToeFindings& toe : f.toes) {
      CHECK(std::abs(*toe.slide_mm + *toe.tissue_mm + *toe.curl_mm - *toe.sink_mm) < 1e-9);
      mean += *toe.sink_mm / 5;
    }
    CHECK(mean == Approx(*f.sink_mm).margin(1e-12));
  }
}
