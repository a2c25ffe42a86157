// Rings by finite elements against the stiffness that our wall has for its oval modes.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <Eigen/Cholesky>
#include <catch2/catch.hpp>
#include <cmath>

#include "../shoe/tube.h"
#include "deck.h"
#include "ours.h"

using namespace aplomb;
using namespace aplomb::ladder;
using namespace aplomb::shoe::test;
using geometry::pi;
using shoe::WallGive;

namespace {

constexpr double r = 30, t = 2, E_MPa = 1000;

/// Stiffness of a ring under p cos(n turn) from inside, Pa/m of its middle line; 0: no answer. Half a ring in plane
/// stress; what moves it as a whole is held and left out of the projection.
double ring_by_ccx(int n, int around) {
  Deck deck;
  const Quads ring = add_quads(deck, "CPS8", "RING", around, 1, [&](double u, double v) -> Vec3 {
    const double a = pi * (1 - u), at = r + t * (v - 0.5);  // turning back and going outward: counterclockwise
    return {at * std::cos(a), at * std::sin(a), 0};
  });
  std::vector<int> ends = ring.left();
  for (const int node : ring.right()) ends.push_back(node);
  deck.add_node_set("ENDS", ends);
  const std::vector<int> middle_line{ring.node(0, 1), ring.node(2 * around, 1)};
  deck.add(linear_elastic("PASTE", E_MPa, 0.3));
  deck.add("*SOLID SECTION,ELSET=RING,MATERIAL=PASTE\n1.");
  deck.add(fmt::format("*BOUNDARY\nENDS,2,2\n{},1,1\n*STEP\n*STATIC\n*DLOAD", middle_line[0]));
  // Even pressure on each element: its part in cos(n turn) is sinc less than its middle.
  const double step = pi / around, sinc = std::sin(n * step / 2) / (n * step / 2), p = 1e-3;
  for (int i = 0; i < around; ++i)
    deck.add(fmt::format("{},P1,{:.12g}", ring.elements[static_cast<std::size_t>(i)],
                         p / sinc * std::cos(n * pi * (1 - (i + 0.5) / around))));
  deck.add("*NODE PRINT,NSET=ALL\nU\n*END STEP");
  const Printed printed = run(deck);
  if (!printed.finished) {
    WARN(printed.complaint);
    return 0;
  }
  // Outward displacement of the middle line (nodes at half thickness stand at element corners), projected.
  double sum = 0;
  for (int i = 0; i <= around; ++i) {
    const double a = pi * (1 - i / static_cast<double>(around)), weight = i == 0 || i == around ? 0.5 : 1;
    const Vec3 u = printed.displacement_mm.at(ring.node(2 * i, 1));
    sum += weight * (u.x() * std::cos(a) + u.y() * std::sin(a)) * std::cos(n * a) * 2 / around;
  }
  return p * (r - t / 2) / r / sum * 1e9;
}

/// Stiffness of a ring against cos (n u), Pa / m, the mesh halved once.
struct Ring {
  double coarse, fine, ours;
};
Ring ring_of(const Wall& wall, int n) {
  const Eigen::Vector3d hat(0.3, 0.8, 1);
  const Eigen::VectorXd a = amounts(n, false, hat);
  return {ring_by_ccx(n, 24), ring_by_ccx(n, 48), a.dot(wall.K.ring * a) / (pi * r * height_integral(wall, hat)) * 1e9};
}

}  // namespace

TEST_CASE("ladder: rings by finite elements and the wall's oval modes") {
  if (!has_ccx()) {
    fmt::print("skipped: ccx (package calculix-ccx) is not installed\n");
    return;
  }
  const Wall wall = make_wall(tube());
  for (int n = 2; n <= 4; ++n) {
    const auto [coarse, fine, ours] = ring_of(wall, n);
    fmt::print("ring n {}: ccx {:.3e} Pa/m, mesh halved {:.3e}, ours {:.3e} ({:+.1f} %)\n", n, coarse, fine, ours,
               percent(ours, fine));
    CHECK(std::abs(percent(fine, coarse)) < 2);
    // A thin ring knows no shear: t/r 1/15 and short waves make the real one softer by some percent at n = 4.
    CHECK(std::abs(percent(ours, fine)) < 4);
  }
}

namespace {

struct Tube {
  bool finished = false;
  double seconds = 0;
  std::array<double, 3> thirds_mm{};  ///< outward at each third of the height, turn 0
};

/// A quarter of a tube of shells under p cos(2 turn), standing on a plate with a small hole in its middle.
Tube tube_by_ccx(double height, double plate_thickness, double p, int across) {
  Deck deck;
  const int up = 3 * static_cast<int>(std::lround(height / 25)) * across / 8 + 3;
  const int rows = up - up % 3;
  const Quads wall = add_quads(
      deck, "S8R", "WALL", across, rows,
      [&](double u, double v) -> Vec3 {
        return {r * std::cos(pi / 2 * u), r * std::sin(pi / 2 * u), height * v};
      },
      true);
  const Quads plate = add_quads(
      deck, "S8R", "PLATE", across, across / 2,
      [&](double u, double v) -> Vec3 {
        const double at = r - v * (r - 2);
        return {at * std::cos(pi / 2 * u), at * std::sin(pi / 2 * u), 0};
      },
      true);
  std::vector<int> on_x = wall.left(), on_y = wall.right();
  for (const int n : plate.left()) on_x.push_back(n);
  for (const int n : plate.right()) on_y.push_back(n);
  deck.add_node_set("ONX", on_x);  // mirror plane y = 0
  deck.add_node_set("ONY", on_y);
  deck.add_node_set("RIM", wall.bottom());
  deck.add(linear_elastic("PASTE", E_MPa, 0.3));
  deck.add(fmt::format("*SHELL SECTION,ELSET=WALL,MATERIAL=PASTE\n{}\n*SHELL SECTION,ELSET=PLATE,MATERIAL=PASTE\n{}", t,
                       plate_thickness));
  // The rim keeps its shape, as the plate in its own plane nearly does; along z it is held where it does not warp.
  deck.add("*BOUNDARY\nONX,2,2\nONX,4,4\nONX,6,6\nONY,1,1\nONY,5,5\nONY,6,6");
  deck.add(fmt::format("{},3,3", plate.node(across, across)));
  deck.add("*STEP\n*STATIC\n*DLOAD");
  const double step = pi / 2 / across, sinc = std::sin(step) / step;
  for (int j = 0; j < rows; ++j)
    for (int i = 0; i < across; ++i)  // along the shell's normal, outward here
      deck.add(fmt::format("{},P,{:.12g}", wall.elements[static_cast<std::size_t>(j * across + i)],
                           p / sinc * std::cos(pi * (i + 0.5) / across)));
  deck.add("*NODE PRINT,NSET=ALL\nU\n*END STEP");
  const Printed printed = run(deck);
  Tube out{printed.finished, 0, printed.seconds, {}};
  if (!printed.finished) {
    WARN(printed.complaint);
    return out;
  }
  for (int third = 1; third <= 3; ++third) {
    const int j = 2 * rows * third / 3;
    // cos 2 turn alone: half the difference between turn 0 (along x) and a quarter (along y).
    out.thirds_mm[static_cast<std::size_t>(third - 1)] =
        (printed.displacement_mm.at(wall.node(0, j)).x() - printed.displacement_mm.at(wall.node(2 * across, j)).y()) /
        2;
  }
  return out;
}

}  // namespace

TEST_CASE("rings and a tube on its platform by finite elements", "[.][long][ccx]") {
  if (!has_ccx()) {
    fmt::print("skipped: ccx (package calculix-ccx) is not installed\n");
    return;
  }
  const Wall wall = make_wall(tube());
  for (int n = 2; n <= 4; ++n) {
    const auto [coarse, fine, ours] = ring_of(wall, n);
    fmt::print(
        "result: ring of {:.0f} mm, wall {:.0f} mm, E 1 GPa, n = {}: ccx {:.4e} Pa/m, mesh halved {:.4e}; ours {:.4e} "
        "({:+.1f} %)\n",
        r, t, n, coarse, fine, ours, percent(ours, fine));
  }
  shoe::ShoeParameters parameters = tube(t, 100);
  parameters.inner_length_mm = 340;
  parameters.ball_height_mm = 105;
  const Wall tall = make_wall(parameters);
  const double from = tall.box.platform_z(), to = tall.box.highest_cut_z(), height = to - tall.give.hinge_z(), p = 1e-4;
  Eigen::VectorXd work = Eigen::VectorXd::Zero(WallGive::shape_count);
  constexpr int steps = 4000;
  for (int i = 0; i < steps; ++i) {
    const auto hats = tall.give.hinged_hats_at(from + (i + 0.5) * (to - from) / steps);
    for (int j = 0; j < WallGive::hats; ++j)
      work[WallGive::index(j, 2, false)] += p * pi * r * hats.value[j] * (to - from) / steps;
  }
  const Eigen::VectorXd given = tall.K.sum()
                                    .topLeftCorner(WallGive::oval_count, WallGive::oval_count)
                                    .ldlt()
                                    .solve(work.head(WallGive::oval_count));
  // As a plate, which a wall that keeps straight along z is, it bends round with E t^3 / (12 (1 - nu^2)), a ring with
  // E t^3 / 12.
  const Eigen::VectorXd as_plate = (tall.K.sum() + tall.K.ring * (1 / (1 - 0.09) - 1))
                                       .topLeftCorner(WallGive::oval_count, WallGive::oval_count)
                                       .ldlt()
                                       .solve(work.head(WallGive::oval_count));
  const Tube coarse = tube_by_ccx(height, parameters.platform_thickness_mm, p, 8),
             fine = tube_by_ccx(height, parameters.platform_thickness_mm, p, 16);
  REQUIRE(coarse.finished);
  REQUIRE(fine.finished);
  for (std::size_t third = 0; third < 3; ++third) {
    const double mine = given[WallGive::index(static_cast<int>(third), 2, false)];
    fmt::print(
        "result: tube {:.0f} mm high on its platform, .1 kPa cos 2 turn, {} of 3 up: ccx shells {:.4f} mm, mesh halved "
        "{:.4f} mm ({:.0f} s); ours {:.4f} mm ({:+.1f} %), {:+.1f} % were its rings bent as plates\n",
        height, third + 1, coarse.thirds_mm[third], fine.thirds_mm[third], fine.seconds, mine,
        percent(mine, fine.thirds_mm[third]),
        percent(as_plate[WallGive::index(static_cast<int>(third), 2, false)], fine.thirds_mm[third]));
    CHECK(std::abs(percent(fine.thirds_mm[third], coarse.thirds_mm[third])) < 2);
    CHECK(std::abs(percent(mine, fine.thirds_mm[third])) < 15);
  }
}
