// The shape model: what its fields must leave alone, and what they must not do.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>

#include "aplomb/foot/build.h"
#include "aplomb/geometry/exact.h"
#include "aplomb/geometry/mesh.h"
#include "feet.h"

using namespace aplomb;
using namespace aplomb::foot;
using Catch::Detail::Approx;
using testing::model;
using testing::sites;

TEST_CASE("shape: every parameter leaves frame F where it is", "[shape]") {
  for (int k = 1; k < shape_count; ++k) {
    CAPTURE(number_table()[k].key);
    const Vec3 heel = model().skin.block<3, 1>(3 * sites().heel_back, k),
               tip = model().skin.block<3, 1>(3 * sites().toe_tip[1], k);
    const double tip_y = model().mean.skin.vertices_F[static_cast<std::size_t>(sites().toe_tip[1])].y();
    CHECK(heel.x() == Approx(0).margin(0.01));
    CHECK(heel.y() == Approx(0).margin(0.01));
    CHECK(tip.y() == Approx(0).margin(0.01 + 0.02 * std::abs(tip_y)));
  }
}

TEST_CASE("shape: each parameter moves its own dimension about one for one", "[shape]") {
  const auto mean = measure(sites(), body_at(model(), Shape::Zero()));
  for (int k = 1; k < shape_count; ++k) {
    CAPTURE(number_table()[k].key);
    Shape shape = Shape::Zero();
    shape[k] = 0.5;
    CHECK((measure(sites(), body_at(model(), shape))[k].value - mean[k].value) / 0.5 == Approx(1).margin(0.35));
  }
}

TEST_CASE("shape: the sole stays on the floor", "[shape]") {
  const Conditional usual = given_length(testing::prior(), 240);
  for (int k = 1; k < shape_count; ++k) {
    for (const double sds : {-2.5, 2.5}) {
      CAPTURE(number_table()[k].key, sds);
      Shape shape = Shape::Zero();
      shape[k] = sds * std::sqrt(usual.covariance(k - 1, k - 1));
      const double lowest = body_at(model(), shape).skin.row(2).minCoeff();
      CHECK(lowest > -0.6);
      CHECK(lowest < 0.6);
    }
  }
}

TEST_CASE("shape: fields are smooth over every mesh edge", "[shape]") {
  // Neighbours part by at most 6 % of their distance for one mm or degree; where two toes part at a web, their skins, a
  // mm or two apart, slide along each other by up to a quarter.
  double worst[2] = {0, 0};
  int worst_k[2] = {0, 0};
  for (const auto& face : model().mean.skin.faces) {
    for (int e = 0; e < 3; ++e) {
      const int a = face[e], b = face[(e + 1) % 3];
      const double apart = (model().mean.skin.vertices_F[a] - model().mean.skin.vertices_F[b]).norm();
      for (int k = 1; k < shape_count; ++k) {
        const double strain =
            (model().skin.block<3, 1>(3 * a, k) - model().skin.block<3, 1>(3 * b, k)).norm() / std::max(apart, 0.5);
        const bool toes = k >= toe_length;
        if (strain > worst[toes]) worst[toes] = strain, worst_k[toes] = k;
      }
    }
  }
  CAPTURE(number_table()[worst_k[0]].key, number_table()[worst_k[1]].key);
  CHECK(worst[0] < 0.065);
  CHECK(worst[1] < 0.25);
}

TEST_CASE("build: unloaded foot is shorter, narrower, higher and closed", "[shape]") {
  Build build;
  const Foot foot = build_foot(model(), build);
  const auto standing = measure(sites(), body_at(model(), Shape::Zero()));
  CHECK(foot.length_mm == standing[foot_length].value);
  double front = 0, back = 1e9, low = 1e9, high = -1e9;
  for (const Vec3& x : foot.skin.vertices_F) {
    if (x.z() > 60) continue;
    front = std::max(front, x.x()), back = std::min(back, x.x());
    if (x.x() > 120) low = std::min(low, x.y()), high = std::max(high, x.y());
  }
  // Xiong 2009: 14.72 % of stature at half weight against 14.56 % unloaded.
  CHECK((front - back) * 14.72 / 14.56 == Approx(foot.length_mm).margin(0.1));
  // Tsung 2003 (from memory): +2.9 % breadth at half weight.
  CHECK((high - low) * 1.029 == Approx(foot.breadth_mm).margin(0.3));
  const auto report = geometry::examine({foot.skin.vertices_F, foot.skin.faces});
  CHECK(report.closed);
  CHECK(report.outward);
  CHECK(report.self_intersections == 0);
  CHECK(*std::min_element(foot.skin.thickness_mm.begin(), foot.skin.thickness_mm.end()) > 0.5);
}

TEST_CASE("build: a known relaxed breadth is the unloaded breadth", "[shape]") {
  Build build;
  build.breadth_relaxed_mm = 85;
  const Foot foot = build_foot(model(), build);
  double low = 1e9, high = -1e9;
  for (const Vec3& x : foot.skin.vertices_F)
    if (x.z() < 60 && x.x() > 120) low = std::min(low, x.y()), high = std::max(high, x.y());
  CHECK(high - low == Approx(85).margin(0.3));
}

TEST_CASE("build: what cannot be measured keeps its shape without load", "[shape]") {
  // So long that the tape round the ankle, which goes up with the length, lies over the leg's end.
  Build build;
  build.shape[ball_length] = 250;
  const auto sizes = measure(sites(), body_at(model(), build.shape));
  REQUIRE(std::isnan(sizes[ankle_girth].value));
  REQUIRE(std::isfinite(sizes[foot_length].value));
  CHECK(shape_under(model(), build, Load::none) == build.shape);
}

TEST_CASE("build: contact points keep covering the skin as it grows", "[shape]") {
  Build build;
  build.shape[0] = std::log(1.1);
  const Foot foot = build_foot(model(), build), same = build_foot(model(), Build{});
  double grown = 0, before = 0;
  for (const auto& point : foot.contact_points) grown += point.area_mm2;
  for (const auto& point : same.contact_points) before += point.area_mm2;
  CHECK(grown / before == Approx(1.21).epsilon(1e-3));
  CHECK(foot.contact_points[100].thickness_mm / same.contact_points[100].thickness_mm == Approx(1.1).epsilon(0.02));
}

TEST_CASE("build: the pointing range scales the sagittal chain", "[shape]") {
  Build build;
  build.plantarflexion_deg = 95;
  const Foot foot = build_foot(model(), build);
  double total = 0;
  for (const char* name : {"ankle", "midtarsal", "naviculocuneiform", "TMT2"})
    total += foot.joints[static_cast<std::size_t>(joint_index(foot, name))].max_deg;
  CHECK(total == Approx(95));
  CHECK(foot.plantarflexion_deg == 95);
}
