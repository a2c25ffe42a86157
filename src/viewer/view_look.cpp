// What the renderer is told of how the scene is looked at.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "slices.h"
#include "view_parts.h"

namespace aplomb::viewer {

using geometry::Vec3;

namespace {

report::CutPlane toward_eye(const report::Camera& camera) {
  // From the side half of the box goes, from below the platform does.
  const Vec3 inside(0, 0, 12);
  return {-camera.forward_S, -camera.forward_S.dot(inside)};
}

std::optional<report::CutPlane> cut_plane(const Look& look, const findings::Scene& scene,
                                          const report::Camera& camera) {
  if (look.box != BoxLook::cut_away) return std::nullopt;
  if (look.slice == SliceAxis::none) return toward_eye(camera);
  const Slice slice = plane_of(scene, look.slice, look.slice_mm, look.slice_tilt_deg);
  const Vec3 normal = slice.normal.dot(camera.forward_S) < 0 ? slice.normal : Vec3(-slice.normal);
  return report::CutPlane{normal, normal.dot(slice.origin)};
}

}  // namespace

report::DrawOptions draw_options(const Look& look, const findings::Scene& scene, const report::Camera& camera,
                                 double scale_end) {
  report::DrawOptions options;
  options.scale_end_kPa = scale_end;
  if (look.skin == SkinLook::gap) options.map = report::SkinMap::gap;
  if (look.skin == SkinLook::difference) options.map = report::SkinMap::difference;
  if (look.skin == SkinLook::pressure && look.lines && !look.client) options.lines_kPa = limit_lines_kPa;
  options.bones = look.bones;
  options.upper = look.upper;
  options.sole = look.sole;
  options.shell = look.box == BoxLook::hidden     ? report::ShellLook::hidden
                  : look.box == BoxLook::cut_away ? report::ShellLook::cut_away
                                                  : report::ShellLook::see_through;
  options.cut = cut_plane(look, scene, camera);
  return options;
}

}  // namespace aplomb::viewer
