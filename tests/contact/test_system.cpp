// The out-of-balance forces are the derivative of the energy, and the tangent is theirs: every term at once, by
// differences.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <random>

#include "aplomb/contact/system.h"

using namespace aplomb;
using contact::FrictionMode;
using geometry::Mat3;
using geometry::Vec3;

namespace {

/// Inside of a ball: gap = R - |x - c|, with a free edge that fades along z.
class Bowl : public geometry::Surface {
 public:
  Bowl(Vec3 centre, double radius) : centre_(std::move(centre)), radius_(radius) {}
  bool sample(const Vec3& x, double band_mm, geometry::SurfaceSample& out) const override {
    const Vec3 d = x - centre_;
    const double r = d.norm();
    out.gap_mm = radius_ - r;
    if (out.gap_mm > band_mm) return false;
    out.normal = -d / r;
    out.curvature = -(Mat3::Identity() - d * d.transpose() / (r * r)) / r;
    // cover falls as a cubic bump in z between z = 0 and 20
    const double u = std::clamp(x.z() / 20.0, 0.0, 1.0);
    out.cover = 1 - u * u * u * (10 - 15 * u + 6 * u * u);
    out.cover_gradient = Vec3(0, 0, -30 * u * u * (1 - u) * (1 - u) / 20);
    out.cover_hessian.setZero();
    out.cover_hessian(2, 2) = -60 * u * (1 - u) * (1 - 2 * u) / 400;
    out.zone = 3;
    return out.cover > 0;
  }

 private:
  Vec3 centre_;
  double radius_;
};

/// Three smooth shapes: waves in space.
class Waves : public geometry::GiveShapes {
 public:
  int count() const override { return 3; }
  bool sample(const Vec3& x, const Eigen::VectorXd& amounts, geometry::GiveSample& out) const override {
    static const std::array<Vec3, 3> wave{Vec3(0.1, 0.05, -0.03), Vec3(-0.04, 0.12, 0.06), Vec3(0.02, -0.07, 0.11)};
    out.value.resize(3);
    out.gradient.resize(3, 3);
    out.hessian.setZero();
    for (int k = 0; k < 3; ++k) {
      const double phase = wave[k].dot(x) + 0.7 * k;
      out.value[k] = std::sin(phase);
      out.gradient.col(k) = std::cos(phase) * wave[k];
      out.hessian -= amounts[k] * std::sin(phase) * wave[k] * wave[k].transpose();
    }
    return true;
  }
  double bound(const Eigen::VectorXd& amounts) const override { return amounts.cwiseAbs().sum(); }
};

enum class Wall { rigid, gives };

/// A small creature: a root with six unknowns, a finger with a tied second joint, skin on both, a rod under it, a band
/// behind.
contact::Problem creature(const Bowl& bowl, Wall kind = Wall::rigid) {
  contact::Problem p;
  using Kind = contact::LinkageAxis::Kind;
  contact::Link root{"root", -1, {}};
  for (int k = 0; k < 3; ++k) root.axes.push_back({Kind::slide, k, 1, Vec3::Unit(k), Vec3::Zero()});
  root.axes.push_back({Kind::turn, 3, 1, Vec3::UnitZ(), Vec3(1, 2, 3)});
  root.axes.push_back({Kind::turn, 4, 1, Vec3(0.1, 1, 0.2).normalized(), Vec3(-1, 0, 4)});
  root.axes.push_back({Kind::turn, 5, 1, Vec3(1, 0.2, -0.1).normalized(), Vec3(0, 1, 2)});
  contact::Link finger{"finger", 0, {{Kind::turn, 6, 1, Vec3(0.1, 1, 0).normalized(), Vec3(3, 0, -6)}}};
  contact::Link tip{"tip",
                    1,
                    {{Kind::turn, 6, 0.7, Vec3(0, 1, 0.1).normalized(), Vec3(4, 0, -11)},
                     {Kind::turn, 7, 1, Vec3::UnitX(), Vec3(4, 0, -11)}}};
  p.linkage.links = {root, finger, tip};
  p.linkage.dof_count = 8;
  p.dof_count = 8 + 6;
  p.dof_is_length.assign(p.dof_count, false);
  for (int k = 0; k < 3; ++k) p.dof_is_length[k] = true;
  std::mt19937 random(7);
  std::uniform_real_distribution<double> u(-1, 1);
  for (int i = 0; i < 60; ++i) {
    contact::SkinPoint s;
    s.normal_rest = Vec3(u(random), u(random), u(random) - 0.6).normalized();
    s.position_rest = 19.0 * s.normal_rest + Vec3(u(random), u(random), u(random));
    s.area_mm2 = 4;
    s.layer = {1.3, 6};
    s.shear_stiffness_MPa_per_mm = 0.05;
    const double w = 0.5 + 0.5 * u(random);
    s.links = {i % 3, (i + 1) % 3, 0, 0};
    s.weights = {w, 1 - w, 0, 0};
    p.points.push_back(s);
  }
  contact::SurfaceContact wall{&bowl, 0.3, {}, {}};
  for (int i = 0; i < 40; ++i) wall.points.push_back(i);
  p.surfaces.push_back(wall);
  p.pairs.push_back({{0, 1, 2, 3, 4, 5, 6, 7, 8, 9}, {}, {}});
  for (int i = 0; i < 10; ++i) {  // partners facing the first ten, slightly through them
    contact::SkinPoint s = p.points[i];
    s.normal_rest = -s.normal_rest;
    s.position_rest += -0.8 * p.points[i].normal_rest + 0.3 * Vec3(u(random), u(random), u(random));
    s.links = {2, 1, 0, 0};
    p.pairs[0].b.push_back(static_cast<int>(p.points.size()));
    p.points.push_back(s);
  }
  if (kind == Wall::gives) {  // and what lies between
    for (int i = 0; i < 60; i += 3) p.points[i].over = {{0.4, 1.0}, {0.8, 0.5}};
    p.pairs[0].between = {{0.6, 0.3}};
  }
  p.springs.push_back({6, "finger", 300, 0.1, 900, -0.2, 150, -0.05, 0.3, 5000});
  contact::Rod rod;
  rod.start_xz = {-17, -20};
  rod.start_angle = 0.1;
  rod.length_mm.assign(6, 5.0);
  rod.EI_Nmm2.assign(6, 1e5);
  rod.rest_curvature.assign(6, 0.002);
  rod.half_breadth_mm.assign(7, 25);
  rod.first_dof = 8;
  p.rod = rod;
  for (int i = 0; i < 60; ++i) p.rod_contact.points.push_back(i);
  p.rod_floor = contact::RodFloor{Vec3(-15.4, 0, 0), Vec3(0.96, 0, -0.28), {40, 30, 60, 20, 50, 40}};
  using On = contact::BandPoint::On;
  p.bands.push_back({"heel",
                     {{On::world, 0, Vec3(20, 3, 15)}, {On::link, 0, Vec3(-18, 1, 12)}, {On::rod, 6, Vec3::Zero()}},
                     20,
                     5,
                     30});
  p.bands.push_back({"loop", {{On::rod, 3, Vec3::Zero()}, {On::link, 2, Vec3(4, 1, 3)}}, 12});
  if (kind == Wall::gives) {
    static const Waves waves;
    Eigen::MatrixXd stiffness(3, 3);
    stiffness << 30, 4, -2, 4, 25, 6, -2, 6, 40;
    p.surfaces[0].give = contact::Give{&waves, stiffness, p.dof_count};
    p.dof_count += 3;
    p.dof_is_length.resize(p.dof_count, true);
  }
  p.load = {1, Vec3(1, 2, 30), Vec3(3, -2, -50)};
  p.load_N = 50;
  return p;
}

Eigen::VectorXd start(const contact::Problem& p) {
  Eigen::VectorXd q(p.dof_count);
  std::mt19937 random(11);
  std::uniform_real_distribution<double> u(-1, 1);
  for (int i = 0; i < p.dof_count; ++i) q[i] = (p.dof_is_length[i] ? 0.5 : 0.06) * u(random);
  for (int k = 0; k < 6; ++k) q[8 + k] = 0.1 - 0.02 * k;
  q[7] = 0.1;
  return q;
}

}  // namespace

TEST_CASE("out-of-balance forces are the derivative of the energy") {
  const Bowl bowl(Vec3::Zero(), 19.0);
  const contact::Problem p = creature(bowl, GENERATE(Wall::rigid, Wall::gives));
  contact::System system(p);
  const Eigen::VectorXd q = start(p);
  const FrictionMode mode = GENERATE(FrictionMode::none, FrictionMode::potential);
  Eigen::VectorXd moved = q;
  moved.head(3) += Eigen::Vector3d(0.02, -0.3, 0.05);
  system.reset_friction(moved);
  system.freeze(q);
  Eigen::VectorXd R;
  system.assemble(q, 0.8, mode, R, nullptr);
  REQUIRE(R.norm() > 10);  // everything is switched on
  const double h = 1e-5;
  for (int i = 0; i < p.dof_count; ++i) {
    Eigen::VectorXd a = q, b = q;
    a[i] += h, b[i] -= h;
    const double difference = (system.energy(a, 0.8, mode) - system.energy(b, 0.8, mode)) / (2 * h);
    CAPTURE(i, R[i], difference);
    CHECK(std::abs(difference - R[i]) < 1e-6 * std::max(1.0, R.norm()));
  }
}

TEST_CASE("the tangent is the derivative of the out-of-balance forces") {
  const Bowl bowl(Vec3::Zero(), 19.0);
  const contact::Problem p = creature(bowl, GENERATE(Wall::rigid, Wall::gives));
  contact::System system(p);
  const Eigen::VectorXd q = start(p);
  const FrictionMode mode = GENERATE(FrictionMode::none, FrictionMode::potential, FrictionMode::exact);
  Eigen::VectorXd moved = q;
  moved.head(3) += Eigen::Vector3d(0.02, -0.3, 0.05);
  system.reset_friction(moved);
  system.freeze(q);
  Eigen::VectorXd R, Ra, Rb;
  Eigen::MatrixXd K;
  system.assemble(q, 0.8, mode, R, &K);
  const double h = 1e-5;
  const double size = K.cwiseAbs().maxCoeff();
  int unsymmetric = 0;
  for (int i = 0; i < p.dof_count; ++i) {
    Eigen::VectorXd a = q, b = q;
    a[i] += h, b[i] -= h;
    system.assemble(a, 0.8, mode, Ra, nullptr);
    system.assemble(b, 0.8, mode, Rb, nullptr);
    const Eigen::VectorXd difference = (Ra - Rb) / (2 * h);
    for (int j = 0; j < p.dof_count; ++j) {
      CAPTURE(j, i, K(j, i), difference[j]);
      CHECK(std::abs(difference[j] - K(j, i)) < 2e-6 * size);
      if (std::abs(K(j, i) - K(i, j)) > 1e-6 * size) ++unsymmetric;
    }
  }
  if (mode == FrictionMode::exact)
    CHECK(unsymmetric > 0);
  else
    CHECK(unsymmetric == 0);
}

TEST_CASE("where projected areas follow, the tangent is still the derivative") {
  const Bowl bowl(Vec3::Zero(), 19.0);
  contact::Problem p = creature(bowl, GENERATE(Wall::rigid, Wall::gives));
  p.pairs.clear();  // their tangent looks ahead to what refreshing will do: next case
  contact::System system(p);
  const Eigen::VectorXd q = start(p);
  const FrictionMode mode = GENERATE(FrictionMode::none, FrictionMode::exact);
  Eigen::VectorXd moved = q;
  moved.head(3) += Eigen::Vector3d(0.02, -0.3, 0.05);
  system.reset_friction(moved);
  system.freeze(q);
  Eigen::VectorXd frozen, R, Ra, Rb;
  Eigen::MatrixXd K;
  system.assemble(q, 0.8, mode, frozen, nullptr);
  system.let_areas_follow(true);
  system.assemble(q, 0.8, mode, R, &K);
  CHECK((R - frozen).norm() < 1e-10 * R.norm());  // at the place itself nothing has moved yet
  const double h = 1e-5, size = K.cwiseAbs().maxCoeff();
  for (int i = 0; i < p.dof_count; ++i) {
    Eigen::VectorXd a = q, b = q;
    a[i] += h, b[i] -= h;
    system.assemble(a, 0.8, mode, Ra, nullptr);
    system.assemble(b, 0.8, mode, Rb, nullptr);
    for (int j = 0; j < p.dof_count; ++j) {
      CAPTURE(j, i);
      CHECK(std::abs((Ra[j] - Rb[j]) / (2 * h) - K(j, i)) < 2e-6 * size);
    }
  }
}

TEST_CASE("partner planes: the tangent foresees most of what refreshing them does") {
  const Bowl bowl(Vec3::Zero(), 1000.0);
  contact::Problem p = creature(bowl);
  p.rod.reset();
  p.bands.clear();
  p.springs.clear();
  p.surfaces.clear();
  contact::System system(p);
  const Eigen::VectorXd q = start(p);
  system.freeze(q);
  Eigen::VectorXd R, Rd;
  Eigen::MatrixXd frozen, ahead;
  system.assemble(q, 0, FrictionMode::none, R, &frozen);
  system.let_areas_follow(true);
  system.assemble(q, 0, FrictionMode::none, R, &ahead);
  REQUIRE(R.norm() > 1);
  double missed_frozen = 0, missed_ahead = 0;
  for (int i : {6, 7}) {  // the finger's joints move one patch over the other
    Eigen::VectorXd moved = q;
    moved[i] += 2e-3;
    system.freeze(moved);
    system.assemble(moved, 0, FrictionMode::none, Rd, nullptr);
    missed_frozen += (Rd - R - 2e-3 * frozen.col(i)).norm();
    missed_ahead += (Rd - R - 2e-3 * ahead.col(i)).norm();
  }
  CAPTURE(missed_frozen, missed_ahead);
  CHECK(missed_ahead < 0.6 * missed_frozen);
}

TEST_CASE("what presses on a giving wall is felt by its shapes, and by nothing else") {
  // Pressure times area times how far each shape moves the wall there, summed over all points that touch.
  const Bowl bowl(Vec3::Zero(), 19.0);
  const contact::Problem p = creature(bowl, Wall::gives);
  contact::System system(p);
  Eigen::VectorXd q = start(p);
  const int first = p.surfaces[0].give->first_dof;
  system.freeze(q);
  Eigen::VectorXd R;
  system.assemble(q, 0, FrictionMode::none, R, nullptr);
  Eigen::VectorXd felt = p.surfaces[0].give->stiffness_N_per_mm * q.tail(3) - R.segment(first, 3);
  const Waves waves;
  geometry::GiveSample shapes;
  for (const contact::ContactState& c : system.contacts(q, FrictionMode::none)) {
    if (c.against != contact::ContactState::Against::surface) continue;
    REQUIRE(waves.sample(c.position, q.tail(3), shapes));
    felt -= c.area_mm2 * c.pressure_MPa * shapes.value;
    CHECK(c.gap_mm < 0.05);
  }
  CHECK(felt.norm() < 1e-10 * R.tail(3).norm());
}

TEST_CASE("what a system looked at before leaves no mark on what it finds") {
  const Bowl bowl(Vec3(0, 0, 2), 20.5);
  const contact::Problem p = creature(bowl, GENERATE(Wall::rigid, Wall::gives));
  contact::System seasoned(p);
  std::mt19937 random(5);
  std::uniform_real_distribution<double> u(-1, 1);
  Eigen::VectorXd far = start(p), q = far;
  double most = 0, least = 1e9;
  for (int k = 0; k < 400; ++k) {
    // Away and back in small steps, then somewhere else.
    if (k % 10 == 0)
      for (int i = 0; i < p.dof_count; ++i)
        far[i] = start(p)[i] + (i < 2                ? 8
                                : i == 2             ? 3
                                : p.dof_is_length[i] ? 1.5
                                : i == 6 || i == 7   ? 0.9
                                                     : 0.3) *
                                   u(random);
    q += 0.3 * ((k % 10 < 5 ? far : start(p)) - q);
    Eigen::VectorXd R, R_fresh;
    seasoned.freeze(q);
    seasoned.assemble(q, 1, FrictionMode::none, R, nullptr);
    contact::System fresh(p);
    fresh.freeze(q);
    fresh.assemble(q, 1, FrictionMode::none, R_fresh, nullptr);
    CAPTURE(k);
    REQUIRE((R - R_fresh).norm() <= 1e-9 * R_fresh.norm());
    const auto touching = static_cast<double>(fresh.contacts(q, FrictionMode::none).size());
    most = std::max(most, touching), least = std::min(least, touching);
  }
  CHECK(least < 0.5 * most);  // things came and went
}

TEST_CASE("skin on skin pulls equally on both sides") {
  const Bowl bowl(Vec3::Zero(), 1000.0);
  contact::Problem p = creature(bowl);
  p.rod.reset();
  p.bands.clear();
  p.springs.clear();
  p.load.force_N.setZero();
  contact::System system(p);
  const Eigen::VectorXd q = start(p);
  system.freeze(q);
  Eigen::VectorXd R;
  system.assemble(q, 1, FrictionMode::none, R, nullptr);
  REQUIRE(R.tail(p.dof_count - 6).norm() > 1);  // the patches press
  CHECK(R.head(3).norm() < 1e-10 * R.norm());   // but the whole is not pushed anywhere
}
