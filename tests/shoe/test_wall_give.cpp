// How the wall gives, against rings in closed form.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <Eigen/Cholesky>
#include <Eigen/Eigenvalues>
#include <Eigen/LU>
#include <catch2/catch.hpp>
#include <cmath>
#include <complex>
#include <random>

#include "aplomb/shoe/shoe.h"
#include "samples.h"
#include "tube.h"

using namespace aplomb;
using namespace aplomb::shoe;
using namespace aplomb::shoe::test;
using geometry::pi;
using geometry::Vec3;

TEST_CASE("ring modes of a round box have the stiffness of thin rings", "[wall]") {
  // E t^3 (n^2 - 1)^2 / (12 r^4), E 1 GPa, t 2, r 30 mm: 7.41e6, 5.27e7, 1.85e8 Pa/m (thin ring, inextensional:
  // Timoshenko, Strength of Materials; figures computed apart from this program).
  const Wall wall = make_wall(tube());
  const std::array<double, 3> Pa_per_m{7.41e6, 5.27e7, 1.85e8};
  for (int n = 2; n <= 4; ++n)
    for (const bool sine : {false, true}) {
      const Eigen::Vector3d hat(0.3, 0.8, 1);
      const Eigen::VectorXd a = amounts(n, sine, hat);
      // Mean of cos^2 round the ring is a half; 1e-9 turns Pa/m into MPa/mm.
      const double area = pi * 30 * height_integral(wall, hat);
      const double found = a.dot(wall.K.ring * a) / area * 1e9;
      CAPTURE(n, sine, found);
      CHECK(found == Approx(Pa_per_m[static_cast<std::size_t>(n - 2)]).epsilon(0.003));
    }
}

TEST_CASE("a ring pinched by two opposite forces: what the modes catch of it", "[wall]") {
  // The whole solution: the diameter under the forces shortens by (pi/4 - 2/pi) P R^3 / EI = 0.1488 P R^3 / EI
  // (Timoshenko, Strength of Materials, part II; Roark's Formulas for Stress and Strain, circular rings, case 1). Its
  // series is the sum over even n of 4 / (pi (n^2 - 1)^2): n = 2 is 95 % of it, n = 2 and 4 are 98.9 %.
  const double whole = pi / 4 - 2 / pi;
  const Wall wall = make_wall(tube());
  // A ring of the tube as long as its upper hats see: amounts that move every height alike would have to move the
  // platform too, so the ring's own stiffness is read from K per length.
  const Eigen::Vector3d hat(0.3, 0.8, 1);
  const double length = height_integral(wall, hat), EI = 1000 * 8.0 / 12, P = 1, R = 30;
  double shortens = 0;
  std::vector<double> share;
  for (int n = 2; n <= 4; ++n) {
    // cos(n u) under P at u = 0 and at half a turn: force 1 on each where n is even, none together where n is odd.
    const Eigen::VectorXd a = amounts(n, false, hat);
    const double stiffness = a.dot(wall.K.ring * a) / length;  // N/mm per mm of ring
    const double force = P * (1 + std::cos(n * pi));
    shortens += force * force / stiffness;  // work-conjugate: force . a = P * change of diameter
    share.push_back(shortens * EI / (P * R * R * R) / whole);
  }
  CAPTURE(share[0], share[2]);
  CHECK(share[0] == Approx(4 / (pi * 9) / whole).epsilon(0.003));
  CHECK(share[2] == Approx((4 / pi) * (1.0 / 9 + 1.0 / 225) / whole).epsilon(0.003));
  CHECK(share[2] > 0.98);
  CHECK(share[2] < 1);
}

TEST_CASE("twist and warping of a round box in closed form", "[wall]") {
  // For w = f(z) cos n theta: v = - f sin(n theta) / n, u = - r f' cos(n theta) / n^2, so per area of cos^2 the wall
  // stores E t (r / n^2)^2 f''^2 and, of sin^2, G t^3/3 ((n - 1/n) / r)^2 f'^2 (both halved).
  const Wall wall = make_wall(tube());
  const Eigen::Vector3d hat(0.2, 0.7, 1);
  double slope2 = 0, bend2 = 0;
  const double from = wall.box.platform_z(), to = wall.box.highest_cut_z();
  constexpr int steps = 64;  // as many as the program takes: its sum in z is part of the definition near the platform
  for (int i = 0; i < steps; ++i) {
    const auto at = wall.give.hinged_hats_at(from + (i + 0.5) * (to - from) / steps);
    slope2 += std::pow(at.first.matrix().dot(hat), 2) * (to - from) / steps;
    bend2 += std::pow(at.second.matrix().dot(hat), 2) * (to - from) / steps;
  }
  const double E = 1000, t = 2, r = 30, G = E / 2.6;
  for (int n = 2; n <= 4; ++n) {
    const Eigen::VectorXd a = amounts(n, n == 3, hat);
    CHECK(a.dot(wall.K.warping * a) == Approx(pi * r * E * t * std::pow(r / (n * n), 2) * bend2).epsilon(0.003));
    const double turn = (n - 1.0 / n) / r;
    CHECK(a.dot(wall.K.twist * a) == Approx(pi * r * G * t * t * t / 3 * turn * turn * slope2).epsilon(0.003));
  }
}

TEST_CASE("held by the platform the wall bends as a beam on an elastic foundation", "[wall]") {
  // Under p cos 2 theta MPa a tube follows B d4w - T d2w + k w = pi r p along z (semi-membrane theory; the analogy is
  // Calladine's, Theory of Shell Structures, chapter 9; from memory): k = 9 pi E t^3 / (12 r^3) bends the rings, B = pi
  // E t r^3 / 16 strains the wall, T = pi r G t^3/3 (1.5 / r)^2 twists it. w is 0 at the platform, whose plate takes
  // the moment S dw; the other end is free. Its solution is a sum of four exponentials.
  const double r = 30, t = GENERATE(2.0, 4.0), E = 1000, nu = 0.3, G = E / (2 * (1 + nu));
  ShoeParameters p = tube(t, 100);
  p.inner_length_mm = 340;
  p.ball_height_mm = 105;
  const Wall wall = make_wall(p);
  const double k = 9 * pi * E * t * t * t / (12 * r * r * r), B = pi * E * t * r * r * r / 16;
  const double T = pi * r * G * t * t * t / 3 * 2.25 / (r * r);
  const double plate = E * std::pow(p.platform_thickness_mm, 3) / (12 * (1 - nu * nu)) * (1 - nu);
  const double S = 2 * pi * plate / 4, load = pi * r;
  const double L = wall.box.highest_cut_z() - wall.give.hinge_z();

  using Complex = std::complex<double>;
  const Complex root = std::sqrt(Complex(T * T - 4 * B * k));
  const std::array<Complex, 4> m{std::sqrt((T + root) / (2 * B)), -std::sqrt((T + root) / (2 * B)),
                                 std::sqrt((T - root) / (2 * B)), -std::sqrt((T - root) / (2 * B))};
  Eigen::Matrix4cd A;
  for (int i = 0; i < 4; ++i) {
    const Complex q = m[static_cast<std::size_t>(i)], e = std::exp(q * L);
    A.col(i) << 1, B * q * q - S * q, q * q * e, (B * q * q * q - T * q) * e;
  }
  const Eigen::Vector4cd C = A.partialPivLu().solve(Eigen::Vector4cd(-load / k, 0, 0, 0));
  const auto exact = [&](double z) {
    Complex w = load / k;
    for (int i = 0; i < 4; ++i) w += C[i] * std::exp(m[static_cast<std::size_t>(i)] * z);
    return w.real();
  };

  Eigen::VectorXd work = Eigen::VectorXd::Zero(WallGive::shape_count);
  const double from = wall.box.platform_z(), to = wall.box.highest_cut_z();
  constexpr int steps = 4000;
  for (int i = 0; i < steps; ++i) {
    const auto hat = wall.give.hinged_hats_at(from + (i + 0.5) * (to - from) / steps);
    for (int j = 0; j < WallGive::hats; ++j)
      work[WallGive::index(j, 2, false)] += load * hat.value[j] * (to - from) / steps;
  }
  const int n = WallGive::oval_count;
  const Eigen::VectorXd a = wall.K.sum().topLeftCorner(n, n).ldlt().solve(work.head(n));
  for (int j = 0; j < WallGive::hats; ++j) {
    CAPTURE(t, j, load / k);
    CHECK(a[WallGive::index(j, 2, false)] == Approx(exact(L * (j + 1) / 3)).epsilon(0.05));
  }
  CHECK(a[WallGive::index(0, 2, false)] < 0.6 * load / k);  // the end cap is felt well up the wall
}

TEST_CASE("the wall's stiffness follows its modulus, thickness, wear and moisture", "[wall]") {
  const Wall base = make_wall(sample_parameters("parallel"));
  const double size = base.K.sum().norm();
  ShoeParameters p = base.parameters;
  p.wall_E_GPa *= 2;
  CHECK((make_wall(p).K.sum() - 2 * base.K.sum()).norm() < 1e-12 * size);
  p = base.parameters;
  p.wear_hours += 8;  // half by then
  CHECK((make_wall(p).K.sum() - base.K.sum() / 2).norm() < 1e-12 * size);
  p = base.parameters;
  p.moisture = 1;
  CHECK(make_wall(p).K.sum().norm() < 0.6 * size);
  p = base.parameters;
  p.wall_thickness_mm *= 1.5;
  const double bent = make_wall(p).K.ring.norm() / base.K.ring.norm();
  CHECK(bent > 0.85 * 1.5 * 1.5 * 1.5);  // the cube, less what the middle surface moves out
  CHECK(bent < 1.5 * 1.5 * 1.5);
}

TEST_CASE("any wall holds every one of its shapes", "[wall]") {
  for (int i = 0; i < 40; ++i) {
    const Shoe shoe = random_shoe(i);
    constexpr int n = WallGive::oval_count;  // the vamp is held by its own spring
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> eigen(shoe.wall_stiffness_N_per_mm.topLeftCorner(n, n));
    CAPTURE(i, eigen.eigenvalues()[0]);
    CHECK(eigen.eigenvalues()[0] > 0.5);
    CHECK((shoe.wall_stiffness_N_per_mm - shoe.wall_stiffness_N_per_mm.transpose()).norm() <
          1e-9 * shoe.wall_stiffness_N_per_mm.norm());
  }
}

TEST_CASE("open wings and the vamp are softer than the closed wall", "[wall]") {
  const ShoeParameters p = sample_parameters("parallel");
  const auto at_top = [](const Wall& wall) {  // N/mm against ovalling at the end of the wings
    const Eigen::VectorXd a = amounts(2, false, {0, 0, 1});
    return a.dot(wall.K.sum() * a);
  };
  const Wall open = make_wall(p);
  ShoeParameters closed = p;
  closed.vamp_length_mm = closed.sole_edge_mm = p.wing_medial_mm;
  closed.cap_length_mm = p.vamp_length_mm;
  ShoeParameters capped = p;
  capped.cap_length_mm = p.vamp_length_mm;
  CHECK(at_top(open) < 0.8 * at_top(make_wall(closed)));
  CHECK(at_top(open) < at_top(make_wall(capped)));
  CHECK(at_top(make_wall(capped)) < at_top(make_wall(closed)));
}

TEST_CASE("shapes of the giving wall: derivatives, bound, nothing at the platform", "[wall]") {
  for (const char* name : {"parallel", "tapered", "deep_box"}) {
    const Shoe shoe = sample_shoe(name);
    std::mt19937 random(5);
    std::uniform_real_distribution<double> u(-1, 1);
    Eigen::VectorXd a(WallGive::shape_count);
    for (double& value : a) value = 2 * u(random);
    geometry::GiveSample s, low, high;
    double most = 0;
    for (int i = 0; i < 300; ++i) {
      const double turn = 0.5 + 0.5 * u(random), v = 12 * std::abs(u(random));
      const BoxSurface::WallPoint wall = shoe.box.wall_point(turn, v);
      const Vec3 x = wall.position_S + u(random) * wall.inward_S;
      if (!shoe.wall.sample(x, a, s)) continue;
      CHECK(std::abs(shoe.wall.moved_mm(x, a) - s.value.dot(a)) < 1e-12);
      if (x.z() < shoe.box.highest_cut_z() + 3) most = std::max(most, std::abs(s.value.dot(a)));
      constexpr double h = 1e-4;
      for (int k = 0; k < 3; ++k) {
        REQUIRE(shoe.wall.sample(x + h * Vec3::Unit(k), a, high));
        if (!shoe.wall.sample(x - h * Vec3::Unit(k), a, low)) continue;
        CHECK(((high.value - low.value) / (2 * h) - s.gradient.row(k).transpose()).norm() < 1e-6);
        CHECK(((high.gradient - low.gradient) * a / (2 * h) - s.hessian.col(k)).norm() < 1e-5);
      }
    }
    // Nowhere steeper than said, also between the places where that was looked at.
    double steepest = 0;
    for (int i = 0; i < 3000; ++i) {
      const BoxSurface::WallPoint wall = shoe.box.wall_point(0.5 + 0.5 * u(random), 12 * std::abs(u(random)));
      const Vec3 x = wall.position_S + (4 + 5 * u(random)) * wall.inward_S;
      if (x.z() > shoe.box.highest_cut_z() + 8) continue;
      const double radius = 2 + 2 * u(random), said = shoe.wall.steepest(a, x, radius);
      const Vec3 there = x + radius * Vec3(u(random), u(random), u(random)) / std::sqrt(3.0);
      if (!std::isfinite(said) || !shoe.wall.sample(there, a, s)) continue;
      CHECK((s.gradient * a).norm() <= said);
      steepest = std::max(steepest, (s.gradient * a).norm() / said);
    }
    CHECK(steepest > 0.1);
    CHECK_FALSE(std::isfinite(shoe.wall.steepest(a, Vec3(0, 0, shoe.box.platform_z() + 20), 1)));
    CHECK(most < shoe.wall.bound(a));
    CHECK(most > 0.1 * shoe.wall.bound(a));
    // What rests on the platform does not move.
    CHECK_FALSE(shoe.wall.sample(Vec3(3, 8, shoe.box.platform_z() + 0.05), a, s));
    CHECK(shoe.wall.moved_mm(Vec3(3, 8, shoe.box.platform_z() + 0.05), a) == 0);
  }
}

TEST_CASE("the wall's shapes leave its girth as it is", "[wall]") {
  // Small normal displacements w change the length of a closed curve by the integral of w over the turn of its normal.
  for (const char* name : {"parallel", "tapered", "deep_box"}) {
    const Shoe shoe = sample_shoe(name);
    const double z = shoe.box.platform_z() + 35;
    const auto ring = shoe.box.ring(z, 720);
    geometry::GiveSample s;
    const Eigen::VectorXd none = Eigen::VectorXd::Zero(WallGive::shape_count);
    Eigen::VectorXd change = none, size = none;
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const Vec3 &from = ring[i].first, &to = ring[(i + 1) % ring.size()].first;
      const double turn = std::atan2(from.x() * to.y() - from.y() * to.x(), from.head<2>().dot(to.head<2>()));
      REQUIRE(shoe.wall.sample(ring[i].position_S, none, s));
      change += turn * s.value;
      size += turn * s.value.cwiseAbs();
    }
    for (int k = 0; k < WallGive::oval_count; ++k) {  // the vamp stretches
      CAPTURE(name, k);
      CHECK(std::abs(change[k]) < 0.02 * size[k]);
    }
  }
}

TEST_CASE("the vamp's shape lies between cap and throat, on the dorsum alone", "[wall]") {
  const Shoe shoe = sample_shoe("tapered");
  const Eigen::VectorXd none = Eigen::VectorXd::Zero(WallGive::shape_count);
  geometry::GiveSample s;
  const auto at = [&](double turn, double z) {
    REQUIRE(shoe.wall.sample(shoe.box.wall_point(turn, shoe.box.v_of_z(z)).position_S, none, s));
    return s.value[WallGive::vamp];
  };
  const double throat = shoe.parameters.platform_thickness_mm + shoe.parameters.vamp_length_mm;
  CHECK(at(0, throat) == Approx(1).margin(1e-6));
  CHECK(at(0, shoe.box.cap_z() - 1) == 0);
  CHECK(at(0, 0.5 * (throat + shoe.box.cap_z())) == Approx(0.5).margin(0.01));
  for (const double turn : {0.25, 0.5, 0.75}) CHECK(at(turn, throat) == 0);
  CHECK(at(0.05, throat) == Approx(at(0.95, throat)).epsilon(1e-9));
}

TEST_CASE("the drawstring draws the vamp in by its tension times what the edge shortens", "[wall]") {
  // A string at tension T round a circle moved inward by a f(theta), small a: its length falls by a times the integral
  // of f over theta, whatever the radius (virtual work; closed form of a curve's first variation).
  ShoeParameters p = tube();
  p.vamp_length_mm = 52;
  p.cap_length_mm = 20;
  p.drawstring_N = 8;
  const Wall wall = make_wall(p);
  const double z = wall.box.wall_point(0, wall.box.cut_v(0)).position_S.z(), axis = wall.box.axis_x(z);
  const Eigen::VectorXd none = Eigen::VectorXd::Zero(WallGive::shape_count);
  geometry::GiveSample sample;
  constexpr int steps = 2000;
  double integral = 0;
  for (int i = 0; i < steps; ++i) {
    const double theta = 2 * geometry::pi * (i + 0.5) / steps;
    REQUIRE(wall.give.sample(Vec3(axis + 29 * std::cos(theta), 29 * std::sin(theta), z), none, sample));
    integral += sample.value[WallGive::vamp] * 2 * geometry::pi / steps;
  }
  CHECK(integral > 0.5);
  CHECK(make_vamp(p, wall.box, wall.give).drawstring_N == Approx(8 * integral).epsilon(0.01));
  p.drawstring_N = 0;
  CHECK(make_vamp(p, wall.box, wall.give).drawstring_N == 0);
}
