// What every stand keeps to: balance, shares, the same bits again, and the mirror.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>

#include "aplomb/contact/linkage.h"
#include "stands.h"

using namespace aplomb;
using namespace aplomb::stance;
using namespace aplomb::stance::test;
using geometry::Mat3;
using geometry::Vec3;

namespace {

const Stood& sample_stand() {
  static const Stood stand = stood(sample_foot(), make_shoe("tapered"));
  return stand;
}

/// Every number of two findings agrees to `tolerance`, relative to its size where that is above 1.
void check_same(const findings::Findings& a, const findings::Findings& b, double tolerance) {
  const auto numbers = findings::friction_band(a, b);
  CHECK(numbers.size() > 60);
  for (const auto& number : numbers) {
    CAPTURE(number.key, number.path, number.settled);
    CHECK(std::abs(number.path - number.settled) <= tolerance * std::max(1.0, std::abs(number.path)));
  }
}

bool same_bits(const Eigen::VectorXd& a, const Eigen::VectorXd& b) {
  return a.size() == b.size() && (a.array() == b.array()).all();
}

// The mirror: y changes its sign. Turning unknowns keep their values when each axis is mirrored as an axis of turning.
Vec3 mirrored(const Vec3& x) { return {x.x(), -x.y(), x.z()}; }
Vec3 mirrored_turn(const Vec3& axis) { return {-axis.x(), axis.y(), -axis.z()}; }
Mat3 mirrored(const Mat3& m) {
  const Mat3 flip = Vec3(1, -1, 1).asDiagonal();
  return flip * m * flip;
}

/// The box seen in the mirror.
class MirroredSurface : public geometry::Surface {
 public:
  explicit MirroredSurface(const geometry::Surface& real) : real_(real) {}
  bool sample(const Vec3& x, double band_mm, geometry::SurfaceSample& out) const override {
    if (!real_.sample(mirrored(x), band_mm, out)) return false;
    out.normal = mirrored(out.normal);
    out.curvature = mirrored(out.curvature);
    out.cover_gradient = mirrored(out.cover_gradient);
    out.cover_hessian = mirrored(out.cover_hessian);
    return true;
  }

  double gap_at_least(const Vec3& x) const override { return real_.gap_at_least(mirrored(x)); }

 private:
  const geometry::Surface& real_;
};

/// What the box gives, seen in the mirror.
class MirroredShapes : public geometry::GiveShapes {
 public:
  explicit MirroredShapes(const geometry::GiveShapes& real) : real_(real) {}
  int count() const override { return real_.count(); }
  bool sample(const Vec3& x, const Eigen::VectorXd& amounts, geometry::GiveSample& out) const override {
    if (!real_.sample(mirrored(x), amounts, out)) return false;
    out.gradient.row(1) *= -1;
    out.hessian = mirrored(out.hessian);
    return true;
  }
  double moved_mm(const Vec3& x, const Eigen::VectorXd& amounts) const override {
    return real_.moved_mm(mirrored(x), amounts);
  }
  double bound(const Eigen::VectorXd& amounts) const override { return real_.bound(amounts); }
  double steepest(const Eigen::VectorXd& amounts, const Vec3& x, double radius_mm) const override {
    return real_.steepest(amounts, mirrored(x), radius_mm);
  }

 private:
  const geometry::GiveShapes& real_;
};

/// A left foot in the other shoe, past everything that makes left feet right: each coordinate mirrored by hand.
contact::Problem mirrored(const contact::Problem& real, const geometry::Surface& box,
                          const geometry::GiveShapes& wall) {
  contact::Problem out = real;
  out.linkage.T_world_rest.linear() = mirrored(Mat3(real.linkage.T_world_rest.linear()));
  out.linkage.T_world_rest.translation() = mirrored(Vec3(real.linkage.T_world_rest.translation()));
  for (auto& link : out.linkage.links)
    for (auto& axis : link.axes) {
      axis.axis = axis.kind == contact::LinkageAxis::Kind::turn ? mirrored_turn(axis.axis) : mirrored(axis.axis);
      axis.centre = mirrored(axis.centre);
    }
  for (auto& point : out.points) {
    point.position_rest = mirrored(point.position_rest);
    point.normal_rest = mirrored(point.normal_rest);
  }
  for (auto& surface : out.surfaces) {
    surface.surface = &box;
    if (surface.give) surface.give->shapes = &wall;
  }
  for (auto& steer : out.steering) steer.direction = mirrored(steer.direction);
  for (auto& band : out.bands)
    for (auto& point : band.path) point.at = mirrored(point.at);
  out.load.point_rest = mirrored(real.load.point_rest);
  out.load.force_N = mirrored(real.load.force_N);
  return out;
}

}  // namespace

TEST_CASE("Stands balance, and what carries adds up to the load") {
  for (const Position position : {Position::full_pointe_two, Position::full_pointe_one}) {
    StandOptions options;
    options.position = position;
    const Stood stand =
        position == Position::full_pointe_two ? sample_stand() : stood(sample_foot(), make_shoe("parallel"), options);
    CAPTURE(name(position));
    const findings::Findings& f = stand.findings;
    CHECK(f.force_balance_error <= 1e-4);
    check_residuals(stand.stance.rest());
    CHECK(std::abs(f.load_share->sum() - 100) <= 0.1);
    CHECK(std::abs(f.load_kind->sum() - 100) <= 0.1);
    // Half of 52 kg or all of it, at the standard acceleration of gravity (3rd CGPM, 1901).
    CHECK(f.load_N == Approx(52 * 9.80665 * (position == Position::full_pointe_two ? 0.5 : 1)).epsilon(1e-12));
    for (const auto& toe : f.toes)
      CHECK(*toe.slide_mm + *toe.tissue_mm + *toe.curl_mm == Approx(*toe.sink_mm).margin(1e-9));
    // Nothing pulls: skin is only pressed, and friction stays in its cone.
    for (const contact::ContactState& c : stand.stance.rest().contacts) {
      CHECK(c.pressure_MPa >= 0);
      CHECK(c.friction_force_N.norm() <= stand.stance.friction * c.pressure_MPa * c.area_mm2 * (1 + 1e-9) + 1e-12);
    }
  }
}

TEST_CASE("An earlier stand in the same process leaves no trace") {
  const Stood& first = sample_stand();
  // Something quite different in between.
  StandOptions other;
  other.position = Position::full_pointe_one;
  stood(sample_foot(), make_shoe("parallel"), other);
  const Stood again = stood(sample_foot(), make_shoe("tapered"));
  CHECK(same_bits(again.stance.path.seat.q, first.stance.path.seat.q));
  CHECK(same_bits(again.stance.rest().q, first.stance.rest().q));
  check_same(again.findings, first.findings, 0);
}

TEST_CASE("A left card with the same numbers gives the same findings") {
  const FootPtr left = make_foot([](foot::Card& card) { card.side = foot::Side::left; });
  REQUIRE(left->side == foot::Side::left);
  const Stood mirror = stood(left, make_shoe("tapered"));
  CHECK(mirror.findings.side == foot::Side::left);
  check_same(mirror.findings, sample_stand().findings, 0);
}

TEST_CASE("A foot mirrored by hand comes to rest as the mirror image") {
  // Right and left differ to the solver: neither the foot nor its forces are symmetric.
  const Stance& real = sample_stand().stance;
  const MirroredSurface box(real.shoe->box);
  const MirroredShapes wall(real.shoe->wall);
  const contact::Problem image = mirrored(*real.problem, box, wall);
  contact::SolveOptions options;
  options.residual_tolerance = 1e-10;
  // Both from the seated state of the right foot: unknowns are the same numbers in the mirror.
  const contact::LoadPath path = contact::solve(*real.problem, real.path.seat.q, options);
  const contact::LoadPath mirror = contact::solve(image, real.path.seat.q, options);
  REQUIRE(path.loaded.converged);
  REQUIRE(mirror.loaded.converged);
  const auto T = contact::pose(real.problem->linkage, path.loaded.q).T_world_link;
  const auto T_mirror = contact::pose(image.linkage, mirror.loaded.q).T_world_link;
  double largest_mm = 0, sideways_mm = 0;
  for (std::size_t bone = 0; bone < T.size(); ++bone) {
    largest_mm = std::max(largest_mm, (mirrored(Vec3(T[bone].translation())) - T_mirror[bone].translation()).norm());
    sideways_mm = std::max(sideways_mm, std::abs(T[bone].translation().y()));
  }
  CHECK(largest_mm < 1e-9 * 240);  // foot length
  CHECK(sideways_mm > 5);
  REQUIRE(path.loaded.contacts.size() == mirror.loaded.contacts.size());
  double force_N = 0;
  for (std::size_t i = 0; i < path.loaded.contacts.size(); ++i) {
    const auto &a = path.loaded.contacts[i], &b = mirror.loaded.contacts[i];
    force_N = std::max(
        force_N,
        (mirrored(Vec3(a.normal_force_N + a.friction_force_N)) - b.normal_force_N - b.friction_force_N).norm());
  }
  CHECK(force_N < 1e-9 * real.load_N);
}
