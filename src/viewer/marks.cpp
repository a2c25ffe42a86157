// Marks are told apart by shape: diamond, ring, triangle, small rings, dashes.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "marks.h"

#include <algorithm>
#include <cmath>

#include "chip.h"

namespace aplomb::viewer {

using geometry::Vec3;

namespace {

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
    chip(draw_, font, low, ink::text, one.words);
    ui_.note({.id = one.id, .kind = "mark", .x = one.at.x, .y = one.at.y, .w = 1, .h = 1, .text = one.words});
  }

  Ui& ui_;
  ImDrawList& draw_;
  ViewRect rect_;
  std::vector<One> all_;
};

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

}  // namespace

void draw_marks(Ui& ui, ImDrawList& draw, const Place& place, const findings::Scene& scene) {
  draw_platform(draw, place, scene);
  Labels labels(ui, draw, place.rect);
  draw_break(ui, labels, draw, place, scene);
  draw_load(ui, labels, draw, place, scene);
  labels.draw();
}

}  // namespace aplomb::viewer
