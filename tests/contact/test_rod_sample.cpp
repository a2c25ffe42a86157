// A point seen from the rod: derivatives by finite differences, closest points against closed forms, cover, reach.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <random>

#include "rods.h"

using namespace aplomb::contact;
using namespace aplomb::contact::rods;
using aplomb::geometry::pi;

namespace {

/// Central difference of a function of (x, z, theta_1..theta_N).
template <class Function>
auto difference(const Bent& bent, const Vec3& x, int entry, double step, Function f) {
  const auto at = [&](double h) {
    Vec3 moved = x;
    Eigen::VectorXd q = bent.q;
    if (entry == 0)
      moved.x() += h;
    else if (entry == 1)
      moved.z() += h;
    else
      q[bent.rod.first_dof + entry - 2] += h;
    return f(moved, q);
  };
  return ((at(step) - at(-step)) / (2 * step)).eval();
}

}  // namespace

TEST_CASE("rod sample: gap and closest point of points set off along the normal come back", "[rod]") {
  const Bent bent = bent_rod();
  const PosedRod posed = pose(bent.rod, bent.q);
  std::mt19937 random(4);
  std::uniform_real_distribution<double> unit(0, 1);
  const double total = posed.arc_mm.back();
  for (int i = 0; i < 60; ++i) {
    const double arc = unit(random) * (total - 0.01), gap = -4 + 9 * unit(random);
    const Vec2 on = point_by_small_steps(bent.rod, bent.q, arc);
    const auto found = sample(bent.rod, posed, Vec3(on.x(), 3, on.y()), 5, 5, false);
    REQUIRE(found);
    CHECK(std::abs(found->gap_mm) < 1e-7);
    CHECK(found->arc_mm == Approx(arc).margin(1e-6));
    const Vec2 off = on + gap * found->normal_xz;
    const auto set_off = sample(bent.rod, posed, Vec3(off.x(), 3, off.y()), 6, 6, false);
    REQUIRE(set_off);
    CHECK(set_off->gap_mm == Approx(gap).margin(1e-7));
    CHECK(set_off->arc_mm == Approx(arc).margin(1e-6));
    CHECK(set_off->hessian.size() == 0);
    CHECK(set_off->arc_gradient.size() == 0);
  }
}

TEST_CASE("rod sample: nearest by brute force over the whole curve", "[rod]") {
  const Bent bent = bent_rod();
  const PosedRod posed = pose(bent.rod, bent.q);
  std::vector<Vec2> curve;
  for (int i = 0; i <= 4000; ++i) {  // exact arcs, independent of sample(): chord of a partial element
    const double s = posed.arc_mm.back() * i / 4000;
    std::size_t e = 0;
    while (e + 2 < posed.arc_mm.size() && posed.arc_mm[e + 1] < s) ++e;
    const double u = s - posed.arc_mm[e];
    const double k = (posed.angle[e + 1] - posed.angle[e]) / bent.rod.length_mm[e];
    const double a = posed.angle[e] + k * u / 2;
    curve.push_back(posed.node_xz[e] + 2 / k * std::sin(k * u / 2) * Vec2(std::sin(a), std::cos(a)));
  }
  std::mt19937 random(9);
  std::uniform_real_distribution<double> x(posed.box_min.x() - 9, posed.box_max.x() + 9);
  std::uniform_real_distribution<double> z(posed.box_min.y() - 9, posed.box_max.y() + 9);
  int hits = 0;
  for (int i = 0; i < 400; ++i) {
    const Vec2 p(x(random), z(random));
    std::size_t nearest = 0;
    for (std::size_t c = 0; c < curve.size(); ++c) {
      if ((p - curve[c]).norm() < (p - curve[nearest]).norm()) nearest = c;
    }
    const double distance = (p - curve[nearest]).norm();
    const bool inside = nearest > 2 && nearest + 3 < curve.size();
    const auto found = sample(bent.rod, posed, Vec3(p.x(), 0, p.y()), 8, 8, false);
    if (inside && distance < 7.9) {
      REQUIRE(found);
      ++hits;
      CHECK(std::abs(found->gap_mm) == Approx(distance).margin(1e-3));
    }
    if (distance > 8.1) CHECK_FALSE(found);
  }
  CHECK(hits > 50);
}

TEST_CASE("rod sample: first and second derivatives agree with finite differences to 1e-6", "[rod]") {
  const Bent bent = bent_rod();
  const PosedRod posed = pose(bent.rod, bent.q);
  const int size = 2 + bent.rod.element_count();
  std::mt19937 random(21);
  std::uniform_real_distribution<double> unit(0, 1);
  double worst_gradient = 0, worst_hessian = 0, worst_arc = 0, worst_asymmetry = 0;
  for (int i = 0; i < 60; ++i) {
    // Keep 0.1 mm from the nodes, where the Hessian jumps by design.
    const int e = static_cast<int>(unit(random) * bent.rod.element_count()) % bent.rod.element_count();
    const double arc = posed.arc_mm[e] + 0.1 + unit(random) * (bent.rod.length_mm[e] - 0.2);
    const Vec2 on = point_by_small_steps(bent.rod, bent.q, arc);
    const auto on_curve = sample(bent.rod, posed, Vec3(on.x(), 0, on.y()), 9, 9, false);
    REQUIRE(on_curve);
    const Vec2 off = on + (-5 + 10 * unit(random)) * on_curve->normal_xz;
    const Vec3 x(off.x(), 0, off.y());
    const auto s = sample(bent.rod, posed, x, 9, 9, true);
    REQUIRE(s);
    REQUIRE(s->gradient.size() == size);
    REQUIRE(s->hessian.rows() == size);
    worst_asymmetry = std::max(worst_asymmetry, (s->hessian - s->hessian.transpose()).norm());
    CHECK(s->active == 2 + e + 1);
    CHECK(s->gradient.tail(size - s->active).norm() == 0);
    CHECK((s->gradient.head<2>() - s->normal_xz).norm() == 0);
    const auto resample = [&](const Vec3& p, const Eigen::VectorXd& q) {
      return *sample(bent.rod, pose(bent.rod, q), p, 10, 10, true);
    };
    for (int j = 0; j < size; ++j) {
      const double h = j < 2 ? 1e-4 : 1e-6;  // mm, rad
      const double g = difference(bent, x, j, h, [&](const Vec3& p, const Eigen::VectorXd& q) {
        return Eigen::Matrix<double, 1, 1>(resample(p, q).gap_mm);
      })[0];
      const double a = difference(bent, x, j, h, [&](const Vec3& p, const Eigen::VectorXd& q) {
        return Eigen::Matrix<double, 1, 1>(resample(p, q).arc_mm);
      })[0];
      const Eigen::VectorXd column = difference(bent, x, j, h, [&](const Vec3& p, const Eigen::VectorXd& q) {
        return Eigen::VectorXd(resample(p, q).gradient);
      });
      worst_gradient = std::max(worst_gradient, std::abs(g - s->gradient[j]) / s->gradient.norm());
      worst_arc = std::max(worst_arc, std::abs(a - s->arc_gradient[j]) / s->arc_gradient.norm());
      worst_hessian = std::max(worst_hessian, (column - s->hessian.col(j)).norm() / s->hessian.norm());
    }
  }
  WARN("relative error of gradient " << worst_gradient << ", Hessian " << worst_hessian << ", arc gradient "
                                     << worst_arc);
  CHECK(worst_gradient < 1e-6);
  CHECK(worst_hessian < 1e-6);
  CHECK(worst_arc < 1e-6);
  CHECK(worst_asymmetry < 1e-14);
}

TEST_CASE("rod sample: gap and gradient are continuous where the closest point passes a node", "[rod]") {
  const Bent bent = bent_rod();
  const PosedRod posed = pose(bent.rod, bent.q);
  for (std::size_t k = 1; k + 1 < posed.node_xz.size(); ++k) {
    const Vec2 t = posed.tangent_xz[k], n(t.y(), -t.x());
    for (const double gap : {-3.0, 0.0, 3.0}) {
      for (const double shift : {0.0, 1e-12, 1e-9}) {
        const Vec2 before = posed.node_xz[k] + gap * n - shift * t, after = before + 2 * shift * t;
        const auto a = sample(bent.rod, posed, Vec3(before.x(), 0, before.y()), 9, 9, true);
        const auto b = sample(bent.rod, posed, Vec3(after.x(), 0, after.y()), 9, 9, true);
        REQUIRE(a);
        REQUIRE(b);
        CHECK(a->gap_mm == Approx(b->gap_mm).margin(1e-11));
        CHECK((a->gradient - b->gradient).norm() < 1e-6);
        CHECK(a->arc_mm == Approx(posed.arc_mm[k]).margin(1e-8));
      }
    }
  }
}

TEST_CASE("rod sample: a straight rod is a half plane", "[rod]") {
  const Rod rod = uniform_rod(24, 120);
  const PosedRod posed = pose(rod, Eigen::VectorXd::Zero(24));
  const auto s = sample(rod, posed, Vec3(1.5, 4, 61), 3, 3, true);
  REQUIRE(s);
  CHECK(s->gap_mm == Approx(1.5).epsilon(1e-15));
  CHECK(s->arc_mm == Approx(61).epsilon(1e-14));
  CHECK(s->curvature == 0);
  CHECK(s->hessian.topLeftCorner<2, 2>().norm() == 0);
  // A nearly straight rod must not lose digits: curvature 1e-9 moves the end by kappa L^2 / 2.
  Eigen::VectorXd q(24);
  for (int k = 0; k < 24; ++k) q[k] = 1e-9 * 5 * (k + 1);
  const auto nearly = sample(rod, pose(rod, q), Vec3(1.5, 4, 61), 3, 3, true);
  REQUIRE(nearly);
  CHECK(nearly->gap_mm - 1.5 == Approx(-1e-9 * 61 * 61 / 2).epsilon(1e-6));
}

TEST_CASE("rod sample: what comes in under the edge lies beside the rod, not on it", "[rod]") {
  const Rod rod = uniform_rod(24, 120);
  const PosedRod posed = pose(rod, Eigen::VectorXd::Zero(24));
  const double edge = rod.half_breadth_mm[0];
  const auto cover = [&](double gap_mm, double inside_mm) {
    const auto s = sample(rod, posed, Vec3(gap_mm, edge - inside_mm, 61), 3, 30, false);
    return s ? s->cover : 0;
  };
  // Touching, flesh is borne from 2 mm inside on.
  CHECK(cover(0.5, 2) == 1);
  CHECK(cover(0, 1) == Approx(0.5));
  // A bulge that hangs 7 mm past the edge moves in under it.
  CHECK(cover(-7, 0.5) < 0.005);
  CHECK(cover(-7, 3.5) < 0.5);
  CHECK(cover(-7, 7.5) == 1);
  // Deeper is never borne more, farther in never less.
  for (double inside = 0.25; inside < 9; inside += 0.25)
    for (double gap = 0; gap > -8; gap -= 0.5) {
      CHECK(cover(gap - 0.5, inside) <= cover(gap, inside));
      CHECK(cover(gap, inside) >= cover(gap, inside - 0.25));
    }
}

TEST_CASE("rod sample: arcs too flat for the arc tangent keep their digits", "[rod]") {
  // One circle of curvature k about (1/k, 0): a point at angle a and gap g off it is known in closed form.
  for (const double k : {1e-4, 1e-5, 1e-7, -1e-5}) {
    const Rod rod = uniform_rod(1, 50);
    const PosedRod posed = pose(rod, Eigen::VectorXd::Constant(1, 50 * k));
    const double arc = 5, gap = 4;
    const Vec2 n(std::cos(arc * k), -std::sin(arc * k));
    const Vec2 on(2 / k * std::pow(std::sin(arc * k / 2), 2), std::sin(arc * k) / k);
    const Vec2 p = on + gap * n;
    const auto s = sample(rod, posed, Vec3(p.x(), 0, p.y()), 5, 5, false);
    REQUIRE(s);
    CHECK(s->arc_mm == Approx(arc).epsilon(1e-13));
    CHECK(s->gap_mm == Approx(gap).epsilon(1e-13));
  }
}

TEST_CASE("rod sample: in a hairpin the nearer leg counts", "[rod]") {
  // 40 mm up, a half turn of radius 10 toward +x, 40 mm down: a point between the legs is abreast of both.
  Rod rod = uniform_rod(10, 1);
  rod.length_mm = {20, 20, pi * 10 / 6, pi * 10 / 6, pi * 10 / 6, pi * 10 / 6, pi * 10 / 6, pi * 10 / 6, 20, 20};
  Eigen::VectorXd q(10);
  q << 0, 0, pi / 6, pi / 3, pi / 2, 2 * pi / 3, 5 * pi / 6, pi, pi, pi;
  const PosedRod posed = pose(rod, q);
  CHECK((rear_end(posed) - Vec2(20, 0)).norm() < 1e-12);
  for (const double x : {2.0, 7.0, 13.0, 18.0}) {
    const auto s = sample(rod, posed, Vec3(x, 0, 15), 19, 5, false);
    REQUIRE(s);
    CHECK(s->gap_mm == Approx(std::min(x, 20 - x)));
    CHECK(s->arc_mm == Approx(x < 10 ? 15 : 80 + 10 * pi - 15));
  }
}

TEST_CASE("rod cover fades over the last 2 mm and ends at the edges", "[rod]") {
  Rod rod = uniform_rod(10, 100);
  rod.half_breadth_mm.back() = 10;  // narrows from 20 at arc 90 to 10 at arc 100
  const PosedRod posed = pose(rod, Eigen::VectorXd::Zero(10));
  const auto cover = [&](double y, double z) {
    const auto s = sample(rod, posed, Vec3(0.5, y, z), 2, 2, false);
    return s ? s->cover : 0.0;
  };
  CHECK(cover(0, 50) == 1);
  CHECK(cover(17.99, 50) == 1);
  CHECK(cover(19, 50) == Approx(0.5));
  CHECK(cover(-19, 50) == Approx(0.5));
  CHECK(cover(20, 50) == 0);
  CHECK(cover(20 - 1e-12, 50) < 1e-9);
  CHECK(cover(0, 97.99) == 1);
  CHECK(cover(0, 99) == Approx(0.5));
  CHECK(cover(0, 100) == 0);
  CHECK(cover(0, 100 + 1e-12) == 0);
  CHECK(cover(14, 95) == Approx(0.5));  // half breadth 15 there
  // C2: second difference stays bounded and goes to 0 at both ends of the fade.
  for (const double edge : {98.0, 100.0}) {
    const double h = 1e-3;
    CHECK(std::abs(cover(0, edge + h) - 2 * cover(0, edge) + cover(0, edge - h)) / (h * h) < 0.02);
  }
}

TEST_CASE("rod sample refuses points out of reach", "[rod]") {
  const Rod rod = uniform_rod(10, 100);
  const PosedRod posed = pose(rod, Eigen::VectorXd::Zero(10));
  CHECK(sample(rod, posed, Vec3(2.999, 0, 50), 3, 1, false));
  CHECK_FALSE(sample(rod, posed, Vec3(3.001, 0, 50), 3, 1, false));
  CHECK(sample(rod, posed, Vec3(-0.999, 0, 50), 3, 1, false));
  CHECK_FALSE(sample(rod, posed, Vec3(-1.001, 0, 50), 3, 1, false));
  CHECK(sample(rod, posed, Vec3(0, 0, 0), 3, 1, false));
  CHECK_FALSE(sample(rod, posed, Vec3(0, 0, -1e-9), 3, 1, false));
  CHECK_FALSE(sample(rod, posed, Vec3(0, 0, 101), 3, 1, false));
  CHECK_FALSE(sample(rod, posed, Vec3(std::numeric_limits<double>::quiet_NaN(), 0, 50), 3, 1, false));
}

TEST_CASE("rod: no point of the curve moves farther than is told", "[rod]") {
  std::mt19937 random(11);
  std::uniform_real_distribution<double> u(-1, 1);
  for (int k = 0; k < 50; ++k) {
    const Bent bent = bent_rod();
    Eigen::VectorXd q = bent.q;
    for (Eigen::Index i = bent.rod.first_dof; i < q.size(); ++i) q[i] += 0.2 * u(random);
    const PosedRod before = pose(bent.rod, bent.q), now = pose(bent.rod, q);
    double farthest = 0;
    for (std::size_t n = 0; n < before.node_xz.size(); ++n)
      farthest = std::max(farthest, (now.node_xz[n] - before.node_xz[n]).norm());
    const double told = moved_at_most(bent.rod, before, now);
    CHECK(told >= farthest - 1e-9);
    CHECK(told < 20 * farthest + 1e-9);
    CHECK(moved_at_most(bent.rod, before, before) == 0);
  }
}
