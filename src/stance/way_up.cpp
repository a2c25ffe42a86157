// Up onto the ball through the balances that its path was solved through: none of them is solved again.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include "setup.h"

namespace aplomb::stance {

using geometry::Vec3;

bool heel_down(const Stance& stance) {
  constexpr double lies_mm = 0.2;
  const contact::RodFloor& floor = *stance.problem->rod_floor;
  const contact::PosedRod rod = contact::pose(*stance.problem->rod, stance.rest().q);
  double nearest = 1e9;
  for (std::size_t k = rod.node_xz.size() * 2 / 3; k < rod.node_xz.size(); ++k)
    nearest = std::min(nearest, floor.normal.dot(Vec3(rod.node_xz[k].x(), 0, rod.node_xz[k].y()) - floor.point));
  if (nearest > lies_mm) return false;
  double heel_N = 0;
  for (const contact::ContactState& c : stance.rest().contacts)
    if (c.against == contact::ContactState::Against::rod &&
        stance.foot->contact_points[static_cast<std::size_t>(c.point)].region == foot::Region::heel)
      heel_N += c.normal_force_N.dot(stance.ground.up_S());
  return heel_N > 0.1 * stance.load_N;
}

std::vector<Stance> way_up(const Stance& stance) {
  std::vector<Stance> way;
  if (stance.position != Position::demi_pointe || !stance.rest().converged || !stance.solved) return way;
  const auto add = [&](const contact::Equilibrium& state) {
    way.push_back(at_height(stance, state));
    way.back().on_floor = heel_down(way.back()) ? OnFloor::sole : OnFloor::box;
  };
  add(stance.solved->loaded);
  for (const contact::Equilibrium& state : stance.solved->further) add(state);
  return way;
}

}  // namespace aplomb::stance
