// How the wall of the box gives: oval modes of its sections, and what they cost.
//
// The outward displacement of the inner wall is w = sum a_k hat(z) ring(u), with u the angle round the section (0
// dorsal, a quarter medial) by arc length, ring = cos(n u) - m_n(z) or sin(n u) for n = 2, 3, 4, and three hats up the
// wall: zero at the platform, one at a third, two thirds and the whole way up to the highest end of a wing. m_n takes
// out what would stretch the wall along itself (0 on a circle, for sin by symmetry): stretching is some 300 times
// stiffer than bending (hoop 2.2e9 against 7.4e6 Pa/m at n = 2, E 1 GPa, t 2, r 30 mm), so it is left out.
// n = 1 is a shift of the whole section, which the platform holds, and is left out too.
//
// One more shape is the vamp's cloth bulging between stiff cap and throat: 1 at the middle of the throat, 0 at the cap
// and 60 degrees to either side. Cloth stretches, so it does change the girth.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <memory>

#include "aplomb/geometry/give.h"
#include "aplomb/shoe/box_surface.h"

namespace aplomb::shoe {

/// Amounts a_k in mm, k = 6 hat + 2 (n - 2) + (0 cos, 1 sin). Frame S. Within a millimetre of the axis nothing moves:
/// no wall is there.
class WallGive : public geometry::GiveShapes {
 public:
  static constexpr int hats = 3, first_n = 2, last_n = 4, ring_shapes = 2 * (last_n - first_n + 1);
  static constexpr int oval_count = hats * ring_shapes;
  static constexpr int vamp = oval_count;  ///< index of the vamp's shape
  static constexpr int shape_count = oval_count + 1;
  static int index(int hat, int n, bool sine) { return ring_shapes * hat + 2 * (n - first_n) + (sine ? 1 : 0); }

  explicit WallGive(const BoxSurface& box);

  int count() const override { return shape_count; }
  bool sample(const Vec3& x, const Eigen::VectorXd& amounts, geometry::GiveSample& out) const override;
  double moved_mm(const Vec3& x, const Eigen::VectorXd& amounts) const override;
  double bound(const Eigen::VectorXd& amounts) const override;
  double steepest(const Eigen::VectorXd& amounts, const Vec3& x, double radius_mm) const override;

  /// The ring shapes without hats at a place farther than a millimetre from the axis.
  Eigen::Array<double, ring_shapes, 1> rings_at(const Vec3& x) const;
  /// Value and first two derivatives of each hat by z.
  struct Hats {
    Eigen::Array<double, hats, 1> value, first, second;
  };
  Hats hats_at(double z) const;
  /// The same without the smooth start in the platform's rounded edge: a wall hinged in the middle of the edge's
  /// height.
  Hats hinged_hats_at(double z) const;
  double hinge_z() const;

 private:
  struct Tables;
  static Eigen::Array<double, ring_shapes, 1> rings_at(const Tables& tables, const Vec3& x, double cos1, double sin1);
  void find_steepest(Tables& tables, double high) const;
  std::shared_ptr<const Tables> tables_;  ///< shared and never changed: copies are cheap
};

/// Energy a^T K a / 2, N/mm, shape_count square, of the oval modes; the vamp's row and column are 0. Semi-membrane
/// theory of shells (V. Z. Vlasov, General Theory of Shells and its Applications in Engineering, 1949; named from
/// memory): the section bends without stretching, the wall strains along z as the sections' warping differs from height
/// to height. On a ring of radius r the first part is E t^3 (n^2 - 1)^2 / (12 r^4) per area.
struct WallStiffness {
  Eigen::MatrixXd ring;     ///< bending round the section
  Eigen::MatrixXd twist;    ///< bending that differs from height to height
  Eigen::MatrixXd warping;  ///< straining along z
  Eigen::MatrixXd end_cap;  ///< the platform, a plate whose rim is warped as the first hat rises from it
  Eigen::MatrixXd sum() const { return ring + twist + warping + end_cap; }
};

/// Guesses [G]: share of the wall's stiffness that the vamp's cloth between cap and throat has, and that is left at the
/// end of a wing, where the ring is open.
inline constexpr double vamp_stiffness_share = 0.15;
inline constexpr double wing_end_stiffness_share = 0.3;

/// With stiffness_left(parameters) in it.
WallStiffness wall_stiffness(const ShoeParameters& parameters, const BoxSurface& box, const WallGive& give);

}  // namespace aplomb::shoe
