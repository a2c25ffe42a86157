// A rigid frustum covered with flesh in a rigid conical box with a flat platform: finite elements on the axis against
// the springs of our contact.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <array>
#include <catch2/catch.hpp>
#include <cmath>

#include "deck.h"
#include "ours.h"

using namespace aplomb;
using namespace aplomb::ladder;
using geometry::pi;
using geometry::rad_per_deg;

namespace {

constexpr double mean_radius = 25, mean_height = 40, slant = 45, thickness = 6, nu = 0.4, E_MPa = 1.5 / 1.9, W = 589;
const double tip_radius = std::sqrt(800 / pi);

struct At {
  double sink_mm = 0, platform_percent = 0;
};
struct Found {
  bool finished = false;
  At at_quarter, at_load;
  double seconds = 0;
};

/// Sink and share where the load is W, between two increments.
At at_load(const std::map<double, Vec3>& floor, const std::map<double, Vec3>& wall, double deepest, double load) {
  double d0 = 0, f0 = 0, p0 = 0;
  for (const auto& [time, force] : floor) {
    const double p = 180 * std::abs(force.y()), f = p + 180 * std::abs(wall.at(time).y()), d = deepest * time;
    if (f >= load) {
      const double s = (load - f0) / (f - f0);
      return {d0 + s * (d - d0), 100 * (p0 + s * (p - p0)) / load};
    }
    d0 = d, f0 = f, p0 = p;
  }
  return {};
}

/// Elements of thickness / `through`. The rim of the tip's flesh is free to bulge, or held as by more flesh beside it.
Found press(double half_angle, double slack, bool rim_held, int through, double deepest) {
  const double sn = std::sin(half_angle), cs = std::cos(half_angle);
  const Vec3 along(sn, cs, 0), outward(cs, -sn, 0), middle(mean_radius, mean_height, 0);
  Deck deck;
  const Quads side = add_quads(
      deck, "CAX8", "SIDE", static_cast<int>(slant / thickness * through), through,
      [&](double u, double v) -> Vec3 { return middle + slant * (0.5 - u) * along + thickness * (v - 1) * outward; });
  const Quads tip = add_quads(deck, "CAX8", "TIP", static_cast<int>(tip_radius / thickness * through), through,
                              [&](double u, double v) -> Vec3 {
                                return {tip_radius * u, thickness * v, 0};
                              });
  const Quads wall = add_quads(deck, "CAX8", "WALL", 30, 1, [&](double u, double v) -> Vec3 {
    return middle + Vec3(slack, 0, 0) + 1.5 * slant * (0.5 - u) * along + 2 * v * outward;
  });
  const Quads floor = add_quads(deck, "CAX8", "FLOOR", 10, 1, [&](double u, double v) -> Vec3 {
    return {1.4 * tip_radius * u, v - 1, 0};
  });
  deck.add_node_set("BONE", side.bottom());
  deck.add_node_set("BONETIP", tip.top());
  deck.add_node_set("AXIS", tip.left());
  deck.add_node_set("WALLN", wall.all());
  deck.add_node_set("FLOORN", floor.all());
  deck.add_surface("SIDES", side.top_faces());
  deck.add_surface("WALLS", wall.bottom_faces());
  deck.add_surface("TIPS", tip.bottom_faces());
  deck.add_surface("FLOORS", floor.top_faces());
  deck.add(neo_hookean("FLESH", E_MPa, nu));
  deck.add(linear_elastic("HARD", 1000, 0.3));
  for (const char* set : {"SIDE", "TIP"}) deck.add(fmt::format("*SOLID SECTION,ELSET={},MATERIAL=FLESH", set));
  for (const char* set : {"WALL", "FLOOR"}) deck.add(fmt::format("*SOLID SECTION,ELSET={},MATERIAL=HARD", set));
  deck.add(contact_pair("SIDES", "WALLS", 50));
  deck.add(contact_pair("TIPS", "FLOORS", 50));
  deck.add("*BOUNDARY\nBONE,1,1\nBONETIP,1,1\nAXIS,1,1\nWALLN,1,2\nFLOORN,1,2");
  if (rim_held) {
    deck.add_node_set("RIM", tip.right());
    deck.add("*BOUNDARY\nRIM,1,1");
  }
  deck.add("*STEP,NLGEOM,INC=400\n*STATIC\n.05,1,1e-6,.1");
  deck.add(fmt::format("*BOUNDARY\nBONE,2,2,{0:.10g}\nBONETIP,2,2,{0:.10g}", -deepest));
  deck.add("*NODE PRINT,NSET=WALLN,TOTALS=ONLY\nRF\n*NODE PRINT,NSET=FLOORN,TOTALS=ONLY\nRF\n*END STEP");
  const Printed printed = run(deck);
  Found out{printed.finished, {}, {}, printed.seconds};
  if (!printed.finished) {
    WARN(printed.complaint);
    return out;
  }
  for (const auto& [load, at] : {std::pair(W / 4, &out.at_quarter), {W, &out.at_load}})
    *at = at_load(printed.total_force_N.at("FLOORN"), printed.total_force_N.at("WALLN"), deepest, load);
  return out;
}

At ours(double half_angle, double slack, double load) {
  const contact::rigs::Plane platform(Vec3::Zero(), Vec3::UnitZ());
  const contact::rigs::Cone wall(geometry::Isometry::Identity(),
                                 mean_radius + slack - mean_height * std::tan(half_angle), half_angle);
  const contact::Layer layer{.modulus_MPa = contact::layer_factor(nu) * E_MPa, .thickness_mm = thickness};
  contact::Problem problem = contact::rigs::one_link(contact::rigs::lift_link(), {0, 0, 100}, {0, 0, -load});
  const auto flat = [](double) { return 0.0; };
  auto tip = contact::rigs::revolved(flat, flat, tip_radius, 30, 24, layer);
  auto side = contact::rigs::frustum_side(half_angle, mean_radius, slant, mean_height, 24, 48, layer);
  for (auto* skin : {&tip, &side})
    for (contact::SkinPoint& point : *skin) point.shear_stiffness_MPa_per_mm = E_MPa / (2 * (1 + nu) * thickness);
  contact::rigs::add_skin(problem, tip, &platform, 0);
  contact::rigs::add_skin(problem, side, &wall, 0);
  const contact::LoadPath path = contact::solve(problem, Eigen::VectorXd::Constant(1, -0.1), {});
  REQUIRE(path.loaded.converged);
  return {-path.loaded.q[0], 100 * contact::rigs::surface_force(path.loaded, 0).z() / load};
}

}  // namespace

TEST_CASE("a fleshy frustum in a conical box by finite elements", "[.][long][ccx]") {
  if (!has_ccx()) {
    fmt::print("skipped: ccx (package calculix-ccx) is not installed\n");
    return;
  }
  struct Row {
    double deg, slack_mm;
  };
  for (const Row& row : {Row{6, 0}, Row{10, 0}, Row{15, 0.5}}) {
    CAPTURE(row.deg, row.slack_mm);
    const double deepest = 2.9, half_angle = row.deg * rad_per_deg;
    std::array<Found, 2> found{};  // rim free, rim held
    for (const bool held : {false, true}) {
      const Found coarse = press(half_angle, row.slack_mm, held, 2, deepest),
                  fine = press(half_angle, row.slack_mm, held, 4, deepest);
      CHECK(coarse.finished);
      CHECK(fine.finished);
      if (!coarse.finished || !fine.finished) {
        fmt::print(
            "result: frustum {:.0f} deg, slack {:.1f} mm, rim of the tip's flesh {}: ccx found no balance on the {} "
            "mesh\n",
            row.deg, row.slack_mm, held ? "held" : "free", coarse.finished ? "finer" : "coarser");
        continue;
      }
      for (const auto& [load, at] : {std::pair(W / 4, &Found::at_quarter), {W, &Found::at_load}}) {
        const At c = coarse.*at, f = fine.*at, mine = ours(half_angle, row.slack_mm, load);
        fmt::print(
            "result: frustum {:.0f} deg, slack {:.1f} mm at {:.0f} N, rim of the tip's flesh {}: ccx sink {:.3f} mm, "
            "platform "
            "{:.1f} %; mesh halved {:.3f} mm, {:.1f} % ({:.0f} s); ours {:.3f} mm ({:+.1f} %), {:.1f} %\n",
            row.deg, row.slack_mm, load, held ? "held" : "free", c.sink_mm, c.platform_percent, f.sink_mm,
            f.platform_percent, fine.seconds, mine.sink_mm, percent(mine.sink_mm, f.sink_mm), mine.platform_percent);
        CHECK(std::abs(percent(f.sink_mm, c.sink_mm)) < 2);
        CHECK(std::abs(mine.platform_percent - f.platform_percent) < 7);
      }
      found[held ? 1 : 0] = fine;
    }
    // A disc of flesh whose rim is free takes 1.5 E, one that cannot move sideways 2.1 E; ours, 1.9 E, stands for flesh
    // that goes on round the tip and must lie between.
    if (!found[0].finished || !found[1].finished) continue;
    const At mine = ours(half_angle, row.slack_mm, W / 4);
    CHECK(mine.sink_mm < found[0].at_quarter.sink_mm);
    CHECK(mine.sink_mm > found[1].at_quarter.sink_mm);
  }
}
