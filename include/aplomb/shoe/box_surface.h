// The inner surface of the box: platform, rounded edge and wall tube as one surface, with exact closest points.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>
#include <vector>

#include "aplomb/geometry/surface.h"
#include "aplomb/geometry/types.h"
#include "aplomb/io/error.h"
#include "aplomb/shoe/parameters.h"

namespace aplomb::shoe {

using geometry::Mat3;
using geometry::Vec2;
using geometry::Vec3;

/// SurfaceSample::zone. The surface belongs to the platform down to 45 degrees in the rounded edge; the wall is split
/// where its normal stands at 45 degrees in the section. On the dorsum the stiff wall ends at cap_length_mm; the vamp
/// follows.
enum class Zone : int { platform, wall_medial, wall_lateral, wall_sole, vamp, wall_dorsal, count };
extern const char* const zone_names[static_cast<int>(Zone::count)];

/// Frame S, mm. Convex inside, C2: normal and curvature are continuous. The surface goes on 40 mm past the ends of the
/// box so that overlaps near the cut stay smooth; `cover` says where it exists: 1 in the box, fading over fade_mm past
/// the cut.
///
/// Trust: exact closest point for every overlap, and for clear points up to the smallest radius of curvature (the
/// fillet's); deeper inside, a nearest point of platform or wall, which on the medial axis may be either of two.
class BoxSurface : public geometry::Surface {
 public:
  static constexpr double fade_mm = 3;

  /// Errors: no smooth section has these proportions. Pre: check(parameters) passed.
  static io::Result<BoxSurface> make(const ShoeParameters& parameters);

  bool sample(const Vec3& x, double band_mm, geometry::SurfaceSample& out) const override;
  double gap_at_least(const Vec3& x) const override;

  /// Only the distance part of sample(): gap, normal, curvature, zone; never rejects.
  geometry::SurfaceSample nearest(const Vec3& x) const;

  /// Height z at which the box ends in the direction of (x, y) seen from cut_centre_x: vamp, wings, sole edge.
  double cut_z(const Vec2& xy) const;
  double highest_cut_z() const;
  double cap_z() const;  ///< height at which the stiff cap on the dorsum ends and the vamp begins

  /// A point of the curved part: `turn` round the section (0 dorsal, 0.25 medial, 0.5 plantar, by arc), `v` up the
  /// profile: 0 edge of the flat, 1 end of the rounding, then even in z.
  struct WallPoint {
    Vec3 position_S;
    Vec3 inward_S;  ///< unit normal to the free side
  };
  WallPoint wall_point(double turn, double v) const;
  /// The section at height z, `count` points even in `turn`: position and its derivatives by turn. Pre: as v_of_z().
  struct RingPoint {
    Vec3 position_S, first, second;
  };
  std::vector<RingPoint> ring(double z, int count) const;
  double axis_x(double z) const;    ///< middle of the section there; y is 0
  double cut_v(double turn) const;  ///< where the cut line crosses this direction
  double v_of_z(double z) const;    ///< pre: z at or above the end of the rounding
  double rounding_end_z() const;    ///< where the fillet ends
  double platform_z() const;        ///< inner face of the platform

 private:
  struct Shape;
  explicit BoxSurface(std::shared_ptr<const Shape> shape);
  std::shared_ptr<const Shape> shape_;  ///< shared and never changed: copies are cheap
};

}  // namespace aplomb::shoe
