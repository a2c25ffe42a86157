// What the wall gives at a point, and the most it gives.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "wall.h"

#include <algorithm>

#include "parts.h"

namespace aplomb::findings {

namespace {

const contact::Give* give_of(const PosedFoot& rest) {
  const auto& surfaces = rest.stance->problem->surfaces;
  return surfaces.empty() || !surfaces[0].give ? nullptr : &*surfaces[0].give;
}

}  // namespace

double wall_give_mm(const PosedFoot& rest, const Vec3& x) {
  const contact::Give* give = give_of(rest);
  return give == nullptr ? 0.0 : give->shapes->moved_mm(x, rest.state->q.segment(give->first_dof, give->count()));
}

bool sample_wall(const PosedFoot& rest, const Vec3& x, double band_mm, geometry::SurfaceSample& out) {
  const contact::Give* give = give_of(rest);
  if (give == nullptr) return rest.stance->shoe->box.sample(x, band_mm, out);
  const Eigen::VectorXd amounts = rest.state->q.segment(give->first_dof, give->count());
  if (!rest.stance->shoe->box.sample(x, band_mm + give->shapes->bound(amounts), out)) return false;
  out.gap_mm += give->shapes->moved_mm(x, amounts);
  return out.gap_mm <= band_mm;
}

double wall_gap_at_least(const PosedFoot& rest, const Vec3& x) {
  return rest.stance->shoe->box.gap_at_least(x) + wall_give_mm(rest, x);
}

void find_wall_give(const PosedFoot& rest, Findings& out) {
  const contact::Give* give = give_of(rest);
  if (give == nullptr) return;
  Eigen::VectorXd amounts = rest.state->q.segment(give->first_dof, give->count());
  amounts[shoe::WallGive::vamp] = 0;  // cloth between throat and cap, not the wall
  const shoe::BoxSurface& box = rest.stance->shoe->box;
  constexpr int around = 96, rows = 32;
  double most = 0;
  for (int k = 0; k < around; ++k) {
    const double turn = k / static_cast<double>(around), cut = box.cut_v(turn);
    for (int r = 1; r <= rows; ++r)
      most = std::max(most, give->shapes->moved_mm(box.wall_point(turn, cut * r / rows).position_S, amounts));
  }
  out.wall_give_mm = most;
}

}  // namespace aplomb::findings
