// What the wall's shapes cost: integrals over the wall's middle surface, section by section.
//
// A section that bends without stretching has dv/ds = -kappa w along itself, turns by beta = dw/ds - kappa v, and bends
// by chi = d beta / d s; on a circle chi = -(n^2 - 1)/r^2 w. The wall does not shear in its own plane (that is what
// makes it a shell and not a bellows), so it moves by u with du/ds = -dv/dz along z, and strains by du/dz. How the
// shape of the section drifts with z is left out of the derivatives by z: a box grows by some tenths over its height.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <Eigen/Cholesky>
#include <algorithm>
#include <cmath>

#include "aplomb/shoe/wall_give.h"

namespace aplomb::shoe {

namespace {

constexpr int around = 256;
constexpr int slices = 64;       // share the wall's stiffness has, and the hats
constexpr int slices_alike = 4;  // whose sections are taken for the one in their middle
constexpr double nu = 0.3;       // of the paste; enters twist and end cap only [G]

using Column = Eigen::Array<double, around, 1>;  // one value per point round the section

/// A closed row with two more at either end.
using Closed = Eigen::Array<double, around + 4, 1>;
Closed closed(const Column& f) {
  Closed out;
  out << f.tail<2>(), f, f.head<2>();
  return out;
}

/// d / d (turn) of a closed row of even samples, fourth order.
Column slope(const Column& f) {
  const Closed at = closed(f);
  return around / 12.0 *
         (8 * (at.segment<around>(3) - at.segment<around>(1)) - (at.segment<around>(4) - at.segment<around>(0)));
}

/// Integral of f d(turn) from point 0, with the mean weighted by `weight` taken out.
Column integral(const Column& f, const Column& weight) {
  const double whole = f.mean();  // what keeps it from closing, zero but for rounding
  const Closed at = closed(f);
  // Up to each point from the one before, through the four about that stretch, fourth order.
  const Column stretch =
      ((13 * (at.segment<around>(1) + at.segment<around>(2)) - (at.segment<around>(0) + at.segment<around>(3))) / 24 -
       whole) /
      around;
  Column out;
  out[0] = 0;
  for (int i = 1; i < around; ++i) out[i] = out[i - 1] + stretch[i];
  return out - (out * weight).sum() / weight.sum();
}

/// One section: middle surface, and per shape how it bends, turns and warps.
struct Section {
  Column ds;                           // mm of middle surface that each point stands for
  Eigen::Array<double, 2, around> xy;  // position
  Eigen::Matrix<double, around, WallGive::ring_shapes> bend, turn, warp;
};

Section make_section_shapes(const std::vector<BoxSurface::RingPoint>& ring, const WallGive& give, double half_wall) {
  Section out;
  Column pace, kappa;
  for (int i = 0; i < around; ++i) {
    const BoxSurface::RingPoint& p = ring[static_cast<std::size_t>(i)];
    const double inner = p.first.norm();
    const double k = (p.first.x() * p.second.y() - p.first.y() * p.second.x()) / (inner * inner * inner);
    pace[i] = inner * (1 + half_wall * k);
    kappa[i] = k / (1 + half_wall * k);
    out.xy.col(i) = p.position_S.head<2>().array();
  }
  out.ds = pace / around;
  Eigen::Matrix<double, around, WallGive::ring_shapes> w;
  for (int i = 0; i < around; ++i) w.row(i) = give.rings_at(ring[static_cast<std::size_t>(i)].position_S);
  // Warping that any section can do by moving as a whole costs nothing: 1, x, y are taken out.
  Eigen::Matrix<double, around, 3> rigid;
  rigid.col(0).setOnes();
  rigid.rightCols<2>() = out.xy.matrix().transpose();
  const Eigen::Matrix<double, 3, around> weighted = rigid.transpose() * out.ds.matrix().asDiagonal();
  const Eigen::LDLT<Eigen::Matrix3d> fit(weighted * rigid);
  for (int k = 0; k < WallGive::ring_shapes; ++k) {
    const Column shape = w.col(k).array();
    const Column v = integral(-kappa * shape * pace, out.ds);
    const Column beta = slope(shape) / pace - kappa * v;
    out.bend.col(k) = (slope(beta) / pace).matrix();
    out.turn.col(k) = beta.matrix();
    const Column u = integral(-v * pace, out.ds);
    out.warp.col(k) = u.matrix() - rigid * fit.solve(weighted * u.matrix());
  }
  return out;
}

/// Share of the wall's stiffness present at one place.
double share_at(const ShoeParameters& parameters, const BoxSurface& box, const Vec3& p, const Vec3& tangent, double z,
                double dz, double closed_z) {
  const double cut = box.cut_z(p.head<2>());
  double share = std::clamp((cut - z) / dz + 0.5, 0.0, 1.0);
  // As the zones of the box: dorsal where the section's normal stands nearer to x than to y.
  const bool dorsal = tangent.y() > std::abs(tangent.x());
  if (dorsal && z > box.cap_z()) share *= vamp_stiffness_share;
  // A wing is worked soft by hand along its side, from the end of the platform's edge on.
  if (std::abs(tangent.x()) >= std::abs(tangent.y()) && z > box.rounding_end_z())
    share *= 1 - (p.y() > 0 ? parameters.wing_medial_softened : parameters.wing_lateral_softened);
  if (cut > closed_z && z > closed_z)
    share *= 1 - (1 - wing_end_stiffness_share) * std::min(1.0, (z - closed_z) / (cut - closed_z));
  return share;
}

/// Adds f f^T of hats times a matrix of ring shapes.
void add(Eigen::MatrixXd& K, const Eigen::Array<double, WallGive::hats, 1>& f, const Eigen::MatrixXd& shapes) {
  constexpr int size = WallGive::ring_shapes;
  for (int i = 0; i < WallGive::hats; ++i)
    for (int j = 0; j < WallGive::hats; ++j) K.block(size * i, size * j, size, size) += f[i] * f[j] * shapes;
}

}  // namespace

WallStiffness wall_stiffness(const ShoeParameters& p, const BoxSurface& box, const WallGive& give) {
  constexpr double MPa_per_GPa = 1000;
  const double E = p.wall_E_GPa * MPa_per_GPa * stiffness_left(p), t = p.wall_thickness_mm;
  const double bending = E * t * t * t / 12, twisting = E * t * t * t / (6 * (1 + nu)), straining = E * t;
  WallStiffness K;
  K.ring = K.twist = K.warping = K.end_cap = Eigen::MatrixXd::Zero(give.count(), give.count());

  // In the rounded edge the hats start smoothly for the sake of contact; the wall itself is hinged there and pays for
  // no such bend. Sections of the edge are taken for the one that follows them.
  const double base = box.platform_z(), top = box.highest_cut_z(), first = box.rounding_end_z();
  const double dz = (top - base) / slices;
  double closed_z = top;
  for (const BoxSurface::RingPoint& point : box.ring(top, around))
    closed_z = std::min(closed_z, box.cut_z(point.position_S.head<2>()));
  std::vector<BoxSurface::RingPoint> ring;
  Section section;
  for (int s = 0; s < slices; ++s) {
    const double z = base + (s + 0.5) * dz;
    if (s % slices_alike == 0) {
      ring = box.ring(std::max(base + (s + slices_alike / 2.0) * dz, first), around);
      section = make_section_shapes(ring, give, t / 2);
    }
    Column weight;
    for (int i = 0; i < around; ++i) {
      const BoxSurface::RingPoint& at = ring[static_cast<std::size_t>(i)];
      weight[i] = section.ds[i] * dz * share_at(p, box, at.position_S, at.first, z, dz, closed_z);
    }
    const auto gram = [&](const auto& f) -> Eigen::MatrixXd {
      return f.transpose() * weight.matrix().asDiagonal() * f;
    };
    const WallGive::Hats hat = give.hinged_hats_at(z);
    add(K.ring, hat.value, bending * gram(section.bend));
    add(K.twist, hat.first, twisting * gram(section.turn));
    add(K.warping, hat.second, straining * gram(section.warp));
  }

  // The platform: a disc whose rim follows the warping u0 cos(n theta), u0 = r f' / n^2, of the wall that rises from it
  // with slope f'. A thin plate bent to u0 (rho/r)^n cos(n theta) stores D (1 - nu) pi n^2 (n - 1) u0^2 / r^2 (energy
  // of a thin plate as in Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells; that shape has no mean
  // curvature). r cancels.
  const double plate = E * std::pow(p.platform_thickness_mm, 3) / (12 * (1 - nu * nu)) * (1 - nu) * geometry::pi;
  Eigen::MatrixXd rim = Eigen::MatrixXd::Zero(WallGive::ring_shapes, WallGive::ring_shapes);
  for (int n = WallGive::first_n; n <= WallGive::last_n; ++n)
    for (const bool sine : {false, true})
      rim(WallGive::index(0, n, sine), WallGive::index(0, n, sine)) = 2 * plate * (n - 1) / (n * n);
  add(K.end_cap, give.hinged_hats_at(give.hinge_z()).first, rim);
  return K;
}

}  // namespace aplomb::shoe
