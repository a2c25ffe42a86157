// Trunk lofted from polar sections, five toes, and how they join.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shape.h"

#include <algorithm>
#include <boost/math/interpolators/makima.hpp>
#include <cmath>
#include <limits>

namespace aplomb::template_tool {

namespace {

using geometry::pi;
using Spline = boost::math::interpolators::makima<std::vector<double>>;

Spline spline(std::vector<double> x, std::vector<double> y) { return Spline(std::move(x), std::move(y)); }

/// Radii over (station, angle), tabulated finely from splines in both directions.
class PolarLoft {
 public:
  /// `parameter` maps a station to the spline variable, in which the stations must rise.
  PolarLoft(const std::vector<PolarSection>& sections, std::function<double(double)> parameter)
      : parameter_(std::move(parameter)) {
    std::vector<double> u;
    for (const PolarSection& s : sections) u.push_back(parameter_(s.station));
    low_ = u.front();
    step_ = (u.back() - u.front()) / (rows - 1);
    std::vector<Spline> radius;
    for (std::size_t k = 0; k < 24; ++k) {
      std::vector<double> r;
      for (const PolarSection& s : sections) r.push_back(s.radius_mm[k]);
      radius.push_back(spline(u, std::move(r)));
    }
    std::vector<double> cx, cy, cz;
    for (const PolarSection& s : sections) {
      cx.push_back(s.centre_F.x());
      cy.push_back(s.centre_F.y());
      cz.push_back(s.centre_F.z());
    }
    const Spline x = spline(u, cx), y = spline(u, cy), z = spline(u, cz);
    for (int i = 0; i < rows; ++i) {
      const double v = std::min(low_ + i * step_, u.back());
      centre_.emplace_back(x(v), y(v), z(v));
      // Three turns make the spline over the angle periodic.
      std::vector<double> angle, r;
      for (int k = -24; k < 48; ++k) {
        angle.push_back(k * pi / 12);
        r.push_back(radius[static_cast<std::size_t>((k + 24) % 24)](v));
      }
      const Spline around = spline(angle, r);
      for (int j = 0; j < columns; ++j) radius_.push_back(around(2 * pi * j / columns));
    }
  }

  /// Radius at a station (extrapolated along the end slope when `extrapolate`) and angle.
  double radius(double station, double angle) const {
    const auto [i, t] = row(station);
    const double c = angle / (2 * pi) * columns;
    const double wrapped = c - columns * std::floor(c / columns);
    const int j = std::min(static_cast<int>(wrapped), columns - 1);
    const double w = wrapped - j;
    const auto at = [&](int a, int b) { return radius_[static_cast<std::size_t>(a * columns + b % columns)]; };
    return (1 - t) * ((1 - w) * at(i, j) + w * at(i, j + 1)) + t * ((1 - w) * at(i + 1, j) + w * at(i + 1, j + 1));
  }
  Vec3 centre(double station) const {
    const auto [i, t] = row(station);
    return (1 - t) * centre_[static_cast<std::size_t>(i)] + t * centre_[static_cast<std::size_t>(i + 1)];
  }

 private:
  static constexpr int rows = 600, columns = 360;
  std::pair<int, double> row(double station) const {
    const double r = (parameter_(station) - low_) / step_;
    const int i = std::clamp(static_cast<int>(std::floor(r)), 0, rows - 2);
    return {i, r - i};
  }
  std::function<double(double)> parameter_;
  double low_ = 0, step_ = 1;
  std::vector<double> radius_;
  std::vector<Vec3> centre_;
};

/// The body's stations with a closing point at the heel and a section under the toe roots added, and the breadth that
/// fifteen-degree radii lose at the corners given back.
std::vector<PolarSection> complete_body(std::vector<PolarSection> body) {
  for (PolarSection& s : body) {
    double low = 0, high = 0;
    for (std::size_t k = 0; k < 24; ++k) {
      const double y = s.radius_mm[k] * std::cos(static_cast<double>(k) * pi / 12);
      low = std::min(low, y);
      high = std::max(high, y);
    }
    const double lost = 2 * s.half_breadth_mm / (high - low) - 1;
    for (std::size_t k = 0; k < 24; ++k) {
      const double c = std::cos(static_cast<double>(k) * pi / 12);
      s.radius_mm[k] *= 1 + lost * c * c;
    }
  }
  PolarSection heel;
  heel.station = 0;
  heel.centre_F = {0, 0, 20};
  heel.radius_mm.fill(0);
  body.insert(body.begin(), heel);
  // Under the toe roots the section flattens toward the toes' own height.
  PolarSection front = body.back();
  front.station = 196;
  front.centre_F = {196, -2, 12};
  for (std::size_t k = 0; k < 24; ++k) {
    const double c = std::cos(static_cast<double>(k) * pi / 12), s = std::sin(static_cast<double>(k) * pi / 12);
    front.radius_mm[k] *= 0.94 * c * c + (s > 0 ? 0.66 : 0.70) * s * s;
  }
  body.push_back(front);
  return body;
}

}  // namespace

double smooth_min(double a, double b, double k) {
  if (k <= 0) return std::min(a, b);
  const double h = std::max(k - std::abs(a - b), 0.0) / k;
  return std::min(a, b) - h * h * h * k / 6;
}

double smooth_max(double a, double b, double k) { return -smooth_min(-a, -b, k); }

double smooth_step(double edge0, double edge1, double x) {
  const double t = std::clamp((x - edge0) / (edge1 - edge0), 0.0, 1.0);
  return t * t * (3 - 2 * t);
}

Grid::Grid(const Vec3& low, const Vec3& high, double step, const std::function<double(const Vec3&)>& function)
    : low_(low), step_(step) {
  for (int a = 0; a < 3; ++a)
    count_[static_cast<std::size_t>(a)] = static_cast<int>(std::ceil((high - low)[a] / step)) + 1;
  value_.resize(static_cast<std::size_t>(count_[0]) * static_cast<std::size_t>(count_[1]) *
                static_cast<std::size_t>(count_[2]));
  for (int i = 0; i < count_[0]; ++i)
    for (int j = 0; j < count_[1]; ++j)
      for (int k = 0; k < count_[2]; ++k) value_[index(i, j, k)] = function(low + step * Vec3(i, j, k));
}

std::size_t Grid::index(int i, int j, int k) const {
  return (static_cast<std::size_t>(i) * static_cast<std::size_t>(count_[1]) + static_cast<std::size_t>(j)) *
             static_cast<std::size_t>(count_[2]) +
         static_cast<std::size_t>(k);
}

void Grid::smooth(double sigma) {
  const int reach = static_cast<int>(std::ceil(3 * sigma / step_));
  std::vector<double> kernel;
  double sum = 0;
  for (int d = -reach; d <= reach; ++d) {
    kernel.push_back(std::exp(-0.5 * d * d * step_ * step_ / (sigma * sigma)));
    sum += kernel.back();
  }
  for (double& w : kernel) w /= sum;
  for (int axis = 0; axis < 3; ++axis) {
    std::vector<double> out(value_.size());
    for (int i = 0; i < count_[0]; ++i) {
      for (int j = 0; j < count_[1]; ++j) {
        for (int k = 0; k < count_[2]; ++k) {
          double blurred = 0;
          for (int d = -reach; d <= reach; ++d) {
            std::array<int, 3> at{i, j, k};
            auto& c = at[static_cast<std::size_t>(axis)];
            c = std::clamp(c + d, 0, count_[static_cast<std::size_t>(axis)] - 1);
            blurred += kernel[static_cast<std::size_t>(d + reach)] * value_[index(at[0], at[1], at[2])];
          }
          out[index(i, j, k)] = blurred;
        }
      }
    }
    value_ = std::move(out);
  }
}

void Grid::smooth_keeping_size(double sigma) {
  smooth(sigma);
  const std::vector<double> once = value_;
  smooth(sigma);
  for (std::size_t i = 0; i < value_.size(); ++i) value_[i] = 2 * once[i] - value_[i];
}

double Grid::operator()(const Vec3& p) const {
  std::array<std::array<std::size_t, 4>, 3> at{};
  std::array<std::array<double, 4>, 3> weight{};
  for (std::size_t a = 0; a < 3; ++a) {
    const int last = count_[a] - 1;
    const double g = std::clamp((p - low_)[static_cast<int>(a)] / step_, 0.0, static_cast<double>(last));
    const int cell = std::min(static_cast<int>(g), last - 1);
    const double t = g - cell, s = 1 - t;
    weight[a] = {s * s * s / 6, (4 - 6 * t * t + 3 * t * t * t) / 6, (4 - 6 * s * s + 3 * s * s * s) / 6,
                 t * t * t / 6};
    for (int k = 0; k < 4; ++k)
      at[a][static_cast<std::size_t>(k)] = static_cast<std::size_t>(std::clamp(cell + k - 1, 0, last));
  }
  double sum = 0;
  for (std::size_t i = 0; i < 4; ++i) {
    for (std::size_t j = 0; j < 4; ++j) {
      const double* row = &value_[index(static_cast<int>(at[0][i]), static_cast<int>(at[1][j]), 0)];
      double along = 0;
      for (std::size_t k = 0; k < 4; ++k) along += weight[2][k] * row[at[2][k]];
      sum += weight[0][i] * weight[1][j] * along;
    }
  }
  return sum;
}

namespace {

double bump(double x, double middle, double sigma) {
  const double t = (x - middle) / sigma;
  return std::exp(-t * t / 2);
}

/// What a toe has between the tables' stations, mm on each side; t = 0 at the MTP joint, 1 at the tip [guess].
struct ToeDetail {
  double breadth, top, bottom;  ///< outward
};
ToeDetail detail(int toe, double t) {
  // A neck behind the pad, a root that fills the space to its neighbours, a knuckle, a crease behind the pad.
  if (toe == 0)
    return {1.0 * bump(t, 0.28, 0.12) - 0.6 * bump(t, 0.52, 0.07) + 0.2 * bump(t, 0.74, 0.08),
            0.4 * bump(t, 0.53, 0.06) - 0.3 * bump(t, 0.66, 0.05), -0.9 * bump(t, 0.52, 0.05)};
  return {(toe == 1 ? 1.3 : 0.9) * bump(t, 0.24, 0.13) - 0.8 * bump(t, 0.66, 0.05) + 0.2 * bump(t, 0.81, 0.08),
          0.5 * bump(t, 0.52, 0.06) - 0.4 * bump(t, 0.66, 0.05), (toe == 4 ? -0.2 : 0.2) * bump(t, 0.80, 0.10)};
}

/// How far the outer toes roll inward, so that their nails face outward.
double full_roll(int toe) {
  constexpr double roll_deg[] = {0, 0, 4, 10, 20};
  return roll_deg[toe] * geometry::rad_per_deg;
}

struct Nail {
  double middle, half_length, half_width;  ///< from the tip, along, across; mm
};
Nail nail_of(int toe) {
  constexpr Nail nails[] = {{8.6, 6.4, 7.2}, {5.6, 3.8, 4.2}, {5.3, 3.6, 3.9}, {5.0, 3.3, 3.7}, {4.5, 2.8, 3.2}};
  return nails[toe];
}

}  // namespace

ToeShape::ToeShape(const std::vector<ToeSection>& sections, const Vec3& tip_F, int toe) : toe_(toe) {
  origin_ = sections.front().centre_F;
  axis_ = sections.front().normal_F;
  side_ = Vec3::UnitZ().cross(axis_).normalized();  // medial
  tip_s_ = (tip_F - origin_).dot(axis_);
  // Over the square root of the distance from the tip the outline leaves the tip with a finite slope: a rounded end.
  std::vector<double> u{0}, lateral{(tip_F - origin_).dot(side_)}, up{tip_F.z()}, breadth{0}, height{0}, n{2};
  for (auto s = sections.rbegin(); s != sections.rend(); ++s) {
    u.push_back(std::sqrt(tip_s_ - (s->centre_F - origin_).dot(axis_)));
    lateral.push_back((s->centre_F - origin_).dot(side_));
    up.push_back(s->centre_F.z());
    breadth.push_back(s->half_breadth_mm);
    height.push_back(s->half_height_mm);
    n.push_back(s->squareness);
  }
  // Behind the first station it goes on as it came, so that no edge shows where the foot's own sections take over.
  constexpr double run_out_mm = 20;
  const double ahead = (sections[1].centre_F - origin_).dot(axis_), scale = run_out_mm / ahead;
  u.push_back(std::sqrt(tip_s_ + run_out_mm));
  for (auto* list : {&lateral, &up, &breadth, &height, &n})
    list->push_back(list->back() + scale * (list->back() - (*list)[list->size() - 2]));
  length_ = tip_s_ + run_out_mm;
  const Spline l = spline(u, lateral), z = spline(u, up), b = spline(u, breadth), h = spline(u, height),
               q = spline(u, n);
  constexpr int samples = 400;
  for (int i = 0; i <= samples; ++i) {
    const double v = u.back() * i / samples;
    const double t = 1 - 1.12 * v * v / tip_s_;  // the first station lies 12 % behind the joint
    const ToeDetail d = detail(toe, t);
    table_.push_back({l(v), z(v) + (d.top - d.bottom) / 2, b(v) + d.breadth, h(v) + (d.top + d.bottom) / 2, q(v),
                      full_roll(toe) * smooth_step(0.25, 0.75, t)});
  }
}

ToeShape::Section ToeShape::at(double from_tip_mm) const {
  const double v =
      std::sqrt(std::clamp(from_tip_mm, 0.0, length_)) / std::sqrt(length_) * static_cast<double>(table_.size() - 1);
  const auto i = std::min(static_cast<std::size_t>(v), table_.size() - 2);
  const double t = v - static_cast<double>(i);
  const Section &a = table_[i], &b = table_[i + 1];
  const auto mix = [&](double Section::*m) { return a.*m + t * (b.*m - a.*m); };
  return {mix(&Section::lateral),     mix(&Section::up),         mix(&Section::half_breadth),
          mix(&Section::half_height), mix(&Section::squareness), mix(&Section::roll)};
}

ToeShape::Place ToeShape::place(const Vec3& p) const {
  Place place{at(from_tip(p)), from_tip(p), 0, 0};
  const double v = (p - origin_).dot(side_) - place.section.lateral, w = p.z() - place.section.up;
  const double c = std::cos(place.section.roll), s = std::sin(place.section.roll);
  place.v = c * v + s * w;
  place.w = c * w - s * v;
  return place;
}

double ToeShape::operator()(const Vec3& p) const {
  const Place place = this->place(p);
  const Section& s = place.section;
  const double back = place.back, d = std::hypot(place.v, place.w);
  if (back <= 0) return std::hypot(d, back);
  double cross = 0;
  if (d < 1e-9) {
    cross = -std::min(s.half_breadth, s.half_height);
  } else {
    const double rho = std::pow(std::pow(std::abs(place.v) / s.half_breadth, s.squareness) +
                                    std::pow(std::abs(place.w) / s.half_height, s.squareness),
                                1 / s.squareness);
    cross = d * (1 - 1 / rho);
  }
  // The tube narrows toward the tip: divide by the steepness of the outline to keep a distance.
  const double slope =
      (at(back + 0.2).half_breadth - at(std::max(back - 0.2, 0.0)).half_breadth) / (0.2 + std::min(back, 0.2));
  return cross / std::sqrt(1 + slope * slope) + nail_relief(place);
}

double ToeShape::off_nail(const Place& place) const {
  if (place.w <= 0) return 1e9;
  const Nail nail = nail_of(toe_);
  const double a = (place.back - nail.middle) / nail.half_length, b = place.v / nail.half_width;
  const double q = std::sqrt(std::sqrt(a * a * a * a + b * b * b * b));
  return (q - 1) * (q < 1e-6 ? nail.half_length : std::min(nail.half_length, nail.half_width));
}

double ToeShape::from_nail_border(const Vec3& p) const { return off_nail(place(p)); }

double ToeShape::nail_relief(const Place& place) const {
  const double off = off_nail(place);
  if (off > 4) return 0;
  const Nail nail = nail_of(toe_);
  const double size = toe_ == 0 ? 1 : 0.7;
  // At the free edge the nail stands over the pulp instead of lying in a fold.
  const double folded = smooth_step(-1.0, -0.4, (place.back - nail.middle) / nail.half_length);
  const double groove = (0.2 + 0.25 * folded) * bump(off, 0.1, 0.5), fold = 0.2 * folded * bump(off, 1.5, 0.8);
  return size * (groove - fold) * smooth_step(0, 2, place.w);
}

namespace {

/// Distance from a loft whose rear end closes like a paraboloid: squared radii run on below zero behind the end.
double closed_end(const PolarLoft& loft, const Vec3& p) {
  constexpr double h = 0.5;
  const Vec3 c = loft.centre(std::max(p.x(), 0.0));
  const double d = std::hypot(p.y() - c.y(), p.z() - c.z()), angle = std::atan2(p.z() - c.z(), p.y() - c.y());
  const auto squared = [&](double x) {
    const double r = loft.radius(std::max(x, h), angle);
    return x < h ? r * r * x / h : r * r;
  };
  const double value = d * d - squared(p.x()), along = (squared(p.x() + h) - squared(p.x() - h)) / (2 * h);
  const double r = std::max(loft.radius(std::max(p.x(), h), angle), 1.0);
  const double across =
      (loft.radius(std::max(p.x(), h), angle + 0.02) - loft.radius(std::max(p.x(), h), angle - 0.02)) / 0.04 / r;
  return std::max(-25.0, value / std::sqrt(along * along + 4 * d * d * (1 + across * across) + 1e-9));
}

/// Distance from a loft far from its ends; (a, b) are the coordinates across the stations.
double radial(const PolarLoft& loft, double station, const Vec2& p, const Vec2& centre) {
  const Vec2 q = p - centre;
  const double d = q.norm(), angle = std::atan2(q.y(), q.x()), r = loft.radius(station, angle);
  // Divide by the steepness across and along to turn the radial excess into a distance.
  const double across =
      (loft.radius(station, angle + 0.02) - loft.radius(station, angle - 0.02)) / 0.04 / std::max(r, 1.0);
  const double along = loft.radius(station + 0.5, angle) - loft.radius(station - 0.5, angle);
  return (d - r) / std::sqrt(1 + across * across + along * along);
}

Grid make_trunk(const Anatomy& anatomy) {
  const PolarLoft body(complete_body(anatomy.body), [](double x) { return x > 0 ? std::sqrt(x) : 0.0; });
  const PolarLoft shank(anatomy.shank, [](double z) { return z; });
  const auto raw = [&](const Vec3& p) {
    const double at_heel = 1 - smooth_step(14, 28, p.x());
    const double z = std::max(p.z(), 56.0);
    double f_body = 0;
    if (at_heel > 0) f_body += at_heel * closed_end(body, p);
    if (at_heel < 1)
      f_body += (1 - at_heel) * radial(body, p.x(), {p.y(), p.z()}, {body.centre(p.x()).y(), body.centre(p.x()).z()});
    const double f_shank = radial(shank, z, {p.x(), p.y()}, {shank.centre(z).x(), shank.centre(z).y()});
    // The body sections are clipped at z 74 and the shank sections start at z 62: between these both hold.
    const double t = smooth_step(60, 73, p.z());
    return (1 - t) * f_body + t * f_shank;
  };
  Grid sharp({-12, -72, -16}, {216, 64, 156}, 1.5, raw);
  Grid soft = sharp;
  sharp.smooth_keeping_size(2.2);
  // Where leg and foot meet their sections agree only to a few millimetres.
  soft.smooth_keeping_size(5.5);
  return Grid({-12, -72, -16}, {216, 64, 156}, 1.5, [&](const Vec3& p) {
    const double at_ankle =
        smooth_step(28, 44, p.z()) * (1 - smooth_step(90, 112, p.z())) * (1 - smooth_step(100, 124, p.x()));
    // Behind, the sections close toward a point.
    const double at_heel = smooth_step(4, 16, p.z()) * (1 - smooth_step(20, 60, p.x()));
    // The sole's sections have edges along the arch that real ones lack.
    const double at_arch = smooth_step(36, 60, p.x()) * (1 - smooth_step(135, 160, p.x())) *
                           (1 - smooth_step(20, 40, p.z() - 0.4 * p.y()));
    // Over the toe roots there is one section more than in the tables.
    const double at_ball = smooth_step(140, 162, p.x()) * smooth_step(12, 26, p.z());
    const double w = 1 - (1 - at_ankle) * (1 - at_heel) * (1 - at_arch) * (1 - at_ball);
    return (1 - w) * sharp(p) + w * soft(p);
  });
}

/// y of a toe's edge over x, along straight lines between its sections.
double edge_y(const std::vector<ToeSection>& toe, double x, double side) {
  std::size_t i = 0;
  while (i + 2 < toe.size() && toe[i + 1].centre_F.x() < x) ++i;
  const double t = (x - toe[i].centre_F.x()) / (toe[i + 1].centre_F.x() - toe[i].centre_F.x());
  const auto y = [&](const ToeSection& s) { return s.centre_F.y() + side * s.half_breadth_mm; };
  return (1 - t) * y(toe[i]) + t * y(toe[i + 1]);
}

/// The straight upright wall that best halves the space between two toes from the web to the shorter one's end.
PlanLine wall_between(const std::vector<ToeSection>& inner, const std::vector<ToeSection>& outer) {
  const double from = outer[2].centre_F.x(), to = outer.back().centre_F.x();
  constexpr int samples = 20;
  double sx = 0, sy = 0, sxx = 0, sxy = 0;
  for (int i = 0; i < samples; ++i) {
    const double x = from + (to - from) * i / (samples - 1), y = (edge_y(inner, x, -1) + edge_y(outer, x, 1)) / 2;
    sx += x;
    sy += y;
    sxx += x * x;
    sxy += x * y;
  }
  const double slope = (samples * sxy - sx * sy) / (samples * sxx - sx * sx);
  return {(sy - slope * sx) / samples, slope};
}

}  // namespace

FootShape::FootShape(const Anatomy& anatomy) : trunk_(make_trunk(anatomy)) {
  for (int k = 0; k < 5; ++k)
    toes_.emplace_back(anatomy.toes[static_cast<std::size_t>(k)],
                       anatomy.points.at("tip" + std::to_string(k + 1)).position_F, k);
  for (std::size_t k = 0; k < 4; ++k) walls_[k] = wall_between(anatomy.toes[k], anatomy.toes[k + 1]);
  web_ = {{-70, 170},  {-45, 170.5}, {-33.5, 174.2}, {-20.3, 184}, {-6.8, 190.5},
          {11.5, 192}, {24, 190},    {38, 186},      {60, 184}};
}

double FootShape::web_x(double y) const {
  const double c = std::clamp(y, web_.front().x(), web_.back().x());
  std::size_t i = 0;
  while (i + 2 < web_.size() && web_[i + 1].x() < c) ++i;
  return web_[i].y() + (c - web_[i].x()) / (web_[i + 1].x() - web_[i].x()) * (web_[i + 1].y() - web_[i].y());
}

double FootShape::from_nail_border(const Vec3& p) const {
  double least = std::numeric_limits<double>::infinity();
  for (const ToeShape& toe : toes_)
    if (const double off = toe.from_nail_border(p); std::abs(off) < std::abs(least) && toe(p) < 2) least = off;
  return least;
}

double FootShape::past_web(const Vec3& p) const {
  // The web recedes from the sole to the dorsum.
  return p.x() - web_x(p.y()) + 0.35 * (p.z() - 12);
}

double FootShape::toes(const Vec3& p, double past) const {
  std::array<double, 5> t{};
  for (std::size_t k = 0; k < 5; ++k) t[k] = toes_[k](p);
  // Behind the web the roots melt into one; from the web forward neighbours are kept apart by a wall of air.
  const double melt = 7 * (1 - smooth_step(-9, -1, past));
  // It is widest at the web, which would else be a slit too narrow to mesh, and narrowest beside the round pads.
  const double parted = 0.7 + 0.55 * (1 - smooth_step(5, 17, past));
  const double gap = -8 + (8 + parted) * smooth_step(-8, 2, past);
  double f = std::numeric_limits<double>::infinity();
  for (std::size_t k = 0; k < 5; ++k) {
    double toe = t[k];
    if (k > 0) toe = smooth_max(toe, p.y() - walls_[k - 1].at(p.x()) + gap / 2, 0.8);
    if (k < 4) toe = smooth_max(toe, walls_[k].at(p.x()) - p.y() + gap / 2, 0.8);
    f = k == 0 ? toe : smooth_min(f, toe, melt);
  }
  return f;
}

double FootShape::operator()(const Vec3& p) const {
  const double past = past_web(p);
  // Trunk and toe roots describe the same skin here: going over from one to the other leaves no ridge, as a union
  // would.
  const double t = smooth_step(-22, 2, past);
  const double skin = t <= 0 ? trunk_(p) : t >= 1 ? toes(p, past) : (1 - t) * trunk_(p) + t * toes(p, past);
  return skin - relief_(p);
}

}  // namespace aplomb::template_tool
