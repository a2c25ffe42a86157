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
  /// Share of the foot against the leg across the ankle: 1 on the foot, 0 on the leg.
  double foot_share(const Vec3& p) const;
  /// Weights of all bones at a skin point; sum 1.
  std::array<double, foot::bone_count> all_weights(const Vec3& p) const;
  /// The four strongest, sum 1; the fifth is subtracted from each so that they change continuously.
  void weights(const Vec3& p, std::array<int, 4>& bones, std::array<double, 4>& weights) const;

 private:
  struct Hinge {
    Vec3 centre, normal;
    double half_width;
    double share(const Vec3& p) const;
  };
  const FootShape& shape_;
  Hinge midtarsal_, naviculocuneiform_;
  std::array<Hinge, 5> tmt_, mtp_, pip_, dip_;
  std::array<std::vector<Vec2>, 5> ray_line_;  ///< plan line x -> y of each ray, heel side to toe tip
};

}  // namespace aplomb::template_tool
