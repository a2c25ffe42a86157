// The picture's scene: skin at the wall it rests on, pressures spread to its vertices, shoe as it stands.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include "aplomb/findings/assess.h"
#include "aplomb/shoe/meshes.h"
#include "heel_hold.h"
#include "parts.h"
#include "scene_bones.h"
#include "wall.h"

namespace aplomb::findings {

namespace {

/// What the contact points say at one place of the skin.
struct Touch {
  double pressure_MPa = 0;
  double give_mm = 0;     ///< tissue pressed in by a neighbour, the shank or padding
  double crowded_mm = 0;  ///< of it by a neighbouring toe
};

/// Smooth values between the contact points: their spacing is up to 4 mm, that of the vertices less. A Gaussian of 2 mm
/// over the rest shape, weighted by area, of points that face the same way: a toe's two sides stay apart.
class Spread {
 public:
  explicit Spread(const PosedFoot& rest) : points_(rest.stance->problem->points), touch_(points_.size()) {
    for (const contact::ContactState& c : rest.state->contacts) {
      touch_[c.point].pressure_MPa += c.pressure_MPa;
      if (c.against != contact::ContactState::Against::surface || !points_[c.point].over.empty())
        touch_[c.point].give_mm = std::max(touch_[c.point].give_mm, c.compression_mm);
      if (c.against == contact::ContactState::Against::skin)
        touch_[c.point].crowded_mm = std::max(touch_[c.point].crowded_mm, c.compression_mm);
    }
    for (std::size_t i = 0; i < points_.size(); ++i) by_x_.emplace_back(points_[i].position_rest.x(), i);
    std::sort(by_x_.begin(), by_x_.end());
  }

  Touch at(const Vec3& position_rest, const Vec3& normal_rest) const {
    constexpr double sigma_mm = 2, reach_mm = 3 * sigma_mm;
    Touch sum;
    double weights = 0;
    for (auto it =
             std::lower_bound(by_x_.begin(), by_x_.end(), std::pair(position_rest.x() - reach_mm, std::size_t{0}));
         it != by_x_.end() && it->first < position_rest.x() + reach_mm; ++it) {
      const contact::SkinPoint& point = points_[it->second];
      const double d2 = (point.position_rest - position_rest).squaredNorm();
      if (d2 > reach_mm * reach_mm || point.normal_rest.dot(normal_rest) < 0.2) continue;
      const double w = point.area_mm2 * std::exp(-d2 / (2 * sigma_mm * sigma_mm));
      weights += w;
      sum.pressure_MPa += w * touch_[it->second].pressure_MPa;
      sum.give_mm += w * touch_[it->second].give_mm;
      sum.crowded_mm += w * touch_[it->second].crowded_mm;
    }
    if (weights > 0) sum.pressure_MPa /= weights, sum.give_mm /= weights, sum.crowded_mm /= weights;
    return sum;
  }

 private:
  const std::vector<contact::SkinPoint>& points_;
  std::vector<Touch> touch_;
  std::vector<std::pair<double, std::size_t>> by_x_;
};

std::vector<Vec3> vertex_normals(const std::vector<Vec3>& vertices, const std::vector<std::array<int, 3>>& faces) {
  std::vector<Vec3> normals(vertices.size(), Vec3::Zero());
  for (const auto& face : faces) {
    const Vec3 n = (vertices[face[1]] - vertices[face[0]]).cross(vertices[face[2]] - vertices[face[0]]);
    for (const int corner : face) normals[corner] += n;
  }
  for (Vec3& n : normals) n.normalize();
  return normals;
}

/// Vertices at the wall, not through it, and their pressures.
void add_skin(const PosedFoot& rest, Scene& scene) {
  constexpr double kPa_per_MPa = 1000.0, clear_mm = 0.05;
  const foot::Skin& skin = rest.stance->foot->skin;
  const Spread spread(rest);
  const std::vector<Vec3> normals_rest = vertex_normals(skin.vertices_F, skin.faces);
  scene.skin.faces = skin.faces;
  scene.region = skin.region;
  for (std::size_t v = 0; v < skin.vertices_F.size(); ++v)
    scene.skin.vertices.push_back(rest.vertex_S(static_cast<int>(v)));
  const std::vector<Vec3> normals_S = vertex_normals(scene.skin.vertices, skin.faces);
  for (std::size_t v = 0; v < skin.vertices_F.size(); ++v) {
    Vec3& x = scene.skin.vertices[v];
    const Touch touch = spread.at(skin.vertices_F[v], normals_rest[v]);
    scene.pressure_kPa.push_back(kPa_per_MPa * touch.pressure_MPa);
    scene.crowding_mm.push_back(touch.crowded_mm);
    x -= touch.give_mm * normals_S[v];
    geometry::SurfaceSample wall;
    // Deeper than any tissue is not pressed but outside: the instep over the vamp on the ball.
    constexpr double deepest_mm = 20;
    const bool near = sample_wall(rest, x, beyond_gap_mm, wall) && wall.gap_mm > -deepest_mm;
    const bool inside = near && wall.cover > 0.5 && wall.normal.dot(normals_S[v]) < 0;
    scene.gap_mm.push_back(inside ? wall.gap_mm : beyond_gap_mm);
    if (near && wall.gap_mm < clear_mm) x += wall.cover * (clear_mm - wall.gap_mm) * wall.normal;
  }
}

/// Skin at the middle of the back of the heel, `height_mm` above the floor when standing; nothing where no skin is.
std::optional<Vec3> heel_back_at(const PosedFoot& rest, double height_mm) {
  const foot::Skin& skin = rest.stance->foot->skin;
  // Along the line y = 0, z = height: the rearmost face it meets, by areas in the y-z plane.
  const auto doubled_area = [](const Vec3& a, const Vec3& b, const Vec3& c) {
    return (b.y() - a.y()) * (c.z() - a.z()) - (b.z() - a.z()) * (c.y() - a.y());
  };
  std::optional<Vec3> back;
  double rearmost = 1e9;
  for (std::size_t f = 0; f < skin.faces.size(); ++f) {
    const auto& [ia, ib, ic] = skin.faces[f];
    const Vec3 &a = skin.vertices_F[ia], &b = skin.vertices_F[ib], &c = skin.vertices_F[ic];
    const Vec3 line(0, 0, height_mm);
    const double whole = doubled_area(a, b, c);
    if (whole == 0) continue;
    const Vec3 weights = Vec3(doubled_area(line, b, c), doubled_area(a, line, c), doubled_area(a, b, line)) / whole;
    if (weights.minCoeff() < 0) continue;
    const double x = weights.x() * a.x() + weights.y() * b.x() + weights.z() * c.x();
    if (x >= rearmost) continue;
    rearmost = x;
    back = rest.skin_point_S(static_cast<int>(f), weights);
  }
  return back;
}

void add_shoe(const PosedFoot& rest, Scene& scene) {
  const stance::Stance& stance = *rest.stance;
  const foot::Foot& foot = *stance.foot;
  scene.shell = shoe::make_shell(*stance.shoe);
  for (Vec3& vertex : scene.shell.vertices)  // both faces move with the wall between them
    vertex -= wall_give_mm(rest, vertex) * stance.shoe->box.nearest(vertex).normal;
  for (const Vec2& corner : stance.shoe->platform_outline) scene.platform_outline.push_back(corner);
  if (!stance.problem->rod) return;
  const contact::PosedRod posed = contact::pose(*stance.problem->rod, rest.state->q);
  scene.sole = shoe::make_sole(*stance.shoe, posed.node_xz);
  scene.upper =
      shoe::make_upper(*stance.shoe, posed.node_xz, heel_back_at(rest, stance.shoe->parameters.back_seam_height_mm));
  if (!stance::applies(stance.position).break_point) return;
  const contact::BreakPoint bend = contact::break_point(*stance.problem->rod, rest.state->q);
  if (heel_hold(rest).held && bend.width_mm > 0) {
    const Vec2 at = rod_point(posed, bend.arc_mm);
    scene.break_point = Vec3(at.x(), 0, at.y());
  }
  const auto midline = [&](int i) {
    const foot::MidlinePoint& point = foot.plantar_midline[static_cast<std::size_t>(i)];
    return rest.skin_point_S(point.face, point.barycentric);
  };
  scene.arch_front = midline(foot.arch_front);
  scene.arch_apex = midline(foot.arch_apex);
  scene.arch_back = midline(foot.arch_back);
}

/// From S to the room, the lowest part of the shoe on the floor.
void stand_in_room(const stance::Stance& stance, Scene& scene) {
  const bool weighted = stance.position != stance::Position::on_box;
  const geometry::Mat3 R_room_S = stance.ground.R_S_room().transpose();
  double floor = 0;
  if (stance.ground.pitch != 0) {
    floor = 1e9;
    for (const geometry::TriMesh* mesh : {&scene.shell, &scene.sole})
      for (const Vec3& vertex : mesh->vertices) floor = std::min(floor, (R_room_S * vertex).z());
    scene.platform_outline.clear();
    for (geometry::TriMesh* mesh : {&scene.skin, &scene.shell, &scene.sole, &scene.upper})
      for (Vec3& vertex : mesh->vertices) vertex = R_room_S * vertex - floor * Vec3::UnitZ();
    for (auto* point : {&scene.break_point, &scene.arch_front, &scene.arch_apex, &scene.arch_back})
      if (*point) *point = R_room_S * **point - floor * Vec3::UnitZ();
    scene.ankle_centre = R_room_S * scene.ankle_centre - floor * Vec3::UnitZ();
    for (BoneShape& bone : scene.bones)
      for (Vec3* end : {&bone.from, &bone.to}) *end = R_room_S * *end - floor * Vec3::UnitZ();
  }
  if (!weighted) return;
  const Vec3 floor_S = floor * stance.ground.up_S();
  const Vec3 cop = R_room_S * stance::centre_of_pressure(*stance.problem, stance.rest(), stance.ground, floor_S);
  scene.centre_of_pressure = cop.head<2>();
}

/// The same of a left foot: y turns round, and with it the winding of the faces.
void mirror(Scene& scene) {
  for (geometry::TriMesh* mesh : {&scene.skin, &scene.shell, &scene.sole, &scene.upper}) {
    for (Vec3& vertex : mesh->vertices) vertex.y() = -vertex.y();
    for (auto& face : mesh->faces) std::swap(face[1], face[2]);
  }
  for (Vec2& corner : scene.platform_outline) corner.y() = -corner.y();
  std::reverse(scene.platform_outline.begin(), scene.platform_outline.end());
  if (scene.centre_of_pressure) scene.centre_of_pressure->y() *= -1;
  scene.ankle_centre.y() *= -1;
  for (BoneShape& bone : scene.bones) bone.from.y() *= -1, bone.to.y() *= -1;
  for (auto* point : {&scene.break_point, &scene.arch_front, &scene.arch_apex, &scene.arch_back})
    if (*point) (*point)->y() *= -1;
}

}  // namespace

Scene make_scene(const stance::Stance& stance) {
  Scene scene;
  const PosedFoot rest = pose_foot(stance, stance.rest());
  scene.side = stance.foot->side;
  add_skin(rest, scene);
  add_shoe(rest, scene);
  scene.bones = bone_shapes(rest);
  scene.ankle_centre = rest.landmark_S("ankle_centre");
  stand_in_room(stance, scene);
  if (scene.side == foot::Side::left) mirror(scene);
  return scene;
}

}  // namespace aplomb::findings
