// Dimension lines from the derivatives of the numbers: what a number rests on is where its caliper touches.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/foot/portrait.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "aplomb/foot/build.h"
#include "aplomb/foot/fit.h"
#include "aplomb/foot/measure.h"
#include "aplomb/foot/pose.h"
#include "aplomb/foot/template.h"
#include "aplomb/geometry/polygon.h"
#include "aplomb/geometry/section.h"

namespace aplomb::foot {

namespace {

using geometry::TriMesh;
using geometry::Vec2;
using Kind = TakenAt::Kind;

/// Where the caliper's jaw on the side of `direction` touches. A distance along a direction grows with its far end as
/// fast as that end moves, so the weights along the direction that are positive sum to one and interpolate the end;
/// what slides in a section plane is square to the direction and drops out. Where the plane turns with bones, these
/// have a weight too, and only what is `on_skin` is touched.
Vec3 jaw(const MeasuredValue& measured, const Vec3& direction, const Body& shown, bool on_skin = false) {
  Vec3 sum = Vec3::Zero();
  double weights = 0;
  for (const MeasureTerm& term : measured.gradient) {
    if (on_skin && term.of != MeasureTerm::Of::skin) continue;
    const double w = term.weight.dot(direction);
    if (w <= 0) continue;
    const Eigen::Matrix3Xd& points = term.of == MeasureTerm::Of::skin    ? shown.skin
                                     : term.of == MeasureTerm::Of::joint ? shown.joints
                                                                         : shown.landmarks;
    sum += w * points.col(term.index);
    weights += w;
  }
  return weights > 0 ? Vec3(sum / weights) : sum;
}

/// Corners of the taut tape round the largest loop where the plane cuts the mesh.
std::vector<Vec3> tape_at(const TriMesh& mesh, const Vec3& point, const Vec3& normal) {
  const Vec3 n = normal.normalized();
  const Vec3 axis = std::abs(n.z()) < 0.9 ? Vec3::UnitZ() : Vec3::UnitX();
  const Vec3 u = (axis - axis.dot(n) * n).normalized(), v = n.cross(u);
  geometry::Polygon longest;
  for (const auto& line : geometry::plane_section(mesh, point, n)) {
    const auto hull = geometry::convex_hull(geometry::flatten(line.points, point, u, n));
    if (longest.empty() || geometry::perimeter(hull) > geometry::perimeter(longest)) longest = hull;
  }
  std::vector<Vec3> loop;
  for (const Vec2& p : longest) loop.push_back(point + p.x() * u + p.y() * v);
  return loop;
}

std::vector<TakenAt> taken_on(const ShapeModel& model, const Foot& standing) {
  const Sites& sites = *model.sites;
  const Body shown = body_of(standing);
  const auto measured = measure(sites, shown);
  const TapePoints points = tape_points(sites, shown, measured[foot_length].value);
  const TriMesh mesh{.vertices = standing.skin.vertices_F, .faces = standing.skin.faces};
  std::vector<TakenAt> taken;
  const auto span = [&](int number, const Vec3& direction) {
    taken.push_back(
        {number, Kind::span, {jaw(measured[number], -direction, shown), jaw(measured[number], direction, shown)}});
  };
  const auto height = [&](int number) {
    const Vec3 top = jaw(measured[number], Vec3::UnitZ(), shown);
    taken.push_back({number, Kind::height, {Vec3(top.x(), top.y(), 0), top}});
  };
  const auto tape = [&](int number, const Vec3& point, const Vec3& normal) {
    taken.push_back({number, Kind::tape, tape_at(mesh, point, normal)});
  };

  span(foot_length, Vec3::UnitX());
  const Vec3 medial = point_at(points.ball_medial, shown), lateral = point_at(points.ball_lateral, shown);
  taken.push_back({ball_length, Kind::span, {jaw(measured[ball_length], -Vec3::UnitX(), shown), medial}});
  span(foot_breadth, Vec3::UnitY());
  span(heel_breadth, Vec3::UnitY());
  tape(ball_girth, medial, Vec3::UnitZ().cross(lateral - medial));
  const Vec3 heel = point_at(points.heel_low, shown), bend = point_at(points.ankle_bend, shown);
  tape(heel_ankle_girth, heel, Vec3::UnitY().cross(bend - heel));
  tape(ankle_girth, Vec3(0, 0, sites.ankle_level_mm / template_length_mm * measured[foot_length].value), Vec3::UnitZ());
  span(bimalleolar_breadth, Vec3::UnitY());
  height(lateral_malleolus_height);
  height(arch_height);
  height(instep_height);
  taken.push_back(
      {hallux_angle,
       Kind::angle,
       {shown.joints.col(sites.tmt[0]), shown.joints.col(sites.mtp[0]), shown.joints.col(sites.knuckle[0])}});
  for (int toe = 0; toe < toe_count; ++toe) {
    Vec3 along = shown.skin.col(sites.toe_tip[toe]) - shown.joints.col(sites.mtp[toe]);
    along.z() = 0;
    span(toe_length + toe, along.normalized());
  }
  const auto section_span = [&](int number, const Vec3& direction) {
    const Vec3 back = -direction;
    taken.push_back({number,
                     Kind::span,
                     {jaw(measured[number], back, shown, true), jaw(measured[number], direction, shown, true)}});
  };
  // Breadth and height are taken square to the toe's last part.
  std::array<Vec3, toe_count> across, up;
  for (int toe = 0; toe < toe_count; ++toe) {
    const Vec3 last = shown.landmarks.col(sites.tip[toe]) - shown.joints.col(sites.knuckle[toe]);
    across[toe] = Vec3::UnitZ().cross(last).normalized();
    up[toe] = last.cross(across[toe]).normalized();
  }
  for (int toe = 0; toe < toe_count; ++toe) section_span(toe_breadth + toe, across[toe]);
  for (int toe = 0; toe < toe_count; ++toe) section_span(toe_height + toe, up[toe]);
  return taken;
}

void add_pointed(const Foot& foot, Portrait& portrait) {
  const std::vector<Isometry> T_bone = pose_bones(foot, pointed(foot));
  portrait.pointed_F = {.vertices = pose_skin(foot.skin, T_bone), .faces = foot.skin.faces};
  double lowest = 1e9;
  for (const Vec3& x : portrait.pointed_F.vertices) lowest = std::min(lowest, x.z());
  for (Vec3& x : portrait.pointed_F.vertices) x.z() -= lowest;
  const int ankle = std::max(0, joint_index(foot, "ankle"));
  const Vec3 centre = T_bone[tibia] * foot.joints[ankle].centre_F - lowest * Vec3::UnitZ();
  Vec3 ray = T_bone[ray1].linear() * Vec3::UnitX();
  ray.y() = 0;
  const double arm = 0.4 * foot.length_mm;
  portrait.pointing_F = {centre + arm * Vec3::UnitX(), centre, centre + 1.4 * arm * ray.normalized()};
}

void mirror(TriMesh& mesh) {
  for (Vec3& vertex : mesh.vertices) vertex.y() = -vertex.y();
  for (auto& face : mesh.faces) std::swap(face[1], face[2]);
}

Portrait portrait_of(const ShapeModel& model, const Foot& foot, const Build& build) {
  Portrait portrait{.side = foot.side, .standing_F = {}, .pointed_F = {}, .taken = {}};
  const Foot standing = foot_under(model, build, Load::standing);
  portrait.standing_F = {.vertices = standing.skin.vertices_F, .faces = standing.skin.faces};
  portrait.taken = taken_on(model, standing);
  add_pointed(foot, portrait);
  if (foot.side == Side::right) return portrait;
  mirror(portrait.standing_F);
  mirror(portrait.pointed_F);
  for (TakenAt& taken : portrait.taken)
    for (Vec3& point : taken.points_F) point.y() = -point.y();
  for (Vec3& point : portrait.pointing_F) point.y() = -point.y();
  return portrait;
}

}  // namespace

Portrait make_portrait(const ShapeModel& model, const Foot& foot) { return portrait_of(model, foot, build_of(foot)); }

Portrait make_portrait(const ShapeModel& model) {
  const Build mean;
  return portrait_of(model, build_foot(model, mean), mean);
}

}  // namespace aplomb::foot
