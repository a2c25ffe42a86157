// The fields of the shape model, point by point.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>

#include "aplomb/foot/foot.h"
#include "aplomb/foot/numbers.h"

namespace aplomb::foot {

/// 0 below 0, 1 above 1, with two continuous derivatives between.
double smooth_step(double t);

/// One toe of the template in plan.
struct ToeFrame {
  Vec3 root = Vec3::Zero();              ///< MTP joint centre
  Vec3 along = Vec3::UnitX();            ///< unit, level, to the tip
  Vec3 across = Vec3::UnitY();           ///< unit, level, medial
  double length_mm = 0;                  ///< root to skin tip in plan
  double breadth_mm = 0, height_mm = 0;  ///< at the pad
  Vec3 pad_middle = Vec3::Zero();        ///< middle of the section at the pad
};

/// What the fields need to know of the template.
struct FieldAnatomy {
  std::array<ToeFrame, toe_count> toe;
  double foot_breadth_mm = 90, heel_breadth_mm = 65, heel_middle_y = 0, malleolus_middle_y = 0;
  double bimalleolar_mm = 63, ankle_girth_mm = 210;
  Vec3 leg_middle = Vec3::Zero();                            ///< centre of the ankle-girth section
  Vec3 heel_low = Vec3::Zero(), ankle_bend = Vec3::UnitX();  ///< what the heel-ankle tape goes through
  double instep_mm = 63, navicular_mm = 40;
};

/// Displacement of a point of the body (everything but the toes) for one unit of parameter `k`. 0 < k <
/// dimension_count.
Vec3 body_field(const FieldAnatomy& anatomy, int k, const Vec3& x);
/// The same for a point of toe `toe`.
Vec3 toe_field(const FieldAnatomy& anatomy, int k, int toe, const Vec3& x);
/// Share of the displacement along the outward normal that is soft tissue.
double tissue_share(int k);

}  // namespace aplomb::foot
