// Marks are told apart by shape: diamond, ring, triangle, small rings, dashes.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "marks.h"

#include <algorithm>
#include <cmath>

#include "chip.h"

namespace aplomb::viewer {

using geometry::Vec3;

namespace {

/// Words beside marks, drawn after all lines so that none runs through them. They cover neither a mark nor one another,
/// and keep clear of bar and edges.
class Labels {
 public:
  Labels(Ui& ui, ImDrawList& draw, const ViewRect& rect) : ui_(ui), draw_(draw), rect_(rect) {}

  /// Beside a mark at `at`; first tried on the right, or on the left.
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
  struct Box {
    ImVec2 low, high;
    bool meets(const Box& o) const {
      return low.x < o.high.x && o.low.x < high.x && low.y < o.high.y && o.low.y < high.y;
    }
    bool within(const Box& o) const {
      return low.x >= o.low.x && high.x <= o.high.x && low.y >= o.low.y && high.y <= o.high.y;
    }
  };

  bool is_free(const Box& box) const {
    const float mark = ui_.theme.px(7);
    const auto covers = [&](const One& one) {
      return box.meets({{one.at.x - mark, one.at.y - mark}, {one.at.x + mark, one.at.y + mark}});
    };
    return box.within({{rect_.x, rect_.y}, {rect_.x + rect_.w - ui_.theme.px(76), rect_.y + rect_.h}}) &&
           std::none_of(all_.begin(), all_.end(), covers) &&
           std::none_of(taken_.begin(), taken_.end(), [&](const Box& other) { return box.meets(other); });
  }

  /// Beside its mark if there is room, else a little higher or lower; the first place of all where there is none.
  Box place(const One& one, const ImVec2& size) const {
    const float beside = ui_.theme.px(11), line = size.y + 4;
    const auto at = [&](bool to_left, float down) {
      const ImVec2 low{to_left ? one.at.x - beside - size.x : one.at.x + beside, one.at.y - 0.5f * size.y + down};
      return Box{{low.x - 3, low.y - 1}, {low.x + size.x + 3, low.y + size.y + 1}};
    };
    for (const float lines : {0.0f, 1.0f, -1.0f, 2.0f, -2.0f, 3.0f, -3.0f})
      for (const bool to_left : {one.to_left, !one.to_left})
        if (const Box box = at(to_left, lines * line); is_free(box)) return box;
    return at(one.to_left, 0);
  }

  void draw(const One& one) {
    ImFont* font = ui_.theme.small;
    const ImVec2 size = font->CalcTextSizeA(font->FontSize, 1e9f, 0, one.words.c_str());
    const Box box = place(one, size);
    taken_.push_back(box);
    if (one.at.y < box.low.y || one.at.y > box.high.y)
      draw_.AddLine(one.at, {one.at.x < box.low.x ? box.low.x : box.high.x, 0.5f * (box.low.y + box.high.y)},
                    ink::quiet);
    chip(draw_, font, {box.low.x + 3, box.low.y + 1}, ink::text, one.words);
    ui_.note({.id = one.id, .kind = "mark", .x = one.at.x, .y = one.at.y, .w = 1, .h = 1, .text = one.words});
    ui_.note({.id = std::string(one.id) + ".words",
              .kind = "text",
              .x = box.low.x,
              .y = box.low.y,
              .w = box.high.x - box.low.x,
              .h = box.high.y - box.low.y,
              .text = one.words});
  }

  Ui& ui_;
  ImDrawList& draw_;
  ViewRect rect_;
  std::vector<One> all_;
  std::vector<Box> taken_;
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
    labels.add(at, "centre of pressure", "mark.centre_of_pressure");
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
