// The foot as one implicit function: negative inside, about a distance in mm near the skin.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <functional>
#include <vector>

#include "relief.h"
#include "tables.h"

namespace aplomb::template_tool {

inline constexpr double cut_height_mm = 140.0;  ///< the tables end here: the leg is to be cut flat

/// Samples of a function on a box grid, read through cubic B-splines, so that no cell shows; clamped at the border.
class Grid {
 public:
  Grid(const Vec3& low, const Vec3& high, double step, const std::function<double(const Vec3&)>& function);
  /// Gaussian blur; sigma in mm.
  void smooth(double sigma);
  /// Blur, then give back what a second blur takes away: round shapes keep their size.
  void smooth_keeping_size(double sigma);
  double operator()(const Vec3& p) const;

 private:
  std::size_t index(int i, int j, int k) const;
  Vec3 low_;
  double step_;
  std::array<int, 3> count_{};
  std::vector<double> value_;
};

/// One toe: a superelliptic tube along a plan axis with a rounded tip.
class ToeShape {
 public:
  /// `toe` 0..4.
  ToeShape(const std::vector<ToeSection>& sections, const Vec3& tip_F, int toe);
  double operator()(const Vec3& p) const;
  /// mm from the tip backward along the plan axis.
  double from_tip(const Vec3& p) const { return tip_s_ - (p - origin_).dot(axis_); }
  /// mm along the skin to the border of the nail, - on the nail; large off the upper side.
  double from_nail_border(const Vec3& p) const;

 private:
  struct Section {
    double lateral, up, half_breadth, half_height, squareness, roll;
  };
  /// A point in its section: back from the tip, and across in the section's own, rolled axes.
  struct Place {
    Section section;
    double back, v, w;
  };
  Section at(double from_tip_mm) const;
  Place place(const Vec3& p) const;
  double off_nail(const Place& place) const;
  /// mm by which the skin sinks along the border of the nail.
  double nail_relief(const Place& place) const;
  Vec3 origin_, axis_, side_;
  double tip_s_ = 0, length_ = 0;
  int toe_ = 0;
  std::vector<Section> table_;  ///< over sqrt(from_tip)
};

/// y = y0 + slope x in plan.
struct PlanLine {
  double y0 = 0, slope = 0;
  double at(double x) const { return y0 + slope * x; }
};

class FootShape {
 public:
  explicit FootShape(const Anatomy& anatomy);
  double operator()(const Vec3& p) const;
  double toe(int k, const Vec3& p) const { return toes_[static_cast<std::size_t>(k)](p); }
  /// y of the wall between toes k and k + 1.
  double cleft_y(int k, double x) const { return walls_[static_cast<std::size_t>(k)].at(x); }
  /// Of the nearest nail.
  double from_nail_border(const Vec3& p) const;
  double toe_from_tip(int k, const Vec3& p) const { return toes_[static_cast<std::size_t>(k)].from_tip(p); }
  /// x of the foremost point of the web at this y (mid height).
  double web_x(double y) const;
  /// > 0 on the toes, mm about along x.
  double past_web(const Vec3& p) const;

 private:
  double toes(const Vec3& p, double past) const;
  Grid trunk_;
  Relief relief_;
  std::vector<ToeShape> toes_;
  std::array<PlanLine, 4> walls_;  ///< between neighbouring toes
  std::vector<Vec2> web_;
};

/// Smooth minimum with blend radius k (C1 cubic; exact where |a - b| >= k).
double smooth_min(double a, double b, double k);
double smooth_max(double a, double b, double k);
double smooth_step(double edge0, double edge1, double x);

}  // namespace aplomb::template_tool
