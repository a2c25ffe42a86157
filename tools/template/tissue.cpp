// Regions by place and direction of the skin; thickness by blending the table's places.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "tissue.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace aplomb::template_tool {

namespace {

struct Place {
  Vec3 point, direction;
  double thickness_mm;
};

struct Segment {
  Vec3 a, b;
};

double distance(const Vec3& p, const Segment& s) {
  const Vec3 d = s.b - s.a;
  const double t = std::clamp((p - s.a).dot(d) / d.squaredNorm(), 0.0, 1.0);
  return (p - s.a - t * d).norm();
}

const Vec3 up(0, 0, 1), down(0, 0, -1), medial(0, 1, 0), lateral(0, -1, 0), forward(1, 0, 0), backward(-1, 0, 0);

std::vector<Place> places(const Anatomy& anatomy) {
  std::vector<Place> list;
  const auto at = [&](const std::string& id) { return anatomy.points.at(id).position_F; };
  const auto add = [&](const std::string& row, const Vec3& point, const Vec3& direction) {
    const double t = anatomy.thickness_mm.at(row);
    list.push_back({point + t * direction, direction, t});
  };
  for (int k = 1; k <= 5; ++k) {
    const bool hallux = k == 1;
    const Vec3 tip = at(fmt::format("bonetip{}", k)), pip = at(hallux ? "IP1" : fmt::format("PIP{}", k));
    const Vec3 dip = hallux ? pip : at(fmt::format("DIP{}", k)), mtp = at(fmt::format("MTP{}", k));
    const Vec3 distal = (dip + tip) / 2;
    add(hallux ? "hallux tip beyond bone tuft" : "toe 2-5 tip beyond tuft", tip, forward);
    add(hallux ? "hallux pad under distal phalanx" : "toe 2-5 pad under distal phalanx", distal + 3 * down, down);
    add(hallux ? "hallux under IP" : "toe 2-5 under PIP (no floor contact)", pip + 4 * down, down);
    add(hallux ? "hallux top over DP (nail)" : "toe 2-5 top over DIP/nail", distal + 3 * up, up);
    add(hallux ? "hallux top over IP" : "toe 2-5 top over PIP", pip + 4 * up, up);
    for (const Vec3& side : {medial, lateral}) {
      add(hallux ? "hallux sides (each)" : "toe sides (each)", distal + (hallux ? 8 : 4.5) * side, side);
      add(hallux ? "hallux sides (each)" : "toe sides (each)", pip + (hallux ? 8 : 4.5) * side, side);
    }
    add(fmt::format("under MT{} head{}", k, hallux ? " (incl. sesamoid zone)" : ""), mtp + (hallux ? 9 : 6.5) * down,
        down);
    add("dorsum over MT heads", mtp + (hallux ? 9 : 6.5) * up, up);
    add(k <= 3 ? "dorsum over TMT 1-3" : "dorsum over TMT 4-5", at(fmt::format("TMT{}", k)) + 7 * up, up);
  }
  add("medial side MT1 head", at("MTP1") + 10.5 * medial, medial);
  add("lateral side MT5 head", at("MTP5") + 6 * lateral, lateral);
  add("dorsum over navicular/talar neck", at("talonavicular") + 10 * up, up);
  add("arch, medial border under navicular", at("nav_tub") + 7 * down, down);
  add("arch, midline under TMT 2-3", (at("TMT2") + at("TMT3")) / 2 + 12 * down, down);
  add("lateral border under MT5 base", at("mt5_sty") + 7 * down, down);
  add("heel pad under calcaneus", Vec3(24, 0, 13), down);
  add("heel pad under calcaneus", Vec3(45, -2, 16), down);
  add("heel back over calcaneus", at("calc_post"), backward);
  for (const Vec3& side : {medial, lateral})
    for (const double x : {24.0, 45.0}) add("heel sides (each)", Vec3(x, 0, 30) + 18.5 * side, side);
  add("lateral malleolus", at("lat_mall"), lateral);
  add("medial malleolus", at("med_mall"), medial);
  add("front of tibia at z 140", at("tibia_z150") + Vec3(12, 0, -10), forward);
  add("skin back (Achilles) to tibia back, z 95", Vec3(57, 0, 95), backward);
  return list;
}

std::vector<Segment> bone_lines(const Anatomy& anatomy) {
  const auto at = [&](const std::string& id) { return anatomy.points.at(id).position_F; };
  std::vector<Segment> lines;
  for (int k = 1; k <= 5; ++k) {
    std::vector<Vec3> chain{at(fmt::format("TMT{}", k)), at(fmt::format("MTP{}", k))};
    if (k == 1) {
      chain.push_back(at("IP1"));
    } else {
      chain.push_back(at(fmt::format("PIP{}", k)));
      chain.push_back(at(fmt::format("DIP{}", k)));
    }
    chain.push_back(at(fmt::format("bonetip{}", k)));
    for (std::size_t i = 0; i + 1 < chain.size(); ++i) lines.push_back({chain[i], chain[i + 1]});
  }
  lines.push_back({at("talus"), at("talonavicular")});
  lines.push_back({at("talonavicular"), at("naviculocuneiform")});
  for (int k = 1; k <= 3; ++k) lines.push_back({at("naviculocuneiform"), at(fmt::format("TMT{}", k))});
  for (int k = 4; k <= 5; ++k) lines.push_back({at("calcaneocuboid"), at(fmt::format("TMT{}", k))});
  lines.push_back({Vec3(12, 0, 32), at("calcaneus")});
  lines.push_back({at("calcaneus"), at("calcaneocuboid")});
  lines.push_back({at("nav_tub"), at("talonavicular")});
  lines.push_back({at("tibial_plafond"), at("tibia_z150")});
  lines.push_back({at("lat_mall") + 5 * medial, at("fibula_z150")});
  lines.push_back({at("med_mall") + 6 * lateral, at("tibial_plafond")});
  return lines;
}

}  // namespace

std::vector<Vec3> vertex_normals(const std::vector<Vec3>& vertices, const std::vector<std::array<int, 3>>& faces) {
  std::vector<Vec3> normals(vertices.size(), Vec3::Zero());
  for (const auto& f : faces) {
    const auto v = [&](int k) { return vertices[static_cast<std::size_t>(f[static_cast<std::size_t>(k)])]; };
    const Vec3 n = (v(1) - v(0)).cross(v(2) - v(0));
    for (const int i : f) normals[static_cast<std::size_t>(i)] += n;
  }
  for (Vec3& n : normals) n.normalize();
  return normals;
}

foot::Region region_of(const Rig& rig, const Vec3& p, const Vec3& normal) {
  using foot::Region;
  if (rig.on_leg(p)) return Region::ankle;
  const RayPlace place = rig.place(p);
  const auto ray = std::max_element(place.share.begin(), place.share.end()) - place.share.begin();
  if (place.past_web_mm > 0) return static_cast<Region>(ray);
  if (p.x() < 54) return Region::heel;
  const bool on_top = normal.z() > 0.3;
  // The ball reaches about 40 mm back from the web: the metatarsal heads and their pads.
  if (!on_top && place.past_web_mm > -38)
    return ray == 0 ? Region::ball_medial : ray == 4 ? Region::ball_lateral : Region::ball_middle;
  if (on_top) return Region::dorsum;
  return ray >= 3 ? Region::lateral_border : Region::arch;
}

std::vector<double> tissue_thickness(const Anatomy& anatomy, const std::vector<Vec3>& vertices,
                                     const std::vector<Vec3>& normals) {
  const auto known = places(anatomy);
  const auto bones = bone_lines(anatomy);
  // A place speaks for skin near it that faces the same way: 20 mm of distance count like opposite directions halved.
  constexpr double turn_mm = 20;
  std::vector<double> thickness;
  for (std::size_t v = 0; v < vertices.size(); ++v) {
    double sum = 0, weight = 0;
    for (const Place& place : known) {
      const double d2 = (vertices[v] - place.point).squaredNorm() +
                        turn_mm * turn_mm * (normals[v] - place.direction).squaredNorm() / 2;
      const double w = 1 / ((d2 + 4) * (d2 + 4));
      sum += w * place.thickness_mm;
      weight += w;
    }
    double to_bone = std::numeric_limits<double>::infinity();
    for (const Segment& bone : bones) to_bone = std::min(to_bone, distance(vertices[v], bone));
    thickness.push_back(std::max(1.5, std::min(sum / weight, 0.95 * to_bone)));
  }
  return thickness;
}

}  // namespace aplomb::template_tool
