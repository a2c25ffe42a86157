// Marks are told apart by shape: diamond, ring, triangle, small rings, dashes.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "marks.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "aplomb/report/colour.h"

namespace aplomb::viewer {

using geometry::Vec3;

namespace {

constexpr ImU32 label_ground = IM_COL32(251, 250, 248, 215);

/// Words beside marks, drawn after all lines so that none runs through them; kept clear of bar and edges.
class Labels {
 public:
  Labels(Ui& ui, ImDrawList& draw, const ViewRect& rect) : ui_(ui), draw_(draw), rect_(rect) {}

  void add(const ImVec2& at, const std::string& words, const char* id, bool to_left = false) {
    all_.push_back({at, words, id, to_left});
  }
  void draw() {
    for (const One& one : all_) draw(one);
  }

 private:
  struct One {
    ImVec2 at;
    std::string words;
    const char* id;
    bool to_left;
  };

  void draw(const One& one) {
    ImFont* font = ui_.theme.small;
    const ImVec2 size = font->CalcTextSizeA(font->FontSize, 1e9f, 0, one.words.c_str());
    const float beside = ui_.theme.px(10), left = one.at.x - beside - size.x, right = one.at.x + beside;
    const float bar = rect_.x + rect_.w - ui_.theme.px(76);
    const bool to_left = (one.to_left || right + size.x > bar) && left > rect_.x;
    const ImVec2 low{to_left ? left : right, one.at.y - 0.5f * size.y};
    draw_.AddRectFilled({low.x - 3, low.y - 1}, {low.x + size.x + 3, low.y + size.y + 1}, label_ground, 3);
    draw_.AddText(font, font->FontSize, low, ink::text, one.words.c_str());
    ui_.note({.id = one.id, .kind = "mark", .x = one.at.x, .y = one.at.y, .w = 1, .h = 1, .text = one.words});
  }

  Ui& ui_;
  ImDrawList& draw_;
  ViewRect rect_;
  std::vector<One> all_;
};

/// Words that stand over the picture, on a ground of their own.
void chip(ImDrawList& draw, ImFont* font, const ImVec2& at, ImU32 colour, const std::string& words) {
  if (words.empty()) return;
  const ImVec2 size = font->CalcTextSizeA(font->FontSize, 1e9f, 0, words.c_str());
  draw.AddRectFilled({at.x - 3, at.y - 1}, {at.x + size.x + 3, at.y + size.y + 1}, label_ground, 3);
  draw.AddText(font, font->FontSize, at, colour, words.c_str());
}

void dashes(ImDrawList& draw, const ImVec2& from, const ImVec2& to, ImU32 colour, float width, float dash) {
  const ImVec2 d{to.x - from.x, to.y - from.y};
  const float length = std::hypot(d.x, d.y);
  draw.AddLine(from, to, IM_COL32(251, 250, 248, 170), width + 2);
  for (float s = 0; s < length; s += 1.7f * dash) {
    const float e = std::min(length, s + dash);
    draw.AddLine({from.x + d.x * s / length, from.y + d.y * s / length},
                 {from.x + d.x * e / length, from.y + d.y * e / length}, colour, width);
  }
}

void draw_platform(ImDrawList& draw, const Place& place, const findings::Scene& scene) {
  std::vector<ImVec2> outline;
  for (const geometry::Vec2& p : scene.platform_outline) outline.push_back(place({p.x(), p.y(), 0}));
  if (outline.size() > 2)
    draw.AddPolyline(outline.data(), static_cast<int>(outline.size()), IM_COL32(13, 71, 107, 200), ImDrawFlags_Closed,
                     1.5f);
}

/// Two plumb-bob lines: of the load through the centre of pressure, and of the ankle down to the floor.
void draw_load(const Ui& ui, Labels& labels, ImDrawList& draw, const Place& place, const findings::Scene& scene) {
  const float size = ui.theme.px(6);
  const Vec3& ankle = scene.ankle_centre;
  const ImVec2 top = place(ankle), foot = place({ankle.x(), ankle.y(), 0});
  draw.AddLine(top, foot, IM_COL32(98, 101, 106, 200), 1.2f);
  draw.AddLine({foot.x - size, foot.y}, {foot.x + size, foot.y}, ink::quiet, 1.2f);
  if (const auto& cop = scene.centre_of_pressure) {
    const Vec3 low(cop->x(), cop->y(), 0), high(cop->x(), cop->y(), ankle.z());
    const ImVec2 at = place(low);
    dashes(draw, place(high), at, ink::mark, 2, ui.theme.px(7));
    draw.AddQuadFilled({at.x, at.y - size}, {at.x + size, at.y}, {at.x, at.y + size}, {at.x - size, at.y}, ink::mark);
    draw.AddQuad({at.x, at.y - size}, {at.x + size, at.y}, {at.x, at.y + size}, {at.x - size, at.y}, ink::white, 1.2f);
    labels.add({at.x + size, at.y + ui.theme.px(12)}, "centre of pressure", "mark.centre_of_pressure");
  }
  draw.AddCircleFilled(top, size, ink::white);
  draw.AddCircle(top, size, ink::mark, 0, 2);
  draw.AddCircleFilled(top, 2, ink::mark);
  labels.add(top, "ankle, plumb line", "mark.ankle");
}

void draw_break(const Ui& ui, Labels& labels, ImDrawList& draw, const Place& place, const findings::Scene& scene) {
  const float size = ui.theme.px(5);
  const std::tuple<const std::optional<Vec3>*, const char*, const char*> arch[] = {
      {&scene.arch_front, "arch front", "mark.arch_front"},
      {&scene.arch_apex, "arch top", "mark.arch_apex"},
      {&scene.arch_back, "arch back", "mark.arch_back"}};
  for (const auto& [point, words, id] : arch) {
    if (!*point) continue;
    const ImVec2 at = place(**point);
    draw.AddCircleFilled(at, size, ink::white);
    draw.AddCircle(at, size, ink::text, 0, 1.5f);
    labels.add(at, words, id);
  }
  if (!scene.break_point) return;
  const ImVec2 at = place(*scene.break_point);
  const ImVec2 corners[3] = {
      {at.x, at.y - 1.5f * size}, {at.x + 1.4f * size, at.y + size}, {at.x - 1.4f * size, at.y + size}};
  draw.AddTriangleFilled(corners[0], corners[1], corners[2], ink::text);
  draw.AddTriangle(corners[0], corners[1], corners[2], ink::white, 1.2f);
  labels.add(at, "shank breaks here", "mark.break_point", true);
}

/// What lies at the left and the right edge.
std::pair<const char*, const char*> edge_words(const Place& place, const findings::Scene& scene) {
  const Vec3 right = place.camera.right_S();
  const double medial = scene.side == foot::Side::left ? -1 : 1;
  if (std::abs(right.y()) > 0.7)
    return right.y() * medial > 0 ? std::pair("outer side", "inner side") : std::pair("inner side", "outer side");
  if (std::abs(right.x()) < 0.3) return {"", ""};
  return right.x() > 0 ? std::pair("back", "front") : std::pair("front", "back");
}

}  // namespace

void draw_marks(Ui& ui, ImDrawList& draw, const Place& place, const findings::Scene& scene) {
  draw_platform(draw, place, scene);
  Labels labels(ui, draw, place.rect);
  draw_break(ui, labels, draw, place, scene);
  draw_load(ui, labels, draw, place, scene);
  labels.draw();
}

void draw_bar(Ui& ui, ImDrawList& draw, const ViewRect& rect, const BarWords& words) {
  const Theme& theme = ui.theme;
  const float width = theme.px(14), top = rect.y + theme.px(36), x = rect.x + rect.w - theme.px(16) - width;
  const float height = std::min(theme.px(260), rect.h - theme.px(130));
  if (height < theme.px(60)) return;
  constexpr int bands = 128;
  const auto at = [&](double value) {
    return top + height * static_cast<float>((words.high - value) / (words.high - words.low));
  };
  for (int k = 0; k < bands; ++k) {
    const double f = (k + 0.5) / bands;
    const report::Colour c = words.two_sided ? report::two_sided_colour(1 - 2 * f) : report::pressure_colour(1 - f);
    const auto byte = [](double part) { return static_cast<int>(std::lround(255 * part)); };
    draw.AddRectFilled({x, top + height * k / bands}, {x + width, top + height * (k + 1) / bands + 0.5f},
                       IM_COL32(byte(c.r), byte(c.g), byte(c.b), 255));
  }
  draw.AddRect({x, top}, {x + width, top + height}, ink::line);
  ImFont* font = theme.small;
  for (double value = std::ceil(words.low / words.step - 1e-9) * words.step; value <= words.high * (1 + 1e-9);
       value += words.step) {
    if (words.plain) break;
    const std::string text = shown_number(value, words.decimals, words.two_sided);
    const ImVec2 size = font->CalcTextSizeA(font->FontSize, 1e9f, 0, text.c_str());
    draw.AddLine({x - 4, at(value)}, {x, at(value)}, ink::quiet);
    draw.AddText(font, font->FontSize, {x - 8 - size.x, at(value) - 0.5f * size.y}, ink::text, text.c_str());
  }
  for (const double line : words.lines)
    if (line > words.low && line < words.high)
      draw.AddLine({x - 2, at(line)}, {x + width + 4, at(line)}, ink::text, 1.5f);
  const ImVec2 size = font->CalcTextSizeA(font->FontSize, 1e9f, 0, words.title.c_str());
  chip(draw, font, {x + width - size.x, top - 1.6f * size.y}, ink::text, words.title);
  ui.note({.id = "bar",
           .kind = "colour bar",
           .x = x,
           .y = top,
           .w = width,
           .h = height,
           .text = words.title,
           .value = words.high,
           .unit = words.unit});
  ui.explain_there({x - theme.px(40), top}, {x + width + 4, top + height}, words.hover);
}

void draw_scale(Ui& ui, ImDrawList& draw, const Place& place, bool inches) {
  const double unit_mm = inches ? 25.4 : 1;
  const double room = 0.3 * place.rect.w * place.camera.mm_per_px / unit_mm;
  double length = 0;
  for (const double candidate : {0.05, 0.1, 0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0})
    if (candidate <= room) length = candidate;
  if (length == 0) return;
  const auto px = static_cast<float>(length * unit_mm / place.camera.mm_per_px);
  if (place.rect.h < ui.theme.px(110)) return;
  const float x = place.rect.x + ui.theme.px(16), y = place.rect.y + place.rect.h - ui.theme.px(16);
  draw.AddLine({x, y}, {x + px, y}, ink::text, 1.5f);
  draw.AddLine({x, y - 4}, {x, y + 4}, ink::text, 1.5f);
  draw.AddLine({x + px, y - 4}, {x + px, y + 4}, ink::text, 1.5f);
  const std::string words = fmt::format("{:g} {}", length, inches ? "in" : "mm");
  draw.AddText(ui.theme.small, ui.theme.small->FontSize, {x, y - ui.theme.px(20)}, ink::text, words.c_str());
  ui.note({.id = "scale", .kind = "scale bar", .x = x, .y = y, .w = px, .h = 1, .text = words});
}

void draw_badge(Ui& ui, ImDrawList& draw, const ViewRect& rect, foot::Side side, const std::string& id) {
  const Theme& theme = ui.theme;
  const bool left = side == foot::Side::left;
  const char* words = left ? "LEFT" : "RIGHT";
  ImFont* font = theme.strong;
  const ImVec2 size = font->CalcTextSizeA(font->FontSize, 1e9f, 0, words);
  const float pad = theme.px(8), x = rect.x + theme.px(16), y = rect.y + theme.px(12);
  // A left badge is outlined, a right one filled: not by the word alone.
  const ImVec2 low{x, y}, high{x + size.x + 2 * pad, y + size.y + pad};
  draw.AddRectFilled(low, high, left ? ink::white : ink::mark, theme.px(4));
  draw.AddRect(low, high, ink::mark, theme.px(4), 0, 2);
  draw.AddText(font, font->FontSize, {x + pad, y + 0.5f * pad}, left ? ink::mark : ink::white, words);
  ui.note({.id = id, .kind = "badge", .x = low.x, .y = low.y, .w = high.x - low.x, .h = high.y - low.y, .text = words});
}

void draw_caption(Ui& ui, ImDrawList& draw, const Place& place, const findings::Scene& scene,
                  const std::string& caption) {
  const Theme& theme = ui.theme;
  const float x = place.rect.x + theme.px(16);
  chip(draw, theme.small, {x, place.rect.y + theme.px(24) + theme.strong->FontSize}, ink::text, caption);
  if (place.rect.h < theme.px(140)) return;
  const auto [at_left, at_right] = edge_words(place, scene);
  const float low_line = place.rect.y + place.rect.h - theme.px(62);
  chip(draw, theme.small, {x, low_line}, ink::quiet, at_left);
  const ImVec2 right = theme.small->CalcTextSizeA(theme.small->FontSize, 1e9f, 0, at_right);
  chip(draw, theme.small, {place.rect.x + place.rect.w - theme.px(16) - right.x, low_line}, ink::quiet, at_right);
}

}  // namespace aplomb::viewer
