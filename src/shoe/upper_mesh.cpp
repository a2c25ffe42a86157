// Meshes of sole and upper, which follow the bent shank. For drawing: shapes between known edges, not measured ones.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>

#include "aplomb/shoe/meshes.h"

namespace aplomb::shoe {

namespace {

using geometry::pi;

// The rod's line with arc length, for reading position, side normal and half breadth anywhere along it.
class RodLine {
 public:
  RodLine(const Shoe& shoe, const std::vector<Vec2>& nodes) : shank_(shoe.shank), nodes_(nodes), arc_{0} {
    for (std::size_t i = 1; i < nodes.size(); ++i) arc_.push_back(arc_.back() + (nodes[i] - nodes[i - 1]).norm());
  }
  double length() const { return arc_.back(); }

  struct At {
    Vec2 xz, tangent;
    double half_breadth;
  };
  At at(double fraction) const {
    const double s = std::clamp(fraction, 0.0, 1.0) * length();
    std::size_t i = std::upper_bound(arc_.begin(), arc_.end(), s) - arc_.begin();
    i = std::clamp<std::size_t>(i, 1, nodes_.size() - 1);
    const double t = (s - arc_[i - 1]) / (arc_[i] - arc_[i - 1]);
    At at;
    at.xz = nodes_[i - 1] + t * (nodes_[i] - nodes_[i - 1]);
    // Tangent between the neighbouring chords, so that the ribbon's edges do not break at nodes.
    const auto chord = [&](std::size_t k) -> Vec2 { return (nodes_[k] - nodes_[k - 1]).normalized(); };
    const Vec2 before = chord(std::max<std::size_t>(i - (t < 0.5), 1)),
               after = chord(std::min(i + (t >= 0.5), nodes_.size() - 1));
    const double w = t < 0.5 ? t + 0.5 : t - 0.5;
    at.tangent = ((1 - w) * before + w * after).normalized();
    const auto& half = shank_.half_breadth_mm;
    const double f = fraction * static_cast<double>(half.size() - 1);
    const std::size_t k = std::min(static_cast<std::size_t>(std::max(f, 0.0)), half.size() - 2);
    at.half_breadth = half[k] + (f - static_cast<double>(k)) * (half[k + 1] - half[k]);
    return at;
  }

 private:
  const ShankSpec& shank_;
  const std::vector<Vec2>& nodes_;
  std::vector<double> arc_;
};

Vec2 foot_side(const Vec2& tangent) { return {tangent.y(), -tangent.x()}; }

}  // namespace

TriMesh make_sole(const Shoe& shoe, const std::vector<Vec2>& line_xz) {
  const RodLine line(shoe, line_xz);
  constexpr int stations = 64, across = 8;
  TriMesh mesh;
  for (int i = 0; i <= stations; ++i) {
    // Stations crowd toward the heel, where the outline closes in a half ellipse.
    const double f = std::sin(0.5 * pi * i / stations);
    const auto at = line.at(f);
    const double from_end = (1 - f) * line.length(), round = 1.1 * at.half_breadth;
    double half = at.half_breadth;
    if (from_end < round) half *= std::sqrt(std::max(0.0, 1 - std::pow(1 - from_end / round, 2)));
    half = std::max(half, 0.5);
    const Vec2 down = -shoe.shank.thickness_mm * foot_side(at.tangent);
    for (int side = 0; side < 2; ++side)
      for (int k = 0; k <= across; ++k) {
        const Vec2 xz = side == 0 ? at.xz : Vec2(at.xz + down);
        mesh.vertices.emplace_back(xz.x(), half * (2.0 * k / across - 1), xz.y());
      }
  }
  // Ring of each station: upper face in +y, lower face back in -y.
  const int ring = 2 * (across + 1);
  const auto vertex = [&](int station, int k) {
    k = (k + ring) % ring;
    return station * ring + (k <= across ? k : ring + across - k);
  };
  const auto quad = [&](int a, int b, int c, int d) {
    mesh.faces.push_back({a, b, c});
    mesh.faces.push_back({a, c, d});
  };
  for (int i = 0; i < stations; ++i)
    for (int k = 0; k < ring; ++k) quad(vertex(i, k), vertex(i, k + 1), vertex(i + 1, k + 1), vertex(i + 1, k));
  for (int k = 0; k < across; ++k) {
    quad(vertex(0, k + 1), vertex(0, k), vertex(0, ring - 1 - k), vertex(0, ring - 2 - k));
    quad(vertex(stations, k), vertex(stations, k + 1), vertex(stations, ring - 2 - k), vertex(stations, ring - 1 - k));
  }
  return mesh;
}

TriMesh make_upper(const Shoe& shoe, const std::vector<Vec2>& line_xz, const std::optional<Vec3>& back_seam_top_S) {
  const RodLine line(shoe, line_xz);
  const ShoeParameters& p = shoe.parameters;
  const auto end = line.at(1);
  const Vec3 heel(end.xz.x(), 0, end.xz.y());
  const Vec2 up = foot_side(end.tangent);
  const Vec3 seam_top = back_seam_top_S.value_or(heel + p.back_seam_height_mm * Vec3(up.x(), 0, up.y()));
  const Vec3 rearward(end.tangent.x(), 0, end.tangent.y());
  constexpr double sole_turn = 0.42;  // corner of the sole on the cut line
  const double heel_half = 0.5 * p.heel_seat_breadth_mm;

  // Half breadth along the foot as a share: opens from the throat, closes round the heel.
  const auto fullness = [](double t) {
    return t <= 0 || t >= 1 ? 0.0 : std::pow(std::sin(pi * t), t < 0.5 ? 0.7 : 0.45);
  };

  constexpr int columns = 64, rows = 24;
  TriMesh mesh;
  for (const double side : {1.0, -1.0}) {
    // Edges of one side: s from topline (0) to sole (1), t from the box (0) to the back seam (1).
    const auto box_edge = [&](double s) {
      const double turn = side > 0 ? sole_turn * s : 1 - sole_turn * s;
      return shoe.box.wall_point(turn, shoe.box.cut_v(turn)).position_S;
    };
    const auto seam = [&](double s) -> Vec3 {  // bulges behind the heel
      return seam_top + s * (heel - seam_top) + 9 * std::sin(pi * s) * rearward;
    };
    const auto topline = [&](double t) -> Vec3 {
      Vec3 point = (1 - t) * box_edge(0) + t * seam(0);
      point.y() += side * 0.8 * heel_half * fullness(t);
      return point;
    };
    const Vec3 corner = box_edge(1);
    const auto front = line.at(0);
    const Vec3 start(front.xz.x(), side * front.half_breadth, front.xz.y());
    const auto sole = [&](double t) -> Vec3 {
      const auto at = line.at(t);
      const double edge = at.half_breadth * std::sqrt(std::max(0.0, 1 - std::pow(t, 12)));
      const Vec3 along(at.xz.x(), side * edge, at.xz.y());
      const double blend = std::clamp(1 - t / 0.15, 0.0, 1.0);  // leaves the box at its own corner
      return along + blend * blend * (corner - start);
    };
    const int first = static_cast<int>(mesh.vertices.size());
    for (int i = 0; i <= columns; ++i)
      for (int k = 0; k <= rows; ++k) {
        // Columns crowd toward the heel, which turns sharply there.
        const double t = std::sin(0.5 * pi * i / columns), s = k / static_cast<double>(rows);
        // Coons patch between the four edges, filled out sideways as a foot fills it.
        Vec3 x = (1 - t) * box_edge(s) + t * seam(s) + (1 - s) * topline(t) + s * sole(t) -
                 ((1 - s) * (1 - t) * box_edge(0) + s * (1 - t) * corner + (1 - s) * t * seam(0) + s * t * seam(1));
        x.y() += side * 0.35 * heel_half * fullness(t) * std::sin(pi * s);
        mesh.vertices.push_back(x);
      }
    for (int i = 0; i < columns; ++i)
      for (int k = 0; k < rows; ++k) {
        const int a = first + i * (rows + 1) + k, b = a + rows + 1;
        const std::array<int, 4> quad = side > 0 ? std::array{a, a + 1, b + 1, b} : std::array{a, b, b + 1, a + 1};
        mesh.faces.push_back({quad[0], quad[1], quad[2]});
        mesh.faces.push_back({quad[0], quad[2], quad[3]});
      }
  }
  return mesh;
}

}  // namespace aplomb::shoe
