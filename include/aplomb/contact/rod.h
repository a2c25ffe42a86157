// The shank: a planar, inextensible elastic rod, clamped at the box, bending in the x-z plane of the shoe frame.
// Unknowns are the tangent angles at its nodes 1..N (node 0 is clamped); the angle is linear along each element, so an
// element is a circular arc and the curve has no kinks.
//
//   tangent t = (sin theta, cos theta) in (x, z): theta = 0 straight up the box, + leans dorsal (+x)
//   normal  n = (cos theta, -sin theta): the side the foot is on;  dt/dtheta = n,  dn/dtheta = -t
//
// Exact: length, node positions, distance to the curve and its closest point (closed forms of the arc).
//
// By quadrature: derivatives of positions by the angles; 5 Gauss points per element. Relative error of first
// derivatives below 1e-11, of second ones below 3e-10, while an element turns by less than 1 rad.
//
// Not exact: the curvature is constant along an element, so shapes err by O(l^2), and the Hessian of a distance jumps
// where the closest point passes a node (distance and gradient do not). No shear, stretch, twist or bending across y.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <optional>
#include <vector>

#include "aplomb/geometry/types.h"
#include "aplomb/io/error.h"

namespace aplomb::contact {

using geometry::Vec2;
using geometry::Vec3;

/// A sample holds its derivatives in place, without allocating; this bounds their size.
inline constexpr int max_rod_elements = 64;
using RodVector = Eigen::Matrix<double, Eigen::Dynamic, 1, 0, max_rod_elements + 2, 1>;
using RodMatrix = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, 0, max_rod_elements + 2, max_rod_elements + 2>;

struct Rod {
  Vec2 start_xz = Vec2::Zero();         ///< clamped end, mm
  double start_angle = 0;               ///< theta at node 0, rad
  std::vector<double> length_mm;        ///< N elements
  std::vector<double> EI_Nmm2;          ///< N, bending stiffness
  std::vector<double> rest_curvature;   ///< N, kappa0 = d theta / d s when free, 1/mm
  std::vector<double> half_breadth_mm;  ///< N + 1, half breadth of the sole at each node (across y)
  double fade_in_mm = 0;                ///< cover grows from 0 at the clamp to 1 over this length; 0: at once
  int first_dof = 0;                    ///< theta_1 is q[first_dof], theta_N is q[first_dof + N - 1]

  int element_count() const { return static_cast<int>(length_mm.size()); }
};

/// Refuses a rod that the functions below must not be given: no or more than max_rod_elements elements, lists of
/// different lengths, a value that is not finite, a length, EI or half breadth that is not positive, a negative
/// first_dof.
io::Result<void> check(const Rod& rod);

/// The rod at one q: node positions and everything needed for exact first and second derivatives.
struct PosedRod {
  std::vector<double> angle;                    ///< N + 1
  std::vector<Vec2> node_xz;                    ///< N + 1
  std::vector<Vec2> tangent_xz;                 ///< N + 1
  std::vector<double> arc_mm;                   ///< N + 1, arc length from the clamp
  std::vector<Eigen::Matrix2Xd> node_gradient;  ///< per node k: 2 x N, d node_k / d theta_j (columns j = 1..N)
  std::vector<Eigen::Matrix<double, 2, 3>> bend_moments;  ///< per element: integrals of (1-w)^2 t, w (1-w) t, w^2 t
  Vec2 box_min = Vec2::Zero(), box_max = Vec2::Zero();    ///< a box around the curve
  double largest_half_breadth_mm = 0;
};
/// Pre: check(rod) passes, q.size() >= first_dof + N (for every function here).
PosedRod pose(const Rod& rod, const Eigen::VectorXd& q);

/// Bending energy sum EI/(2 l) (dtheta - kappa0 l)^2, N mm; adds its gradient and Hessian to those given (sized to q).
double add_bending(const Rod& rod, const Eigen::VectorXd& q, Eigen::VectorXd* gradient, Eigen::MatrixXd* hessian);

/// Where on the rod a point has its closest.
struct RodPlace {
  double gap_mm = 0;               ///< signed distance to the curve in the x-z plane, + on the foot's side
  double arc_mm = 0;               ///< closest point, arc length from the clamp
  Vec2 normal_xz = Vec2::UnitX();  ///< d gap / d (x, z)
  Vec2 tangent_xz = Vec2::UnitY();
  double curvature = 0;  ///< d theta / d s there, 1/mm
  double cover = 1;      ///< 1 inside, C2 to 0 over the last 2 mm before the rear end and before the side edge (as
                         ///< far again as a point is under the rod), and over fade_in_mm before the clamp
  int element = 0;
};

/// Nullopt when the point is farther than band_mm on the foot's side, more than `depth_mm` through, beyond the rod's
/// rear end or side edge (cover 0), or before the clamp. `short_of_mm`, where not null, then is how far at the least
/// point and rod have to move for there to be a place; 0 where that is not known.
std::optional<RodPlace> place(const Rod& rod, const PosedRod& posed, const Vec3& x, double band_mm, double depth_mm,
                              double* short_of_mm = nullptr);

/// A point seen from the rod. Derivatives are with respect to (x, z of the point; theta_1..theta_N), in that order.
/// The Hessian exists while gap * curvature < 1: on the convex side (curvature < 0) and through it up to the arc's
/// centre.
struct RodSample : RodPlace {
  RodSample() {}           // written out, so that making one does not clear its fixed capacity of 35 kB
  int active = 0;          ///< entries (rows, columns) from here on are zero: 2 + last angle that moves the point
  RodVector gradient;      ///< 2 + N
  RodMatrix hessian;       ///< (2 + N)^2, symmetric
  RodVector arc_gradient;  ///< d arc / d (x, z, theta), 2 + N
};

/// Nullopt where place() is. `with_hessian` false leaves hessian and arc_gradient empty.
/// `cover` has no derivatives here: whoever uses it as a weight freezes it over a load step, so that energy and force
/// agree.
std::optional<RodSample> sample(const Rod& rod, const PosedRod& posed, const Vec3& x, double band_mm, double depth_mm,
                                bool with_hessian);

/// No point of the curve is farther than this from where it was at `before`.
double moved_at_most(const Rod& rod, const PosedRod& before, const PosedRod& now);

/// Position of the rod's rear end.
Vec2 rear_end(const PosedRod& posed);
/// For a covector c, the Hessian of c . (position of a node): N x N, tridiagonal. The gradient is node_gradient[node].
Eigen::MatrixXd node_hessian(const Rod& rod, const PosedRod& posed, int node, const Vec2& c);

/// Where the rod bends most: centroid and width (arc length) of the region within 10 % of the largest |kappa - kappa0|,
/// the clamp element left out. |kappa - kappa0| is taken linear between element midpoints; when several stretches come
/// within 10 %, the one that holds the largest value counts (the nearest to the clamp when equal).
/// `bends_at_clamp`: the first element's |kappa - kappa0| exceeds that maximum.
/// A rod that bends nowhere, or has one element, gives curvature 0 and width 0: there is no break point.
struct BreakPoint {
  double arc_mm = 0;
  double width_mm = 0;
  double curvature = 0;  ///< largest |kappa - kappa0|, 1/mm
  bool bends_at_clamp = false;
};
BreakPoint break_point(const Rod& rod, const Eigen::VectorXd& q);

}  // namespace aplomb::contact
