// Crowding: how much breadth each toe is left, and which toes lie over one another.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <vector>

#include "parts.h"
#include "slices.h"

namespace aplomb::findings {

namespace {

/// Where a toe lies.
struct Toe {
  Vec3 along_F, across_F;  ///< its own frame at rest: MTP centre to bone tip, and across that in the plan
  Vec3 along_S, across_S;  ///< the same as it lies now, both + as at rest: to the tip, medial
  std::vector<int> points;
};

Vec3 perpendicular(const Vec3& direction, const Vec3& to) { return (direction - to * to.dot(direction)).normalized(); }

std::array<Toe, foot::toe_count> lay_out(const PosedFoot& rest) {
  const foot::Foot& foot = *rest.stance->foot;
  std::array<Toe, foot::toe_count> toes;
  for (int k = 0; k < foot::toe_count; ++k) {
    const auto mtp = static_cast<std::size_t>(foot::joint_index(foot, numbered("MTP", k)));
    const std::string tip = numbered("bonetip", k);
    Toe& toe = toes[k];
    toe.along_F = (foot.landmarks.at(tip).position_F - foot.joints[mtp].centre_F).normalized();
    toe.across_F = perpendicular(Vec3::UnitY(), toe.along_F);
    toe.along_S = (rest.landmark_S(tip) - rest.joint_centre_S(numbered("MTP", k))).normalized();
    // The phalanges bend about axes that lie across the toe: one direction across serves them all.
    toe.across_S = perpendicular(rest.T_S_bone[foot::proximal0 + k].linear() * toe.across_F, toe.along_S);
  }
  for (std::size_t i = 0; i < foot.contact_points.size(); ++i)
    if (const auto k = static_cast<std::size_t>(foot.contact_points[i].region); k < toes.size())
      toes[k].points.push_back(static_cast<int>(i));
  return toes;
}

/// Skin moved by what presses it: each partner pushes its point along its own normal by the tissue's compression.
class Pressed {
 public:
  explicit Pressed(const PosedFoot& rest) : rest_(rest), pushes_(rest.stance->foot->contact_points.size()) {
    for (const contact::ContactState& c : rest.state->contacts)
      pushes_[static_cast<std::size_t>(c.point)].push_back(c.compression_mm * c.normal);
  }

  AcrossPoint at(int point, double along_mm, const Vec3& across) const {
    // Partners on one side of a point overlap rather than add up: the strongest each way counts.
    double up = 0, down = 0;
    for (const Vec3& push : pushes_[static_cast<std::size_t>(point)])
      up = std::max(up, push.dot(across)), down = std::min(down, push.dot(across));
    const double free = rest_.contact_point_S(point).dot(across);
    return {along_mm, free, free + up + down};
  }

  /// Slices of the toe as the skin grew: cut across its length at rest, measured as it lies now.
  std::map<int, Slice> own_slices(const Toe& toe) const {
    std::vector<AcrossPoint> points;
    for (const int i : toe.points)
      points.push_back(at(i, rest_.stance->problem->points[static_cast<std::size_t>(i)].position_rest.dot(toe.along_F),
                          toe.across_S));
    return cut_slices(points);
  }

  /// Slices as it lies now, along and across common directions.
  std::map<int, Slice> slices_along(const Toe& toe, const Vec3& along, const Vec3& across) const {
    std::vector<AcrossPoint> points;
    for (const int i : toe.points) points.push_back(at(i, rest_.contact_point_S(i).dot(along), across));
    return cut_slices(points);
  }

 private:
  const PosedFoot& rest_;
  std::vector<std::vector<Vec3>> pushes_;
};

}  // namespace

void find_crowding(const PosedFoot& rest, Findings& out) {
  const auto toes = lay_out(rest);
  const Pressed pressed(rest);
  double lost = 0, total = 0;
  for (int k = 0; k < foot::toe_count; ++k) {
    const ToeBreadth breadth = toe_breadth(pressed.own_slices(toes[k]));
    out.toes[k].squeeze_mm = breadth.squeeze_mm;
    lost += breadth.squeeze_mm;
    total += breadth.free_mm;
    out.toes[k].overlap_mm = 0;
  }
  out.crowding_index = total > 0 ? lost / total : 0;

  for (int k = 0; k + 1 < foot::toe_count; ++k) {
    const Toe &medial = toes[k], &lateral = toes[k + 1];
    const Vec3 along = (medial.along_S + lateral.along_S).normalized();
    const Vec3 across = perpendicular(medial.across_S + lateral.across_S, along);
    const double over =
        overlap_mm(pressed.slices_along(lateral, along, across), pressed.slices_along(medial, along, across));
    out.toes[k].overlap_mm = std::max(*out.toes[k].overlap_mm, over);
    out.toes[k + 1].overlap_mm = std::max(*out.toes[k + 1].overlap_mm, over);
  }
}

}  // namespace aplomb::findings
