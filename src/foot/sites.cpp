// Finds on the template the points and faces that the dimensions are measured by. Windows are in the template's own
// coordinates (240 mm long) and generous: they only keep the leg out of the foot and one toe out of the next.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <functional>
#include <limits>
#include <string>

#include "aplomb/foot/measure.h"

namespace aplomb::foot {

namespace {

using Window = std::function<bool(const Vec3&)>;

std::vector<int> vertices_where(const Skin& skin, const Window& inside) {
  std::vector<int> out;
  for (std::size_t v = 0; v < skin.vertices_F.size(); ++v)
    if (inside(skin.vertices_F[v])) out.push_back(static_cast<int>(v));
  return out;
}

std::vector<int> faces_where(const Skin& skin, const Window& inside) {
  std::vector<int> out;
  for (std::size_t f = 0; f < skin.faces.size(); ++f) {
    const auto& face = skin.faces[f];
    if (std::all_of(face.begin(), face.end(), [&](int v) { return inside(skin.vertices_F[v]); }))
      out.push_back(static_cast<int>(f));
  }
  return out;
}

/// Vertex with the greatest score among those in the window.
int best_vertex(const Skin& skin, const Window& inside, const std::function<double(const Vec3&)>& score) {
  int best = 0;
  double best_score = -std::numeric_limits<double>::max();
  for (std::size_t v = 0; v < skin.vertices_F.size(); ++v) {
    const Vec3& x = skin.vertices_F[v];
    if (!inside(x) || score(x) <= best_score) continue;
    best_score = score(x);
    best = static_cast<int>(v);
  }
  return best;
}

int landmark_row(const Foot& mean, const std::string& name) {
  return static_cast<int>(std::distance(mean.landmarks.begin(), mean.landmarks.find(name)));
}

}  // namespace

Vec3 point_at(const SkinBlend& point, const Body& body) {
  if (point.empty()) return Vec3::Constant(std::numeric_limits<double>::quiet_NaN());
  Vec3 sum = Vec3::Zero();
  for (const SkinShare& s : point) sum += s.share * body.skin.col(s.vertex);
  return sum;
}

Sites find_sites(const Foot& mean) {
  const Skin& skin = mean.skin;
  Sites sites;
  sites.faces = skin.faces;
  sites.heel_back = best_vertex(
      skin, [](const Vec3& x) { return x.z() < 60; }, [](const Vec3& x) { return -x.x(); });
  for (int toe = 0; toe < toe_count; ++toe) {
    const std::string number = std::to_string(toe + 1);
    sites.mtp[toe] = joint_index(mean, "MTP" + number);
    sites.tmt[toe] = joint_index(mean, "TMT" + number);
    sites.knuckle[toe] = joint_index(mean, (toe == 0 ? "IP" : "PIP") + number);
    sites.tip[toe] = landmark_row(mean, "tip" + number);
    const Vec3 root = mean.joints[sites.mtp[toe]].centre_F;
    double reach = -1;
    for (std::size_t v = 0; v < skin.vertices_F.size(); ++v) {
      const Vec3 arm = skin.vertices_F[v] - root;
      if (skin.region[v] != static_cast<Region>(toe)) continue;
      sites.toe_vertices[toe].push_back(static_cast<int>(v));
      if (arm.x() <= reach) continue;
      reach = arm.x();
      sites.toe_tip[toe] = static_cast<int>(v);
    }
    for (std::size_t f = 0; f < skin.faces.size(); ++f) {
      const auto& face = skin.faces[f];
      if (std::all_of(face.begin(), face.end(), [&](int v) {
            return skin.region[v] == static_cast<Region>(toe) && (skin.vertices_F[v] - root).x() > 0.45 * reach;
          }))
        sites.toe_faces[toe].push_back(static_cast<int>(f));
    }
  }
  sites.navicular = landmark_row(mean, "navicular_tuberosity");
  sites.lateral_malleolus = landmark_row(mean, "lateral_malleolus");
  sites.heel_profile_faces =
      faces_where(skin, [](const Vec3& x) { return x.x() < 55 && x.z() < 32 && std::abs(x.y()) < 15; });
  sites.bend_profile_faces =
      faces_where(skin, [](const Vec3& x) { return x.x() > 74 && x.x() < 136 && x.z() > 44 && std::abs(x.y()) < 20; });

  sites.ball_faces = faces_where(skin, [](const Vec3& x) { return x.x() > 110 && x.x() < 215; });
  sites.heel_faces = faces_where(skin, [](const Vec3& x) { return x.x() < 90 && x.z() < 45; });
  sites.heel_ankle_faces = faces_where(skin, [](const Vec3& x) { return x.x() < 150; });
  sites.ankle_faces = faces_where(skin, [](const Vec3& x) { return x.z() > 85; });
  sites.instep_faces = faces_where(skin, [](const Vec3& x) { return x.x() > 95 && x.x() < 145; });
  sites.foot_vertices = vertices_where(skin, [](const Vec3& x) { return x.z() < 62; });
  sites.forefoot_vertices = vertices_where(skin, [](const Vec3& x) { return x.x() > 120 && x.z() < 62; });
  const auto about = [&](const std::string& landmark, double side) {
    const Vec3 bone = mean.landmarks.at(landmark).position_F;
    return vertices_where(skin, [bone, side](const Vec3& x) {
      return side * x.y() > 0 && std::abs(x.x() - bone.x()) < 26 && std::abs(x.z() - bone.z()) < 12;
    });
  };
  sites.medial_malleolus_vertices = about("medial_malleolus", 1);
  sites.lateral_malleolus_vertices = about("lateral_malleolus", -1);
  return sites;
}

}  // namespace aplomb::foot
