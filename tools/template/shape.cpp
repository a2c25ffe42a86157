// Trunk lofted from polar sections, five toes, and how they join.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shape.h"

#include <algorithm>
#include <boost/math/interpolators/makima.hpp>
#include <cmath>

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

/// Ellipsoid, about a distance near its surface.
double ellipsoid(const Vec3& p, const Vec3& centre, const Vec3& radii) {
  const Vec3 q = (p - centre).cwiseQuotient(radii);
  const double n = q.norm();
  if (n < 1e-9) return -radii.minCoeff();
  return (n - 1) * n / q.cwiseQuotient(radii).norm();
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
  for (int a = 0; a < 3; ++a) count_[static_cast<std::size_t>(a)] = static_cast<int>(std::ceil((high - low)[a] / step)) + 1;
  value_.resize(static_cast<std::size_t>(count_[0]) * static_cast<std::size_t>(count_[1]) * static_cast<std::size_t>(count_[2]));
  for (int i = 0; i < count_[0]; ++i)
    for (int j = 0; j < count_[1]; ++j)
      for (int k = 0; k < count_[2]; ++k) value_[index(i, j, k)] = function(low + step * Vec3(i, j, k));
}

std::size_t Grid::index(int i, int j, int k) const {
  return (static_cast<std::size_t>(i) * static_cast<std::size_t>(count_[1]) + static_cast<std::size_t>(j)) * static_cast<std::size_t>(count_[2]) +
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

double Grid::operator()(const Vec3& p) const {
  std::array<int, 3> cell{};
  Vec3 t;
  for (int a = 0; a < 3; ++a) {
    const double g = (p - low_)[a] / step_;
    auto& c = cell[static_cast<std::size_t>(a)];
    c = std::clamp(static_cast<int>(std::floor(g)), 0, count_[static_cast<std::size_t>(a)] - 2);
    t[a] = std::clamp(g - c, 0.0, 1.0);
  }
  double sum = 0;
  for (int corner = 0; corner < 8; ++corner) {
    const int a = corner & 1, b = (corner >> 1) & 1, c = (corner >> 2) & 1;
    sum += (a ? t[0] : 1 - t[0]) * (b ? t[1] : 1 - t[1]) * (c ? t[2] : 1 - t[2]) *
           value_[index(cell[0] + a, cell[1] + b, cell[2] + c)];
  }
  return sum;
}

ToeShape::ToeShape(const std::vector<ToeSection>& sections, const Vec3& tip_F, bool hallux) : hallux_(hallux) {
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
  length_ = tip_s_;
  const Spline l = spline(u, lateral), z = spline(u, up), b = spline(u, breadth), h = spline(u, height), q = spline(u, n);
  constexpr int samples = 400;
  for (int i = 0; i <= samples; ++i) {
    const double v = u.back() * i / samples;
    table_.push_back({l(v), z(v), b(v), h(v), q(v)});
  }
}

ToeShape::Section ToeShape::at(double from_tip_mm) const {
  const double v = std::sqrt(std::clamp(from_tip_mm, 0.0, length_)) / std::sqrt(length_) * static_cast<double>(table_.size() - 1);
  const auto i = std::min(static_cast<std::size_t>(v), table_.size() - 2);
  const double t = v - static_cast<double>(i);
  const Section &a = table_[i], &b = table_[i + 1];
  return {a.lateral + t * (b.lateral - a.lateral), a.up + t * (b.up - a.up),
          a.half_breadth + t * (b.half_breadth - a.half_breadth), a.half_height + t * (b.half_height - a.half_height),
          a.squareness + t * (b.squareness - a.squareness)};
}

double ToeShape::operator()(const Vec3& p) const {
  const double back = from_tip(p);
  const Section s = at(back);
  const double v = (p - origin_).dot(side_) - s.lateral, w = p.z() - s.up;
  const double d = std::hypot(v, w);
  if (back <= 0) return std::hypot(d, back);
  double cross = 0;
  if (d < 1e-9) {
    cross = -std::min(s.half_breadth, s.half_height);
  } else {
    const double rho = std::pow(std::pow(std::abs(v) / s.half_breadth, s.squareness) + std::pow(std::abs(w) / s.half_height, s.squareness),
                                1 / s.squareness);
    cross = d * (1 - 1 / rho);
  }
  // The tube narrows toward the tip: divide by the steepness of the outline to keep a distance.
  const double slope = (at(back + 0.2).half_breadth - at(std::max(back - 0.2, 0.0)).half_breadth) / (0.2 + std::min(back, 0.2));
  const double along = cross / std::sqrt(1 + slope * slope);
  return smooth_max(along, back - length_, 4);
}

namespace {

Grid make_trunk(const Anatomy& anatomy) {
  const PolarLoft body(complete_body(anatomy.body), [](double x) { return x > 0 ? std::sqrt(x) : 0.0; });
  const PolarLoft shank(anatomy.shank, [](double z) { return z; });
  const auto radial = [](const PolarLoft& loft, double station, double a, double b, double ca, double cb) {
    const double d = std::hypot(a - ca, b - cb), angle = std::atan2(b - cb, a - ca);
    const double r = loft.radius(station, angle);
    // Divide by the steepness across and along to turn the radial excess into a distance.
    const double across = (loft.radius(station, angle + 0.02) - loft.radius(station, angle - 0.02)) / 0.04 / std::max(r, 1.0);
    const double along = (loft.radius(station + 0.5, angle) - loft.radius(station - 0.5, angle)) / 1.0;
    return (d - r) / std::sqrt(1 + across * across + along * along);
  };
  const auto raw = [&](const Vec3& p) {
    const Vec3 cb = body.centre(p.x());
    const double f_body = p.x() < 0 ? std::hypot(p.x(), p.y(), p.z() - 20) : radial(body, p.x(), p.y(), p.z(), cb.y(), cb.z());
    const double z = std::max(p.z(), 56.0);
    const Vec3 cs = shank.centre(z);
    const double f_shank = radial(shank, z, p.x(), p.y(), cs.x(), cs.y());
    // The body sections are clipped at z 74 and the shank sections start at z 62: between these both hold.
    const double t = smooth_step(60, 73, p.z());
    return (1 - t) * f_body + t * f_shank;
  };
  Grid grid({-12, -72, -16}, {216, 64, 156}, 1.5, raw);
  grid.smooth(2.2);
  return grid;
}

}  // namespace

FootShape::FootShape(const Anatomy& anatomy) : trunk_(make_trunk(anatomy)) {
  for (int k = 0; k < 5; ++k)
    toes_.emplace_back(anatomy.toes[static_cast<std::size_t>(k)], anatomy.points.at("tip" + std::to_string(k + 1)).position_F, k == 0);
  web_ = {{-70, 150}, {-52, 158}, {-45, 165}, {-33.5, 174}, {-20.3, 183}, {-6.8, 189}, {11.5, 190}, {24, 186}, {38, 178}, {60, 168}};
}

double FootShape::web_x(double y) const {
  const double c = std::clamp(y, web_.front().x(), web_.back().x());
  std::size_t i = 0;
  while (i + 2 < web_.size() && web_[i + 1].x() < c) ++i;
  return web_[i].y() + (c - web_[i].x()) / (web_[i + 1].x() - web_[i].x()) * (web_[i + 1].y() - web_[i].y());
}

double FootShape::body(const Vec3& p) const {
  double f = trunk_(p);
  // Malleoli: the lateral one lower and further back than the medial one.
  f = smooth_min(f, ellipsoid(p, {58, -21.5, 62}, {10.5, 11.6, 14}), 6);
  f = smooth_min(f, ellipsoid(p, {68, 21.5, 73}, {12, 11.2, 14}), 6);
  // The web recedes from the sole to the dorsum.
  const double front = p.x() - (web_x(p.y()) + 0.3 * (12 - p.z()));
  return smooth_max(f, 0.8 * front, 9);
}

double FootShape::operator()(const Vec3& p) const {
  const double trunk = body(p);
  if (p.x() < 140) return trunk;
  std::array<double, 5> t{};
  for (std::size_t k = 0; k < 5; ++k) t[k] = toes_[k](p);
  double f = trunk;
  for (std::size_t k = 0; k < 5; ++k) {
    double toe = t[k];
    // From the web forward neighbours are kept apart by a wall of air midway between them.
    const double past_web = p.x() - web_x(p.y());
    const double gap = -8 + 9.0 * smooth_step(-8, 4, past_web);
    if (k > 0) toe = smooth_max(toe, (toe - t[k - 1] + gap) / 2, 0.6);
    if (k < 4) toe = smooth_max(toe, (toe - t[k + 1] + gap) / 2, 0.6);
    const double radius = 6;
    f = std::min(f, smooth_min(trunk, toe, radius));
  }
  return f;
}

}  // namespace aplomb::template_tool
