// One toe in a conical pocket, in three dimensions: a round bone off the middle of its flesh, leaning, pressed down by
// its bone until the flesh stands on the floor and wedges in the wall. Finite elements against our contact.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <chrono>
#include <cmath>

#include "deck.h"
#include "ours.h"

using namespace aplomb;
using namespace aplomb::ladder;
using geometry::pi;
using geometry::rad_per_deg;

namespace {

// A hallux: flesh of 10 mm round a bone of 5 mm, 6 mm at the tip, 4 to 6 mm at the sides.
constexpr double skin_radius = 10, bone_radius = 5, E_MPa = 0.7, nu = 0.4, arc_length = 32;
constexpr double lean = 5 * rad_per_deg, pocket_half_angle = 12 * rad_per_deg, clear_mm = 1.5;
const Vec3 bone_offset(1, 0, 1);
const geometry::Mat3 turn = Eigen::AngleAxisd(lean, Vec3::UnitY()).toRotationMatrix();

struct Place {
  double s, around;  // arc from the tip, angle
};
/// A square with a rounded-off map, u along x and v >= 0 along y: no pole, no sharp corners.
Place place_of(double u, double v) {
  constexpr double round = 0.9;
  const double x = u * std::sqrt(1 - round * v * v / 2), y = v * std::sqrt(1 - round * u * u / 2);
  return {arc_length * std::hypot(x, y), std::atan2(y, x)};
}
Vec3 capsule(double radius, const Place& at) {
  const double polar = std::min(at.s / skin_radius, pi / 2), up = std::max(0.0, at.s - skin_radius * pi / 2);
  return {radius * std::sin(polar) * std::cos(at.around), radius * std::sin(polar) * std::sin(at.around),
          up - radius * std::cos(polar)};
}
/// w 0 skin, 1 bone.
Vec3 toe(double u, double v, double w) {
  const Place at = place_of(2 * u - 1, v);
  return turn * ((1 - w) * capsule(skin_radius, at) + w * (bone_offset + capsule(bone_radius, at)));
}
/// From a place on the skin to the nearest bone.
double thickness_at(const Vec3& x) {
  const Vec3 from = turn.transpose() * x - bone_offset;
  return std::hypot(from.x(), from.y(), std::min(from.z(), 0.0)) - bone_radius;
}

// The round tip touches the cone all round at rest, and stands clear_mm over the floor.
const double floor_z = -skin_radius - clear_mm;
double wall_radius(double z) { return skin_radius / std::cos(pocket_half_angle) + z * std::tan(pocket_half_angle); }

struct SkinFace {
  int element = 0;
  contact::SkinPoint point;
};

struct Toe {
  Printed printed;
  std::vector<SkinFace> skin;
  double sink_mm = 0, force_N = 0, floor_percent = 0;
};

/// Half a toe, `across` elements from side to side, a sixth as many through the flesh (at least two). Its bone is led
/// down.
Toe press_toe(int across, double sink_mm) {
  Deck deck;
  const int through = std::max(2, across / 6);
  const Bricks flesh = add_bricks(deck, "C3D20R", "FLESH", across, across / 2, through, toe);
  const Bricks wall = add_bricks(deck, "C3D20R", "WALL", 36, 4, 1, [](double u, double v, double w) -> Vec3 {
    const double around = (pi + 0.2) * u - 0.1, z = floor_z + 1 + 32 * v, at = wall_radius(z) + 2 * w;
    return {at * std::cos(around), at * std::sin(around), z};
  });
  const Bricks floor = add_bricks(deck, "C3D20R", "FLOOR", 8, 4, 1, [](double u, double v, double w) -> Vec3 {
    return {20 * (u - 0.5), 11 * v - 1, floor_z - 1 + w};
  });
  const auto all = [](int, int, int) { return true; };
  deck.add_node_set("BONE", flesh.where([&](int, int, int k) { return k == 2 * through; }));
  deck.add_node_set("MIRROR", flesh.where([&](int, int j, int k) { return j == 0 && k < 2 * through; }));
  deck.add_node_set("WALLN", wall.where(all));
  deck.add_node_set("FLOORN", floor.where(all));
  Toe out;
  std::vector<Face> skin, walls, floors;
  for (int j = 0; j < across / 2; ++j)
    for (int i = 0; i < across; ++i) {
      const int e = flesh.element(i, j, 0);
      skin.push_back({e, 1});
      const std::vector<int>& n = deck.element(e);
      const Vec3 a = deck.node(n[0]), b = deck.node(n[1]), c = deck.node(n[2]), d = deck.node(n[3]);
      const Vec3 area = (d - b).cross(c - a) / 2;  // outward: away from the bone
      const Vec3 x = toe((i + 0.5) / across, (j + 0.5) / (across / 2), 0);
      const double h = thickness_at(x);
      SkinFace face{e, {}};
      face.point.position_rest = x;
      face.point.normal_rest = area.normalized();
      face.point.area_mm2 = area.norm();
      face.point.layer = {.modulus_MPa = contact::layer_factor(nu) * E_MPa, .thickness_mm = h};
      face.point.shear_stiffness_MPa_per_mm = E_MPa / (2 * (1 + nu) * h);
      out.skin.push_back(face);
    }
  for (const int e : wall.elements) walls.push_back({e, 1});
  for (const int e : floor.elements) floors.push_back({e, 2});
  deck.add_surface("SKIN", skin);
  deck.add_surface("SKINTIP", skin);
  deck.add_surface("WALLS", walls);
  deck.add_surface("FLOORS", floors);
  deck.add(neo_hookean("TISSUE", E_MPa, nu));
  deck.add(linear_elastic("HARD", 1000, 0.3));
  deck.add("*SOLID SECTION,ELSET=FLESH,MATERIAL=TISSUE");
  for (const char* set : {"WALL", "FLOOR"}) deck.add(fmt::format("*SOLID SECTION,ELSET={},MATERIAL=HARD", set));
  deck.add(contact_pair("SKIN", "WALLS", 30));
  deck.add(contact_pair("SKINTIP", "FLOORS", 30));
  deck.add("*BOUNDARY\nMIRROR,2,2\nBONE,1,2\nWALLN,1,3\nFLOORN,1,3");
  deck.add("*STEP,NLGEOM,INC=200\n*STATIC\n.1,1,1e-6,.2");
  deck.add(fmt::format("*BOUNDARY\nBONE,3,3,{:.10g}", -sink_mm));
  for (const char* set : {"WALLN", "FLOORN", "BONE"}) deck.add(fmt::format("*NODE PRINT,NSET={},TOTALS=ONLY\nRF", set));
  deck.add(fmt::format("*ELSET,ELSET=SKINE,GENERATE\n1,{}\n*EL PRINT,ELSET=SKINE\nS\n*END STEP", across * across / 2));
  out.printed = run(deck, 2);
  out.sink_mm = sink_mm;
  if (!out.printed.finished) {
    WARN(out.printed.complaint);
    return out;
  }
  const double on_floor = -out.printed.total_force_N.at("FLOORN").rbegin()->second.z(),
               on_wall = -out.printed.total_force_N.at("WALLN").rbegin()->second.z();
  out.force_N = std::abs(on_floor + on_wall);
  out.floor_percent = 100 * std::abs(on_floor) / out.force_N;
  return out;
}

double correlation(const std::vector<double>& a, const std::vector<double>& b) {
  const double n = static_cast<double>(a.size());
  double ma = 0, mb = 0, ab = 0, aa = 0, bb = 0;
  for (std::size_t i = 0; i < a.size(); ++i) ma += a[i] / n, mb += b[i] / n;
  for (std::size_t i = 0; i < a.size(); ++i) {
    ab += (a[i] - ma) * (b[i] - mb);
    aa += (a[i] - ma) * (a[i] - ma);
    bb += (b[i] - mb) * (b[i] - mb);
  }
  return ab / std::sqrt(aa * bb);
}

struct OurToe {
  double sink_mm = 0, floor_percent = 0, map = 0, peak_MPa = 0, milliseconds = 0;
  double ccx_peak_MPa = 0;
};

/// Ours under the force that ccx found, on the very faces of its skin.
OurToe ours(const Toe& toe) {
  const contact::rigs::Plane floor({0, 0, floor_z}, Vec3::UnitZ());
  const contact::rigs::Cone wall(geometry::Isometry::Identity(), wall_radius(0), pocket_half_angle);
  contact::Problem problem = contact::rigs::one_link(contact::rigs::lift_link(), {0, 0, 50}, {0, 0, -toe.force_N});
  std::vector<contact::SkinPoint> skin;
  for (const SkinFace& face : toe.skin) skin.push_back(face.point);
  contact::rigs::add_skin(problem, skin, &floor, 0);
  problem.surfaces.push_back({&wall, 0, problem.surfaces[0].points, {}});
  contact::SolveOptions options;
  options.seat_load_N = 0.02 * toe.force_N;
  const auto started = std::chrono::steady_clock::now();
  const contact::LoadPath path = contact::solve(problem, Eigen::VectorXd::Constant(1, -0.1), options);
  OurToe out;
  out.milliseconds = 1e3 * std::chrono::duration<double>(std::chrono::steady_clock::now() - started).count();
  REQUIRE(path.loaded.converged);
  out.sink_mm = -path.loaded.q[0];
  out.floor_percent = 100 * contact::rigs::surface_force(path.loaded, 0).z() / toe.force_N;
  std::vector<double> mine(toe.skin.size(), 0), theirs(toe.skin.size(), 0);
  for (const contact::ContactState& c : path.loaded.contacts) mine[static_cast<std::size_t>(c.point)] += c.pressure_MPa;
  for (std::size_t i = 0; i < toe.skin.size(); ++i) {
    // The first four points lie next to the skin.
    theirs[i] = pressure_under(toe.printed, toe.skin[i].element, {0, 1, 2, 3}, toe.skin[i].point.normal_rest);
    out.peak_MPa = std::max(out.peak_MPa, mine[i]);
    out.ccx_peak_MPa = std::max(out.ccx_peak_MPa, theirs[i]);
  }
  out.map = correlation(mine, theirs);
  return out;
}

}  // namespace

TEST_CASE("a toe in a conical pocket by finite elements", "[.][long][ccx]") {
  if (!has_ccx()) {
    fmt::print("skipped: ccx (package calculix-ccx) is not installed\n");
    return;
  }
  for (const double sink_mm : {2.5, 3.5}) {
    CAPTURE(sink_mm);
    const Toe coarse = press_toe(14, sink_mm), fine = press_toe(28, sink_mm);
    CHECK(coarse.printed.finished);
    CHECK(fine.printed.finished);
    if (!coarse.printed.finished || !fine.printed.finished) continue;
    const OurToe mine = ours(fine);
    fmt::print(
        "result: toe sunk {} mm: ccx {:.2f} N on half of it, floor {:.1f} %; mesh halved {:.2f} N ({:+.2f} %), {:.1f} "
        "% "
        "({:.0f} s); ours under that force: sink {:.3f} mm ({:+.1f} %), floor {:.1f} %, {:.1f} ms\n",
        sink_mm, coarse.force_N, coarse.floor_percent, fine.force_N, percent(fine.force_N, coarse.force_N),
        fine.floor_percent, fine.printed.seconds, mine.sink_mm, percent(mine.sink_mm, sink_mm), mine.floor_percent,
        mine.milliseconds);
    fmt::print("result: toe sunk {} mm: map correlation {:.3f}, peak {:.0f} kPa against {:.0f} ({:+.1f} %)\n", sink_mm,
               mine.map, 1e3 * mine.peak_MPa, 1e3 * mine.ccx_peak_MPa, percent(mine.peak_MPa, mine.ccx_peak_MPa));
    CHECK(std::abs(percent(fine.force_N, coarse.force_N)) < 2);
    CHECK(mine.map >= 0.9);
    CHECK(std::abs(percent(mine.peak_MPa, mine.ccx_peak_MPa)) <= 25);
    CHECK(std::abs(percent(mine.sink_mm, sink_mm)) < 10);
    CHECK(std::abs(mine.floor_percent - fine.floor_percent) < 7);
  }
}
