// CGAL is slow to compile, so it stays in this file.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "remeasure.h"

#include <CGAL/AABB_face_graph_triangle_primitive.h>
#include <CGAL/AABB_traits.h>
#include <CGAL/AABB_tree.h>
#include <CGAL/Exact_predicates_inexact_constructions_kernel.h>
#include <CGAL/Polygon_mesh_slicer.h>
#include <CGAL/Surface_mesh.h>
#include <CGAL/convex_hull_2.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <memory>
#include <string>
#include <vector>

namespace aplomb::foot::testing {

namespace {

using Kernel = CGAL::Exact_predicates_inexact_constructions_kernel;
using Mesh = CGAL::Surface_mesh<Kernel::Point_3>;
using Tree = CGAL::AABB_tree<CGAL::AABB_traits<Kernel, CGAL::AABB_face_graph_triangle_primitive<Mesh>>>;
using Line = std::vector<Vec3>;

constexpr double far = std::numeric_limits<double>::max();

Vec3 vec(const Kernel::Point_3& p) { return {p.x(), p.y(), p.z()}; }
Kernel::Point_3 point(const Vec3& p) { return {p.x(), p.y(), p.z()}; }

/// A mesh of some of the skin's faces, ready to be cut.
class Cutter {
 public:
  Cutter(const Skin& skin, const std::function<bool(const std::array<int, 3>&)>& wanted) {
    std::vector<Mesh::Vertex_index> index(skin.vertices_F.size());
    for (const auto& face : skin.faces) {
      if (!wanted(face)) continue;
      for (const int v : face)
        if (!index[v].is_valid()) index[v] = mesh_.add_vertex(point(skin.vertices_F[v]));
      mesh_.add_face(index[face[0]], index[face[1]], index[face[2]]);
    }
    slicer_ = std::make_unique<CGAL::Polygon_mesh_slicer<Mesh, Kernel>>(mesh_);
  }

  std::vector<Line> cut(const Vec3& at, const Vec3& normal) const {
    std::vector<std::vector<Kernel::Point_3>> lines;
    (*slicer_)(Kernel::Plane_3(point(at), Kernel::Vector_3(normal.x(), normal.y(), normal.z())),
               std::back_inserter(lines));
    std::vector<Line> out;
    for (const auto& line : lines) {
      out.emplace_back();
      for (const auto& p : line) out.back().push_back(vec(p));
    }
    return out;
  }

  /// All points of the section, whatever loop they lie on.
  Line points(const Vec3& at, const Vec3& normal) const {
    Line all;
    for (const Line& line : cut(at, normal)) all.insert(all.end(), line.begin(), line.end());
    return all;
  }

  /// A taut tape round the longest loop.
  double tape(const Vec3& at, const Vec3& normal) const {
    const Vec3 n = normal.normalized();
    const Vec3 u = (std::abs(n.z()) < 0.9 ? Vec3::UnitZ() : Vec3::UnitX()).cross(n).normalized(), v = n.cross(u);
    double girth = 0;
    for (const Line& line : cut(at, n)) {
      std::vector<Kernel::Point_2> flat, hull;
      for (const Vec3& p : line) flat.emplace_back(u.dot(p - at), v.dot(p - at));
      CGAL::convex_hull_2(flat.begin(), flat.end(), std::back_inserter(hull));
      double sum = 0;
      for (std::size_t i = 0; i < hull.size(); ++i)
        sum += std::sqrt(CGAL::squared_distance(hull[i], hull[(i + 1) % hull.size()]));
      girth = std::max(girth, sum);
    }
    return girth;
  }

  double distance(const Vec3& p) const {
    const Tree tree(faces(mesh_).first, faces(mesh_).second, mesh_);
    return std::sqrt(tree.squared_distance(point(p)));
  }

 private:
  Mesh mesh_;
  std::unique_ptr<CGAL::Polygon_mesh_slicer<Mesh, Kernel>> slicer_;
};

/// Outermost of the points along a direction among those allowed.
Vec3 outermost(const Line& points, const Vec3& direction, const std::function<bool(const Vec3&)>& allowed) {
  Vec3 best = Vec3::Constant(std::nan(""));
  double most = -far;
  for (const Vec3& p : points)
    if (allowed(p) && direction.dot(p) > most) most = direction.dot(p), best = p;
  return best;
}

double extent(const Line& points, const Vec3& direction, const std::function<bool(const Vec3&)>& allowed) {
  return direction.dot(outermost(points, direction, allowed) - outermost(points, -direction, allowed));
}

Vec3 joint(const Foot& foot, const std::string& name) {
  return foot.joints[static_cast<std::size_t>(joint_index(foot, name))].centre_F;
}

const auto anywhere = [](const Vec3&) { return true; };

void measure_toe(const Foot& foot, int toe, const std::function<double(const Vec3&)>& height, Remeasured& out) {
  const std::string n = std::to_string(toe + 1);
  const auto of_toe = [&](int v) { return foot.skin.region[v] == static_cast<Region>(toe); };
  const Vec3 root = joint(foot, "MTP" + n), knuckle = joint(foot, (toe == 0 ? "IP" : "PIP") + n);
  Line skin;
  for (std::size_t v = 0; v < foot.skin.vertices_F.size(); ++v)
    if (of_toe(static_cast<int>(v))) skin.push_back(foot.skin.vertices_F[v]);

  // The tip: the skin point that lies farthest from the joint.
  Vec3 tip = root;
  for (const Vec3& p : skin)
    if ((p - root).head<2>().norm() > (tip - root).head<2>().norm()) tip = p;
  out.dimension[toe_length + toe] = (tip - root).head<2>().norm();

  // The pad: half-way from the first knuckle to the end, cut square to that part.
  const Vec3 end = foot.landmarks.at("tip" + n).position_F, along = (end - knuckle).normalized();
  const Vec3 across = Vec3::UnitZ().cross(along).normalized(), up = along.cross(across);
  const Cutter cutter(foot.skin, [&](const auto& f) {
    return std::all_of(f.begin(), f.end(),
                       [&](int v) { return of_toe(v) && along.dot(foot.skin.vertices_F[v] - knuckle) > 0; });
  });
  const Line pad = cutter.points((knuckle + end) / 2, along);
  out.dimension[toe_breadth + toe] = extent(pad, across, anywhere);
  out.dimension[toe_height + toe] = extent(pad, up, anywhere);

  double low = far;
  for (const Vec3& p : skin)
    if (along.dot(p - knuckle) > 0) low = std::min(low, height(p));
  out.lift_mm[toe] = low;

  const Vec3 proximal = knuckle - root;
  const Vec3 next = toe == 0 ? foot.landmarks.at("bonetip1").position_F : joint(foot, "DIP" + n);
  const auto pitch = [](const Vec3& v) { return std::atan2(-v.z(), v.head<2>().norm()); };
  out.knuckle_bend_deg[toe] = (pitch(next - knuckle) - pitch(proximal)) * geometry::deg_per_rad;
}

}  // namespace

Remeasured remeasure(const Foot& foot) {
  Remeasured out;
  auto& size = out.dimension;
  const Cutter all(foot.skin, [](const auto&) { return true; });
  const Line& skin = foot.skin.vertices_F;

  // Length: between the ends of what lies below the leg.
  double length = 240, back = 0;
  for (int pass = 0; pass < 2; ++pass) {
    const auto below_leg = [&](const Vec3& p) { return p.z() < 0.25 * length; };
    back = outermost(skin, -Vec3::UnitX(), below_leg).x();
    length = outermost(skin, Vec3::UnitX(), below_leg).x() - back;
  }
  const double s = length / 240;
  size[foot_length] = length;
  const auto at = [&](double share) { return back + share * length; };

  // The floor: a line under the heel and under the ball.
  const Vec3 heel = outermost(skin, -Vec3::UnitZ(), [&](const Vec3& p) { return p.x() < at(0.3); });
  const Vec3 ball = outermost(skin, -Vec3::UnitZ(), [&](const Vec3& p) { return p.x() > at(0.58) && p.x() < at(0.8); });
  const double tilt = (ball.z() - heel.z()) / (ball.x() - heel.x());
  const std::function<double(const Vec3&)> height = [=](const Vec3& p) {
    return p.z() - heel.z() - tilt * (p.x() - heel.x());
  };

  const auto forefoot = [&](const Vec3& p) { return p.x() > at(0.5) && p.z() < 0.25 * length; };
  size[foot_breadth] = extent(skin, Vec3::UnitY(), forefoot);
  size[heel_breadth] = extent(all.points({at(0.16), 0, 0}, Vec3::UnitX()), Vec3::UnitY(),
                              [&](const Vec3& p) { return p.z() < 0.15 * length; });
  const Vec3 top = outermost(all.points({at(0.5), 0, 0}, Vec3::UnitX()), Vec3::UnitZ(), anywhere);
  size[instep_height] = height(top);

  // Beside the heads of the outer metatarsals, a little in front of the joint centres.
  const auto beside = [&](const std::string& name, double ahead, double side) {
    const double x = joint(foot, name).x() + ahead * s;
    return outermost(all.points({x, 0, 0}, Vec3::UnitX()), side * Vec3::UnitY(),
                     [&](const Vec3& p) { return p.z() < 30 * s; });
  };
  const Vec3 medial = beside("MTP1", 1.4, 1), lateral = beside("MTP5", 1, -1);
  size[ball_length] = medial.x() - back;
  size[ball_girth] = all.tape(medial, Vec3::UnitZ().cross(lateral - medial));

  // Profile in the sagittal plane: the heel's lower edge and the bend between foot and leg.
  const Line profile = all.points(Vec3::Zero(), Vec3::UnitY());
  const Vec3 edge = outermost(profile, Vec3(-1, 0, -2), [&](const Vec3& p) { return p.x() < at(0.2); });
  const Vec3 bend = outermost(profile, -Vec3(1, 0, 1), [&](const Vec3& p) {
    return p.x() > at(0.33) && p.x() < at(0.55) && p.z() > 0.2 * length;
  });
  size[heel_ankle_girth] = all.tape(edge, Vec3::UnitY().cross(bend - edge));

  size[ankle_girth] = all.tape({0, 0, 112 * s}, Vec3::UnitZ());
  const auto ankle_bone = [&](const std::string& name, double side) {
    const Vec3 bone = foot.landmarks.at(name).position_F;
    return outermost(skin, side * Vec3::UnitY(), [&](const Vec3& p) {
      return std::abs(p.x() - bone.x()) < 26 * s && std::abs(p.z() - bone.z()) < 12 * s;
    });
  };
  size[bimalleolar_breadth] = ankle_bone("medial_malleolus", 1).y() - ankle_bone("lateral_malleolus", -1).y();
  const Vec3 outer = foot.landmarks.at("lateral_malleolus").position_F,
             navicular = foot.landmarks.at("navicular_tuberosity").position_F;
  size[lateral_malleolus_height] = height(outer);
  size[arch_height] = height(navicular);
  out.malleolus_off_skin_mm = all.distance(outer);
  out.navicular_off_skin_mm = all.distance(navicular);

  const auto direction = [](const Vec3& v) { return std::atan2(v.y(), v.x()) * geometry::deg_per_rad; };
  size[hallux_angle] =
      direction(joint(foot, "MTP1") - joint(foot, "TMT1")) - direction(joint(foot, "IP1") - joint(foot, "MTP1"));
  for (int toe = 0; toe < toe_count; ++toe) measure_toe(foot, toe, height, out);

  return out;
}

}  // namespace aplomb::foot::testing
