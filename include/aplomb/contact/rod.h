// The shank: a planar, inextensible elastic rod, clamped at the box, bending in the x-z plane of the shoe frame.
// Unknowns are the tangent angles at its nodes 1..N (node 0 is clamped); the angle is linear along each element, so an
// element is an arc and the curve has no kinks.
//
//   tangent t = (sin theta, cos theta) in (x, z): theta = 0 straight up the box, + leans dorsal (+x)
//   normal  n = (cos theta, -sin theta): the side the foot is on
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <optional>
#include <vector>

#include "aplomb/geometry/types.h"

namespace aplomb::contact {

using geometry::Vec2;
using geometry::Vec3;

struct Rod {
  Vec2 start_xz = Vec2::Zero();            ///< clamped end, mm
  double start_angle = 0;                  ///< theta at node 0, rad
  std::vector<double> length_mm;           ///< N elements
  std::vector<double> EI_Nmm2;             ///< N, bending stiffness
  std::vector<double> rest_curvature;      ///< N, kappa0 = d theta / d s when free, 1/mm
  std::vector<double> half_breadth_mm;     ///< N + 1, half breadth of the sole at each node (across y)
  int first_dof = 0;                       ///< theta_1 is q[first_dof], theta_N is q[first_dof + N - 1]

  int element_count() const { return static_cast<int>(length_mm.size()); }
};

/// The rod at one q: node positions and everything needed for exact first and second derivatives.
struct PosedRod {
  std::vector<double> angle;               ///< N + 1
  std::vector<Vec2> node_xz;               ///< N + 1
  std::vector<double> arc_mm;              ///< N + 1, arc length from the clamp
  std::vector<Eigen::Matrix2Xd> node_gradient;  ///< per node k: 2 x N, d node_k / d theta_j (columns j = 1..N)
};
PosedRod pose(const Rod& rod, const Eigen::VectorXd& q);

/// Bending energy sum EI/(2 l) (dtheta - kappa0 l)^2; adds its gradient and Hessian to R and K when given (sized to q).
double add_bending(const Rod& rod, const Eigen::VectorXd& q, Eigen::VectorXd* gradient, Eigen::MatrixXd* hessian);

/// A point seen from the rod. Derivatives are with respect to (x, z of the point; theta_1..theta_N), in that order.
struct RodSample {
  double gap_mm = 0;                       ///< signed distance to the curve in the x-z plane, + on the foot's side
  double arc_mm = 0;                       ///< closest point, arc length from the clamp
  Vec2 normal_xz = Vec2::UnitX();          ///< d gap / d (x, z)
  Vec2 tangent_xz = Vec2::UnitY();
  double curvature = 0;                    ///< d theta / d s there, 1/mm
  Eigen::VectorXd gradient;                ///< 2 + N
  Eigen::MatrixXd hessian;                 ///< (2 + N)^2, symmetric
  Eigen::VectorXd arc_gradient;            ///< d arc / d (x, z, theta), 2 + N
  double cover = 1;                        ///< 1 under the rod, C2 to 0 over 2 mm past its rear end or its side edge
};

/// Nullopt when the point is farther than band_mm on the foot's side, more than `depth_mm` through, beyond the rod's rear
/// end or side edge (cover 0), or before the clamp. `with_hessian` false leaves hessian and arc_gradient empty.
std::optional<RodSample> sample(const Rod& rod, const PosedRod& posed, const Vec3& x, double band_mm, double depth_mm,
                                bool with_hessian);

/// Rear end of the rod: position, gradient (2 x N) and, for a covector c, the Hessian of c . position (N x N tridiagonal).
Vec2 rear_end(const PosedRod& posed);
Eigen::MatrixXd rear_end_hessian(const Rod& rod, const PosedRod& posed, const Vec2& c);

/// Where the rod bends most: centroid and width (arc length) of the region within 10 % of the largest |kappa - kappa0|,
/// the clamp element left out. `bends_at_clamp`: the first element's |kappa - kappa0| exceeds that maximum.
struct BreakPoint {
  double arc_mm = 0;
  double width_mm = 0;
  double curvature = 0;      ///< largest |kappa - kappa0|, 1/mm
  bool bends_at_clamp = false;
};
BreakPoint break_point(const Rod& rod, const Eigen::VectorXd& q);

}  // namespace aplomb::contact
