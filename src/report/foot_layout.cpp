// The plan above the inner side, both at one scale and in line as on a technical drawing; the front; the toes; and the
// pointed foot from two sides. Every tag stands in a strip of its panel that no foot reaches, so none hides skin.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "foot_layout.h"

#include <algorithm>
#include <cmath>

#include "aplomb/foot/numbers.h"

namespace aplomb::report {

namespace {

using foot::TakenAt;
using Kind = Stroke::Kind;

constexpr double edge = 40, gap = 20, top = 126, title_height = 44;
constexpr double above_strip = 72, below_strip = 76;  ///< over and under a foot, for tags
constexpr double beside_strip = 232;                  ///< before its toes and behind its heel
constexpr double line_gap = 22;                       ///< from the foot to an upright dimension line
constexpr Rect plan_rect{edge, top, 1040, 450}, front_rect{1100, top, 420, 450}, grid_rect{1540, top, 420, 450};
constexpr Rect side_rect{edge, 596, 1040, 570}, pointed_front_rect{1100, 596, 370, 570},
    pointed_side_rect{1490, 596, 470, 570};

/// Fits the points into `zone`, given in the panel's own units.
Camera fitted_into(Camera camera, const Extent& extent, const Rect& zone, double least_mm_per_px = 0) {
  Camera inner = camera;
  inner.width_px = zone.w;
  inner.height_px = zone.h;
  inner = fitted(inner, extent, 0);
  camera.mm_per_px = std::max(inner.mm_per_px, least_mm_per_px);
  camera.depth_mm = inner.depth_mm;
  const double dx = zone.x + zone.w / 2 - camera.width_px / 2, dy = zone.y + zone.h / 2 - camera.height_px / 2;
  camera.target_S = inner.target_S - camera.mm_per_px * (dx * camera.right_S() - dy * camera.up_S);
  return camera;
}

class Layout {
 public:
  Layout(Canvas& canvas, const foot::Portrait& portrait, const Words& words)
      : canvas_(canvas), portrait_(portrait), words_(words), left_(portrait.side == foot::Side::left) {}

  FootLayout run() {
    add_views();
    plan();
    side();
    front();
    toes_on_skin();
    pointing();
    grid();
    out_.notes = {edge, side_rect.y + side_rect.h + gap, foot_sheet_width - 2 * edge,
                  foot_sheet_height - side_rect.y - side_rect.h - gap - 74};
    return std::move(out_);
  }

 private:
  enum Panel { plan_panel, side_panel, front_panel, pointed_front_panel, pointed_side_panel };

  void add_view(const char* title, const Rect& rect, const Vec3& forward, const Vec3& up, bool pointed,
                const Rect& zone) {
    FootPanel panel{title, {Aspect::front, rect, {}, {}}, pointed};
    panel.view.camera.width_px = rect.w;
    panel.view.camera.height_px = rect.h;
    panel.view.camera.forward_S = forward;
    panel.view.camera.up_S = up;
    Extent extent = extent_of((pointed ? portrait_.pointed_F : portrait_.standing_F).vertices);
    if (pointed)
      for (const Vec3& p : portrait_.pointing_F) {
        extent.low = extent.low.cwiseMin(Vec3(p.x(), extent.low.y(), extent.low.z()));
        extent.high = extent.high.cwiseMax(Vec3(p.x(), extent.high.y(), extent.high.z()));
      }
    panel.view.camera = fitted_into(panel.view.camera, extent, zone);
    zones_.push_back(zone);
    extents_.push_back(extent);
    out_.panels.push_back(std::move(panel));
  }

  /// The heel of a right foot seen from its inner side is on the right; the plan lies over it the same way.
  void add_views() {
    const double medial = left_ ? -1 : 1;
    const auto zone = [](const Rect& rect, double beside, double above, double below) {
      return Rect{beside, title_height + above, rect.w - 2 * beside, rect.h - title_height - above - below};
    };
    const Vec3 up = Vec3::UnitZ(), from_inside = -medial * Vec3::UnitY(), from_front = -Vec3::UnitX();
    add_view("From above", plan_rect, -up, from_inside, false, zone(plan_rect, beside_strip, above_strip, below_strip));
    add_view("Inner side", side_rect, from_inside, up, false, zone(side_rect, beside_strip, 8, below_strip));
    add_view("From the front", front_rect, from_front, up, false, zone(front_rect, 30, above_strip, 14));
    add_view("Pointed, front", pointed_front_rect, from_front, up, true, zone(pointed_front_rect, 20, 8, 18));
    add_view("Pointed, inner side", pointed_side_rect, from_inside, up, true, zone(pointed_side_rect, 20, 8, 18));
    share_scale(plan_panel, side_panel);
    share_scale(pointed_front_panel, pointed_side_panel);
  }

  void share_scale(Panel a, Panel b) {
    const double shared = std::max(camera(a).mm_per_px, camera(b).mm_per_px);
    for (const Panel panel : {a, b}) camera(panel) = fitted_into(camera(panel), extents_[panel], zones_[panel], shared);
  }

  Camera& camera(Panel panel) { return out_.panels[panel].view.camera; }
  const Rect& rect(Panel panel) const { return out_.panels[panel].view.rect; }

  Vec2 place(Panel panel, const Vec3& p) {
    const Vec2 q = camera(panel).project(p);
    return {rect(panel).x + q.x(), rect(panel).y + q.y()};
  }

  const TagWords* words(int number) const {
    const auto found = words_.find(number);
    return found == words_.end() ? nullptr : &found->second;
  }
  const std::vector<Vec3>& taken(int number) const {
    static const std::vector<Vec3> none;
    for (const TakenAt& taken : portrait_.taken)
      if (taken.number == number) return taken.points_F;
    return none;
  }

  void stroke(Kind kind, int number, std::vector<Vec2> points) {
    out_.strokes.push_back({kind, words(number) == nullptr || words(number)->solid, std::move(points)});
  }

  /// A tag that waits for its place in a strip.
  struct Waiting {
    Tag tag;
    Vec2 wished;  ///< of its middle
    std::vector<Vec2> leader;
  };
  Waiting waiting(int number, const Vec2& wished, std::vector<Vec2> leader = {}) {
    const TagWords& w = *words(number);
    Tag tag{number, w.name, w.value, w.remark, w.solid, {}};
    const Vec2 size = tag_size(canvas_, tag);
    tag.rect.w = size.x();
    tag.rect.h = size.y();
    return {tag, wished, std::move(leader)};
  }

  void put(const Waiting& one, const Vec2& middle) {
    Tag tag = one.tag;
    tag.rect.x = middle.x() - tag.rect.w / 2;
    tag.rect.y = middle.y() - tag.rect.h / 2;
    if (!one.leader.empty()) {
      std::vector<Vec2> leader = one.leader;
      // Ends at the nearest point of the tag's rim.
      const Vec2& from = leader.back();
      leader.emplace_back(std::clamp(from.x(), tag.rect.x, tag.rect.x + tag.rect.w),
                          std::clamp(from.y(), tag.rect.y, tag.rect.y + tag.rect.h));
      out_.strokes.push_back({Kind::leader, true, leader});
    }
    out_.tags.push_back(tag);
  }

  /// Tags under each other, at `x` in the middle.
  void column(const std::vector<Waiting>& tags, double x, double low, double high) {
    std::vector<double> wished, sizes;
    for (const Waiting& one : tags) wished.push_back(one.wished.y()), sizes.push_back(one.tag.rect.h);
    const auto y = spread(wished, sizes, low, high, 10);
    for (std::size_t i = 0; i < tags.size(); ++i) put(tags[i], {x, y[i]});
  }
  /// Tags side by side, at `y` in the middle.
  void row(const std::vector<Waiting>& tags, double y, double low, double high) {
    std::vector<double> wished, sizes;
    for (const Waiting& one : tags) wished.push_back(one.wished.x()), sizes.push_back(one.tag.rect.w);
    const auto x = spread(wished, sizes, low, high, 14);
    for (std::size_t i = 0; i < tags.size(); ++i) put(tags[i], {x[i], y});
  }

  /// Middle of the place nearest to `wished` where the tag hides neither skin nor `line` nor another tag.
  Vec2 free_place(Panel panel, const Tag& tag, const Vec2& wished, const std::vector<Vec2>& line) {
    constexpr double step = 12, clear = 8;
    const Rect& r = rect(panel);
    std::vector<Vec2> occupied = line;
    const auto& mesh = out_.panels[panel].pointed ? portrait_.pointed_F : portrait_.standing_F;
    for (const Vec3& vertex : mesh.vertices) occupied.push_back(place(panel, vertex));
    const double w = tag.rect.w / 2 + clear, h = tag.rect.h / 2 + clear;
    Vec2 best = wished;
    double least = 1e9;
    for (double y = r.y + title_height + h; y <= r.y + r.h - h; y += step) {
      for (double x = r.x + w; x <= r.x + r.w - w; x += step) {
        const Vec2 middle(x, y);
        if ((middle - wished).norm() >= least) continue;
        const auto covers = [&](const Vec2& p) { return std::abs(p.x() - x) < w && std::abs(p.y() - y) < h; };
        const auto meets = [&](const Tag& other) {
          return std::abs(other.rect.x + other.rect.w / 2 - x) < w + other.rect.w / 2 &&
                 std::abs(other.rect.y + other.rect.h / 2 - y) < h + other.rect.h / 2;
        };
        if (std::any_of(occupied.begin(), occupied.end(), covers) ||
            std::any_of(out_.tags.begin(), out_.tags.end(), meets))
          continue;
        best = middle;
        least = (middle - wished).norm();
      }
    }
    return best;
  }

  /// Middles of what dimension lines leave free of the strips beside the foot.
  double toe_x() const { return left_ ? plan_rect.x + plan_rect.w - middle_of_strip : plan_rect.x + middle_of_strip; }
  double heel_x() const { return left_ ? plan_rect.x + middle_of_strip : plan_rect.x + plan_rect.w - middle_of_strip; }
  static constexpr double middle_of_strip = (beside_strip - line_gap + 4) / 2;
  double toward_toes() const { return left_ ? 1 : -1; }
  /// Middles of the strips over and under the foot.
  static double above_y(const Rect& rect) { return rect.y + title_height + above_strip / 2; }
  static double below_y(const Rect& rect) { return rect.y + rect.h - below_strip / 2; }

  /// A level dimension at height `y` between two points, and the tag on it.
  void level(Panel panel, int number, double y, std::vector<Waiting>& tags) {
    if (!words(number)) return;
    const Vec2 a = place(panel, taken(number)[0]), b = place(panel, taken(number)[1]);
    for (const Vec2& p : {a, b}) stroke(Kind::extension, number, {p, {p.x(), y + (y > p.y() ? 6 : -6)}});
    stroke(Kind::dimension, number, {{a.x(), y}, {b.x(), y}});
    tags.push_back(waiting(number, {(a.x() + b.x()) / 2, y}));
  }
  /// An upright dimension at `x`, and the tag that waits beside it.
  void upright(Panel panel, int number, double x, std::vector<Waiting>& tags, bool extend = true) {
    if (!words(number)) return;
    const Vec2 a = place(panel, taken(number)[0]), b = place(panel, taken(number)[1]);
    if (extend)
      for (const Vec2& p : {a, b}) stroke(Kind::extension, number, {p, {x + (x > p.x() ? 6 : -6), p.y()}});
    stroke(Kind::dimension, number, {{x, a.y()}, {x, b.y()}});
    tags.push_back(waiting(number, {x, (a.y() + b.y()) / 2}, {{x, (a.y() + b.y()) / 2}}));
  }
  std::vector<Vec2> placed(Panel panel, const std::vector<Vec3>& points) {
    std::vector<Vec2> out;
    for (const Vec3& p : points) out.push_back(place(panel, p));
    return out;
  }
  /// A tape seen from its edge: from one end of what is seen to the other.
  void tape(Panel panel, int number, bool along_x) {
    const auto loop = placed(panel, taken(number));
    const auto [low, high] = std::minmax_element(loop.begin(), loop.end(), [&](const Vec2& a, const Vec2& b) {
      return along_x ? a.x() < b.x() : a.y() < b.y();
    });
    stroke(Kind::tape, number, {*low, *high});
    ends_ = {*low, *high};
  }

  void plan() {
    using namespace foot;
    const Rect& r = plan_rect;
    std::vector<Waiting> above, below, at_toes, at_heel;
    level(plan_panel, foot_length, above_y(r), above);
    level(plan_panel, ball_length, below_y(r), below);
    const Vec2 heel = place(plan_panel, taken(foot_length)[0]), toe = place(plan_panel, taken(foot_length)[1]);
    upright(plan_panel, foot_breadth, toe.x() + line_gap * toward_toes(), at_toes);
    upright(plan_panel, heel_breadth, heel.x() - line_gap * toward_toes(), at_heel);
    if (words(ball_girth)) {
      tape(plan_panel, ball_girth, false);
      at_toes.push_back(waiting(ball_girth, ends_[0] - Vec2(0, 60), {ends_[0]}));
    }
    // Taken at the same place from the foot without weight: no line of their own.
    if (words(breadth_relaxed)) at_toes.push_back(waiting(breadth_relaxed, {0, r.y + r.h - below_strip - 84}));
    if (words(breadth_squeezed)) at_toes.push_back(waiting(breadth_squeezed, {0, r.y + r.h - below_strip - 24}));
    if (words(hallux_angle)) {
      const auto& joints = taken(hallux_angle);
      const Vec2 root = place(plan_panel, joints[0]), corner = place(plan_panel, joints[1]),
                 end = place(plan_panel, joints[2]);
      const Vec2 on = (corner - root).normalized(), toward = (end - corner).normalized();
      const double reach = 1.5 * (end - corner).norm();
      stroke(Kind::ray, hallux_angle, {root, corner + reach * on});
      stroke(Kind::ray, hallux_angle, {corner, corner + reach * toward});
      const Vec2 middle = corner + 0.9 * reach * (on + toward).normalized();
      below.push_back(waiting(hallux_angle, {middle.x() + 40 * toward_toes(), 0}, {middle}));
    }
    row(above, above_y(r), r.x + 10, r.x + r.w - 10);
    row(below, below_y(r), r.x + 10, r.x + r.w - 10);
    column(at_toes, toe_x(), r.y + title_height + 8, r.y + r.h - below_strip);
    column(at_heel, heel_x(), r.y + title_height + 8, r.y + r.h - below_strip);
  }

  void side() {
    using namespace foot;
    const Rect& r = side_rect;
    std::vector<Waiting> below, at_heel;
    const Vec2 heel = place(side_panel, taken(foot_length)[0]);
    const double floor = place(side_panel, Vec3::Zero()).y();
    if (words(arch_height)) {
      const auto at = placed(side_panel, taken(arch_height));
      stroke(Kind::dimension, arch_height, at);
      below.push_back(waiting(arch_height, {at[0].x(), 0}, {Vec2(at[0].x(), floor + 3)}));
    }
    upright(side_panel, lateral_malleolus_height, heel.x() - line_gap * toward_toes(), at_heel);
    if (words(heel_ankle_girth)) {
      tape(side_panel, heel_ankle_girth, false);
      below.push_back(waiting(heel_ankle_girth, {ends_[1].x(), 0}, {ends_[1]}));
    }
    if (words(ankle_girth)) {
      tape(side_panel, ankle_girth, true);
      const Vec2 end = left_ ? ends_[0] : ends_[1];
      at_heel.push_back(waiting(ankle_girth, {0, end.y()}, {end}));
    }
    row(below, below_y(r), r.x + 10, r.x + r.w - 10);
    column(at_heel, heel_x(), r.y + title_height + 8, r.y + r.h - below_strip);
    if (words(instep_height)) {
      const auto at = placed(side_panel, taken(instep_height));
      stroke(Kind::dimension, instep_height, at);
      const Waiting tag = waiting(instep_height, {0, 0}, {at[1]});
      put(tag, free_place(side_panel, tag.tag, {at[1].x() + 170 * toward_toes(), at[1].y() - 80}, {}));
    }
  }

  void front() {
    using namespace foot;
    const Rect& r = front_rect;
    if (!words(bimalleolar_breadth)) return;
    const Vec2 a = place(front_panel, taken(bimalleolar_breadth)[0]),
               b = place(front_panel, taken(bimalleolar_breadth)[1]);
    const double y = std::min(a.y(), b.y());
    for (const Vec2& p : {a, b}) stroke(Kind::extension, bimalleolar_breadth, {p, {p.x(), y - 6}});
    stroke(Kind::dimension, bimalleolar_breadth, {{a.x(), y}, {b.x(), y}});
    const double end = std::min(a.x(), b.x());
    const Waiting tag = waiting(bimalleolar_breadth, {0, 0}, {{end, y}});
    put(tag, {std::max(end - 20, r.x + 12 + tag.tag.rect.w / 2), above_y(r)});
  }

  /// Lengths and breadths of the toes on the plan, heights on the front view; their numbers stand in the grid.
  void toes_on_skin() {
    for (int toe = 0; toe < foot::toe_count; ++toe) {
      if (words(foot::toe_length + toe))
        stroke(Kind::ray, foot::toe_length + toe, placed(plan_panel, taken(foot::toe_length + toe)));
      if (words(foot::toe_breadth + toe))
        stroke(Kind::ray, foot::toe_breadth + toe, placed(plan_panel, taken(foot::toe_breadth + toe)));
      if (words(foot::toe_height + toe))
        stroke(Kind::ray, foot::toe_height + toe, placed(front_panel, taken(foot::toe_height + toe)));
    }
  }

  void pointing() {
    if (!words(foot::plantarflexion)) return;
    const auto at = placed(pointed_side_panel, {portrait_.pointing_F.begin(), portrait_.pointing_F.end()});
    stroke(Kind::ray, foot::plantarflexion, {at[1], at[0]});
    stroke(Kind::ray, foot::plantarflexion, {at[1], at[2]});
    const Vec2 from = at[0] - at[1], to = at[2] - at[1];
    const double start = std::atan2(from.y(), from.x());
    double turn = std::atan2(to.y(), to.x()) - start;
    if (turn > geometry::pi) turn -= 2 * geometry::pi;
    if (turn < -geometry::pi) turn += 2 * geometry::pi;
    std::vector<Vec2> arc;
    for (int i = 0; i <= 40; ++i) {
      const double angle = start + turn * i / 40;
      arc.emplace_back(at[1] + 0.8 * from.norm() * Vec2(std::cos(angle), std::sin(angle)));
    }
    stroke(Kind::dimension, foot::plantarflexion, arc);
    const Waiting tag = waiting(foot::plantarflexion, {0, 0}, {arc[20]});
    std::vector<Vec2> line = arc;
    for (int i = 0; i <= 20; ++i) {
      line.emplace_back(at[1] + i / 20.0 * from);
      line.emplace_back(at[1] + i / 20.0 * to);
    }
    put(tag, free_place(pointed_side_panel, tag.tag, arc[20] + Vec2(60 * toward_toes(), 70), line));
  }

  void grid() {
    out_.grid = grid_rect;
    const double row_height = 62, name_width = 76, head = 92;
    const double cell_width = (grid_rect.w - name_width - 24) / 3;
    for (int toe = 0; toe < foot::toe_count; ++toe) {
      int column = 0;
      for (const int first : {int{foot::toe_length}, int{foot::toe_breadth}, int{foot::toe_height}}) {
        if (const TagWords* w = words(first + toe))
          if (!w->cell.empty())
            out_.cells.push_back({first + toe,
                                  "",
                                  w->cell,
                                  w->remark,
                                  w->solid,
                                  {grid_rect.x + 12 + name_width + column * cell_width + 4,
                                   grid_rect.y + head + toe * row_height, cell_width - 8, 38}});
        ++column;
      }
    }
  }

  Canvas& canvas_;
  const foot::Portrait& portrait_;
  const Words& words_;
  bool left_;
  FootLayout out_;
  std::vector<Rect> zones_;
  std::vector<Extent> extents_;
  std::array<Vec2, 2> ends_{};
};

}  // namespace

FootLayout lay_out(Canvas& canvas, const foot::Portrait& portrait, const Words& words) {
  return Layout(canvas, portrait, words).run();
}

}  // namespace aplomb::report
