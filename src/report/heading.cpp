// Heading of pictures and pages.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "heading.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <filesystem>

#include "aplomb/report/json.h"
#include "aplomb/report/rows.h"
#include "quantity.h"

namespace aplomb::report {

void draw_heading(Canvas& canvas, const Rect& rect, const findings::Findings& f, double scale) {
  const std::string side = f.side == foot::Side::left ? "LEFT" : "RIGHT";
  const TextStyle badge{.size = 40 * scale, .bold = true, .colour = theme.white};
  const Vec2 size = canvas.text_size(side, badge);
  const Rect box{rect.x, rect.y, size.x() + 44 * scale, 76 * scale};
  canvas.fill(box, theme.ink, 8 * scale);
  canvas.text(box.x + 22 * scale, box.y + (box.h - size.y()) / 2, side, badge);

  std::string position = position_words(f.position);
  if (!position.empty()) position[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(position[0])));
  const double x = box.x + box.w + 22 * scale;
  canvas.text(x, rect.y - 4 * scale, position, {.size = 36 * scale, .bold = true});
  const std::string who = f.mass_kg ? fmt::format(" (dancer of {})", text(*f.mass_kg, kg)) : "";
  const auto name = [](const std::string& path) { return std::filesystem::path(path).filename().string(); };
  const std::string line = fmt::format("{} in {}  \u00b7  {}{} on this foot{}  \u00b7  friction {}  \u00b7  {}",
                                       name(f.foot_name), name(f.shoe_name), f.position == "all" ? "up to " : "",
                                       text(f.load_N, newton), who, text(f.friction, coefficient), outcome(f));
  // Long file names make the line smaller, and in the end shorter.
  TextStyle style{.size = 22 * scale, .colour = theme.quiet};
  const double room = rect.x + rect.w - x;
  const double fit = 0.99 * room / canvas.text_size(line, style).x();
  style.size *= std::clamp(fit, 0.7, 1.0);
  if (fit < 0.7) {
    style.width = room;
    style.height = style.size;
  }
  canvas.text(x, rect.y + 45 * scale, line, style);
  if (!f.goes_in)
    canvas.text(rect.x + rect.w, rect.y + 4 * scale, "DOES NOT GO IN",
                {.size = 30 * scale, .bold = true, .colour = theme.alarm, .align = Align::right});
}

io::Result<void> check_drawable(const findings::Scene& scene, const findings::Findings& f) {
  if (!f.converged)
    return io::fail({.kind = io::ErrorKind::not_converged,
                     .message = fmt::format("{}: there is no map to draw", outcome(f)),
                     .remedy = "look at the shoe's and the foot's numbers"});
  if (auto finite = check_finite(f); !finite) return finite;
  if (scene.skin.vertices.empty() || scene.skin.faces.empty())
    return io::fail(
        {.field = "skin", .message = "there is no skin to draw", .remedy = "please report it with the files given"});
  if (scene.side != f.side)
    return io::fail({.field = "side",
                     .message = "findings and scene are of different feet",
                     .remedy = "please report it with the files given"});
  bool finite = (!scene.centre_of_pressure || scene.centre_of_pressure->allFinite()) && scene.ankle_centre.allFinite();
  for (const auto& p : scene.platform_outline) finite = finite && p.allFinite();
  for (const auto& p : {scene.break_point, scene.arch_front, scene.arch_apex, scene.arch_back})
    finite = finite && (!p || p->allFinite());
  if (!finite)
    return io::fail({.kind = io::ErrorKind::not_converged,
                     .field = "scene",
                     .message = "a point to mark in the picture is not finite",
                     .remedy = "please report it with the files given"});
  return {};
}

}  // namespace aplomb::report
