// Pressure: peaks over half a square centimetre, means and areas, of pressures laid on a flat patch by hand.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>

#include "parts.h"

using namespace aplomb;
using namespace aplomb::findings;

namespace {

/// A flat patch of skin, 40 x 40 mm, a point for each square of `spacing_mm`; the ball's, or the hallux's where x < 0.
struct Patch {
  stance::Stance stance;
  contact::Equilibrium state;
  double cell_mm2 = 1;

  explicit Patch(double spacing_mm = 1) : cell_mm2(spacing_mm * spacing_mm) {
    auto foot = std::make_shared<foot::Foot>();
    auto problem = std::make_shared<contact::Problem>();
    for (double x = -20 + spacing_mm / 2; x < 20; x += spacing_mm)
      for (double y = -20 + spacing_mm / 2; y < 20; y += spacing_mm) {
        contact::SkinPoint point;
        point.position_rest = Vec3(x, y, 0);
        point.area_mm2 = cell_mm2;
        problem->points.push_back(point);
        const auto region = x < 0 ? foot::Region::hallux : foot::Region::ball_medial;
        foot->contact_points.push_back({0, Vec3::Zero(), cell_mm2, 5, region});
      }
    stance.foot = foot;
    stance.problem = problem;
  }

  template <class Pressure>
  Findings under(Pressure pressure_MPa) {
    state.contacts.clear();
    for (std::size_t i = 0; i < stance.problem->points.size(); ++i) {
      contact::ContactState c;
      c.point = static_cast<int>(i);
      c.pressure_MPa = pressure_MPa(stance.problem->points[i].position_rest);
      c.area_mm2 = cell_mm2;
      if (c.pressure_MPa > 0) state.contacts.push_back(c);
    }
    Findings f;
    find_pressure({&stance, &state, {}}, f);
    return f;
  }
};

const RegionPressure& region(const Findings& f, foot::Region r) { return f.regions[static_cast<std::size_t>(r)]; }

}  // namespace

TEST_CASE("The peak of a uniform pressure is that pressure, at any spacing of the points", "[findings][pressure]") {
  for (const double spacing : {1.0, 2.0, 4.0}) {
    CAPTURE(spacing);
    const Findings f = Patch(spacing).under([](const Vec3&) { return 0.2; });
    CHECK(*f.peak_kPa == Approx(200).epsilon(1e-12));
    CHECK(*f.toes[0].peak_kPa == Approx(200).epsilon(1e-12));
    CHECK(*f.toes[1].peak_kPa == 0);
    CHECK(*f.contact_area_mm2 == Approx(1600).epsilon(1e-12));
    const RegionPressure& ball = region(f, foot::Region::ball_medial);
    CHECK(ball.peak_kPa == Approx(200).epsilon(1e-12));
    CHECK(ball.mean_kPa == Approx(200).epsilon(1e-12));
    CHECK(ball.area_mm2 == Approx(800).epsilon(1e-12));
    CHECK(region(f, foot::Region::heel).area_mm2 == 0);
  }
}

TEST_CASE("A spot smaller than half a square centimetre is spread over it", "[findings][pressure]") {
  // 12 mm^2 at 1 MPa: 12 N over 50 mm^2 = 240 kPa.
  const Findings f =
      Patch().under([](const Vec3& x) { return std::abs(x.x() - 10.5) < 1.6 && std::abs(x.y()) < 1.6 ? 1.0 : 0.0; });
  const double cells = 3 * 4;  // x at 9.5, 10.5, 11.5; y at +-0.5, +-1.5
  CHECK(*f.peak_kPa == Approx(cells / 50 * 1000).epsilon(1e-12));
  // Its mean too: a spot of almost no area would say a pressure without end.
  CHECK(region(f, foot::Region::ball_medial).mean_kPa == Approx(cells / 50 * 1000).epsilon(1e-12));
  CHECK(region(f, foot::Region::ball_medial).area_mm2 == Approx(cells));
}

TEST_CASE("Several small spots far from each other have no mean above the highest peak", "[findings][pressure]") {
  // Four spots of 4 mm^2 at 2 MPa: each 160 kPa over 50 mm^2, 640 kPa over the skin that carries, were that a mean.
  const Findings f = Patch().under([](const Vec3& x) {
    const bool spot = std::abs(std::abs(x.x() - 10) - 8) < 1 && std::abs(std::abs(x.y()) - 17) < 1;
    return spot ? 2.0 : 0.0;
  });
  const RegionPressure& ball = region(f, foot::Region::ball_medial);
  CHECK(ball.area_mm2 == Approx(16));
  CHECK(ball.peak_kPa == Approx(160).epsilon(1e-12));
  CHECK(ball.mean_kPa == Approx(160).epsilon(1e-12));
}

TEST_CASE("The peak of a cone of pressure is its mean over a disc of half a square centimetre",
          "[findings][pressure]") {
  // p = p0 (1 - r / R) over a disc of radius a: mean p0 (1 - 2 a / (3 R)), a = sqrt(50 / pi).
  const double p0 = 0.5, R = 12, a = std::sqrt(50 / geometry::pi);
  const Findings f =
      Patch(0.5).under([&](const Vec3& x) { return std::max(0.0, p0 * (1 - (x - Vec3(10, 0, 0)).norm() / R)); });
  CHECK(*f.peak_kPa == Approx(1000 * p0 * (1 - 2 * a / (3 * R))).epsilon(0.005));
}

TEST_CASE("The peak belongs to the region that carries it", "[findings][pressure]") {
  const Findings f = Patch().under([](const Vec3& x) { return x.x() < -12 ? 0.3 : x.x() > 12 ? 0.1 : 0.0; });
  CHECK(*f.toes[0].peak_kPa == Approx(300).epsilon(1e-12));
  CHECK(region(f, foot::Region::ball_medial).peak_kPa == Approx(100).epsilon(1e-12));
  CHECK(*f.peak_kPa == Approx(300).epsilon(1e-12));
}

TEST_CASE("Skin pressed from two sides carries both", "[findings][pressure]") {
  Patch patch;
  patch.under([](const Vec3&) { return 0.1; });
  auto twice = patch.state.contacts;
  patch.state.contacts.insert(patch.state.contacts.end(), twice.begin(), twice.end());
  Findings f;
  find_pressure({&patch.stance, &patch.state, {}}, f);
  CHECK(*f.peak_kPa == Approx(200).epsilon(1e-12));
  CHECK(*f.contact_area_mm2 == Approx(1600).epsilon(1e-12));  // the same skin, not twice as much
}

TEST_CASE("Nothing touches: no pressure, no area", "[findings][pressure]") {
  const Findings f = Patch().under([](const Vec3&) { return 0.0; });
  CHECK(*f.peak_kPa == 0);
  CHECK(*f.contact_area_mm2 == 0);
}
