// Marks over the views: floor, platform, load line, points and their names, scale bar, legend, colour bar.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "views.h"

namespace aplomb::report {

namespace {

/// A point of S in canvas units of its view.
struct Placer {
  const View& view;
  Vec2 operator()(const Vec3& p_S) const {
    const Vec2 p = view.camera.project(p_S);
    return {view.rect.x + p.x(), view.rect.y + p.y()};
  }
};

void draw_cross(Canvas& canvas, const Vec2& at, double arm, const MarkStyle& style) {
  for (const auto& [colour, width] : {std::pair(theme.paper, 2.2 * style.line), std::pair(theme.ink, style.line)}) {
    canvas.line({at - Vec2(arm, 0), at + Vec2(arm, 0)}, colour, width);
    canvas.line({at - Vec2(0, arm), at + Vec2(0, arm)}, colour, width);
  }
}

void draw_diamond(Canvas& canvas, const Vec2& at, double arm, const MarkStyle& style) {
  const std::vector<Vec2> corners = {at + Vec2(0, -arm), at + Vec2(arm, 0), at + Vec2(0, arm), at + Vec2(-arm, 0)};
  canvas.fill_polygon(corners, theme.mark);
  canvas.line(corners, theme.white, 0.8 * style.line, true);
}

void draw_ankle(Canvas& canvas, const Vec2& at, const MarkStyle& style) {
  canvas.disc(at, style.dot * 1.2, theme.white, theme.mark, 1.4 * style.line);
  canvas.disc(at, style.dot * 0.3, theme.mark, theme.mark, 0);
}

void draw_break(Canvas& canvas, const Vec2& at, const MarkStyle& style) {
  const double arm = 1.5 * style.dot;
  const std::vector<Vec2> corners = {at + Vec2(0, -arm), at + Vec2(0.9 * arm, 0.7 * arm),
                                     at + Vec2(-0.9 * arm, 0.7 * arm)};
  canvas.fill_polygon(corners, theme.ink);
  canvas.line(corners, theme.white, 0.8 * style.line, true);
}

void draw_arch(Canvas& canvas, const Vec2& at, const MarkStyle& style) {
  canvas.disc(at, 0.75 * style.dot, theme.white, theme.ink, style.line);
}

void draw_load_line(Canvas& canvas, const Vec2& from, const Vec2& to, const MarkStyle& style) {
  const double head = 2.2 * style.dot;
  canvas.line({from, to}, theme.paper, 2.4 * style.line);
  canvas.line({from, to - Vec2(0, head)}, theme.mark, 1.2 * style.line, false, {5 * style.line, 3 * style.line});
  canvas.fill_polygon({to, to + Vec2(-0.4 * head, -head), to + Vec2(0.4 * head, -head)}, theme.mark);
}

/// A name beside a point.
struct Label {
  Vec2 at;
  std::string words;
};

/// Names in a column beside the foot with a thin line to each point, moved apart where they would touch.
void draw_labels(Canvas& canvas, std::vector<Label> labels, double column_x, bool column_is_right,
                 const MarkStyle& style) {
  std::sort(labels.begin(), labels.end(), [](const Label& p, const Label& q) { return p.at.y() < q.at.y(); });
  const double step = 1.35 * style.text;
  std::vector<double> y;
  for (const Label& label : labels) y.push_back(y.empty() ? label.at.y() : std::max(label.at.y(), y.back() + step));
  // What was pushed down is centred again on its points.
  double pushed = 0;
  for (std::size_t i = 0; i < labels.size(); ++i)
    pushed += (y[i] - labels[i].at.y()) / static_cast<double>(labels.size());
  const double toward = column_is_right ? 1 : -1;
  for (std::size_t i = 0; i < labels.size(); ++i) {
    const double middle = y[i] - pushed;
    canvas.line({labels[i].at + Vec2(toward * 1.3 * style.dot, 0), Vec2(column_x - toward * 0.3 * style.text, middle)},
                theme.quiet, 0.5 * style.line);
    canvas.text(column_x, middle - 0.6 * style.text, labels[i].words,
                {.size = style.text, .align = column_is_right ? Align::left : Align::right, .halo = true});
  }
}

std::string title_of(const View& view, foot::Side side) {
  const std::string foot = side == foot::Side::left ? "LEFT" : "RIGHT";
  if (!view.aspect) return foot;
  switch (*view.aspect) {
    case Aspect::front:
      return foot + " from the front";
    case Aspect::inner_side:
      return foot + " from the inner side";
    case Aspect::outer_side:
      return foot + " from the outer side";
    case Aspect::below:
      return foot + " from below";
    case Aspect::above:
      return foot + " from above";
  }
  return foot;
}

/// Which way the two edges of the view lie: {left, right}.
std::pair<std::string, std::string> edge_words(const View& view, const findings::Scene& scene) {
  const Vec3 right = view.camera.right_S();
  const double medial = scene.side == foot::Side::left ? -1 : 1;
  if (std::abs(right.y()) > 0.5) {
    const bool inner_right = right.y() * medial > 0;
    return inner_right ? std::pair("outer side", "inner side") : std::pair("inner side", "outer side");
  }
  const char* behind = scene.platform_outline.empty() ? "heel" : "sole";
  const char* ahead = scene.platform_outline.empty() ? "toes" : "front";
  return right.x() > 0 ? std::pair(behind, ahead) : std::pair(ahead, behind);
}

}  // namespace

void draw_scale_bar(Canvas& canvas, double right, double y, const Camera& camera, const MarkStyle& style) {
  const double length_mm = 50 / camera.mm_per_px > 0.4 * camera.width_px ? 20 : 50;
  const double left = right - length_mm / camera.mm_per_px, tick = 0.25 * style.text;
  canvas.line({{left, y - tick}, {left, y + tick}}, theme.ink, style.line);
  canvas.line({{left, y}, {right, y}}, theme.ink, style.line);
  canvas.line({{right, y - tick}, {right, y + tick}}, theme.ink, style.line);
  canvas.text(left - 0.5 * style.text, y - 0.55 * style.text, fmt::format("{:.0f} mm", length_mm),
              {.size = 0.9 * style.text, .align = Align::right, .halo = true});
}

void draw_view(Canvas& canvas, const View& view, const findings::Scene& scene, const MarkStyle& style) {
  const Rect& r = view.rect;
  const Placer place{view};
  canvas.image(view.image, r);
  canvas.clip(r);
  const bool level = std::abs(view.camera.forward_S.z()) < 0.5;
  const Vec3 foot_point(scene.ankle_centre.x(), scene.ankle_centre.y(), 0);

  if (level) {
    const double floor = place(Vec3::Zero()).y();
    canvas.line({{r.x, floor}, {r.x + r.w, floor}}, theme.quiet, 0.7 * style.line);
    canvas.text(r.x + r.w - 0.6 * style.text, floor - 1.25 * style.text, "floor",
                {.size = 0.85 * style.text, .colour = theme.quiet, .align = Align::right});
  }
  std::vector<Vec2> outline;
  for (const Vec2& p : scene.platform_outline) outline.push_back(place({p.x(), p.y(), 0}));
  if (!outline.empty()) {
    if (!level) canvas.line(outline, theme.paper, 2.4 * style.line, true);
    canvas.line(outline, theme.ink, (level ? 2.6 : 1.3) * style.line, true);
  }
  if (level) draw_load_line(canvas, place(scene.ankle_centre), place(foot_point), style);
  if (!outline.empty()) draw_cross(canvas, place(Vec3::Zero()), 1.6 * style.dot, style);
  if (const auto& cop = scene.centre_of_pressure)
    draw_diamond(canvas, place({cop->x(), cop->y(), 0}), 1.35 * style.dot, style);
  draw_ankle(canvas, place(scene.ankle_centre), style);

  if (view.aspect == Aspect::inner_side || view.aspect == Aspect::outer_side) {
    std::vector<Label> labels;
    const auto add = [&](const std::optional<Vec3>& p, const char* words, auto&& draw) {
      if (!p) return;
      draw(canvas, place(*p), style);
      labels.push_back({place(*p), words});
    };
    add(scene.arch_front, "arch, front", draw_arch);
    add(scene.arch_apex, "arch, top", draw_arch);
    add(scene.arch_back, "arch, back", draw_arch);
    add(scene.break_point, "break", draw_break);
    const bool sole_is_right = view.camera.right_S().x() < 0;
    // A column clear of everything on the sole's side, if the panel has room for it.
    const Extent extent = extent_of(scene);
    const double edge =
        sole_is_right ? place(extent.low).x() : place(Vec3(extent.low.x(), extent.high.y(), extent.low.z())).x();
    const double room = 5.6 * style.text;
    const double column = sole_is_right ? std::min(edge + 0.8 * style.text, r.x + r.w - room)
                                        : std::max(edge - 0.8 * style.text, r.x + room);
    draw_labels(canvas, labels, column, sole_is_right, style);
  }

  const auto [left, right] = edge_words(view, scene);
  const double low = r.y + r.h - 1.7 * style.text;
  canvas.text(r.x + 0.6 * style.text, low, left, {.size = 0.9 * style.text, .colour = theme.quiet, .halo = true});
  canvas.text(r.x + r.w - 0.6 * style.text, low, right,
              {.size = 0.9 * style.text, .colour = theme.quiet, .align = Align::right, .halo = true});
  if (!level)
    canvas.text(r.x + r.w / 2, r.y + r.h - 1.7 * style.text, scene.platform_outline.empty() ? "heel" : "sole",
                {.size = 0.9 * style.text, .colour = theme.quiet, .align = Align::centre, .halo = true});
  canvas.text(r.x + 0.6 * style.text, r.y + 0.5 * style.text, title_of(view, scene.side),
              {.size = style.text, .bold = true, .halo = true});
  canvas.unclip();
  canvas.frame(r, theme.hairline, 0.5 * style.line);
}

double draw_mark_legend(Canvas& canvas, double x, double y, const findings::Scene& scene, const MarkStyle& style) {
  const double step = 1.5 * style.text, column = x + 1.1 * style.text;
  double line = y, widest = 0;
  const auto row = [&](const char* words, auto&& draw) {
    draw(Vec2(x, line + 0.62 * style.text));
    canvas.text(column, line, words, {.size = style.text});
    widest = std::max(widest, canvas.text_size(words, {.size = style.text}).x());
    line += step;
  };
  row("ankle centre; dashed: its plumb line", [&](const Vec2& p) { draw_ankle(canvas, p, style); });
  if (scene.centre_of_pressure)
    row("centre of pressure", [&](const Vec2& p) { draw_diamond(canvas, p, 1.35 * style.dot, style); });
  if (!scene.platform_outline.empty())
    row("platform's centre; outline: its edge", [&](const Vec2& p) { draw_cross(canvas, p, 1.3 * style.dot, style); });
  if (scene.break_point) row("break of the shank", [&](const Vec2& p) { draw_break(canvas, p, style); });

  const double tints = column + widest + 1.6 * style.text, swatch = style.text;
  double at = y;
  for (const auto& [words, tint] : {std::pair("box", box_tint), {"shank, sole", sole_tint}, {"fabric", upper_tint}}) {
    const Rect square{tints, at + 0.12 * style.text, swatch, swatch};
    canvas.fill(square, tint);
    canvas.frame(square, theme.quiet, 0.5 * style.line);
    canvas.text(tints + 1.5 * swatch, at, words, {.size = style.text});
    at += step;
  }
  return std::max(line, at) - y;
}

double draw_pressure_bar(Canvas& canvas, const Rect& rect, const DrawOptions& options, const MarkStyle& style) {
  canvas.text(rect.x, rect.y, "Pressure on the skin, kPa", {.size = style.text, .bold = true});
  const double top = rect.y + 1.6 * style.text, height = 1.1 * style.text, swatch = 1.1 * style.text,
               gap = 3.6 * style.text;
  const Rect bare{rect.x, top, swatch, height},
      bar{rect.x + swatch + gap, top, rect.w - swatch - gap - style.text, height};
  canvas.fill(bare, bare_skin);
  canvas.frame(bare, theme.quiet, 0.5 * style.line);
  canvas.text(bare.x + swatch + 0.35 * style.text, top - 0.02 * style.text, "none", {.size = style.text});
  canvas.ramp(bar);
  canvas.frame(bar, theme.quiet, 0.5 * style.line);
  const double step = pressure_scale_step_kPa(options.scale_end_kPa);
  const double numbers = top + height + 0.45 * style.text;
  for (int i = 0; i * step <= options.scale_end_kPa * (1 + 1e-9); ++i) {
    const double x = bar.x + bar.w * i * step / options.scale_end_kPa;
    canvas.line({{x, top + height}, {x, top + height + 0.35 * style.text}}, theme.ink, 0.6 * style.line);
    canvas.text(x, numbers, fmt::format("{:.6g}", i * step), {.size = 0.95 * style.text, .align = Align::centre});
  }
  double used = numbers + 1.3 * style.text - rect.y;
  std::vector<std::string> lines;
  for (const double kPa : options.lines_kPa) {
    if (kPa <= 0 || kPa >= options.scale_end_kPa) continue;
    const double x = bar.x + bar.w * kPa / options.scale_end_kPa;
    canvas.line({{x, top}, {x, top + height}}, theme.ink, 0.7 * style.line);
    lines.push_back(fmt::format("{:.6g}", kPa));
  }
  if (!lines.empty()) {
    canvas.text(rect.x, rect.y + used, fmt::format("Thin lines: {} kPa; not safety limits", fmt::join(lines, ", ")),
                {.size = 0.85 * style.text, .colour = theme.quiet});
    used += 1.2 * style.text;
  }
  return used;
}

}  // namespace aplomb::report
