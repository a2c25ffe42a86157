// The rod's shape, bending energy and rear end: against brute force, closed forms and finite differences.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <numeric>

#include "rods.h"

using namespace aplomb::contact;
using namespace aplomb::contact::rods;

TEST_CASE("rod node positions agree with the curve summed in small steps", "[rod]") {
  const Bent bent = bent_rod();
  const PosedRod posed = pose(bent.rod, bent.q);
  for (std::size_t k = 0; k < posed.node_xz.size(); ++k) {
    CHECK((posed.node_xz[k] - point_by_small_steps(bent.rod, bent.q, posed.arc_mm[k])).norm() < 1e-7);
  }
  CHECK(posed.arc_mm.back() == Approx(std::accumulate(bent.rod.length_mm.begin(), bent.rod.length_mm.end(), 0.0)));
}

TEST_CASE("rod node gradients and rear end Hessian agree with finite differences", "[rod]") {
  const Bent bent = bent_rod();
  const PosedRod posed = pose(bent.rod, bent.q);
  const int count = bent.rod.element_count();
  const Vec2 c(0.7, -1.3);
  const Eigen::MatrixXd hessian = node_hessian(bent.rod, posed, bent.rod.element_count(), c);
  CHECK((hessian - hessian.transpose()).norm() == 0);
  for (int j = 0; j < count; ++j) {
    const double h = 1e-5;
    Eigen::VectorXd up = bent.q, down = bent.q;
    up[3 + j] += h;
    down[3 + j] -= h;
    const PosedRod a = pose(bent.rod, up), b = pose(bent.rod, down);
    for (int k = 0; k <= count; ++k) {
      CHECK(((a.node_xz[k] - b.node_xz[k]) / (2 * h) - posed.node_gradient[k].col(j)).norm() < 1e-7);
    }
    const Eigen::VectorXd column = (a.node_gradient.back() - b.node_gradient.back()).transpose() * c / (2 * h);
    CHECK((column - hessian.col(j)).norm() < 1e-7);
  }
  CHECK((rear_end(posed) - posed.node_xz.back()).norm() == 0);
}

TEST_CASE("rod quadrature stays accurate while an element turns by one radian", "[rod]") {
  // One element of length 1 turning by d from 0: int w cos(d w) dw = sin d / d + (cos d - 1) / d^2 and, for the second
  // derivative, int w^2 cos(d w) dw = sin d / d + 2 cos d / d^2 - 2 sin d / d^3.
  const Rod rod = uniform_rod(1, 1);
  for (const double d : {0.1, 0.3, 1.0}) {
    const PosedRod posed = pose(rod, Eigen::VectorXd::Constant(1, d));
    const double first = std::sin(d) / d + (std::cos(d) - 1) / (d * d);
    const double second = std::sin(d) / d + 2 * std::cos(d) / (d * d) - 2 * std::sin(d) / (d * d * d);
    CHECK(posed.node_gradient[1](0, 0) == Approx(first).epsilon(d < 1 ? 1e-12 : 1e-11));
    CHECK(-node_hessian(rod, posed, rod.element_count(), Vec2(0, 1))(0, 0) ==
          Approx(second).epsilon(d < 1 ? 1e-13 : 3e-10));
  }
}

TEST_CASE("rod bending energy, gradient and Hessian agree with each other", "[rod]") {
  const Bent bent = bent_rod();
  const int size = static_cast<int>(bent.q.size());
  Eigen::VectorXd gradient = Eigen::VectorXd::Ones(size);
  Eigen::MatrixXd hessian = Eigen::MatrixXd::Ones(size, size);
  const double energy = add_bending(bent.rod, bent.q, &gradient, &hessian);
  gradient.array() -= 1;  // it adds to what is there
  hessian.array() -= 1;
  CHECK(energy > 0);
  CHECK(gradient.head(3).norm() == 0);
  for (int j = 0; j < size; ++j) {
    const double h = 1e-4;
    Eigen::VectorXd up = bent.q, down = bent.q, g_up = Eigen::VectorXd::Zero(size), g_down = g_up;
    up[j] += h;
    down[j] -= h;
    const double e_up = add_bending(bent.rod, up, &g_up, nullptr);
    const double e_down = add_bending(bent.rod, down, &g_down, nullptr);
    CHECK((e_up - e_down) / (2 * h) == Approx(gradient[j]).epsilon(1e-6).margin(1e-6));
    CHECK(((g_up - g_down) / (2 * h) - hessian.col(j)).norm() < 1e-6 * hessian.norm());
  }
}

TEST_CASE("a free rod takes its rest curvature exactly", "[rod]") {
  // Energy 0 at theta_k = k kappa0 l, and the curve is then the circle of radius 1/kappa0: a closed form.
  const double kappa0 = 0.011;
  Rod rod = uniform_rod(7, 120);
  rod.rest_curvature.assign(7, kappa0);
  Eigen::VectorXd q(7);
  for (int k = 0; k < 7; ++k) q[k] = kappa0 * 120 / 7 * (k + 1);
  Eigen::VectorXd gradient = Eigen::VectorXd::Zero(7);
  CHECK(add_bending(rod, q, &gradient, nullptr) == Approx(0).margin(1e-20));
  CHECK(gradient.norm() < 1e-9);
  const Vec2 rear = rear_end(pose(rod, q));
  CHECK(rear.x() == Approx((1 - std::cos(kappa0 * 120)) / kappa0).epsilon(1e-13));
  CHECK(rear.y() == Approx(std::sin(kappa0 * 120) / kappa0).epsilon(1e-13));
}

TEST_CASE("rod check names what is wrong", "[rod]") {
  CHECK(check(uniform_rod(24, 120)));
  Rod rod;
  CHECK(check(rod).error().field == "length_mm");
  rod = uniform_rod(max_rod_elements + 1, 120);
  CHECK(check(rod).error().field == "length_mm");
  rod = uniform_rod(8, 120);
  rod.EI_Nmm2.pop_back();
  CHECK(check(rod).error().field == "EI_Nmm2");
  rod = uniform_rod(8, 120);
  rod.EI_Nmm2[3] = 0;
  CHECK(check(rod).error().field == "EI_Nmm2");
  rod = uniform_rod(8, 120);
  rod.rest_curvature[2] = std::numeric_limits<double>::quiet_NaN();
  CHECK(check(rod).error().field == "rest_curvature");
  rod = uniform_rod(8, 120);
  rod.half_breadth_mm.pop_back();
  CHECK(check(rod).error().field == "half_breadth_mm");
  rod = uniform_rod(8, 120);
  rod.start_angle = std::numeric_limits<double>::infinity();
  CHECK(check(rod).error().field == "start_xz, start_angle");
  rod = uniform_rod(8, 120);
  rod.first_dof = -1;
  CHECK(check(rod).error().field == "first_dof");
}
