// Shapes of the giving wall as smooth functions of height and of the direction from the box's axis.
//
// The angle u by arc length is written as u = theta + sum_k c_k(z) sin(k theta), theta the polar angle about the axis:
// six terms follow the arc to about a degree, and what they miss only renames the modes, whose stiffness is computed
// from these very functions.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/shoe/wall_give.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "natural_spline.h"
#include "wall_patch.h"

namespace aplomb::shoe {

namespace {

constexpr int bends = 6;                       // terms of u - theta
constexpr int channels = 9;                    // c_1 .. c_6, m_2 .. m_4
constexpr int knots = 9;                       // up the wall
constexpr double vamp_edge_cos = 0.5;          // 60 degrees to either side of the middle of the dorsum
constexpr double least_vamp_mm = 3;            // less is no vamp
constexpr double beyond_the_wing_mm = 12;      // further up no skin is asked about: the cover has faded
constexpr double steepest_at_mm = 20;          // from the axis; any will do
constexpr double no_wall_mm = 1;               // from the axis
constexpr double clear_of_platform_mm = 0.06;  // what rests on the platform does not feel the wall move

/// C3 step from 0 at t <= 0 to 1 at t >= 1, with two derivatives.
void step(double t, double& value, double& first, double& second) {
  t = std::clamp(t, 0.0, 1.0);
  const double w = t * (1 - t);
  value = t * t * t * t * (35 + t * (-84 + t * (70 - 20 * t)));
  first = 140 * w * w * w;
  second = 420 * w * w * (1 - 2 * t);
}

/// Smooth start of the hats: 0 up to t = -e, t from e on (the ramp of contact, C2).
void rise(double t, double e, double& value, double& first, double& second) {
  if (t <= -e) {
    value = first = second = 0;
  } else if (t >= e) {
    value = t, first = 1, second = 0;
  } else {
    const double a = t + e, scale = 1 / (16 * e * e * e);
    value = a * a * a * (3 * e - t) * scale;
    first = a * a * (8 * e - 4 * t) * scale;
    second = a * (12 * e - 12 * t) * scale;
  }
}

/// Arc between two neighbours of a ring from how fast they pass and how that changes, fourth order.
double stretch(const BoxSurface::RingPoint& a, const BoxSurface::RingPoint& b, double turn) {
  const double fast_a = a.first.norm(), fast_b = b.first.norm();
  const double faster_a = a.first.dot(a.second) / fast_a, faster_b = b.first.dot(b.second) / fast_b;
  return turn * ((fast_a + fast_b) / 2 + turn * (faster_a - faster_b) / 12);
}

}  // namespace

struct WallGive::Tables {
  double base_z = 0, lean = 0;
  double start_z = 0, rise_mm = 1;  // of the hats
  double cap_z = 0, vamp_mm = 0;    // where the vamp begins, and its length to the throat; 0: none
  NaturalSpline<hats> hat;          // of the risen height
  NaturalSpline<channels> shape;    // of z
  // Largest slopes of each shape, by the angle about the axis and by z at a fixed angle.
  std::array<double, shape_count> by_angle{}, by_z{};
};

WallGive::WallGive(const BoxSurface& box) {
  auto tables = std::make_shared<Tables>();
  tables->base_z = box.platform_z();
  tables->lean = box.axis_x(tables->base_z + 1);
  tables->cap_z = box.cap_z();
  tables->vamp_mm = box.wall_point(0, box.cut_v(0)).position_S.z() - box.cap_z();
  const double edge_mm = box.rounding_end_z() - box.platform_z();
  tables->rise_mm = (edge_mm - clear_of_platform_mm) / 2;
  tables->start_z = box.platform_z() + clear_of_platform_mm + tables->rise_mm;
  Eigen::Array<double, hats, Eigen::Dynamic> unit(hats, hats + 1);
  unit.setZero();
  unit.rightCols<hats>() = Eigen::Matrix3d::Identity().array();
  tables->hat = NaturalSpline<hats>(0, (box.highest_cut_z() - tables->start_z) / hats, unit);

  // A knot of the wall's splines and the middle between two, in turn: Simpson's rule over each cell.
  constexpr int around = 2 * patch_period;
  const auto share = [](int i) { return (i % 2 == 0 ? 2.0 : 4.0) / (3 * around); };
  const double low = box.rounding_end_z(), step = (box.highest_cut_z() - low) / (knots - 1);
  Eigen::Array<double, channels, Eigen::Dynamic> samples(channels, knots);
  for (int k = 0; k < knots; ++k) {
    const double z = low + k * step, axis = box.axis_x(z);
    const auto ring = box.ring(z, around);
    // The last stands for the first, a turn on.
    const auto at = [&](int i) -> const BoxSurface::RingPoint& { return ring[static_cast<std::size_t>(i % around)]; };
    Eigen::ArrayXd theta(around + 1), cos1(around + 1), sin1(around + 1), arc(around + 1);
    Eigen::Array<double, Eigen::Dynamic, bends> sines(around + 1, bends);
    arc[0] = 0;
    for (int i = 0; i <= around; ++i) {
      const Vec3& p = at(i).position_S;
      const double X = p.x() - axis, r = std::hypot(X, p.y());
      cos1[i] = X / r, sin1[i] = p.y() / r;
      theta[i] = std::atan2(p.y(), X);
      if (theta[i] < -1e-9) theta[i] += 2 * geometry::pi;
      double ck = 1, sk = 0;
      for (int b = 0; b < bends; ++b) {
        const double turned = ck * cos1[i] - sk * sin1[i];
        sk = sk * cos1[i] + ck * sin1[i];
        ck = turned;
        sines(i, b) = sk;
      }
      // Arc length in place of the patch's own parameter, which is even on the mean section only.
      if (i > 0) arc[i] = arc[i - 1] + stretch(at(i - 1), at(i), 1.0 / around);
    }
    theta[around] = 2 * geometry::pi;
    // d theta / d turn of each point.
    const auto pace = [&](int i) {
      const BoxSurface::RingPoint& p = at(i);
      return (cos1[i] * p.first.y() - sin1[i] * p.first.x()) / std::hypot(p.position_S.x() - axis, p.position_S.y());
    };
    const Eigen::ArrayXd off = 2 * geometry::pi / arc[around] * arc - theta;
    Eigen::Array<double, bends, 1> c = Eigen::Array<double, bends, 1>::Zero();
    for (int i = 0; i < around; ++i) c += share(i) * pace(i) / geometry::pi * off[i] * sines.row(i).transpose();
    samples.col(k).head<bends>() = c;
    // Mean of cos(n u) over the directions of the normal: what would stretch the ring.
    Eigen::Array3d mean = Eigen::Array3d::Zero();
    double turned = 0;
    for (int i = 0; i < around; ++i) {
      const BoxSurface::RingPoint& p = at(i);
      const double turn =
          share(i) * (p.first.x() * p.second.y() - p.first.y() * p.second.x()) / p.first.head<2>().squaredNorm();
      const double d = (c.transpose() * sines.row(i)).sum();
      const double cu = cos1[i] * std::cos(d) - sin1[i] * std::sin(d);
      turned += turn;
      double before = 1, cn = cu;
      for (int n = first_n; n <= last_n; ++n) {
        const double next = 2 * cu * cn - before;  // cos(n u) from the two before
        before = cn, cn = next;
        mean[n - first_n] += turn * cn;
      }
    }
    samples.col(k).tail<3>() = mean / turned;
  }
  tables->shape = NaturalSpline<channels>(low, step, samples);
  tables_ = tables;
  find_steepest(*tables, box.highest_cut_z() + beyond_the_wing_mm);
}

void WallGive::find_steepest(Tables& t, double high) const {
  // Products of at most four waves round the wall and nine knots up it: on this grid the largest slopes are missed by
  // a few percent at most.
  constexpr int directions = 48, heights = 24;
  constexpr double missed = 1.1;
  const double low = t.start_z - t.rise_mm;
  const Eigen::VectorXd none = Eigen::VectorXd::Zero(shape_count);
  geometry::GiveSample s;
  for (int k = 1; k <= heights; ++k) {
    const double z = low + (high - low) * k / heights, axis = t.lean * (z - t.base_z);
    for (int i = 0; i < directions; ++i) {
      const double angle = 2 * geometry::pi * i / directions;
      const Vec3 out(std::cos(angle), std::sin(angle), 0), round(-out.y(), out.x(), 0);
      if (!sample(Vec3(axis, 0, z) + steepest_at_mm * out, none, s)) continue;
      const Vec3 up(t.lean, 0, 1);  // at a fixed angle
      for (int n = 0; n < shape_count; ++n) {
        auto& by_angle = t.by_angle[static_cast<std::size_t>(n)];
        auto& by_z = t.by_z[static_cast<std::size_t>(n)];
        by_angle = std::max(by_angle, missed * steepest_at_mm * std::abs(round.dot(s.gradient.col(n))));
        by_z = std::max(by_z, missed * std::abs(up.dot(s.gradient.col(n))));
      }
    }
  }
}

double WallGive::steepest(const Eigen::VectorXd& amounts, const Vec3& x, double radius_mm) const {
  constexpr double least_mm = 3;  // nearer to the axis angles change too fast
  const Tables& t = *tables_;
  const double lean = std::sqrt(1 + t.lean * t.lean);
  const double X = x.x() - t.lean * (x.z() - t.base_z);
  const double near = std::sqrt(X * X + x.y() * x.y()) - radius_mm * lean;
  if (near < least_mm) return std::numeric_limits<double>::infinity();
  double angle = 0, z = 0;
  for (int k = 0; k < shape_count; ++k) {
    angle += std::abs(amounts[k]) * t.by_angle[static_cast<std::size_t>(k)];
    z += std::abs(amounts[k]) * t.by_z[static_cast<std::size_t>(k)];
  }
  // | grad theta | <= hypot(1, lean) / r, | grad z | = 1
  return angle * lean / near + z;
}

WallGive::Hats WallGive::hats_at(double z) const {
  double h = 0, h1 = 0, h2 = 0;
  rise(z - tables_->start_z, tables_->rise_mm, h, h1, h2);
  Hats out;
  tables_->hat.evaluate(h, out.value, out.first, out.second);
  out.second = out.second * (h1 * h1) + out.first * h2;
  out.first *= h1;
  return out;
}

WallGive::Hats WallGive::hinged_hats_at(double z) const {
  Hats out;
  tables_->hat.evaluate(z - tables_->start_z, out.value, out.first, out.second);
  if (z < tables_->start_z) out.value = out.first = out.second = 0;
  return out;
}

double WallGive::hinge_z() const { return tables_->start_z; }

bool WallGive::sample(const Vec3& x, const Eigen::VectorXd& amounts, geometry::GiveSample& out) const {
  const Tables& t = *tables_;
  const double X = x.x() - t.lean * (x.z() - t.base_z), Y = x.y(), r2 = X * X + Y * Y;
  if (x.z() <= t.start_z - t.rise_mm || r2 < no_wall_mm * no_wall_mm) return false;
  const Hats hat = hats_at(x.z());
  NaturalSpline<channels>::Value c, c1, c2;
  t.shape.evaluate(x.z(), c, c1, c2);

  // u - theta and its derivatives by theta (t) and z.
  const double r = std::sqrt(r2), cos1 = X / r, sin1 = Y / r;
  double d = 0, ut = 1, uz = 0, utt = 0, utz = 0, uzz = 0, ck = 1, sk = 0;
  for (int k = 1; k <= bends; ++k) {
    const double turned = ck * cos1 - sk * sin1;
    sk = sk * cos1 + ck * sin1;
    ck = turned;
    d += c[k - 1] * sk;
    ut += k * c[k - 1] * ck;
    utt -= k * k * c[k - 1] * sk;
    uz += c1[k - 1] * sk;
    utz += k * c1[k - 1] * ck;
    uzz += c2[k - 1] * sk;
  }
  const double cu = cos1 * std::cos(d) - sin1 * std::sin(d), su = sin1 * std::cos(d) + cos1 * std::sin(d);

  out.value.resize(shape_count);
  out.gradient.resize(3, shape_count);
  const Vec3 theta_x = Vec3(-Y, X, t.lean * Y) / r2;
  double wt = 0, wtt = 0, wtz = 0, wzz = 0;
  double cn = cu, sn = su;
  for (int n = first_n; n <= last_n; ++n) {
    const double next = cn * cu - sn * su;
    sn = sn * cu + cn * su;
    cn = next;
    const double nn = n * n;
    for (const bool sine : {false, true}) {
      const double f = sine ? sn : cn, g = sine ? n * cn : -n * sn;  // f and d f / d u
      const int m = bends + n - first_n;
      const double v = f - (sine ? 0 : c[m]), vt = g * ut, vz = g * uz - (sine ? 0 : c1[m]);
      const double vtt = g * utt - nn * f * ut * ut, vtz = g * utz - nn * f * ut * uz;
      const double vzz = g * uzz - nn * f * uz * uz - (sine ? 0 : c2[m]);
      for (int j = 0; j < hats; ++j) {
        const int k = index(j, n, sine);
        const double h = hat.value[j], h1 = hat.first[j], h2 = hat.second[j], a = amounts[k];
        out.value[k] = h * v;
        out.gradient.col(k) = (h * vt) * theta_x;
        out.gradient(2, k) += h1 * v + h * vz;
        wt += a * h * vt;
        wtt += a * h * vtt;
        wtz += a * (h1 * vt + h * vtz);
        wzz += a * (h2 * v + 2 * h1 * vz + h * vzz);
      }
    }
  }
  // The vamp.
  out.value[vamp] = 0;
  out.gradient.col(vamp).setZero();
  if (t.vamp_mm > least_vamp_mm && x.z() > t.cap_z && cos1 > vamp_edge_cos) {
    double up, up1, up2, side, side1, side2;
    step((x.z() - t.cap_z) / t.vamp_mm, up, up1, up2);
    up1 /= t.vamp_mm, up2 /= t.vamp_mm * t.vamp_mm;
    constexpr double width = 1 - vamp_edge_cos;
    step((cos1 - vamp_edge_cos) / width, side, side1, side2);
    side2 = (side2 * sin1 * sin1 / width - side1 * cos1) / width;  // by theta
    side1 *= -sin1 / width;
    const double a = amounts[vamp];
    out.value[vamp] = up * side;
    out.gradient.col(vamp) = up * side1 * theta_x;
    out.gradient(2, vamp) += up1 * side;
    wt += a * up * side1;
    wtt += a * up * side2;
    wtz += a * up1 * side1;
    wzz += a * up2 * side;
  }
  const double axx = 2 * X * Y / (r2 * r2), axy = (Y * Y - X * X) / (r2 * r2);  // second derivatives of theta
  Mat3 theta_xx;
  theta_xx << axx, axy, -t.lean * axx,  //
      axy, -axx, -t.lean * axy,         //
      -t.lean * axx, -t.lean * axy, t.lean * t.lean * axx;
  out.hessian = wt * theta_xx + wtt * theta_x * theta_x.transpose();
  out.hessian.col(2) += wtz * theta_x;
  out.hessian.row(2) += wtz * theta_x.transpose();
  out.hessian(2, 2) += wzz;
  return true;
}

Eigen::Array<double, WallGive::ring_shapes, 1> WallGive::rings_at(const Tables& tables, const Vec3& x, double cos1,
                                                                  double sin1) {
  const auto c = tables.shape.value(x.z());
  double d = 0, ck = 1, sk = 0;
  for (int k = 0; k < bends; ++k) {
    const double turned = ck * cos1 - sk * sin1;
    sk = sk * cos1 + ck * sin1;
    ck = turned;
    d += c[k] * sk;
  }
  const double cos_d = std::cos(d), sin_d = std::sin(d);
  const double cu = cos1 * cos_d - sin1 * sin_d, su = sin1 * cos_d + cos1 * sin_d;
  Eigen::Array<double, ring_shapes, 1> out;
  double cn = cu, sn = su;
  for (int n = first_n; n <= last_n; ++n) {
    const double next = cn * cu - sn * su;
    sn = sn * cu + cn * su;
    cn = next;
    out[index(0, n, false)] = cn - c[bends + n - first_n];
    out[index(0, n, true)] = sn;
  }
  return out;
}

Eigen::Array<double, WallGive::ring_shapes, 1> WallGive::rings_at(const Vec3& x) const {
  const double X = x.x() - tables_->lean * (x.z() - tables_->base_z), r = std::hypot(X, x.y());
  return rings_at(*tables_, x, X / r, x.y() / r);
}

double WallGive::moved_mm(const Vec3& x, const Eigen::VectorXd& amounts) const {
  const Tables& t = *tables_;
  const double X = x.x() - t.lean * (x.z() - t.base_z), Y = x.y(), r2 = X * X + Y * Y;
  if (x.z() <= t.start_z - t.rise_mm || r2 < no_wall_mm * no_wall_mm) return 0;
  double h, h1, h2;
  rise(x.z() - t.start_z, t.rise_mm, h, h1, h2);
  const auto hat = t.hat.value(h);
  const double r = std::sqrt(r2), cos1 = X / r, sin1 = Y / r;
  const auto rings = rings_at(t, x, cos1, sin1);
  double moved = 0;
  for (int j = 0; j < hats; ++j)
    moved += hat[j] * (rings * amounts.segment<ring_shapes>(ring_shapes * j).array()).sum();
  if (t.vamp_mm > least_vamp_mm && x.z() > t.cap_z && cos1 > vamp_edge_cos) {
    double up, side, first, second;
    step((x.z() - t.cap_z) / t.vamp_mm, up, first, second);
    step((cos1 - vamp_edge_cos) / (1 - vamp_edge_cos), side, first, second);
    moved += amounts[vamp] * up * side;
  }
  return moved;
}

double WallGive::bound(const Eigen::VectorXd& amounts) const {
  // A natural cubic hat on these four knots stays below 1.1; past the end of the wing, where the cover fades over 3 mm,
  // it goes on in a straight line: 1.3 holds for wings of 20 mm and more. |m_n| < 1.
  constexpr double most_hat = 1.3, most_mean = 1;
  double sum = std::abs(amounts[vamp]);
  for (int j = 0; j < hats; ++j)
    for (int n = first_n; n <= last_n; ++n) {
      const double a = amounts[index(j, n, false)], b = amounts[index(j, n, true)];
      sum += most_hat * (std::hypot(a, b) + most_mean * std::abs(a));
    }
  return sum;
}

}  // namespace aplomb::shoe
