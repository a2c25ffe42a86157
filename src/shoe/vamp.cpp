// The drawstring is a string under tension round the throat: by virtual work its push on the vamp's shape is the
// tension times the change of the edge's length.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/shoe/vamp.h"

#include <algorithm>

namespace aplomb::shoe {

VampSpec make_vamp(const ShoeParameters& parameters, const BoxSurface& box, const WallGive& give) {
  constexpr int around = 384;
  const Eigen::VectorXd none = Eigen::VectorXd::Zero(WallGive::shape_count);
  geometry::GiveSample sample;
  double shortening = 0;
  for (const BoxSurface::RingPoint& at : box.ring(box.wall_point(0, box.cut_v(0)).position_S.z(), around)) {
    const double turned = (at.first.x() * at.second.y() - at.first.y() * at.second.x()) /
                          at.first.head<2>().squaredNorm() / around;  // of the tangent, rad
    if (give.sample(at.position_S, none, sample)) shortening += turned * sample.value[WallGive::vamp];
  }
  VampSpec vamp;
  vamp.loose_N_per_mm = parameters.vamp_loose_N_per_mm;
  vamp.tight_N_per_mm = parameters.vamp_tight_N_per_mm;
  vamp.slack_mm = parameters.vamp_slack_mm;
  vamp.drawn_mm = parameters.vamp_drawn_mm;
  vamp.drawstring_N = parameters.drawstring_N * std::max(0.0, shortening);
  return vamp;
}

}  // namespace aplomb::shoe
