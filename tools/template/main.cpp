// aplomb_template: makes the template foot from the anatomy tables, checks it and writes it.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <exception>
#include <string>

#include "aplomb/foot/pose.h"
#include "aplomb/foot/template.h"
#include "aplomb/geometry/exact.h"
#include "marks.h"
#include "mesher.h"
#include "rig.h"
#include "sampling.h"
#include "shape.h"
#include "tissue.h"

namespace aplomb::template_tool {

namespace {

/// Facet size by place: fine on the toes, finer round the nails and in the webs between them, coarser behind.
double facet_size(const FootShape& shape, const Vec3& p) {
  const double behind_web = shape.web_x(p.y()) - p.x();
  double cleft = 1e9;
  for (int k = 0; k < 4; ++k) cleft = std::min(cleft, std::abs(p.y() - shape.cleft_y(k, p.x())));
  const double in_web = (1 - smooth_step(1, 4, cleft)) * (1 - smooth_step(4, 10, std::abs(shape.past_web(p))));
  // Where two toes face each other the air between them is hardly wider than a facet.
  double first = 1e9, second = 1e9;
  for (int k = 0; k < 5 && behind_web < -2; ++k) {
    const double off = shape.toe(k, p);
    second = std::min(second, std::max(first, off));
    first = std::min(first, off);
  }
  const double in_slit = 1 - smooth_step(0.8, 1.8, second);
  const double at_nail = behind_web < -5 ? 1 - smooth_step(0.8, 2.2, std::abs(shape.from_nail_border(p))) : 0;
  return (1.25 + 2.95 * smooth_step(0, 45, behind_web)) * (1 - 0.5 * std::max(in_web, in_slit)) * (1 - 0.4 * at_nail);
}

void cover_with_contact_points(const Rig& rig, const FootShape& shape, foot::Foot& foot) {
  SamplingOptions options;
  const auto toe_of = [&](const Vec3& p) {
    const RayPlace place = rig.place(p);
    if (place.past_web_mm <= 0) return -1;
    return static_cast<int>(std::max_element(place.share.begin(), place.share.end()) - place.share.begin());
  };
  options.part = toe_of;
  // All skin below the ankle region.
  options.covered = [&](int face) {
    const auto& corners = foot.skin.faces[static_cast<std::size_t>(face)];
    return std::none_of(corners.begin(), corners.end(),
                        [&](int v) { return foot.skin.region[static_cast<std::size_t>(v)] == foot::Region::ankle; });
  };
  options.spacing_mm = [&](const Vec3& p) {
    const RayPlace place = rig.place(p);
    const int toe = toe_of(p);
    const double on_toe = 2 - 1.0 * (toe >= 0 ? 1 - smooth_step(7, 10, shape.toe_from_tip(toe, p)) : 0);
    return on_toe + 2 * smooth_step(0, 8, -place.past_web_mm);
  };
  foot.contact_points = sample_contact_points(foot.skin, options);
}

foot::Foot make_foot(const Anatomy& anatomy) {
  const FootShape shape(anatomy);
  MesherOptions options;
  options.inner_point = {60, 0, 40};
  options.bounding_radius_mm = 220;
  options.cut_height_mm = cut_height_mm;
  options.facet_size_mm = [&](const Vec3& p) { return facet_size(shape, p); };
  const auto field = [&](const Vec3& p) { return shape(p); };
  TriMesh mesh = mesh_implicit(field, options);
  relax(mesh, field, cut_height_mm, 6);

  foot::Foot foot;
  foot.skin.vertices_F = std::move(mesh.vertices);
  foot.skin.faces = std::move(mesh.faces);
  const auto& vertices = foot.skin.vertices_F;
  const auto normals = vertex_normals(vertices, foot.skin.faces);
  const Rig rig(anatomy, shape);
  foot.joints = make_joints(anatomy);
  foot.skin.bones.resize(vertices.size());
  foot.skin.weights.resize(vertices.size());
  for (std::size_t v = 0; v < vertices.size(); ++v) {
    rig.weights(vertices[v], foot.skin.bones[v], foot.skin.weights[v]);
    foot.skin.region.push_back(region_of(rig, vertices[v], normals[v]));
  }
  foot.skin.thickness_mm = tissue_thickness(anatomy, vertices, normals);
  cover_with_contact_points(rig, shape, foot);
  mark_midline(anatomy, foot);
  mark_landmarks(anatomy, foot);
  Vec3 low = vertices.front(), high = low;
  for (const Vec3& v : vertices) {
    low = low.cwiseMin(v);
    high = high.cwiseMax(v);
  }
  foot.length_mm = high.x() - low.x();
  double left = 0, right = 0;
  for (const Vec3& v : vertices) {
    if (v.z() >= 60) continue;
    left = std::max(left, v.y());
    right = std::min(right, v.y());
  }
  foot.breadth_mm = left - right;
  return foot;
}

int check(const foot::Foot& made, const std::string& folder) {
  const auto stored = foot::load_template(folder);
  if (!stored) {
    fmt::print(stderr, "{}\n", io::to_line(stored.error()));
    return io::exit_code(stored.error().kind);
  }
  const bool same = foot::template_hash(made) == stored->template_hash;
  fmt::print("{} {} {}\n", foot::template_hash(made), same ? "is the same as" : "is not", stored->template_hash);
  return same ? 0 : 1;
}

int run(const std::string& tables, const std::string& folder, bool check_only) {
  const auto anatomy = read_anatomy(tables);
  if (!anatomy) {
    fmt::print(stderr, "{}\n", io::to_line(anatomy.error()));
    return io::exit_code(anatomy.error().kind);
  }
  const foot::Foot foot = make_foot(*anatomy);
  fmt::print("{} vertices, {} faces, {} contact points, length {:.2f} mm, breadth {:.2f} mm\n",
             foot.skin.vertices_F.size(), foot.skin.faces.size(), foot.contact_points.size(), foot.length_mm,
             foot.breadth_mm);
  const geometry::ExactReport standing = geometry::examine({foot.skin.vertices_F, foot.skin.faces});
  const auto T_bone = foot::pose_bones(foot, foot::pointed(foot));
  const geometry::ExactReport pointed = geometry::examine({foot::pose_skin(foot.skin, T_bone), foot.skin.faces});
  fmt::print("standing: {} crossing face pairs, {:.1f} cm3; pointed: {} pairs, {:.1f} cm3\n",
             standing.self_intersections, standing.volume_mm3 / 1000, pointed.self_intersections,
             pointed.volume_mm3 / 1000);
  if (const auto fault = foot::template_fault(foot); !fault.empty()) {
    fmt::print(stderr, "the template is at fault: {}\n", fault);
    return 1;
  }
  if (!standing.closed || !standing.outward || standing.self_intersections > 0) {
    fmt::print(stderr, "the skin is not a closed, outward surface without self-intersection; nothing written\n");
    return 1;
  }
  if (check_only) return check(foot, folder);
  if (const auto written = foot::write_template(foot, folder); !written) {
    fmt::print(stderr, "{}\n", io::to_line(written.error()));
    return io::exit_code(written.error().kind);
  }
  return 0;
}

}  // namespace

}  // namespace aplomb::template_tool

int main(int argc, char** argv) {
  const bool check_only = argc == 4 && std::string(argv[3]) == "--check";
  if (argc != 3 && !check_only) {
    fmt::print(stderr,
               "usage: aplomb_template ANATOMY_FOLDER TEMPLATE_FOLDER [--check]\n"
               "Makes the template and writes it into TEMPLATE_FOLDER, or compares it with what is there.\n");
    return 2;
  }
  try {
    return aplomb::template_tool::run(argv[1], argv[2], check_only);
  } catch (const std::exception& error) {
    fmt::print(stderr, "{}\n", error.what());
    return 1;
  }
}
