// Solid lines and boxes for what was measured, dashed lines and bare words for what is estimated: told apart without
// colour.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "dimension.h"

#include <algorithm>
#include <numeric>

namespace aplomb::report {

namespace {

constexpr double name_size = 14.5, value_size = 18.5, inset = 9, name_height = 19, value_height = 23,
                 remark_height = 18;
const std::vector<double> dashes = {7, 5};

const TextStyle name_style{.size = name_size, .colour = theme.quiet};
const TextStyle remark_style{.size = name_size, .bold = true, .colour = theme.alarm};
TextStyle value_style(const Tag& tag) { return {.size = value_size, .bold = tag.solid}; }

void arrowhead(Canvas& canvas, const Vec2& tip, const Vec2& from, bool solid) {
  constexpr double length = 13, half = 4.5;
  const Vec2 along = (tip - from).normalized(), across(-along.y(), along.x());
  const Vec2 a = tip - length * along + half * across, b = tip - length * along - half * across;
  if (solid)
    canvas.fill_polygon({tip, a, b}, theme.mark);
  else
    canvas.line({a, tip, b}, theme.mark, 1.6);
}

}  // namespace

Vec2 tag_size(Canvas& canvas, const Tag& tag) {
  const double name = canvas.text_size(tag.name, name_style).x(),
               value = canvas.text_size(tag.value, value_style(tag)).x();
  return {std::max(name, value) + 2 * inset, name_height + value_height + 6 + (tag.remark.empty() ? 0 : remark_height)};
}

void draw(Canvas& canvas, const Tag& tag) {
  if (tag.solid) {
    canvas.fill(tag.rect, theme.white, 5);
    canvas.frame(tag.rect, theme.mark, 1.8, 5);
  } else {
    canvas.fill(tag.rect, theme.panel, 5);
  }
  const double middle = tag.rect.x + tag.rect.w / 2;
  double y = tag.rect.y + 3;
  const auto line = [&](const std::string& words, TextStyle style, double height) {
    style.align = Align::centre;
    canvas.text(middle, y, words, style);
    y += height;
  };
  line(tag.name, name_style, name_height);
  line(tag.value, value_style(tag), value_height);
  line(tag.remark, remark_style, remark_height);
}

void draw(Canvas& canvas, const Stroke& stroke) {
  if (stroke.points.size() < 2) return;
  const std::vector<double> pattern = stroke.solid ? std::vector<double>{} : dashes;
  switch (stroke.kind) {
    case Stroke::Kind::extension:
      canvas.line(stroke.points, theme.quiet, 0.9);
      canvas.disc(stroke.points.front(), 3, theme.white, theme.mark, 1.2);
      return;
    case Stroke::Kind::leader:
      canvas.line(stroke.points, theme.quiet, 1);
      return;
    case Stroke::Kind::tape:
      canvas.line(stroke.points, theme.white, 6.5);
      canvas.line(stroke.points, theme.mark, 3, false, pattern);
      return;
    case Stroke::Kind::ray:
      canvas.line(stroke.points, theme.white, 4);
      canvas.line(stroke.points, theme.mark, 1.6, false, pattern);
      return;
    case Stroke::Kind::dimension:
      break;
  }
  canvas.line(stroke.points, theme.white, 4.5);
  canvas.line(stroke.points, theme.mark, 1.8, false, pattern);
  const std::size_t n = stroke.points.size();
  arrowhead(canvas, stroke.points[0], stroke.points[1], stroke.solid);
  arrowhead(canvas, stroke.points[n - 1], stroke.points[n - 2], stroke.solid);
}

std::vector<double> spread(const std::vector<double>& wished, const std::vector<double>& sizes, double low, double high,
                           double gap) {
  std::vector<std::size_t> order(wished.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return wished[a] < wished[b]; });
  const double total = std::accumulate(sizes.begin(), sizes.end(), 0.0);
  if (wished.size() > 1) gap = std::min(gap, (high - low - total) / static_cast<double>(wished.size() - 1));
  std::vector<double> middle = wished;
  // Pushed toward the high end where they would touch, then back from it.
  double edge = low;
  for (const std::size_t i : order) {
    middle[i] = std::max(wished[i], edge + sizes[i] / 2);
    edge = middle[i] + sizes[i] / 2 + gap;
  }
  edge = high;
  for (auto at = order.rbegin(); at != order.rend(); ++at) {
    middle[*at] = std::min(middle[*at], edge - sizes[*at] / 2);
    edge = middle[*at] - sizes[*at] / 2 - gap;
  }
  return middle;
}

}  // namespace aplomb::report
