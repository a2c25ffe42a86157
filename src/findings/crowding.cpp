// Crowding: how much breadth each toe is left, and which toes lie over one another.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <vector>

#include "parts.h"

namespace aplomb::findings {

namespace {

/// Extent of a toe across the shoe, of its free skin and of the skin as it is pressed.
struct Breadth {
  double free_low = 1e9, free_high = -1e9;
  double low = 1e9, high = -1e9;
};

}  // namespace

void find_crowding(const PosedFoot& rest, Findings& out) {
  const foot::Foot& foot = *rest.stance->foot;
  // Each pressed point of skin lies displaced by its own compression along what presses it.
  std::vector<Vec3> moved(foot.contact_points.size(), Vec3::Zero());
  for (const contact::ContactState& c : rest.state->contacts) {
    const Vec3 by = c.compression_mm * c.normal;
    // Several partners at one point overlap rather than add: keep the larger along each axis.
    for (int axis = 0; axis < 3; ++axis)
      if (std::abs(by[axis]) > std::abs(moved[c.point][axis])) moved[c.point][axis] = by[axis];
  }
  std::array<Breadth, foot::toe_count> breadth;
  std::array<Vec3, foot::toe_count> across;
  for (int k = 0; k < foot::toe_count; ++k) {
    // Across the toe, in the plane of the platform's breadth: S.y made perpendicular to the toe.
    const Vec3 along = (rest.landmark_S(numbered("bonetip", k)) - rest.joint_centre_S(numbered("MTP", k))).normalized();
    across[k] = (Vec3::UnitY() - along * along.y()).normalized();
  }
  for (std::size_t i = 0; i < foot.contact_points.size(); ++i) {
    const int k = static_cast<int>(foot.contact_points[i].region);
    if (k >= foot::toe_count) continue;
    const Vec3 x = rest.contact_point_S(static_cast<int>(i));
    Breadth& b = breadth[k];
    const double free = across[k].dot(x), left = across[k].dot(x + moved[i]);
    b.free_low = std::min(b.free_low, free), b.free_high = std::max(b.free_high, free);
    b.low = std::min(b.low, left), b.high = std::max(b.high, left);
  }
  double lost = 0, total = 0;
  for (int k = 0; k < foot::toe_count; ++k) {
    const double free = breadth[k].free_high - breadth[k].free_low;
    const double loss = std::max(0.0, free - (breadth[k].high - breadth[k].low));
    out.toes[k].squeeze_mm = loss;
    lost += loss;
    total += free;
  }
  out.crowding_index = total > 0 ? lost / total : 0;

  // Overlap: at the height of the shorter toe's last bone, the part of two neighbours' pressed breadths that lies one
  // over the other.
  for (int k = 0; k < foot::toe_count; ++k) out.toes[k].overlap_mm = 0;
  for (int k = 0; k + 1 < foot::toe_count; ++k) {
    const Vec3 a =
        (rest.landmark_S(numbered("bonetip", k)) + rest.joint_centre_S(numbered(k == 0 ? "IP" : "DIP", k))) / 2;
    const Vec3 b = (rest.landmark_S(numbered("bonetip", k + 1)) + rest.joint_centre_S(numbered("DIP", k + 1))) / 2;
    const double half = (breadth[k].high - breadth[k].low + breadth[k + 1].high - breadth[k + 1].low) / 2;
    const double apart = std::abs(a.y() - b.y());
    // Side by side the distance of the bones is what the breadths fill; nearer than that with one in front is riding.
    const double over = std::abs(a.x() - b.x()) > 2.0 ? std::max(0.0, half - apart) : 0.0;
    out.toes[k].overlap_mm = std::max(*out.toes[k].overlap_mm, over);
    out.toes[k + 1].overlap_mm = std::max(*out.toes[k + 1].overlap_mm, over);
  }
}

}  // namespace aplomb::findings
