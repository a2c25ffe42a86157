// Places follow the bones of the tables; heights and breadths are designed by eye [guess] and kept inside the girths
// and thicknesses that the tests hold.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "relief.h"

#include <algorithm>
#include <cmath>

namespace aplomb::template_tool {

namespace {

constexpr double reach = 3;  ///< in sigmas

/// About exp(-x^2 / 2), but 0 with slope and curvature 0 from `reach` on.
double bell(double x) {
  if (x >= reach) return 0;
  const double t = 1 - (x / reach) * (x / reach);
  return t * t * t * std::exp(-x * x / 6);
}

/// Integral of bell over a line through its middle.
constexpr double bell_line = 2.36395;

}  // namespace

void Relief::add(const std::vector<Knot>& knots) {
  Stroke stroke{{}, Vec3::Constant(1e9), Vec3::Constant(-1e9)};
  if (knots.size() == 1) stroke.bells = knots;
  for (std::size_t i = 0; i + 1 < knots.size(); ++i) {
    const Knot &a = knots[i], &b = knots[i + 1];
    const double length = (b.at - a.at).norm();
    const int count = static_cast<int>(std::ceil(length / (0.6 * std::min(a.sigma_mm, b.sigma_mm))));
    for (int k = 0; k < count; ++k) {
      const double t = (k + 0.5) / count, sigma = a.sigma_mm + t * (b.sigma_mm - a.sigma_mm);
      // Each stands for its piece of the line, so that together they reach the height wanted.
      stroke.bells.push_back({a.at + t * (b.at - a.at), sigma,
                              (a.height_mm + t * (b.height_mm - a.height_mm)) * length / count / (bell_line * sigma)});
    }
  }
  for (const Knot& k : stroke.bells) {
    stroke.low = stroke.low.cwiseMin(k.at - Vec3::Constant(reach * k.sigma_mm));
    stroke.high = stroke.high.cwiseMax(k.at + Vec3::Constant(reach * k.sigma_mm));
  }
  strokes_.push_back(std::move(stroke));
}

double Relief::operator()(const Vec3& p) const {
  double sum = 0;
  for (const Stroke& s : strokes_) {
    if ((p.array() < s.low.array()).any() || (p.array() > s.high.array()).any()) continue;
    for (const Knot& k : s.bells) {
      const double d2 = (p - k.at).squaredNorm();
      if (d2 < reach * reach * k.sigma_mm * k.sigma_mm) sum += k.height_mm * bell(std::sqrt(d2) / k.sigma_mm);
    }
  }
  return sum;
}

Relief::Relief() {
  // Achilles tendon: from the heel bone up, narrowest behind the ankle, then into the calf.
  add({{{5, 0, 44}, 9, 0},
       {{12, -1, 62}, 6.5, 1.6},
       {{15, -1.5, 80}, 5.5, 2.6},
       {{13, -1.5, 98}, 6, 2.4},
       {{11, -1, 118}, 8, 1.6},
       {{9, -0.5, 140}, 11, 0.8},
       {{7, 0, 160}, 12, 0.8}});
  // The hollows between tendon and malleoli, the lateral one deeper; they run out below toward the heel.
  add({{{30, 22, 126}, 9, 0},
       {{29, 21, 104}, 10, -5.2},
       {{32, 23, 84}, 9, -5.4},
       {{37, 28, 66}, 8, -3.8},
       {{46, 32, 50}, 9, -1.0},
       {{58, 34, 46}, 8, 0}});
  add({{{28, -23, 124}, 9, 0},
       {{27, -21, 104}, 9, -2.6},
       {{29, -22, 86}, 8, -4.4},
       {{32, -26, 68}, 8, -4.0},
       {{42, -31, 47}, 8, -3.0},
       {{56, -33, 42}, 8, -2.0},
       {{70, -33, 42}, 8, 0}});
  // Malleoli: the lateral one lower, further back and sharper; the fibula above it shows, above the medial one the
  // flat of the tibia.
  add({{{57, -32, 52}, 8, 0}, {{58, -32, 64}, 8, 0.3}, {{57, -30, 80}, 8, 0.6}, {{56, -27, 100}, 8, 0}});
  add({{{57.5, -33, 61}, 6.5, 0.5}});
  add({{{69, 29, 70}, 9, 2.6}, {{68, 29, 80}, 10, 1.9}, {{66, 26, 96}, 10, 0.5}, {{64, 25, 112}, 10, 0}});
  add({{{69, 31, 72.5}, 7, 2.3}});
  // In front of the malleoli and below them.
  add({{{80, -26, 78}, 8, -1.6}, {{79, -30, 62}, 8, -3.0}, {{80, -31, 50}, 8, -2.0}});
  add({{{86, 24, 82}, 7, -1.2}, {{84, 31, 62}, 8, -2.0}, {{74, 33, 52}, 8, -2.0}});
  // The bend in front of the ankle, and tendons over it: tibialis anterior to the medial cuneiform, the extensors to
  // the toes.
  add({{{101, 3, 78}, 12, -1.6}});
  add({{{84, 8, 118}, 5, 0},
       {{88, 11, 98}, 4.5, 1.1},
       {{96, 17, 80}, 4.5, 1.3},
       {{108, 25, 60}, 4.5, 1.2},
       {{120, 32, 42}, 5, 0}});
  add({{{88, 2, 104}, 4, 0},
       {{102, 6, 78}, 3.5, 0.8},
       {{126, 12, 60}, 3.2, 0.9},
       {{150, 18, 48}, 3, 0.9},
       {{172, 23, 38}, 3, 0.8},
       {{188, 24, 31}, 3, 0}});
  const Vec3 heads[] = {{177, 1, 36}, {173, -13, 34}, {166, -26, 30}, {158, -39, 23}};
  for (const Vec3& head : heads) {
    const Vec3 root(104, -6 + 0.18 * head.y(), 73), middle = 0.55 * root + 0.45 * head + Vec3(0, 0, 4);
    add({{root, 4, 0}, {middle, 3, 0.6}, {head + Vec3(-12, 0, 4), 2.8, 0.8}, {head + Vec3(14, 0, -5), 2.8, 0}});
  }
  // Knuckles over the metatarsal heads and the furrows between the rays.
  add({{{176, 25, 37}, 8, 0.7}});
  for (const Vec3& head : heads) add({{head, 5.5, 0.8}});
  const Vec3 between[] = {{172, 13, 37}, {172, -6, 36}, {167, -19.5, 33}, {159, -32.5, 27}};
  for (const Vec3& p : between)
    add({{p + Vec3(-34, -0.1 * p.y(), 13), 4, 0},
         {p + Vec3(-10, 0, 3), 4, -0.9},
         {p + Vec3(10, 0, -4), 3.5, -0.9},
         {p + Vec3(20, 0, -9), 3, 0}});
  // Bony points of the borders: first and fifth metatarsal heads, navicular, base of the fifth metatarsal.
  add({{{172, 39, 17}, 9, 0.6}});
  add({{{94, 35, 41}, 8, 1.6}});
  add({{{89, -38, 19}, 8, 1.3}, {{97, -39, 18}, 8, 0.7}});
  // Heel: round behind and at the sides, the pad set off from what is above it.
  add({{{20, 30, 42}, 8, -0.8}, {{36, 33, 37}, 9, -1.4}, {{52, 34, 33}, 9, 0}});
  add({{{20, -30, 42}, 8, -0.8}, {{36, -33, 37}, 9, -1.4}, {{50, -34, 34}, 9, 0}});
  add({{{3, 0, 25}, 9, 0.4}});
  add({{{3, 0, 40}, 9, 2.4}});
  // Sole: balls of the hallux and the little toe on the floor and set off from their neighbours, the toes set off from
  // the ball.
  add({{{196, 11, 0}, 4, -1.2}, {{182, 12, 0}, 3.5, -1.4}, {{166, 12, 0}, 4, -1.2}, {{146, 9, 1}, 5, 0}});
  add({{{182, -29, 0}, 3.5, -0.6}, {{166, -29, 0}, 3.5, -0.8}, {{148, -27, 0}, 4, 0}});
  add({{{172, 25.5, 0}, 8, 1.1}});
  add({{{157, -38.5, 0}, 7, 1.0}});
  add({{{201, 38, 3}, 3.5, 0},
       {{200, 30, 1}, 3.5, -0.8},
       {{199, 22, 1}, 3.5, -0.9},
       {{197, 2, 2}, 3.5, -1.2},
       {{192, -13, 2}, 3.5, -1.2},
       {{184, -26, 2}, 3.5, -1.1},
       {{175, -39, 2}, 3.5, -0.8},
       {{170, -49, 4}, 3.5, 0}});
}

}  // namespace aplomb::template_tool
