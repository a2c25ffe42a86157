// Contact points: an even, graded sampling of the skin below the ankle.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <functional>
#include <vector>

#include "aplomb/foot/foot.h"

namespace aplomb::template_tool {

using geometry::Vec3;

struct SamplingOptions {
  std::function<double(const Vec3&)> spacing_mm;  ///< distance wanted between neighbouring points
  std::function<bool(int face)> covered;          ///< does this face carry contact points?
  std::function<int(const Vec3&)> part;           ///< points never stand for skin of another part (toes)
};

/// Cuts every covered face into small triangles, picks points among them at least the wanted spacing apart, gives every
/// small triangle to its nearest point, and moves each point to the middle of what it was given. Areas add up to the
/// area of the covered faces.
std::vector<foot::ContactPoint> sample_contact_points(const foot::Skin& skin, const SamplingOptions& options);

}  // namespace aplomb::template_tool
