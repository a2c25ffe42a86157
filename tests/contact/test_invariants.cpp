// What must not depend on how a problem is written down: place, mirror image, order of points, size, history of calls.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cstdio>
#include <cstring>
#include <numeric>
#include <random>

#include "../../src/contact/newton.h"
#include "aplomb/contact/system.h"
#include "rigs.h"

using namespace aplomb::contact;
using namespace aplomb::contact::rigs;

namespace {

/// x' = size * Q x + shift, Q orthogonal, a mirror image when its determinant is -1.
struct Placement {
  Mat3 Q = Mat3::Identity();
  Vec3 shift = Vec3::Zero();
  double size = 1;
  bool in_rest_frame = true;  ///< false: by Linkage::T_world_rest, the rest frame staying as it was
  Vec3 point(const Vec3& x) const { return size * (Q * x) + shift; }
};

Placement turned() {
  Placement p;
  p.Q = (Eigen::AngleAxisd(0.7, Vec3(1, 2, -0.5).normalized())).toRotationMatrix();
  p.shift = {310, -95, 42};
  return p;
}

Placement mirrored() {
  Placement p;
  p.Q.diagonal() << 1, -1, 1;
  return p;
}

struct Rig {
  Plane platform;
  Cone box;
  Problem problem;
  Eigen::VectorXd start;
};

Isometry cone_frame(const Placement& placement) {
  Isometry T = Isometry::Identity();
  const Vec3 z = placement.Q * Vec3::UnitZ(), x = placement.Q * Vec3::UnitX();
  T.linear() << x, z.cross(x), z;
  T.translation() = placement.shift;
  return T;
}

/// A forefoot in little: a frustum with six unknowns in a conical box, two toes hinged on it that stand on the platform
/// and touch each other, an off-centre load that leans. Everything written at `placement`, points in the order of
/// `shuffle_seed`. Points are put down in the same physical pattern for every placement. `pairs` false leaves skin on
/// skin out.
std::unique_ptr<Rig> forefoot(const Placement& placement, unsigned shuffle_seed = 0, bool pairs = true,
                              double friction = 0.3) {
  const double s = placement.size, half_angle = 8 * rad_per_deg;
  auto rig = std::unique_ptr<Rig>(new Rig{Plane(placement.point(Vec3::Zero()), placement.Q * Vec3::UnitZ()),
                                          Cone(cone_frame(placement), s * (25 - 30 * std::tan(half_angle)), half_angle),
                                          {},
                                          {}});
  const Layer layer{.modulus_MPa = 1.33, .thickness_mm = 5};
  Problem p = one_link(free_link(true, {1, -2, 60}), {3, 2, 60}, Vec3(20, 9, -300));
  p.linkage.links.push_back({"toe", 0, {{LinkageAxis::Kind::turn, 6, 1, Vec3(1, .1, 0).normalized(), {0, 6, 15}}}});
  p.linkage.links.push_back({"toe", 0, {{LinkageAxis::Kind::turn, 7, 1, Vec3(1, -.2, 0).normalized(), {0, -6, 15}}}});
  p.linkage.dof_count = p.dof_count = 8;
  p.dof_is_length = {true, true, true, false, false, false, false, false};
  std::vector<int> wall_points, platform_points;
  auto put = [&](std::vector<SkinPoint> skin, int link, std::vector<int>& list) {
    for (SkinPoint& point : skin) {
      point.links = {link, 0, 0, 0};
      point.shear_stiffness_MPa_per_mm = 0.05;
      list.push_back(static_cast<int>(p.points.size()));
      p.points.push_back(point);
    }
  };
  put(frustum_side(half_angle, 25, 25, 30, 10, 36, layer), 0, wall_points);
  put(flat({0, 6, 0}, {12, 0, 0}, {0, 8, 0}, -Vec3::UnitZ(), 6, layer), 1, platform_points);
  put(flat({0, -6.5, -0.2}, {12, 0, 0}, {0, 8, 0}, -Vec3::UnitZ(), 6, layer), 2, platform_points);
  SkinPair pair;
  put(flat({0, -0.1, 6}, {10, 0, 0}, {0, 0, 8}, -Vec3::UnitY(), 7, layer), 1, pair.a);
  put(flat({0.3, 0.2, 6.2}, {10, 0, 0}, {0, 0, 8}, Vec3::UnitY(), 6, layer), 2, pair.b);
  // One wall point in five bends over two links, as skin does at a joint.
  for (std::size_t i = 0; i < wall_points.size(); i += 5) {
    p.points[wall_points[i]].links = {0, 1, 0, 0};
    p.points[wall_points[i]].weights = {.8, .2, 0, 0};
  }
  p.surfaces = {{&rig->box, friction, wall_points, {}}, {&rig->platform, friction, platform_points, {}}};
  if (pairs) p.pairs = {pair};
  for (int dof : {3, 4, 5}) p.springs.push_back({.dof = dof, .name = "ankle", .passive_stiffness = 2e4});
  for (int dof : {6, 7})
    p.springs.push_back({.dof = dof,
                         .name = "toe",
                         .passive_stiffness = 300,
                         .passive_rest = 0.02,
                         .tone_stiffness = 1500,
                         .tone_cap = 700,
                         .min = -.3,
                         .max = .5,
                         .limit_stiffness = 5000});
  rig->start = Eigen::VectorXd::Zero(8);
  rig->start[2] = -0.05;

  // Size first: length s, force s^2, turning springs s^3.
  for (SkinPoint& point : p.points) {
    point.area_mm2 *= s * s;
    point.layer.thickness_mm *= s;
    point.shear_stiffness_MPa_per_mm /= s;
  }
  for (JointSpring& spring : p.springs) {
    for (double* v : {&spring.passive_stiffness, &spring.tone_stiffness, &spring.tone_cap, &spring.limit_stiffness})
      *v *= s * s * s;
  }
  p.load_N *= s * s;
  p.load.force_N = s * s * (placement.Q * p.load.force_N);
  rig->start.head(3) *= s;
  // Then place. Turning axes are pseudo-vectors: a mirror turns their sense.
  if (placement.in_rest_frame) {
    for (Link& link : p.linkage.links)
      for (LinkageAxis& axis : link.axes) {
        axis.axis = placement.Q * axis.axis;
        if (axis.kind == LinkageAxis::Kind::turn) axis.axis *= placement.Q.determinant();
        axis.centre = placement.point(axis.centre);
      }
    for (SkinPoint& point : p.points) {
      point.position_rest = placement.point(point.position_rest);
      point.normal_rest = placement.Q * point.normal_rest;
    }
    p.load.point_rest = placement.point(p.load.point_rest);
  } else {
    p.linkage.T_world_rest.linear() = placement.Q;
    p.linkage.T_world_rest.translation() = placement.shift;
  }
  if (shuffle_seed > 0) {
    std::mt19937 random(shuffle_seed);
    std::vector<int> to(p.points.size());
    std::iota(to.begin(), to.end(), 0);
    std::shuffle(to.begin(), to.end(), random);
    std::vector<SkinPoint> moved(p.points.size());
    for (std::size_t i = 0; i < to.size(); ++i) moved[to[i]] = p.points[i];
    p.points = moved;
    auto renumber = [&](std::vector<int>& list) {
      for (int& i : list) i = to[i];
      std::shuffle(list.begin(), list.end(), random);
    };
    for (SurfaceContact& contact : p.surfaces) renumber(contact.points);
    for (SkinPair& both : p.pairs) renumber(both.a), renumber(both.b);
  }
  rig->problem = std::move(p);
  return rig;
}

SolveOptions exact(double size = 1) {
  SolveOptions options;
  options.residual_tolerance = options.tolerance_on_the_way = 1e-11;
  options.trusted_step_mm = 0;
  options.step_cap_mm = 2 * size;
  options.seat_load_N = 10 * size * size;
  return options;
}

Equilibrium solved(const Rig& rig, const SolveOptions& options) {
  const LoadPath path = solve(rig.problem, rig.start, options);
  INFO(path.loaded.reason);
  REQUIRE(path.loaded.converged);
  return path.loaded;
}

/// Largest difference of two solutions: unknowns relative to the largest, forces to the load.
double difference(const Equilibrium& a, const Equilibrium& b) {
  double worst = (a.q - b.q).lpNorm<Eigen::Infinity>() / a.q.lpNorm<Eigen::Infinity>();
  auto sums = [](const Equilibrium& e) {
    Eigen::Vector4d sum = Eigen::Vector4d::Zero();  // platform, wall, skin on skin, friction
    for (const ContactState& c : e.contacts) {
      sum[c.against == ContactState::Against::skin ? 2 : c.surface] += c.normal_force_N.norm();
      sum[3] += c.friction_force_N.norm();
    }
    return sum;
  };
  return std::max(worst, (sums(a) - sums(b)).lpNorm<Eigen::Infinity>() / a.load_N);
}

std::vector<std::pair<const char*, Placement>> placements() {
  Placement elsewhere = turned();
  elsewhere.in_rest_frame = false;
  Placement both = turned();
  both.Q = both.Q * mirrored().Q;
  return {{"turned", turned()},
          {"turned by the rest frame", elsewhere},
          {"mirrored", mirrored()},
          {"mirrored and turned", both}};
}

}  // namespace

TEST_CASE("invariants: the forefoot rig rubs, leans and touches itself") {
  const auto rig = forefoot({});
  const Equilibrium state = solved(*rig, exact());
  std::array<int, 3> count{};
  int slipping = 0;
  for (const ContactState& c : state.contacts) {
    ++count[c.against == ContactState::Against::skin ? 2 : c.surface];
    slipping += c.slipping;
  }
  std::printf("forefoot rig: %d wall, %d platform, %d skin contacts, %d slipping; q =", count[0], count[1], count[2],
              slipping);
  for (double q : state.q) std::printf(" %.4f", q);
  std::printf("\n");
  CHECK(count[0] > 50);
  CHECK(count[1] > 20);
  CHECK(count[2] > 20);
  CHECK(slipping > 5);
  CHECK(slipping < static_cast<int>(state.contacts.size()) - 20);
  CHECK(state.q.tail(5).lpNorm<Eigen::Infinity>() > 1e-3);
  CHECK(state.stable);
}

TEST_CASE("invariants: place and mirror image do not matter") {
  const Equilibrium base = solved(*forefoot({}), exact());
  for (const auto& [name, placement] : placements()) {
    const double d = difference(base, solved(*forefoot(placement), exact()));
    std::printf("%s: %.1e\n", name, d);
    CAPTURE(name);
    CHECK(d < 1e-9);
  }
}

TEST_CASE("invariants: the order of the points does not matter") {
  const Equilibrium base = solved(*forefoot({}), exact());
  for (unsigned seed : {1u, 2u, 3u}) {
    const double d = difference(base, solved(*forefoot({}, seed), exact()));
    std::printf("shuffle %u: %.1e\n", seed, d);
    CHECK(d < 1e-9);
  }
}

TEST_CASE("invariants: forces assembled at a given state agree to rounding") {
  const Eigen::VectorXd q = (Eigen::VectorXd(8) << 0.3, -0.2, -0.9, 0.01, -0.02, 0.015, 0.05, -0.04).finished();
  auto assembled = [&](const Rig& rig) {
    System system(rig.problem);
    Eigen::VectorXd R;
    Eigen::MatrixXd K;
    system.reset_friction(rig.start);
    system.freeze(q);
    system.assemble(q, 0.7, FrictionMode::exact, R, &K);
    return std::pair(R, K);
  };
  const auto [R, K] = assembled(*forefoot({}));
  CHECK(R.norm() > 100);
  auto same = [&, &R = R, &K = K](const Rig& rig) {
    const auto [R2, K2] = assembled(rig);
    CHECK((R2 - R).norm() < 1e-12 * R.norm());
    CHECK((K2 - K).norm() < 1e-12 * K.norm());
  };
  for (const auto& [name, placement] : placements()) {
    CAPTURE(name);
    same(*forefoot(placement));
  }
  same(*forefoot({}, 5));
}

// The smooth start of contact is the one length that does not grow with the rig (and the reach of skin on skin, left
// out here). So the rig is compared at 50 and at 100 times its size, where that length is small beside every
// compression.
TEST_CASE("invariants: lengths s, forces s^2, joints s^3 give the same strains") {
  Placement one, two, true_size;
  one.size = 50;
  two.size = 100;
  const Equilibrium a = solved(*forefoot(one, 0, false), exact(50)), b = solved(*forefoot(two, 0, false), exact(100));
  const Equilibrium c = solved(*forefoot(true_size, 0, false), exact());
  auto strain = [](const Equilibrium& e, double s) {
    Eigen::VectorXd q = e.q;
    q.head(3) /= s * 5;  // by the layer's thickness
    return q;
  };
  const double d =
      (strain(a, 50) - strain(b, 100)).lpNorm<Eigen::Infinity>() / strain(b, 100).lpNorm<Eigen::Infinity>();
  const double d1 =
      (strain(c, 1) - strain(b, 100)).lpNorm<Eigen::Infinity>() / strain(b, 100).lpNorm<Eigen::Infinity>();
  std::printf("scaling 50 to 100: %.1e; the smooth start at true size changes: %.1e\n", d, d1);
  CHECK(d < 1e-4);
  CHECK(d1 < 2e-2);
}

// A pad pushed sideways against a clamped rod: EI s^4. Sizes stay small enough for the fixed depth the rod looks
// through.
TEST_CASE("invariants: a rod of stiffness s^4 takes the same shape at any size") {
  auto bent = [](double s) {
    Link slide;
    slide.axes.push_back({LinkageAxis::Kind::slide, 0, 1, Vec3::UnitX(), Vec3::Zero()});
    Problem problem = one_link(slide, Vec3::Zero(), {-40 * s * s, 0, 0});
    auto skin = paraboloid(40 * s, 14 * s, 60, 12, {.modulus_MPa = 1.33, .thickness_mm = 5 * s});
    for (SkinPoint& point : skin) {  // the dome faces -x, its tip 60 s up the rod
      const Vec3 x = point.position_rest, n = point.normal_rest;
      point.position_rest = Vec3(x.z(), x.y(), 60 * s - x.x());
      point.normal_rest = Vec3(n.z(), n.y(), -n.x());
    }
    add_skin(problem, skin, nullptr, 0);
    for (int i = 0; i < static_cast<int>(skin.size()); ++i) problem.rod_contact.points.push_back(i);
    Rod rod;
    rod.first_dof = 1;
    const int elements = 16;
    rod.length_mm.assign(elements, 6 * s);
    rod.EI_Nmm2.assign(elements, 2e5 * std::pow(s, 4));
    rod.rest_curvature.assign(elements, 0);
    rod.half_breadth_mm.assign(elements + 1, 25 * s);
    problem.rod = rod;
    problem.dof_count = 1 + elements;
    problem.dof_is_length.resize(problem.dof_count, false);
    SolveOptions options = exact(s);
    options.seat_load_N = 4 * s * s;
    const LoadPath path = solve(problem, Eigen::VectorXd::Constant(problem.dof_count, 0), options);
    INFO(path.loaded.reason);
    REQUIRE(path.loaded.converged);
    Eigen::VectorXd q = path.loaded.q;
    q[0] /= s * 5;
    return q;
  };
  const Eigen::VectorXd one = bent(2), two = bent(5);
  CAPTURE(one.transpose(), two.transpose());
  CHECK(one.tail(16).lpNorm<Eigen::Infinity>() > 0.1);
  CHECK((one - two).lpNorm<Eigen::Infinity>() < 1e-4 * two.lpNorm<Eigen::Infinity>());
  std::printf("rod at 2 and 5 times its size: %.1e\n",
              (one - two).lpNorm<Eigen::Infinity>() / two.lpNorm<Eigen::Infinity>());
}

// Summed from the reported contacts alone, in the room: the foot's own equations take no part. Skin on skin is inside
// the foot and must drop out of both sums. Its forces are equal and opposite, but a point and its partners' mean do not
// lie exactly along the normal, which leaves a small couple: printed, and held below the criterion of moment balance,
// 1e-4 F x 30 mm.
TEST_CASE("invariants: forces and moments of everything that touches balance the load") {
  for (bool pairs : {false, true}) {
    const auto rig = forefoot({}, 0, pairs);
    const Problem& problem = rig->problem;
    const Equilibrium state = solved(*rig, exact());
    const PosedLinkage posed = pose(problem.linkage, state.q);
    const Vec3 load_at = posed.T_world_link[0] * problem.load.point_rest;
    CHECK((problem.load.force_N + surface_force(state, 0) + surface_force(state, 1)).norm() < 1e-9 * state.load_N);
    double worst = 0;
    for (int i = 3; i < 6; ++i) {  // the three ankle springs about their posed axes
      const PosedAxis& axis = posed.chain[0][i];
      Vec3 moment = (load_at - axis.centre_world).cross(problem.load.force_N);
      for (const ContactState& c : state.contacts)
        if (c.against == ContactState::Against::surface)
          moment += (c.position - axis.centre_world).cross(c.normal_force_N + c.friction_force_N);
      worst = std::max(worst, std::abs(axis.axis_world.dot(moment) - 2e4 * state.q[i]) / (state.load_N * 30));
    }
    std::printf("moments summed from contacts, %s skin on skin: off by %.1e F x 30 mm\n", pairs ? "with" : "without",
                worst);
    CHECK(worst < (pairs ? 1e-4 : 1e-9));
  }
}

TEST_CASE("invariants: pressure is positive and friction inside its cone, loaded and settled") {
  for (double friction : {0.05, 0.3, 0.6}) {
    const auto rig = forefoot({}, 0, true, friction);
    SolveOptions options = exact();
    options.settle = true;
    const LoadPath path = solve(rig->problem, rig->start, options);
    CAPTURE(friction);
    REQUIRE(path.loaded.converged);
    REQUIRE(path.settled);
    REQUIRE(path.settled->converged);
    for (const Equilibrium* state : {&path.seat, &path.loaded, &*path.settled})
      for (const ContactState& c : state->contacts) {
        REQUIRE(c.pressure_MPa >= 0);
        REQUIRE(c.area_mm2 > 0);
        REQUIRE(c.friction_force_N.norm() <= friction * c.normal_force_N.norm() * (1 + 1e-12) + 1e-12);
        REQUIRE(std::abs(c.friction_force_N.dot(c.normal)) <= 1e-12 * state->load_N);
        if (state == &path.seat) REQUIRE(c.friction_force_N.norm() == 0);
      }
  }
}

// Quantities that are frozen within a step are refreshed between steps, so the promise holds step by step: with what
// was frozen at its start, a step ends no higher.
TEST_CASE("invariants: a descent step never raises its energy") {
  for (FrictionMode mode : {FrictionMode::none, FrictionMode::potential}) {
    const auto rig = forefoot({});
    System system(rig->problem);
    Eigen::VectorXd q = rig->start;
    q[2] = 0.5;
    q[3] = 0.05;
    q[6] = 0.2;
    system.reset_friction(q);
    const SolveOptions options = exact();
    int steps = 0;
    for (; steps < 200; ++steps) {
      system.freeze(q);
      const double before = system.energy(q, 1, mode);
      const Eigen::VectorXd start = q;
      const NewtonReport report = minimise(system, rig->problem, q, 1, rig->problem.load_N, mode, 1e-9, 1, options, {});
      const double after = system.energy(q, 1, mode);
      CAPTURE(steps);
      REQUIRE(after <= before + 1e-12 * std::abs(before));
      if (report.converged || q == start) break;
    }
    CHECK(steps > 3);
    CHECK(steps < 200);
  }
}

TEST_CASE("invariants: the same question gets the same bits, whatever was asked before") {
  const auto rig = forefoot({}), other = forefoot(turned(), 3, true, 0.1);
  SolveOptions options;
  options.settle = true;
  const LoadPath first = solve(rig->problem, rig->start, options);
  solve(other->problem, other->start, options);
  seat(rig->problem, other->start, 40, options);
  const LoadPath again = solve(rig->problem, rig->start, options);
  auto same = [](const Equilibrium& a, const Equilibrium& b) {
    REQUIRE(a.q.size() == b.q.size());
    CHECK(std::memcmp(a.q.data(), b.q.data(), sizeof(double) * a.q.size()) == 0);
    REQUIRE(a.contacts.size() == b.contacts.size());
    for (std::size_t i = 0; i < a.contacts.size(); ++i) {
      REQUIRE(a.contacts[i].normal_force_N == b.contacts[i].normal_force_N);
      REQUIRE(a.contacts[i].friction_force_N == b.contacts[i].friction_force_N);
    }
    CHECK(a.iterations == b.iterations);
  };
  same(first.seat, again.seat);
  same(first.loaded, again.loaded);
  REQUIRE(first.settled);
  same(*first.settled, *again.settled);
}
