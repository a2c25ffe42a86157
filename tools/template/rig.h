// Joints of the template and the weights that tie its skin to the bones.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <vector>

#include "aplomb/foot/foot.h"
#include "shape.h"
#include "tables.h"

namespace aplomb::template_tool {

/// Joints in the order of foot/foot.h, ranges and straight angles turned to the standing pose.
std::vector<foot::JointAxis> make_joints(const Anatomy& anatomy);

/// Where a skin point lies among the five rays.
struct RayPlace {
  std::array<double, 5> share{};  ///< of each ray: >= 0, sum 1, at most two neighbours; one alone past the web
  double past_web_mm = 0;         ///< > 0 on the toes
};

class Rig {
 public:
  Rig(const Anatomy& anatomy, const FootShape& shape);
  RayPlace place(const Vec3& p) const;
  /// Whether a skin point counts as leg, above the foot.
  bool on_leg(const Vec3& p) const;
  /// Weights of all bones at a skin point; sum 1.
  std::array<double, foot::bone_count> all_weights(const Vec3& p) const;
  /// The four strongest, sum 1; the fifth is subtracted from each so that they change continuously.
  void weights(const Vec3& p, std::array<int, 4>& bones, std::array<double, 4>& weights) const;

 private:
  /// How far skin has gone over a joint: half way in the upright plane through the joint's axis, along a stretch that
  /// widens above and below it, because skin far from the axis has further to go.
  struct Hinge {
    Vec3 centre, forward;
    double half_width_mm;           ///< at the height of the axis
    double widens_up, widens_down;  ///< half width gained for each mm of height above and below it
    double leans;                   ///< its middle lies so far forward for each mm of height above the axis
    double share(const Vec3& p) const;
  };
  /// How far skin has gone from the leg to the foot, 0 to 1.
  static double foot_share(const Vec3& p);
  /// Share of the heel cord against the skin beside it: 1 behind the ankle, 0 at its sides and in front.
  static double cord_share(const Vec3& p);
  /// Share of cord and flesh against the skin over the ankle bones and in front.
  static double behind_ankle_share(const Vec3& p);
  /// Share of the flesh under the arch, which the sole of heel and ball runs into.
  static double arch_share(const Vec3& p);
  const FootShape& shape_;
  Hinge midtarsal_, naviculocuneiform_;
  std::array<Hinge, 5> tmt_, mtp_, pip_, dip_;
  std::array<std::vector<Vec2>, 5> ray_line_;  ///< plan line x -> y of each ray, heel side to toe tip
};

}  // namespace aplomb::template_tool
