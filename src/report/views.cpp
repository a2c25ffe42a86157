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

DrawOptions draw_options(double highest, const PictureOptions& options) {
  DrawOptions draw;
  draw.lines_kPa = options.lines_kPa;
  const bool given = options.scale_end_kPa && std::isfinite(*options.scale_end_kPa) && *options.scale_end_kPa > 0;
  draw.scale_end_kPa = given ? *options.scale_end_kPa : pressure_scale_end_kPa(highest);
  return draw;
}

/// Steps in a grid that leaves the right-hand column free.
Rect step_rect(std::size_t i, std::size_t count) {
  constexpr double gap = 12, room = 1270;
  const std::size_t columns = count <= 8 ? 4 : 5, rows = (count + columns - 1) / columns;
  const double w = (room - gap * static_cast<double>(columns - 1)) / static_cast<double>(columns);
  const double h = (stance_height - gap * static_cast<double>(rows - 1)) / static_cast<double>(rows);
  return {static_cast<double>(i % columns) * (w + gap), static_cast<double>(i / columns) * (h + gap), w, h};
}

/// Words stand in the upper part of a step's panel, the picture in the rest.
constexpr double step_words = 78;

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

io::Result<OneView> render_one(const findings::Scene& scene, const PictureOptions& options, const Rect& rect,
                               const std::optional<Camera>& camera) {
  constexpr double margin = 30;
  OneView one{view_in(Aspect::inner_side, scene.side, rect),
              draw_options(telling_peak_kPa(scene.pressure_kPa), options)};
  if (camera) {
    one.view.aspect.reset();
    one.view.camera.forward_S = camera->forward_S;
    one.view.camera.up_S = camera->up_S;
  }
  one.view.camera = fitted(one.view.camera, extent_of(scene), margin);
  std::vector<View> views = {std::move(one.view)};
  if (auto rendered = render(views, scene, options.shader_folder, one.draw, 1); !rendered)
    return tl::unexpected(rendered.error());
  one.view = std::move(views.front());
  return one;
}

io::Result<Stance> render_stance(const findings::Scene& scene, const PictureOptions& options) {
  constexpr double margin = 48;
  Stance stance;
  stance.draw = draw_options(telling_peak_kPa(scene.pressure_kPa), options);
  const Extent extent = extent_of(scene);
  stance.views = {view_in(Aspect::front, scene.side, {0, 0, 560, stance_height}),
                  view_in(Aspect::inner_side, scene.side, {580, 0, 690, stance_height}),
                  view_in(Aspect::below, scene.side, {1290, 0, 630, 410})};
  for (View& view : stance.views) view.camera = fitted(view.camera, extent, margin);
  // From below the box is what matters: toes on the platform, and how the ankle stands over it.
  if (!scene.shell.vertices.empty() && !scene.platform_outline.empty()) {
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

io::Result<Stance> render_steps(const std::vector<Step>& steps, const PictureOptions& options) {
  constexpr double margin = 10;
  Stance stance;
  stance.steps = steps;
  double highest = 0, scale = 0;
  for (const Step& step : steps) highest = std::max(highest, telling_peak_kPa(step.scene.pressure_kPa));
  stance.draw = draw_options(highest, options);
  for (std::size_t i = 0; i < steps.size(); ++i) {
    Rect rect = step_rect(i, steps.size());
    rect.y += step_words;
    rect.h -= step_words;
    View view = view_in(Aspect::inner_side, steps[i].scene.side, rect);
    view.camera = fitted(view.camera, extent_of(steps[i].scene), margin);
    scale = std::max(scale, view.camera.mm_per_px);
    stance.views.push_back(std::move(view));
  }
  for (std::size_t i = 0; i < steps.size(); ++i) {
    // All in one scale, and all on floors of one height.
    Camera& camera = stance.views[i].camera;
    camera.mm_per_px = scale;
    const double low = std::min(0.0, extent_of(steps[i].scene).low.z());
    camera.target_S.z() = low + scale * (camera.height_px / 2 - margin);
    std::vector<View> one{stance.views[i]};
    if (auto rendered = render(one, steps[i].scene, options.shader_folder, stance.draw, 1); !rendered)
      return tl::unexpected(rendered.error());
    stance.views[i] = std::move(one.front());
  }
  return stance;
}

namespace {

void draw_step(Canvas& canvas, const View& view, const Step& step, const MarkStyle& style) {
  const Rect whole{view.rect.x, view.rect.y - step_words, view.rect.w, view.rect.h + step_words};
  canvas.fill(whole, theme.panel);
  canvas.image(view.image, view.rect);
  const auto place = [&](const Vec3& p) -> Vec2 { return Vec2(view.rect.x, view.rect.y) + view.camera.project(p); };
  const double floor = place(Vec3::Zero()).y();
  canvas.line({{whole.x, floor}, {whole.x + whole.w, floor}}, theme.quiet, 0.7 * style.line);
  canvas.text(whole.x + 8, whole.y + 6, step.title, {.size = 0.85 * style.text, .bold = true});
  double y = whole.y + 6 + 1.25 * style.text;
  for (const std::string& line : step.lines)
    y += canvas.text(whole.x + 8, y, line, {.size = 0.72 * style.text, .colour = theme.quiet});
  if (const auto& cop = step.scene.centre_of_pressure) {
    const Vec2 at = place({cop->x(), cop->y(), 0});
    canvas.fill_polygon(
        {at + Vec2(0, -style.dot), at + Vec2(style.dot, 0), at + Vec2(0, style.dot), at + Vec2(-style.dot, 0)},
        theme.mark);
  }
  canvas.disc(place(step.scene.ankle_centre), 0.8 * style.dot, theme.white, theme.mark, style.line);
  canvas.frame(whole, theme.hairline, 0.5 * style.line);
}

}  // namespace

Rect draw_stance(Canvas& canvas, const Stance& stance, const findings::Scene& scene, const MarkStyle& style) {
  for (std::size_t i = 0; i < stance.steps.size(); ++i) draw_step(canvas, stance.views[i], stance.steps[i], style);
  for (const View& view : stance.views) {
    if (!stance.steps.empty()) break;
    draw_view(canvas, view, scene, style);
    draw_scale_bar(canvas, view.rect.x + view.rect.w - 0.8 * style.text, view.rect.y + 1.2 * style.text, view.camera,
                   style);
  }
  const Rect last = stance.steps.empty() ? stance.views.back().rect : Rect{1290, 0, 630, 0};
  if (!stance.steps.empty())
    draw_scale_bar(canvas, last.x + last.w - 0.8 * style.text, 0.8 * style.text, stance.views.front().camera, style);
  double y = last.y + last.h + style.text;
  y += draw_pressure_bar(canvas, {last.x, y, last.w, 0}, stance.draw, style) + 0.7 * style.text;
  y += draw_mark_legend(canvas, last.x + 0.6 * style.text, y, scene,
                        {0.9 * style.text, 0.9 * style.line, 0.9 * style.dot}) +
       0.5 * style.text;
  return {last.x, y, last.w, stance_height - y};
}

}  // namespace aplomb::report
