// A strip bent round a rigid cylinder, as a shank round an arch: finite elements, the exact beam, our rod.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cmath>

#include "../contact/rods.h"
#include "deck.h"
#include "ours.h"

using namespace aplomb;
using namespace aplomb::ladder;
using geometry::pi;

namespace {

constexpr double R = 100, length = 120, EI_Nmm2 = 1e5, half_thickness = 1;

/// How far the tip comes down; 0: no answer. The strip lies on a cylinder as much smaller as its own half thickness.
double tip_by_ccx(double P_N, int along, double& seconds) {
  Deck deck;
  const Quads strip = add_quads(deck, "CPS8", "STRIP", along, 2, [](double u, double v) -> Vec3 {
    return {length * u, half_thickness * (2 * v - 1), 0};
  });
  const Quads round = add_quads(deck, "CPS8", "ROUND", along, 1, [](double u, double v) -> Vec3 {
    const double a = 1.3 * u - 0.05, at = R - half_thickness - 5 * (1 - v);
    return {at * std::sin(a), at * std::cos(a) - R, 0};
  });
  deck.add_node_set("CLAMP", strip.left());
  deck.add_node_set("TIP", {strip.node(2 * along, 2)});
  deck.add_node_set("ROUNDN", round.all());
  deck.add_surface("UNDER", strip.bottom_faces());
  deck.add_surface("ROUNDS", round.top_faces());
  deck.add(linear_elastic("STRIPM", EI_Nmm2 * 12 / 8, 0));
  deck.add(linear_elastic("HARD", 1e6, 0));
  deck.add("*SOLID SECTION,ELSET=STRIP,MATERIAL=STRIPM\n1.\n*SOLID SECTION,ELSET=ROUND,MATERIAL=HARD\n1.");
  deck.add(contact_pair("UNDER", "ROUNDS", 1e4));
  deck.add("*BOUNDARY\nCLAMP,1,2\nROUNDN,1,2\n*STEP,NLGEOM,INC=500\n*STATIC\n.02,1,1e-7,.05");
  deck.add(fmt::format("*CLOAD\nTIP,2,{}\n*NODE PRINT,NSET=TIP\nU\n*END STEP", -P_N));
  const Printed printed = run(deck);
  seconds = printed.seconds;
  if (!printed.finished) {
    WARN(printed.complaint);
    return 0;
  }
  return -printed.displacement_mm.begin()->second.y();
}

/// The same with our rod: skin on a body that stays where it is, a long band that pulls at the tip. The exact beam
/// knows a sharp start of contact, and from the clamp on this one lies against it: lengths are taken ten times, forces
/// a hundred times, so that the smooth start of ours (ramp_half_width_mm) is small beside them.
double tip_by_rod(double P_N, int count) {
  constexpr double size = 10;
  contact::Problem problem = contact::rigs::one_link(contact::rigs::lift_link(), Vec3::Zero(), {0, 0, -size});
  problem.springs.push_back({.dof = 0, .name = "held", .passive_stiffness = 1e8});
  std::vector<contact::SkinPoint> skin;
  constexpr int points = 600;
  for (int i = 0; i < points; ++i) {
    const double a = 1.25 * (i + 0.5) / points;
    contact::SkinPoint point;
    point.normal_rest = {-std::cos(a), 0, std::sin(a)};
    point.position_rest = size * R * (Vec3::UnitX() + point.normal_rest);
    point.area_mm2 = size * R * 1.25 / points * 20 * size;
    point.layer = {.modulus_MPa = 100, .thickness_mm = size};
    skin.push_back(point);
  }
  contact::rigs::add_skin(problem, skin, nullptr, 0);
  for (int i = 0; i < points; ++i) problem.rod_contact.points.push_back(i);
  contact::Rod rod = contact::rods::uniform_rod(count, size * length, EI_Nmm2 * size * size * size * size);
  rod.half_breadth_mm.assign(static_cast<std::size_t>(count + 1), 20 * size);
  rod.first_dof = 1;
  problem.rod = rod;
  problem.dof_count = 1 + count;
  problem.dof_is_length.resize(static_cast<std::size_t>(1 + count), false);
  constexpr double away = 1e8;
  problem.bands.push_back({.name = "pull",
                           .path = {{contact::BandPoint::On::rod, count, Vec3::Zero()},
                                    {contact::BandPoint::On::world, 0, {away, 0, size * length}}},
                           .tension_N = P_N * size * size});
  contact::SolveOptions options;
  options.seat_load_N = 0.5 * size;
  options.step_cap_mm = 2 * size;
  const contact::LoadPath path = contact::solve(problem, Eigen::VectorXd::Zero(1 + count), options);
  CHECK(path.loaded.converged);
  if (!path.loaded.converged) {
    WARN(path.loaded.reason);
    return 0;
  }
  return contact::rods::point_by_small_steps(rod, path.loaded.q, size * length - 1e-6).x() / size;
}

}  // namespace

TEST_CASE("a strip wrapped on a cylinder by finite elements", "[.][long][ccx]") {
  if (!has_ccx()) {
    fmt::print("skipped: ccx (package calculix-ccx) is not installed\n");
    return;
  }
  struct Row {
    double P_N, w_mm;  // exact, by shooting: all reaction sits at lift-off
  };
  for (const Row& row : {Row{10, 47.6549}, Row{15, 55.6969}, Row{20, 58.7814}}) {
    CAPTURE(row.P_N);
    double seconds = 0;
    const double coarse = tip_by_ccx(row.P_N, 30, seconds), fine = tip_by_ccx(row.P_N, 60, seconds);
    const double mine = tip_by_rod(row.P_N, 28);
    fmt::print(
        "result: strip EI .1 N m^2 on R 100 mm, {:.0f} N at its tip: exact {:.3f} mm; ccx {:.3f} mm, mesh halved "
        "{:.3f} mm "
        "({:+.2f} %, {:.0f} s); our rod of 28 {:.3f} mm ({:+.2f} %)\n",
        row.P_N, row.w_mm, coarse, fine, percent(fine, row.w_mm), seconds, mine, percent(mine, row.w_mm));
    CHECK(std::abs(percent(fine, coarse)) < 2);
    CHECK(std::abs(percent(fine, row.w_mm)) < 1);
    CHECK(std::abs(percent(mine, fine)) < 1);
  }
}
