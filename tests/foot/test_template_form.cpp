// What shows on the template's skin, read off plane sections and nearest distances: tissue over the bones, malleoli,
// tendon, pads, webs, nails.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>

#include "aplomb/foot/template.h"
#include "aplomb/geometry/exact.h"
#include "aplomb/geometry/polygon.h"
#include "aplomb/geometry/section.h"

namespace fs = std::filesystem;
using namespace aplomb;
using geometry::Vec2;
using geometry::Vec3;

namespace {

const fs::path meshes = fs::path(APLOMB_SOURCE_DIR) / "meshes";

const foot::Foot& mean() {
  static const foot::Foot foot = [] {
    auto loaded = foot::load_template(meshes / "foot");
    if (!loaded) FAIL(io::to_line(loaded.error()));
    return *loaded;
  }();
  return foot;
}

const geometry::TriMesh& skin() {
  static const geometry::TriMesh mesh{mean().skin.vertices_F, mean().skin.faces};
  return mesh;
}

/// Rows of an anatomy table by their first cell; a quoted cell may hold commas.
std::map<std::string, std::vector<std::string>> table(const std::string& name) {
  std::ifstream in(meshes / "anatomy" / name);
  std::map<std::string, std::vector<std::string>> rows;
  for (std::string line; std::getline(in, line);) {
    std::vector<std::string> cells(1);
    bool quoted = false;
    for (const char c : line) {
      if (c == '"')
        quoted = !quoted;
      else if (c == ',' && !quoted)
        cells.emplace_back();
      else
        cells.back() += c;
    }
    rows[cells[0]] = cells;
  }
  return rows;
}

Vec3 bone(const std::string& name) {
  static const auto rows = table("joints.csv");
  const auto& row = rows.at(name);
  return {std::stod(row[2]), std::stod(row[3]), std::stod(row[4])};
}

/// From a point to the nearest skin that faces within 60 degrees of `direction`.
double tissue_mm(const Vec3& from, const Vec3& direction) {
  double least = 1e9;
  for (const auto& face : skin().faces) {
    const Vec3 &a = skin().vertices[static_cast<std::size_t>(face[0])],
               &b = skin().vertices[static_cast<std::size_t>(face[1])],
               &c = skin().vertices[static_cast<std::size_t>(face[2])];
    if ((b - a).cross(c - a).normalized().dot(direction) < 0.5) continue;
    for (const Vec3& p : {a, b, c, Vec3((a + b + c) / 3)}) least = std::min(least, (p - from).norm());
  }
  return least;
}

/// Outline at a plane across z (leg) or x (toes) as points in (x, y) or (y, z); of several the one nearest to `inside`.
std::vector<Vec2> outline(const Vec3& inside, const Vec3& normal) {
  std::vector<Vec2> best;
  double least = 1e9;
  const Vec3 u = normal.z() > 0.5 ? Vec3::UnitX() : Vec3::UnitY();
  for (const auto& line : geometry::plane_section(skin(), inside, normal)) {
    const auto flat = geometry::flatten(line.points, Vec3::Zero(), u, normal);
    const Vec2 p = geometry::flatten({inside}, Vec3::Zero(), u, normal)[0];
    const double d = -geometry::distance_to(flat, p).distance_mm;
    if (d < least) {
      least = d;
      best = flat;
    }
  }
  return best;
}

/// How deep the outline sinks below its convex hull among the points where `here` holds.
template <class Here>
double deepest(const std::vector<Vec2>& line, const Here& here) {
  const auto hull = geometry::convex_hull(line);
  double depth = 0;
  for (const Vec2& p : line)
    if (here(p)) depth = std::max(depth, geometry::distance_to(hull, p).distance_mm);
  return depth;
}

/// Outermost skin of the leg and hindfoot at a height, among x from..to; medial + or lateral -.
double side_y(double z, double from, double to, double side) {
  double most = 0;
  for (const Vec2& p : outline({55, 0, z}, Vec3::UnitZ()))
    if (p.x() > from && p.x() < to) most = std::max(most, side * p.y());
  return most;
}

/// Breadth and height of a toe, 0 at the MTP joint, 1 at the tip.
Vec2 toe_size(int toe, double t) {
  const std::string n = std::to_string(toe + 1);
  const Vec3 root = bone("MTP" + n), tip = bone("tip" + n), along = Vec3(tip.x() - root.x(), tip.y() - root.y(), 0);
  const Vec3 at = root + t * (tip - root);
  const auto line = outline(at, along.normalized());
  Vec2 low = line.front(), high = low;
  for (const Vec2& p : line) {
    low = low.cwiseMin(p);
    high = high.cwiseMax(p);
  }
  return high - low;
}

}  // namespace

TEST_CASE("template form: tissue over the bones is as thick as the anatomy tables say", "[template][form]") {
  const auto rows = table("thickness.csv");
  const Vec3 up(0, 0, 1), down(0, 0, -1), medial(0, 1, 0), lateral(0, -1, 0), forward(1, 0, 0), backward(-1, 0, 0);
  const auto check = [&](const std::string& row, const Vec3& bone_surface, const Vec3& direction) {
    const double found = tissue_mm(bone_surface, direction), low = std::stod(rows.at(row)[2]),
                 high = std::stod(rows.at(row)[3]);
    CAPTURE(row, bone_surface.transpose(), found, low, high);
    CHECK(geometry::ExactDistance(skin()).side(bone_surface) == 1);
    // Half a millimetre: the bones' own half heights and breadths are known no better.
    CHECK(found > low - 0.5);
    CHECK(found < high + 0.5);
  };
  // Half breadths of the phalanx heads of toes 2 to 5: 9.74, 9.00, 8.49, 8.67 mm across in 150 feet (J Am Podiatr Med
  // Assoc 21-211). Radii of the metatarsal heads: from the joint centre to the head's end in the tables. Half heights
  // and all of the hallux: guesses.
  const double half_breadth[] = {8, 4.87, 4.5, 4.25, 4.33};
  for (int k = 1; k <= 5; ++k) {
    const bool hallux = k == 1;
    const std::string n = std::to_string(k);
    const Vec3 tip = bone("bonetip" + n), pip = bone(hallux ? "IP1" : "PIP" + n), mtp = bone("MTP" + n);
    const Vec3 distal = (tip + (hallux ? pip : bone("DIP" + n))) / 2;
    const double half_distal = hallux ? 5 : 3, half_pip = hallux ? 6 : k == 5 ? 3.5 : 4;
    check(hallux ? "hallux tip beyond bone tuft" : "toe 2-5 tip beyond tuft", tip, forward);
    check(hallux ? "hallux pad under distal phalanx" : "toe 2-5 pad under distal phalanx", distal + half_distal * down,
          down);
    check(hallux ? "hallux under IP" : "toe 2-5 under PIP (no floor contact)", pip + half_pip * down, down);
    check(hallux ? "hallux top over DP (nail)" : "toe 2-5 top over DIP/nail", distal + half_distal * up, up);
    check(hallux ? "hallux top over IP" : "toe 2-5 top over PIP", pip + half_pip * up, up);
    for (const Vec3& side : {medial, lateral})
      check(hallux ? "hallux sides (each)" : "toe sides (each)", pip + half_breadth[k - 1] * side, side);
    const double head = bone("MThead_end" + n).x() - mtp.x();
    check("under MT" + n + " head" + (hallux ? " (incl. sesamoid zone)" : ""), mtp + head * down, down);
    check("dorsum over MT heads", mtp + head * up, up);
    // The base of the first metatarsal is twice as tall as the others' (from memory).
    check(k <= 3 ? "dorsum over TMT 1-3" : "dorsum over TMT 4-5", bone("TMT" + n) + (hallux ? 11 : 7) * up, up);
  }
  check("medial side MT1 head", bone("MTP1") + 10.5 * medial, medial);
  check("lateral side MT5 head", bone("MTP5") + 6 * lateral, lateral);
  check("arch, midline under TMT 2-3", (bone("TMT2") + bone("TMT3")) / 2 + 12 * down, down);
  check("heel pad under calcaneus", {24, 0, 13}, down);
  check("heel pad under calcaneus", {45, -2, 16}, down);
  check("heel back over calcaneus", bone("calc_post"), backward);
  for (const double x : {24.0, 45.0}) {
    check("heel sides (each)", {x, 18.5, 30}, medial);
    check("heel sides (each)", {x, -18.5, 30}, lateral);
  }
  check("lateral malleolus", bone("lat_mall"), lateral);
  check("medial malleolus", bone("med_mall"), medial);
  check("front of tibia at z 140", bone("tibia_z150") + Vec3(12, 0, -12), forward);
}

TEST_CASE("template form: the bones lie inside the skin all along", "[template][form]") {
  const geometry::ExactDistance distance(skin());
  const auto along = [&](const std::string& from, const std::string& to, double least_mm) {
    for (int i = 0; i <= 20; ++i) {
      const Vec3 p = bone(from) + i / 20.0 * (bone(to) - bone(from));
      CAPTURE(from, to, i);
      CHECK(distance.side(p) == 1);
      CHECK(distance.distance(p) > least_mm);
    }
  };
  // Half the bone's thickness and 1.5 mm of skin, the thinnest in the tables.
  for (int k = 1; k <= 5; ++k) {
    const std::string n = std::to_string(k);
    along("TMT" + n, "MTP" + n, 7);
    along("MTP" + n, k == 1 ? "IP1" : "PIP" + n, 4.8);
    if (k > 1) along("PIP" + n, "DIP" + n, 4.5);
    along(k == 1 ? "IP1" : "DIP" + n, "bonetip" + n, 3);
  }
  along("calcaneus", "calc_plant", 12);
  along("calcaneus", "calcaneocuboid", 12);
  along("talus", "talonavicular", 12);
}

TEST_CASE("template form: malleoli, tendon, hollows and heel stand out", "[template][form]") {
  // Malleoli stand out over the skin above and below; the lateral one lies lower and further back (anatomy, from
  // memory).
  CHECK(side_y(61, 45, 72, -1) > side_y(42, 45, 72, -1) + 2);
  CHECK(side_y(61, 45, 72, -1) > side_y(90, 45, 72, -1) + 2);
  CHECK(side_y(72, 55, 82, 1) > side_y(52, 55, 75, 1) + 0.5);
  CHECK(side_y(72, 55, 82, 1) > side_y(95, 55, 82, 1) + 2);
  // Behind the ankle the outline sinks on both sides between tendon and malleolus.
  for (const double z : {75.0, 85.0, 95.0}) {
    const auto line = outline({55, 0, z}, Vec3::UnitZ());
    CAPTURE(z);
    CHECK(deepest(line, [](const Vec2& p) { return p.x() < 45 && p.y() > 5; }) > 0.8);
    CHECK(deepest(line, [](const Vec2& p) { return p.x() < 45 && p.y() < -5; }) > 0.8);
    // The tendon itself is the rearmost, narrow.
    double rear = 1e9, left = 0, right = 0;
    for (const Vec2& p : line) rear = std::min(rear, p.x());
    for (const Vec2& p : line) {
      if (p.x() > rear + 4) continue;
      left = std::max(left, p.y());
      right = std::min(right, p.y());
    }
    CHECK(left - right < 26);
  }
  // The heel is rearmost low down and the profile comes forward over it before the tendon goes up.
  const auto rear_x = [](double z) {
    double rear = 1e9;
    for (const Vec2& p : outline({55, 0, z}, Vec3::UnitZ())) rear = std::min(rear, p.x());
    return rear;
  };
  CHECK(rear_x(27) < 1);
  CHECK(rear_x(80) > 10);
  CHECK(rear_x(138) < rear_x(80) - 2);
}

TEST_CASE("template form: toes have pads, necks, webs and nails", "[template][form]") {
  // Breadth at the pads, mm, of the tables (sections.csv at 76 % of the toe), and their heights there.
  const double breadth[] = {25.0, 15.0, 14.0, 13.5, 14.0}, height[] = {20.0, 14.0, 14.0, 13.0, 12.8};
  for (int toe = 0; toe < foot::toe_count; ++toe) {
    CAPTURE(toe);
    CHECK(toe_size(toe, 0.76).x() == Approx(breadth[toe]).margin(0.6));
    CHECK(toe_size(toe, 0.76).y() == Approx(height[toe]).margin(0.7));
    const double neck = std::min({toe_size(toe, 0.5).x(), toe_size(toe, 0.6).x(), toe_size(toe, 0.66).x()});
    CHECK(toe_size(toe, 0.8).x() > neck + 0.5);
  }
  // Neighbours nearly touch: less than 3 mm of air somewhere before the shorter one ends.
  for (int toe = 0; toe < foot::toe_count - 1; ++toe) {
    CAPTURE(toe);
    double gap = 1e9;
    const double end = bone("tip" + std::to_string(toe + 2)).x();
    const foot::Skin& s = mean().skin;
    for (std::size_t a = 0; a < s.vertices_F.size(); ++a) {
      if (s.region[a] != static_cast<foot::Region>(toe) || s.vertices_F[a].x() < end - 16) continue;
      for (std::size_t b = 0; b < s.vertices_F.size(); ++b)
        if (s.region[b] == static_cast<foot::Region>(toe + 1))
          gap = std::min(gap, (s.vertices_F[a] - s.vertices_F[b]).norm());
    }
    CHECK(gap < 3);
  }
  // Nails: a furrow on each side of the plate sinks below the hull of the toe's outline.
  const double middle[] = {8.6, 5.6, 5.3, 5.0, 4.5}, depth[] = {0.2, 0.07, 0.07, 0.07, 0.07};
  for (int toe = 0; toe < foot::toe_count; ++toe) {
    const Vec3 tip = bone("tip" + std::to_string(toe + 1)), at = tip - Vec3(middle[toe], 0, -1);
    const auto line = outline(at, Vec3::UnitX());
    const double centre = at.y();
    CAPTURE(toe);
    CHECK(deepest(line, [&](const Vec2& p) { return p.y() > at.z() && p.x() > centre; }) > depth[toe]);
    CHECK(deepest(line, [&](const Vec2& p) { return p.y() > at.z() && p.x() < centre; }) > depth[toe]);
  }
}

TEST_CASE("template form: the sole bears on heel, ball and toe pads, and is hollow between", "[template][form]") {
  const auto lowest = [](double x, double y) {
    double z = 1e9;
    for (const Vec3& p : skin().vertices)
      if (std::abs(p.x() - x) < 3 && std::abs(p.y() - y) < 3) z = std::min(z, p.z());
    return z;
  };
  CHECK(lowest(28, 0) < 0.3);     // heel
  CHECK(lowest(172, 24) < 0.5);   // ball of the hallux
  CHECK(lowest(172, -8) < 0.5);   // ball
  CHECK(lowest(156, -38) < 0.8);  // and of the little toe
  CHECK(lowest(224, 22) < 0.5);   // pads
  CHECK(lowest(220, 0) < 0.8);
  CHECK(lowest(192, -41) < 0.8);
  CHECK(lowest(98, 25) > 10);    // inner arch
  CHECK(lowest(98, -28) < 4);    // the outer border is all but flat
  CHECK(lowest(204, 22) > 1.2);  // behind the pads
  CHECK(lowest(205, 0) > 3);
  CHECK(lowest(175, 12) > 0.6);  // beside the ball of the hallux
}

TEST_CASE("template form: the mesh is finer at the toes", "[template][form]") {
  double toes = 0, rest = 0;
  int toe_count = 0, rest_count = 0;
  for (const auto& face : skin().faces)
    for (std::size_t k = 0; k < 3; ++k) {
      const auto a = static_cast<std::size_t>(face[k]), b = static_cast<std::size_t>(face[(k + 1) % 3]);
      const double edge = (skin().vertices[a] - skin().vertices[b]).norm();
      const bool toe = static_cast<int>(mean().skin.region[a]) < foot::toe_count;
      (toe ? toes : rest) += edge;
      ++(toe ? toe_count : rest_count);
    }
  CHECK(toes / toe_count < 0.55 * rest / rest_count);
}
