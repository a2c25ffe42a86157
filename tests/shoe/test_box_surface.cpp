// The box surface: derivatives against finite differences, closest points, cover, shape.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <Eigen/Eigenvalues>
#include <catch2/catch.hpp>
#include <chrono>
#include <random>

#include "samples.h"

using namespace aplomb;
using namespace aplomb::shoe;
using geometry::SurfaceSample;
using test::sample_shoe;

namespace {

// Points beside the inner surface, `clear_mm` to the free side (negative: overlap), spread over platform, edge and
// wall.
struct Probe {
  Vec3 on_surface, x;
  double gap_mm;
};
std::vector<Probe> probes(const BoxSurface& box, int count, double from_gap, double to_gap, unsigned seed) {
  std::mt19937 random(seed);
  std::uniform_real_distribution<double> uniform(0, 1);
  std::vector<Probe> result;
  for (int i = 0; i < count; ++i) {
    const double turn = uniform(random), up = uniform(random), gap = from_gap + (to_gap - from_gap) * uniform(random);
    // A third on the rounded edge, a third near it, the rest up to the cut.
    const double v = i % 3 == 0 ? up : i % 3 == 1 ? 3 * up : up * box.cut_v(turn);
    const auto wall = box.wall_point(turn, v);
    result.push_back({wall.position_S, wall.position_S + gap * wall.inward_S, gap});
  }
  return result;
}

}  // namespace

TEST_CASE("the gap is the distance along the normal, and its foot is where it came from", "[core]") {
  const std::string name = GENERATE("tapered", "parallel", "deep_box");
  const Shoe shoe = sample_shoe(name);
  double worst_gap = 0, worst_foot = 0;
  for (const Probe& probe : probes(shoe.box, 6000, -8, 3, 11)) {
    SurfaceSample s;
    REQUIRE(shoe.box.sample(probe.x, 5, s));
    worst_gap = std::max(worst_gap, std::abs(s.gap_mm - probe.gap_mm));
    worst_foot = std::max(worst_foot, (probe.x - s.gap_mm * s.normal - probe.on_surface).norm());
  }
  CHECK(worst_gap < 1e-9);
  CHECK(worst_foot < 1e-6);
}

TEST_CASE("normal and curvature are the derivatives of the gap", "[core]") {
  const std::string name = GENERATE("tapered", "parallel", "deep_box");
  const Shoe shoe = sample_shoe(name);
  double worst_normal = 0, worst_curvature = 0;
  for (const Probe& probe : probes(shoe.box, 1500, -8, 2, 5)) {
    const SurfaceSample s = shoe.box.nearest(probe.x);
    CHECK(std::abs(s.normal.norm() - 1) < 1e-12);
    constexpr double h = 1e-4;
    Vec3 gradient;
    Mat3 turning;
    for (int k = 0; k < 3; ++k) {
      const Vec3 e = h * Vec3::Unit(k);
      const SurfaceSample plus = shoe.box.nearest(probe.x + e), minus = shoe.box.nearest(probe.x - e);
      gradient[k] = (plus.gap_mm - minus.gap_mm) / (2 * h);
      turning.col(k) = (plus.normal - minus.normal) / (2 * h);
    }
    worst_normal = std::max(worst_normal, (gradient - s.normal).norm());
    // Relative to the largest curvature there, or to that of a 10 mm ball where the surface is nearly flat.
    const double error = (turning - s.curvature).norm() / std::max(s.curvature.norm(), 0.1);
    worst_curvature = std::max(worst_curvature, error);
  }
  CHECK(worst_normal < 1e-7);
  CHECK(worst_curvature < 1e-6);
}

TEST_CASE("cover: gradient and Hessian are its derivatives, one in the box and nothing past the cut", "[core]") {
  const std::string name = GENERATE("tapered", "parallel", "deep_box");
  ShoeParameters parameters = sample_shoe(name).parameters;
  parameters.cut = Cut::right;
  parameters.wing_medial_mm += 7;
  const auto made = make_shoe(parameters);
  REQUIRE(made);
  const BoxSurface& box = made->box;
  std::mt19937 random(3);
  std::uniform_real_distribution<double> uniform(0, 1);
  double worst_gradient = 0, worst_hessian = 0;
  for (int i = 0; i < 2000; ++i) {
    const double turn = uniform(random);
    const auto edge = box.wall_point(turn, box.cut_v(turn));
    const Vec3 x = edge.position_S - 4 * uniform(random) * edge.inward_S + Vec3(0, 0, 2.8 * uniform(random));
    SurfaceSample s, plus, minus;
    if (!box.sample(x, 50, s) || s.cover < 1e-3) continue;
    constexpr double h = 1e-4;
    Vec3 gradient;
    Mat3 hessian;
    for (int k = 0; k < 3; ++k) {
      const Vec3 e = h * Vec3::Unit(k);
      REQUIRE(box.sample(x + e, 50, plus));
      REQUIRE(box.sample(x - e, 50, minus));
      gradient[k] = (plus.cover - minus.cover) / (2 * h);
      hessian.col(k) = (plus.cover_gradient - minus.cover_gradient) / (2 * h);
    }
    worst_gradient = std::max(worst_gradient, (gradient - s.cover_gradient).norm());
    worst_hessian = std::max(worst_hessian, (hessian - s.cover_hessian).norm());
  }
  CHECK(worst_gradient < 1e-6);
  CHECK(worst_hessian < 1e-6);

  const double t = parameters.platform_thickness_mm;
  const auto cover_at = [&](double turn, double z) {
    const auto wall = box.wall_point(turn, box.v_of_z(z));
    SurfaceSample s;
    return box.sample(wall.position_S, 1, s) ? s.cover : 0.0;
  };
  CHECK(cover_at(0, t + parameters.vamp_length_mm - 0.1) == 1);
  CHECK(cover_at(0, t + parameters.vamp_length_mm + 0.1) < 1);
  CHECK(cover_at(0, t + parameters.vamp_length_mm + 3.05) == 0);
  CHECK(cover_at(0.5, t + parameters.sole_edge_mm - 0.1) == 1);
  CHECK(cover_at(0.5, t + parameters.sole_edge_mm + 3.01) == 0);
  const double centre_x = std::tan(parameters.platform_tilt_deg * geometry::rad_per_deg) * parameters.ball_height_mm;
  CHECK(box.cut_z({centre_x, 60}) == Approx(t + parameters.wing_medial_mm).margin(0.01));
  CHECK(box.cut_z({centre_x, -60}) == Approx(t + parameters.wing_lateral_mm).margin(0.01));
}

TEST_CASE("the box measures what its parameters say", "[core]") {
  const std::string name = GENERATE("tapered", "parallel", "deep_box");
  const Shoe shoe = sample_shoe(name);
  const ShoeParameters& p = shoe.parameters;
  const auto extent = [&](double v, int axis) {
    double low = 1e9, high = -1e9;
    for (int i = 0; i < 4000; ++i) {
      const double at = shoe.box.wall_point(i / 4000.0, v).position_S[axis];
      low = std::min(low, at), high = std::max(high, at);
    }
    return high - low;
  };
  const double ball = shoe.box.v_of_z(p.platform_thickness_mm + p.ball_height_mm);
  CHECK(extent(ball, 1) == Approx(p.ball_breadth_mm).margin(2e-3));
  CHECK(extent(ball, 0) == Approx(p.crown_height_mm).margin(2e-3));
  CHECK(extent(0, 1) == Approx(p.platform_breadth_mm).margin(2e-3));
  CHECK(extent(0, 0) == Approx(p.platform_height_mm).margin(2e-3));
  CHECK(shoe.box.platform_z() == p.platform_thickness_mm);
  CHECK(platform_margin(shoe, {0, 0}) == Approx(p.platform_height_mm / 2).margin(2e-2));
  CHECK(platform_margin(shoe, {0, p.platform_breadth_mm / 2 + 5}) == Approx(-5).margin(2e-2));

  // Smallest radius of curvature, and no hollow anywhere.
  double sharpest = 0, hollow = 0;
  for (int i = 0; i < 400; ++i)
    for (double v = 0.01; v < shoe.box.cut_v(i / 400.0); v += 0.02) {
      const Mat3 k = shoe.box.nearest(shoe.box.wall_point(i / 400.0, v).position_S).curvature;
      const Eigen::Vector3d values = Eigen::SelfAdjointEigenSolver<Mat3>(k).eigenvalues();
      sharpest = std::max(sharpest, -values[0]);
      hollow = std::max(hollow, values[2]);
    }
  CHECK(1 / sharpest == Approx(p.edge_radius_mm).epsilon(0.15));
  CHECK(hollow < 1e-5);
}

TEST_CASE("zones: platform below, walls by side, vamp past the cap", "[core]") {
  const Shoe shoe = sample_shoe("parallel");
  const double t = shoe.box.platform_z(), cap = shoe.parameters.cap_length_mm;
  const auto zone_at = [&](double turn, double height) {
    return static_cast<Zone>(shoe.box.nearest(shoe.box.wall_point(turn, shoe.box.v_of_z(t + height)).position_S).zone);
  };
  CHECK(zone_at(0, cap - 1) == Zone::wall_dorsal);
  CHECK(zone_at(0, cap + 1) == Zone::vamp);
  CHECK(zone_at(0.25, 40) == Zone::wall_medial);
  CHECK(zone_at(0.5, 40) == Zone::wall_sole);
  CHECK(zone_at(0.75, 40) == Zone::wall_lateral);
  CHECK(shoe.box.wall_point(0.25, 5).position_S.y() > 0);  // +y is medial
  CHECK(shoe.box.wall_point(0, 5).position_S.x() > shoe.box.wall_point(0.5, 5).position_S.x());
  for (const double gap : {-3.0, 0.0, 2.0}) {
    const SurfaceSample s = shoe.box.nearest({1, 2, t + gap});
    CHECK(static_cast<Zone>(s.zone) == Zone::platform);
    CHECK(s.gap_mm == Approx(gap).margin(1e-12));
    CHECK(s.normal == Vec3::UnitZ());
    CHECK(s.curvature == Mat3::Zero());
  }
}

TEST_CASE("across the edge of the flat gap, normal and curvature run on without a step", "[core]") {
  const Shoe shoe = sample_shoe(GENERATE("tapered", "deep_box"));
  const double gap = GENERATE(-6.0, 0.0, 2.0);
  for (int i = 0; i < 40; ++i) {
    const auto edge = shoe.box.wall_point(i / 40.0, 0);
    const Vec3 x = edge.position_S + gap * Vec3::UnitZ();
    Vec3 out(edge.position_S.x(), edge.position_S.y(), 0);
    out.normalize();
    for (const double step : {1e-3, 1e-6, 1e-9}) {
      const SurfaceSample before = shoe.box.nearest(x - step * out), after = shoe.box.nearest(x + step * out);
      CHECK(std::abs(before.gap_mm - after.gap_mm) < 1e-7 * step + 1e-9);
      CHECK((before.normal - after.normal).norm() < 0.02 * step + 1e-9);
      CHECK((before.curvature - after.curvature).norm() < 5 * step + 1e-6);
    }
  }
}

TEST_CASE("nothing is reported beyond the band, past the cut, far away, or for a point that is not one", "[core]") {
  const Shoe shoe = sample_shoe("tapered");
  const double t = shoe.box.platform_z();
  SurfaceSample s;
  CHECK(shoe.box.sample({0, 0, t + 2}, 2.001, s));
  CHECK_FALSE(shoe.box.sample({0, 0, t + 2}, 1.999, s));
  CHECK_FALSE(shoe.box.sample({0, 0, t + 30}, 5, s));
  CHECK_FALSE(shoe.box.sample({0, 60, 150}, 5, s));
  CHECK_FALSE(shoe.box.sample({0, 1e9, 10}, 5, s));
  const double nan = std::numeric_limits<double>::quiet_NaN();
  CHECK_FALSE(shoe.box.sample({nan, 0, 10}, 5, s));
  CHECK_FALSE(shoe.box.sample({0, 0, nan}, 5, s));
  // A deep overlap is reported, however deep.
  REQUIRE(shoe.box.sample({0, 0, t - 40}, 1, s));
  CHECK(s.gap_mm == Approx(-40));
  const auto wall = shoe.box.wall_point(0.3, shoe.box.v_of_z(t + 30));
  const Vec3 deep = wall.position_S - 35 * wall.inward_S;
  REQUIRE(shoe.box.sample(deep, 1, s));
  CHECK(s.gap_mm == Approx(-35));
}

TEST_CASE("a search that starts where the last one ended finds the same", "[core]") {
  const Shoe shoe = sample_shoe(GENERATE("tapered", "parallel", "deep_box"));
  std::mt19937 random(3);
  std::normal_distribution<double> normal;
  double worst = 0;
  for (const Probe& probe : probes(shoe.box, 600, -5, 2.5, 9)) {
    SurfaceSample walked;
    bool before = shoe.box.sample(probe.x, 3, walked);
    Vec3 x = probe.x;
    for (int step = 0; step < 6; ++step) {
      x += 0.7 * Vec3(normal(random), normal(random), normal(random)).normalized();
      walked.near = before && walked.near;
      before = shoe.box.sample(x, 3, walked);
      SurfaceSample fresh;
      REQUIRE(shoe.box.sample(x, 3, fresh) == before);
      if (!before) break;
      worst = std::max({worst, std::abs(walked.gap_mm - fresh.gap_mm), (walked.normal - fresh.normal).norm()});
    }
  }
  CHECK(worst < 1e-8);
}

TEST_CASE("a place of long ago does not lead astray", "[core]") {
  const std::string name = GENERATE("tapered", "parallel", "deep_box");
  const Shoe shoe = sample_shoe(name);
  SurfaceSample reused;
  int wrong = 0;
  for (const Probe& probe : probes(shoe.box, 20000, -6, 3, 23)) {
    REQUIRE(shoe.box.sample(probe.x, 5, reused));
    if (std::abs(reused.gap_mm - probe.gap_mm) > 1e-6) ++wrong;
  }
  CHECK(wrong == 0);
}

TEST_CASE("what is too far to touch tells how far at least", "[core]") {
  const Shoe shoe = sample_shoe(GENERATE("tapered", "deep_box"));
  int far = 0;
  for (const Probe& probe : probes(shoe.box, 600, 1, 14, 10)) {
    SurfaceSample s;
    if (shoe.box.sample(probe.x, 2, s) || s.gap_mm == geometry::unknown_gap_mm) continue;
    ++far;
    CHECK(s.gap_mm <= shoe.box.nearest(probe.x).gap_mm + 1e-6);
  }
  CHECK(far > 100);
  // The same said quickly, everywhere in the box: never too much, and mostly within a millimetre.
  int close = 0;
  constexpr int places = 3000;
  for (const Probe& probe : probes(shoe.box, places, -3, 20, 12)) {
    const double least = shoe.box.gap_at_least(probe.x), gap = shoe.box.nearest(probe.x).gap_mm;
    if (least == geometry::unknown_gap_mm) continue;
    CHECK(least <= gap + 0.05);  // the tables' own nearest points may be second best by as much, deep inside
    close += least > gap - 1 ? 1 : 0;
  }
  CHECK(close > places / 2);
  CHECK(shoe.box.gap_at_least(Vec3(0, 0, 500)) == geometry::unknown_gap_mm);
  SurfaceSample above;
  above.gap_mm = 5;
  CHECK_FALSE(shoe.box.sample(Vec3(0, 0, 500), 3, above));
  // Beyond the cut: how far it is down to where the wall's last fade begins, and not a hair more.
  CHECK(above.gap_mm <= 500 - shoe.box.highest_cut_z());
  CHECK(above.gap_mm > 500 - shoe.box.highest_cut_z() - 5);
}

TEST_CASE("a straight shoe is its own mirror image", "[core]") {
  const Shoe shoe = sample_shoe("deep_box");
  double worst = 0;
  for (const Probe& probe : probes(shoe.box, 1000, -8, 3, 9)) {
    const SurfaceSample a = shoe.box.nearest(probe.x),
                        b = shoe.box.nearest(Vec3(probe.x.x(), -probe.x.y(), probe.x.z()));
    worst = std::max(worst, std::abs(a.gap_mm - b.gap_mm));
    worst = std::max(worst, (a.normal - Vec3(b.normal.x(), -b.normal.y(), b.normal.z())).norm());
  }
  CHECK(worst < 1e-9);
}

TEST_CASE("bench: building a shoe and sampling near its box", "[.][bench]") {
  using Clock = std::chrono::steady_clock;
  const auto ns_since = [](Clock::time_point start) {
    return std::chrono::duration<double, std::nano>(Clock::now() - start).count();
  };
  const Shoe shoe = sample_shoe("tapered");
  auto start = Clock::now();
  for (int i = 0; i < 10; ++i) REQUIRE(make_shoe(shoe.parameters));
  const double make_ms = ns_since(start) / 10e6;
  const auto points = probes(shoe.box, 100000, -8, 2, 1);
  SurfaceSample s;
  start = Clock::now();
  constexpr int rounds = 10;
  for (int i = 0; i < rounds; ++i)
    for (const Probe& probe : points) (void)shoe.box.sample(probe.x, 2, s);
  const double near_ns = ns_since(start) / rounds / points.size();
  start = Clock::now();
  for (int i = 0; i < rounds; ++i)
    for (const Probe& probe : points) (void)shoe.box.sample(probe.x - Vec3(0, 0, -60), 2, s);
  WARN("make_shoe " << make_ms << " ms, sample() near the surface " << near_ns << " ns, past the cut "
                    << ns_since(start) / rounds / points.size() << " ns");
}
