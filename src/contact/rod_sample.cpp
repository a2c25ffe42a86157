// Distance from a point to the rod, with exact first and second derivatives by the point and by the rod's angles.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>

#include "aplomb/contact/rod.h"
#include "rod_integrals.h"

// Derivation. r(s) is the curve, r_j = d r(s)/d theta_j = int_0^s hat_j n ds, dt/dtheta = n, dn/dtheta = -t.
// The closest point s* solves (x - r).t = 0; the gap is g = (x - r).n.
//   dg/dx = n,  dg/dtheta_j = -r_j.n               (the turning of n drops out because (x - r).t = 0)
// Write k = dtheta/ds at s*, D = 1 - g k, h = [0 0; hat_j] and A = [t; -r_j.t + g hat_j]. Differentiating the
// condition:
//   S = ds* = A / D,   T = d theta(s*) = h + k S
// Differentiating the gradient once more, with r_ij = -int_0^s hat_i hat_j t ds:
//   x rows:        -t T^T
//   theta_j rows:  -n.r_ij - hat_j S^T + (r_j.t) T^T
// With r_j.t = g hat_j - A_j all rows become one formula that is symmetric as written:
//   H = -n.r_ij + g h h^T - h A^T - A h^T - (k/D) A A^T
// Only h's two entries of the element at s* and r_ij's three diagonals stand beside the rank-one term.
namespace aplomb::contact {
namespace {

constexpr double fade_length_mm = 2;

/// 0 at 0 and below, 1 from `length_mm` on, C2 (the quintic step).
double fade(double inside_mm, double length_mm = fade_length_mm) {
  const double t = std::clamp(inside_mm / length_mm, 0.0, 1.0);
  return t * t * t * (10 + t * (6 * t - 15));
}

struct Closest {
  int element = -1;
  double along_mm = 0;  ///< arc length from the element's first node
  double gap_mm = 0;
  double curvature = 0;
};

// In the frame of the element's first node, with a = (x - node).t and b = (x - node).n, the arc of curvature k about
// its centre gives (1 - g k) sin(k u) = a k and (1 - g k) cos(k u) = 1 - b k. Both forms below stay accurate as k -> 0.
bool project_on_arc(double a, double b, double curvature, double* along, double* gap) {
  const double sine = a * curvature, cosine = 1 - b * curvature;
  if (cosine <= 0) return false;  // a quarter turn away, or at the arc's centre: not this element's business
  const double z = sine / cosine;
  *along = std::abs(z) < 1e-4 ? a / cosine * (1 - z * z / 3) : std::atan(z) / curvature;
  *gap = (2 * b - (a * a + b * b) * curvature) / (1 + std::hypot(sine, cosine));
  return true;
}

/// The lines normal to the curve at its nodes cut the plane into one cell per element; of the cells x is in, the
/// nearest.
Closest closest_point(const Rod& rod, const PosedRod& posed, const Vec2& x) {
  Closest best;
  double nearest = 1e300;
  const int count = rod.element_count();
  double ahead = (x - posed.node_xz[0]).dot(posed.tangent_xz[0]);
  for (int e = 0; e < count; ++e) {
    const double a = ahead;
    ahead = (x - posed.node_xz[e + 1]).dot(posed.tangent_xz[e + 1]);
    const bool last = e + 1 == count;
    if (a < 0 || (last ? ahead > 0 : ahead >= 0)) continue;
    const double b = (x - posed.node_xz[e]).dot(detail::normal_of(posed.tangent_xz[e]));
    const double curvature = (posed.angle[e + 1] - posed.angle[e]) / rod.length_mm[e];
    double along = 0, gap = 0;
    if (!project_on_arc(a, b, curvature, &along, &gap) || std::abs(gap) >= nearest) continue;
    nearest = std::abs(gap);
    best = {e, std::clamp(along, 0.0, rod.length_mm[e]), gap, curvature};
  }
  return best;
}

}  // namespace

std::optional<RodPlace> place(const Rod& rod, const PosedRod& posed, const Vec3& x, double band_mm, double depth_mm,
                              double* short_of_mm) {
  const Vec2 p(x.x(), x.z());
  const double y = std::abs(x.y());
  const double reach = std::max(band_mm, depth_mm);
  const auto none = [&](double short_mm) {
    if (short_of_mm != nullptr) *short_of_mm = short_mm;
    return std::nullopt;
  };
  const double off_box = std::max((posed.box_min - p).maxCoeff(), (p - posed.box_max).maxCoeff()) - reach;
  const double out_mm = std::max(y - posed.largest_half_breadth_mm, off_box);
  if (y >= posed.largest_half_breadth_mm || off_box > 0) return none(out_mm);
  const Closest at = closest_point(rod, posed, p);
  if (at.element < 0) return none(0);
  if (at.gap_mm > band_mm || at.gap_mm < -depth_mm) return none(std::max(at.gap_mm - band_mm, -depth_mm - at.gap_mm));

  const int e = at.element;
  const double w = at.along_mm / rod.length_mm[e];
  const double half_breadth = (1 - w) * rod.half_breadth_mm[e] + w * rod.half_breadth_mm[e + 1];
  RodPlace out;
  out.arc_mm = posed.arc_mm[e] + at.along_mm;
  // Flesh that hangs down beside the edge and comes in under it lies against its side, not on it: the deeper, the
  // farther in it has to be.
  const double edge_mm = std::hypot(fade_length_mm, std::max(0.0, -at.gap_mm));
  out.cover = fade(posed.arc_mm.back() - out.arc_mm, edge_mm) * fade(half_breadth - y, edge_mm);
  if (rod.fade_in_mm > 0) out.cover *= fade(out.arc_mm, rod.fade_in_mm);
  if (!(out.cover > 0)) return none(0);
  out.tangent_xz = detail::tangent_at(posed.angle[e] + at.curvature * at.along_mm);
  out.normal_xz = detail::normal_of(out.tangent_xz);
  out.gap_mm = at.gap_mm;
  out.curvature = at.curvature;
  out.element = e;
  return out;
}

double moved_at_most(const Rod& rod, const PosedRod& before, const PosedRod& now) {
  // dr = int d theta n ds, and d theta runs straight from node to node.
  double moved = 0;
  for (int e = 0; e < rod.element_count(); ++e)
    moved += rod.length_mm[e] *
             std::max(std::abs(now.angle[e] - before.angle[e]), std::abs(now.angle[e + 1] - before.angle[e + 1]));
  return moved;
}

std::optional<RodSample> sample(const Rod& rod, const PosedRod& posed, const Vec3& x, double band_mm, double depth_mm,
                                bool with_hessian) {
  const auto at = place(rod, posed, x, band_mm, depth_mm);
  if (!at) return std::nullopt;
  std::optional<RodSample> result(std::in_place);
  RodSample& out = *result;
  static_cast<RodPlace&>(out) = *at;
  const int e = at->element;
  const double length = rod.length_mm[e], w = (at->arc_mm - posed.arc_mm[e]) / length;
  const Vec2 &t = out.tangent_xz, &n = out.normal_xz;

  // Rows: 0, 1 the point; 2 + j the angle of node j + 1. Nodes e (absent when clamped) and e + 1 carry the element's
  // hats.
  const int size = 2 + rod.element_count();
  const int rear = 2 + e, front = rear - 1;
  const bool front_moves = e > 0;
  out.active = rear + 1;
  const auto part = detail::integrate(
      {.start_angle = posed.angle[e], .turn = posed.angle[e + 1] - posed.angle[e], .length_mm = length, .w_end = w});
  Eigen::Matrix<double, 2, Eigen::Dynamic, 0, 2, max_rod_elements> r =
      posed.node_gradient[e].leftCols(e + 1);  // column e is still zero at node e
  r.col(e) += part.hat_normal.col(1);
  if (front_moves) r.col(e - 1) += part.hat_normal.col(0);

  out.gradient.setZero(size);
  out.gradient.head<2>() = n;
  out.gradient.segment(2, e + 1).noalias() = -(r.transpose() * n);
  if (!with_hessian) return result;

  const double g = at->gap_mm, D = 1 - g * at->curvature;
  RodVector A(out.active);
  A.head<2>() = t;
  A.tail(e + 1).noalias() = -(r.transpose() * t);
  A[rear] += g * w;
  if (front_moves) A[front] += g * (1 - w);
  out.arc_gradient.setZero(size);
  out.arc_gradient.head(out.active) = A / D;

  out.hessian.setZero(size, size);
  auto H = out.hessian.topLeftCorner(out.active, out.active);
  H.noalias() = (-at->curvature / D) * A * A.transpose();
  const auto add_hat = [&](int node, double hat) {
    H.row(node) -= hat * A.transpose();
    H.col(node) -= hat * A;
  };
  add_hat(rear, w);
  H(rear, rear) += g * w * w;
  if (front_moves) {
    add_hat(front, 1 - w);
    H(front, front) += g * (1 - w) * (1 - w);
    H(front, rear) += g * w * (1 - w);
    H(rear, front) += g * w * (1 - w);
  }
  for (int i = 0; i <= e; ++i) {
    const Eigen::RowVector3d moment = n.transpose() * (i < e ? posed.bend_moments[i] : part.hats_tangent);
    H(2 + i, 2 + i) += moment[2];
    if (i > 0) {
      H(1 + i, 1 + i) += moment[0];
      H(1 + i, 2 + i) += moment[1];
      H(2 + i, 1 + i) += moment[1];
    }
  }
  return result;
}

}  // namespace aplomb::contact
