// A ball pressed into a soft layer bonded to bone: finite elements on the axis against layer theory (a
// light touch, linear) and our tissue layer (a neo-Hookean solid pressed deep). Elements of first order: those of
// second carry the same force, but under contact by penalty their pressure jumps from point to point.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cmath>

#include "deck.h"
#include "layer_theory.h"
#include "ours.h"

using namespace aplomb;
using namespace aplomb::ladder;
using geometry::pi;

namespace {

constexpr BondedLayer layer{.E_MPa = 0.7, .nu = 0.4, .thickness_mm = 5};

struct Found {
  bool finished = false;
  double force_N = 0, seconds = 0;
};

/// Elements of h / (2 fineness) through the layer, about an eighth of the contact's breadth over fineness along it.
/// The ball is a shell of elements that are led down whole.
Found press(double R, double depth, int fineness, bool deep) {
  const double h = layer.thickness_mm, near = std::min(3 * std::sqrt(R * depth), 0.95 * R), far = near + 8 * h;
  Deck deck;
  const int along_near = 8 * fineness, along_far = 3 * fineness;
  const double share = along_near / static_cast<double>(along_near + along_far);
  const Quads soft =
      add_quads(deck, "CAX8R", "SOFT", along_near + along_far, 2 * fineness, [&](double u, double v) -> Vec3 {
        const double outside = std::max(0.0, (u - share) / (1 - share));
        return {u <= share ? near * u / share : near + (far - near) * outside * (0.4 + 0.6 * outside), h * (v - 1), 0};
      });
  const double half_angle = std::asin(std::min(0.99, near / R));
  const Quads ball = add_quads(deck, "CAX8", "BALL", 2 * along_near, 1, [&](double u, double v) -> Vec3 {
    const double r = R - v * R / 10, a = u * half_angle;
    return {r * std::sin(a), R - r * std::cos(a), 0};
  });
  deck.add_node_set("BONE", soft.bottom());
  deck.add_node_set("AXIS", soft.left());
  deck.add_node_set("BALLN", ball.all());
  deck.add_surface("SKIN", soft.top_faces());
  deck.add_surface("BALLS", ball.bottom_faces());
  deck.add(deep ? neo_hookean("FLESH", layer.E_MPa, layer.nu) : linear_elastic("FLESH", layer.E_MPa, layer.nu));
  deck.add(linear_elastic("HARD", 1000, 0.3));
  deck.add("*SOLID SECTION,ELSET=SOFT,MATERIAL=FLESH\n*SOLID SECTION,ELSET=BALL,MATERIAL=HARD");
  deck.add(contact_pair("SKIN", "BALLS", 200));
  deck.add("*BOUNDARY\nBONE,1,2\nAXIS,1,1\nBALLN,1,1");
  deck.add(fmt::format("*STEP,INC=200{}\n*STATIC\n.1,1,1e-6,.25", deep ? ",NLGEOM" : ""));
  deck.add(fmt::format("*BOUNDARY\nBALLN,2,2,{:.10g}", -depth));
  deck.add("*NODE PRINT,NSET=BONE,TOTALS=ONLY\nRF\n*END STEP");
  const Printed printed = run(deck);
  Found out{printed.finished, 0, printed.seconds};
  if (!printed.finished) {
    WARN(printed.complaint);
    return out;
  }
  // The axis is meshed as a wedge of two degrees.
  out.force_N = 180 * std::abs(printed.total_force_N.at("BONE").rbegin()->second.y());
  return out;
}

/// The same by our layer: flat skin, a ball that comes from below as far as the skin comes down.
contact::Problem ours(const Ball& ball, double radius_mm) {
  contact::Problem problem = contact::rigs::one_link(contact::rigs::lift_link(), Vec3::Zero(), {0, 0, -1});
  const contact::Layer tissue{.modulus_MPa = contact::layer_factor(layer.nu) * layer.E_MPa,
                              .thickness_mm = layer.thickness_mm};
  const auto flat = [](double) { return 0.0; };
  contact::rigs::add_skin(problem, contact::rigs::revolved(flat, flat, radius_mm, 400, 8, tissue), &ball, 0);
  return problem;
}

struct Compared {
  Found coarse, fine;
  double force_percent = 0;
};

Compared compare(double R, double depth, int fineness) {
  Compared out{press(R, depth, fineness, true), press(R, depth, 2 * fineness, true)};
  REQUIRE(out.coarse.finished);
  REQUIRE(out.fine.finished);
  const Ball ball({0, 0, -R}, R);
  const contact::Problem problem = ours(ball, std::min(2 * std::sqrt(R * depth), 0.95 * R));
  out.force_percent = percent(at_depth(problem, depth).force_N, out.fine.force_N);
  return out;
}

}  // namespace

TEST_CASE("ladder: a ball on a bonded layer, finite elements against layer theory and ours") {
  if (!has_ccx()) {
    fmt::print("skipped: ccx (package calculix-ccx) is not installed\n");
    return;
  }
  const double R = 10, depth = 0.5;
  const Found light = press(R, depth, 2, false), deep = press(R, depth, 2, true);
  REQUIRE(light.finished);
  REQUIRE(deep.finished);
  const SphereContact exact = press_to_depth(layer, R, depth);
  const Ball ball({0, 0, -R}, R);
  const contact::Problem problem = ours(ball, 2 * std::sqrt(R * depth));
  const double force = at_depth(problem, depth).force_N;
  fmt::print(
      "ball R {} mm {} mm deep: layer theory {:.4f} N, ccx linear {:.4f} N, ccx neo-Hookean {:.4f} N, ours {:.4f} N\n",
      R, depth, exact.force_N, light.force_N, deep.force_N, force);
  CHECK(light.force_N == Approx(exact.force_N).epsilon(.04));  // coarse, a sphere for a paraboloid, and its penalty
  CHECK(force == Approx(deep.force_N).epsilon(.10));
}

TEST_CASE("a ball on a bonded layer by finite elements", "[.][long][ccx]") {
  if (!has_ccx()) {
    fmt::print("skipped: ccx (package calculix-ccx) is not installed\n");
    return;
  }
  // A large ball and a light touch are the small strains that layer theory knows.
  {
    const double R = 200, depth = 0.05;
    const SphereContact exact = press_to_depth(layer, R, depth);
    const Found coarse = press(R, depth, 4, false), fine = press(R, depth, 8, false);
    REQUIRE(coarse.finished);
    REQUIRE(fine.finished);
    fmt::print(
        "result: ball R {} mm, {} mm deep, linear: layer theory {:.4f} N, ccx {:.4f} N, mesh halved {:.4f} N "
        "({:+.2f} % off theory)\n",
        R, depth, exact.force_N, coarse.force_N, fine.force_N, percent(fine.force_N, exact.force_N));
    CHECK(std::abs(percent(fine.force_N, coarse.force_N)) < 2);
    CHECK(std::abs(percent(fine.force_N, exact.force_N)) < 2);
  }
  for (const auto& [R, depth] :
       {std::pair(10.0, 0.5), {10.0, 1.0}, {10.0, 2.0}, {30.0, 0.5}, {30.0, 1.0}, {30.0, 1.8}}) {
    CAPTURE(R, depth);
    const Compared c = compare(R, depth, 2);
    const double moved = percent(c.fine.force_N, c.coarse.force_N);
    fmt::print(
        "result: ball R {:.0f} mm into {:.0f} mm of flesh, {} mm deep: ccx {:.4f} N, mesh halved {:.4f} N ({:+.2f} %, "
        "{:.0f} s); ours: force at equal depth {:+.1f} %\n",
        R, layer.thickness_mm, depth, c.coarse.force_N, c.fine.force_N, moved, c.fine.seconds, c.force_percent);
    CHECK(std::abs(moved) < 2);
    // The limits are those of small strains and of contacts from half a thickness on.
    const double by_thickness = press_to_depth(layer, R, depth).radius_mm / layer.thickness_mm;
    if (depth <= layer.thickness_mm / 5 && by_thickness >= 0.5) {
      CHECK(std::abs(c.force_percent) <= 10.2);
    }
  }
}
