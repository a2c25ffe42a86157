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

}  // namespace

Sites find_sites(const Foot& mean) {
  const Skin& skin = mean.skin;
  Sites sites;
  sites.faces = skin.faces;
  const Window anywhere = [](const Vec3&) { return true; };
  const auto near = [](const Vec3& goal) { return [goal](const Vec3& x) { return -(x - goal).squaredNorm(); }; };

  sites.heel_back = best_vertex(
      skin, [](const Vec3& x) { return x.z() < 60; }, [](const Vec3& x) { return -x.x(); });
  for (int toe = 0; toe < toe_count; ++toe) {
    const std::string number = std::to_string(toe + 1);
    sites.mtp[toe] = joint_index(mean, "MTP" + number);
    sites.tmt[toe] = joint_index(mean, "TMT" + number);
    const Vec3 root = mean.joints[sites.mtp[toe]].centre_F;
    double reach = -1;
    for (std::size_t v = 0; v < skin.vertices_F.size(); ++v) {
      const Vec3 arm = skin.vertices_F[v] - root;
      if (skin.region[v] != static_cast<Region>(toe) || arm.x() <= reach) continue;
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
  sites.hallux_ip = joint_index(mean, "IP1");
  // Beside the outer heads: the outermost skin at the joint's own station. The mean foot's sides run so straight there
  // that the greatest y alone would wander along them.
  const double medial_x = mean.joints[sites.mtp[0]].centre_F.x() + 1.4,
               lateral_x = mean.joints[sites.mtp[4]].centre_F.x() + 1;
  sites.ball_medial = best_vertex(
      skin, [](const Vec3& x) { return x.z() < 30; },
      [&](const Vec3& x) { return x.y() - std::abs(x.x() - medial_x); });
  sites.ball_lateral = best_vertex(
      skin, [](const Vec3& x) { return x.z() < 30; },
      [&](const Vec3& x) { return -x.y() - std::abs(x.x() - lateral_x); });
  sites.navicular = best_vertex(skin, anywhere, near({94, 36, 40}));
  sites.heel_low = best_vertex(skin, anywhere, near({7, 0, 2}));
  sites.ankle_bend = best_vertex(
      skin, [](const Vec3& x) { return std::abs(x.y()) < 12; }, near({100, 0, 77}));
  sites.lateral_malleolus =
      static_cast<int>(std::distance(mean.landmarks.begin(), mean.landmarks.find("lateral_malleolus")));

  sites.ball_faces = faces_where(skin, [](const Vec3& x) { return x.x() > 110 && x.x() < 215; });
  sites.heel_faces = faces_where(skin, [](const Vec3& x) { return x.x() < 90 && x.z() < 45; });
  sites.heel_ankle_faces = faces_where(skin, [](const Vec3& x) { return x.x() < 150; });
  sites.ankle_faces = faces_where(skin, [](const Vec3& x) { return x.z() > 85; });
  sites.instep_faces = faces_where(skin, [](const Vec3& x) { return x.x() > 95 && x.x() < 145; });
  sites.foot_vertices = vertices_where(skin, [](const Vec3& x) { return x.z() < 62; });
  sites.forefoot_vertices = vertices_where(skin, [](const Vec3& x) { return x.x() > 120 && x.z() < 62; });
  sites.malleolus_vertices =
      vertices_where(skin, [](const Vec3& x) { return x.x() > 30 && x.x() < 100 && x.z() > 50 && x.z() < 90; });
  return sites;
}

}  // namespace aplomb::foot
