// Layout of views and their pixels.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "views.h"

#include <algorithm>
#include <cmath>

#include "offscreen.h"

namespace aplomb::report {

namespace {

View view_in(Aspect aspect, foot::Side side, const Rect& rect) {
  View view{aspect, rect, camera_for(aspect, side), {}};
  view.camera.width_px = rect.w;
  view.camera.height_px = rect.h;
  return view;
}

}  // namespace

io::Result<void> render(std::vector<View>& views, const findings::Scene& scene,
                        const std::filesystem::path& shader_folder, const DrawOptions& options, double pixel_ratio) {
  const auto offscreen = Offscreen::open();
  if (!offscreen) return tl::unexpected(offscreen.error());
  auto renderer = SceneRenderer::make(shader_folder);
  if (!renderer) return tl::unexpected(renderer.error());
  if (auto uploaded = renderer->set_scene(scene); !uploaded) return uploaded;
  for (View& view : views) {
    auto image = offscreen->render(static_cast<int>(std::lround(view.rect.w * pixel_ratio)),
                                   static_cast<int>(std::lround(view.rect.h * pixel_ratio)), theme.panel,
                                   [&] { renderer->draw(view.camera, options); });
    if (!image) return tl::unexpected(image.error());
    view.image = std::move(*image);
  }
  return {};
}

io::Result<Stance> render_stance(const findings::Scene& scene, const PictureOptions& options) {
  constexpr double margin = 48;
  const auto highest = std::max_element(scene.pressure_kPa.begin(), scene.pressure_kPa.end());
  Stance stance;
  stance.draw.lines_kPa = options.lines_kPa;
  stance.draw.scale_end_kPa =
      options.scale_end_kPa && std::isfinite(*options.scale_end_kPa) && *options.scale_end_kPa > 0
          ? *options.scale_end_kPa
          : pressure_scale_end_kPa(highest == scene.pressure_kPa.end() ? 0 : *highest);
  const Extent extent = extent_of(scene);
  stance.views = {view_in(Aspect::front, scene.side, {0, 0, 560, stance_height}),
                  view_in(Aspect::inner_side, scene.side, {580, 0, 690, stance_height}),
                  view_in(Aspect::below, scene.side, {1290, 0, 630, 410})};
  for (View& view : stance.views) view.camera = fitted(view.camera, extent, margin);
  // From below the box is what matters: toes on the platform, and how the ankle stands over it.
  if (!scene.shell.vertices.empty()) {
    Extent box = extent_of(scene.shell.vertices);
    box.low = box.low.cwiseMin(scene.ankle_centre - Vec3(3, 3, 0));
    box.high = box.high.cwiseMax(scene.ankle_centre + Vec3(3, 3, 0));
    stance.views.back().camera = fitted(stance.views.back().camera, box, margin);
    stance.views.back().camera.depth_mm = 2 * (extent.high - extent.low).norm() + 10;
  }
  const double shared = std::max(stance.views[0].camera.mm_per_px, stance.views[1].camera.mm_per_px);
  for (View* view : {&stance.views[0], &stance.views[1]}) view->camera.mm_per_px = shared;
  if (auto rendered = render(stance.views, scene, options.shader_folder, stance.draw, 1); !rendered)
    return tl::unexpected(rendered.error());
  return stance;
}

Rect draw_stance(Canvas& canvas, const Stance& stance, const findings::Scene& scene, const MarkStyle& style) {
  for (const View& view : stance.views) {
    draw_view(canvas, view, scene, style);
    draw_scale_bar(canvas, view.rect.x + view.rect.w - 0.8 * style.text, view.rect.y + 1.2 * style.text, view.camera,
                   style);
  }
  const Rect& last = stance.views.back().rect;
  double y = last.y + last.h + style.text;
  y += draw_pressure_bar(canvas, {last.x, y, last.w, 0}, stance.draw, style) + 0.7 * style.text;
  y += draw_mark_legend(canvas, last.x + 0.6 * style.text, y, scene,
                        {0.9 * style.text, 0.9 * style.line, 0.9 * style.dot}) +
       0.5 * style.text;
  return {last.x, y, last.w, stance_height - y};
}

}  // namespace aplomb::report
