// Six sides in one scale; the sign of what is large stands beside it as a number, so that nothing hangs on colour
// alone.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "residual_sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "aplomb/geometry/nearest.h"
#include "foot_frame.h"
#include "foot_layout.h"
#include "views.h"

namespace aplomb::report {

namespace {

using geometry::Vec3;

constexpr double patch_mm = 6, apart_mm = 28;
constexpr MarkStyle marks{.text = 19, .line = 2, .dot = 6};

std::vector<Vec3> normals_of(const geometry::TriMesh& mesh) {
  std::vector<Vec3> normals(mesh.vertices.size(), Vec3::Zero());
  for (const auto& [a, b, c] : mesh.faces) {
    const Vec3 n = (mesh.vertices[b] - mesh.vertices[a]).cross(mesh.vertices[c] - mesh.vertices[a]);
    for (const int v : {a, b, c}) normals[v] += n;
  }
  for (Vec3& n : normals) n.normalize();
  return normals;
}

/// Whether nothing of the mesh stands between `from` and someone looking along `forward`.
bool in_sight(const geometry::TriMesh& mesh, const Vec3& from, const Vec3& forward) {
  const Vec3 ray = -forward;
  for (const auto& [a, b, c] : mesh.faces) {
    // Moeller and Trumbore 1997.
    const Vec3 ab = mesh.vertices[b] - mesh.vertices[a], ac = mesh.vertices[c] - mesh.vertices[a], p = ray.cross(ac);
    const double det = ab.dot(p);
    if (std::abs(det) < 1e-12) continue;
    const Vec3 t = from - mesh.vertices[a];
    const double u = t.dot(p) / det;
    if (u < 0 || u > 1) continue;
    const Vec3 q = t.cross(ab);
    const double v = ray.dot(q) / det;
    if (v >= 0 && u + v <= 1 && ac.dot(q) / det > 0.5) return false;
  }
  return true;
}

View panel(const Rect& rect, const Vec3& forward, const Vec3& up, const Extent& extent) {
  constexpr double margin = 46;
  View view{Aspect::front, rect, {}, {}};
  view.camera.width_px = rect.w;
  view.camera.height_px = rect.h;
  view.camera.forward_S = forward;
  view.camera.up_S = up;
  view.camera = fitted(view.camera, extent, margin);
  return view;
}

void draw_patches(Canvas& canvas, const View& view, const Residuals& residuals, const std::vector<Patch>& patches) {
  constexpr std::size_t most = 4;
  constexpr double facing = 0.45;
  std::vector<Vec2> taken;
  for (const Patch& patch : patches) {
    if (taken.size() == most) break;
    if (patch.normal_F.dot(view.camera.forward_S) > -facing) continue;
    if (!in_sight(residuals.skin_F, patch.at_F, view.camera.forward_S)) continue;
    const Vec2 at = Vec2(view.rect.x, view.rect.y) + view.camera.project(patch.at_F);
    if (std::any_of(taken.begin(), taken.end(),
                    [&](const Vec2& t) { return std::abs(t.x() - at.x()) < 70 && std::abs(t.y() - at.y()) < 28; }))
      continue;
    taken.push_back(at);
    canvas.disc(at, 0.6 * marks.dot, theme.white, theme.ink, marks.line);
    const bool room = at.x() + 70 < view.rect.x + view.rect.w;
    canvas.text(at.x() + (room ? 10 : -10), at.y() - 11,
                fmt::format("{}{:.1f}", patch.gap_mm < 0 ? "\u2212" : "+", std::abs(patch.gap_mm)),
                {.size = marks.text, .bold = true, .align = room ? Align::left : Align::right, .halo = true});
  }
}

/// The bar with numbers in mm, and beside it how skin looks that the scan does not show.
void draw_bar(Canvas& canvas, const Rect& rect, double end_mm) {
  constexpr int slices = 120;
  const double w = rect.w / slices;
  for (int i = 0; i < slices; ++i)
    canvas.fill({rect.x + i * w, rect.y, w + 0.7, rect.h}, two_sided_colour(2 * (i + 0.5) / slices - 1));
  canvas.frame(rect, theme.quiet, 1);
  for (int i = -2; i <= 2; ++i) {
    const double x = rect.x + rect.w * (i + 2) / 4;
    canvas.line({{x, rect.y + rect.h}, {x, rect.y + rect.h + 7}}, theme.ink, 1.2);
    canvas.text(x, rect.y + rect.h + 9,
                fmt::format("{}{:.3g}{}",
                            i > 0   ? "+"
                            : i < 0 ? "\u2212"
                                    : "",
                            std::abs(i) * end_mm / 2, i == 0 ? " mm" : ""),
                {.size = 18, .align = Align::centre});
  }
  canvas.text(rect.x, rect.y - 25, "scan inside the skin", {.size = 17});
  canvas.text(rect.x + rect.w, rect.y - 25, "scan outside", {.size = 17, .align = Align::right});
  const Rect box{rect.x + rect.w + 46, rect.y, 44, rect.h};
  canvas.fill(box, {0.80, 0.79, 0.77});
  canvas.clip(box);
  for (double x = box.x - box.h; x < box.x + box.w; x += 11)
    canvas.line({{x, box.y}, {x + box.h, box.y + box.h}}, {0.30, 0.30, 0.30}, 1.8);
  canvas.unclip();
  canvas.frame(box, theme.quiet, 1);
  canvas.text(box.x + box.w + 10, box.y + 2, "not shown by the scan:", {.size = 17});
  canvas.text(box.x + box.w + 10, box.y + 24, "estimated", {.size = 17});
}

}  // namespace

double residual_scale_end_mm(const std::vector<double>& gap_mm) {
  std::vector<double> size;
  for (const double gap : gap_mm)
    if (std::isfinite(gap)) size.push_back(std::abs(gap));
  constexpr double ends[] = {0.5, 1, 2, 3, 5};
  if (size.empty()) return ends[0];
  const auto at = size.begin() + static_cast<std::ptrdiff_t>((size.size() - 1) * 98 / 100);
  std::nth_element(size.begin(), at, size.end());
  for (const double end : ends)
    if (*at <= end) return end;
  return ends[4];
}

std::vector<Patch> greatest_patches(const Residuals& residuals, double least_mm) {
  const std::vector<Vec3> normals = normals_of(residuals.skin_F);
  std::vector<Vec3> shown;
  std::vector<std::size_t> vertex;
  for (std::size_t v = 0; v < residuals.gap_mm.size(); ++v)
    if (std::isfinite(residuals.gap_mm[v])) shown.push_back(residuals.skin_F.vertices[v]), vertex.push_back(v);
  if (shown.empty()) return {};
  const geometry::NearestPoints tree(shown);
  std::vector<Patch> all;
  std::vector<geometry::Neighbour> near;
  for (std::size_t i = 0; i < shown.size(); ++i) {
    for (int count = 64;; count *= 4) {  // toes have ten times as many vertices to an area as the leg
      tree.nearest(shown[i], count, near);
      if (near.size() < static_cast<std::size_t>(count) || near.back().squared_distance > patch_mm * patch_mm) break;
    }
    double sum = 0, count = 0;
    for (const auto& n : near) {
      if (n.squared_distance > patch_mm * patch_mm || normals[vertex[n.index]].dot(normals[vertex[i]]) < 0.3) continue;
      sum += residuals.gap_mm[vertex[n.index]], count += 1;
    }
    if (std::abs(sum) >= least_mm * count) all.push_back({shown[i], normals[vertex[i]], sum / count});
  }
  std::stable_sort(all.begin(), all.end(),
                   [](const Patch& p, const Patch& q) { return std::abs(p.gap_mm) > std::abs(q.gap_mm); });
  std::vector<Patch> kept;
  for (const Patch& patch : all)
    if (std::none_of(kept.begin(), kept.end(), [&](const Patch& k) { return (k.at_F - patch.at_F).norm() < apart_mm; }))
      kept.push_back(patch);
  return kept;
}

io::Result<void> draw_residual_sheet(Canvas& canvas, const FootSheet& sheet,
                                     const std::filesystem::path& shader_folder) {
  const Residuals& residuals = *sheet.residuals;
  const bool left = sheet.portrait.side == foot::Side::left;
  const double medial = left ? -1 : 1;
  findings::Scene scene;
  scene.side = sheet.portrait.side;
  scene.skin = residuals.skin_F;
  for (const double gap : residuals.gap_mm) scene.pressure_kPa.push_back(std::isfinite(gap) ? gap : unseen_mm);
  DrawOptions draw;
  draw.map = SkinMap::residual;
  draw.scale_end_kPa = residual_scale_end_mm(residuals.gap_mm);

  constexpr double edge = foot_sheet_edge, top = 126, high = 470, low = 560, wide = 730, narrow = 420, gap = 20;
  const double second = top + high + gap;
  const Vec3 x = Vec3::UnitX(), y = medial * Vec3::UnitY(), z = Vec3::UnitZ();
  const Extent extent = extent_of(scene);
  const std::pair<const char*, View> panels[] = {
      {"From above", panel({edge, top, wide, high}, -z, -y, extent)},
      {"Sole, from below", panel({edge + wide + gap, top, wide, high}, z, y, extent)},
      {"From the front", panel({edge + 2 * (wide + gap), top, narrow, high}, -x, z, extent)},
      {"Inner side", panel({edge, second, wide, low - 20}, -y, z, extent)},
      {"Outer side", panel({edge + wide + gap, second, wide, low - 20}, y, z, extent)},
      {"From behind", panel({edge + 2 * (wide + gap), second, narrow, low - 20}, x, z, extent)}};
  double shared = 0;
  std::vector<View> views;
  for (const auto& [title, view] : panels) shared = std::max(shared, view.camera.mm_per_px), views.push_back(view);
  for (View& view : views) view.camera.mm_per_px = shared;
  if (auto rendered = render(views, scene, shader_folder, draw, 1); !rendered) return rendered;

  canvas.fill({0, 0, foot_sheet_width, foot_sheet_height}, theme.paper);
  draw_foot_heading(canvas, sheet.portrait.side, "Scan over the fitted skin", residuals.line);
  draw_bar(canvas, {1310, 62, 330, 26}, draw.scale_end_kPa);
  const std::vector<Patch> patches = greatest_patches(residuals, 0.4 * draw.scale_end_kPa);
  for (std::size_t i = 0; i < views.size(); ++i) {
    const Rect& r = views[i].rect;
    canvas.image(views[i].image, r);
    canvas.frame(r, theme.hairline, 1);
    canvas.text(r.x + 12, r.y + 10, panels[i].first, {.size = marks.text, .bold = true, .halo = true});
    draw_scale_bar(canvas, r.x + r.w - 16, r.y + 22, views[i].camera, marks);
    draw_patches(canvas, views[i], residuals, patches);
  }
  double y_px = second + low + 4;
  const double room = foot_sheet_height - 76 - y_px;
  std::vector<std::string> lines = residuals.notes;
  lines.insert(
      lines.begin(),
      fmt::format("Numbers on the skin: mm, means over patches of {:.0f} mm across, the greatest from each side"
                  "; none below {:.1f} mm. The colour ends at \u00b1{:.3g} mm; what lies farther off is drawn "
                  "as that.",
                  2 * patch_mm, 0.4 * draw.scale_end_kPa, draw.scale_end_kPa));
  TextStyle style{.size = 17, .width = foot_sheet_width - 2 * edge};
  const auto height = [&] {
    double sum = 0;
    for (const std::string& line : lines) sum += canvas.text_size(line, style).y() + 3;
    return sum;
  };
  while (style.size > 11 && height() > room) style.size -= 0.5;
  for (const std::string& line : lines) y_px += canvas.text(edge, y_px, line, style) + 3;
  draw_foot_cautions(canvas, sheet.version);
  return {};
}

}  // namespace aplomb::report
