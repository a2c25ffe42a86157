// What it would take a foot that does not get over the platform.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>

#include "aplomb/contact/spring.h"
#include "setup.h"
#include "shoe_problem.h"

namespace aplomb::stance {

using U = FootUnknowns;

std::optional<GotOver> get_over(const Stance& stance, const Eigen::VectorXd& start, const StandOptions& options,
                                const io::Progress& progress) {
  // The same foot with an ankle that goes on and muscles that do not give in; its midfoot as it is.
  constexpr double far_rad = 2.2, strong = 10;
  contact::Problem problem = *stance.problem;
  const auto ankle = static_cast<std::size_t>(spring_index(problem, U::ankle));
  problem.springs[ankle].max = far_rad;
  problem.springs[ankle].tone_cap *= strong;
  problem.springs[ankle].tone_target = stance.hold.ankle_range_deg * geometry::rad_per_deg;
  for (contact::Steering& steer : problem.steering)
    if (steer.locked_dof == U::tilt_y) steer.max = far_rad;
  contact::SolveOptions solve = options.solve;
  solve.settle = false;
  // The path beside is that of a foot which does not get over.
  solve.beside = options.solve.beside ? options.solve.beside->beyond : nullptr;
  contact::LoadPath path = contact::solve(problem, start, solve, progress);
  if (!path.loaded.converged) return std::nullopt;
  for (std::size_t s = 0; s < problem.steering.size(); ++s)
    if (problem.steering[s].locked_dof == U::tilt_y) {
      if (std::abs(path.loaded.off_line_mm[s]) > 2) return std::nullopt;
      problem.springs[ankle].tone_target = path.loaded.aim[s];
    }
  const Eigen::VectorXd& q = path.loaded.q;
  const Stance::Needed needed{
      pointing_used_deg(q),
      -contact::tone_energy(problem.springs[ankle], q[U::ankle], problem.springs[ankle].tone_target, 1).first / 1000};
  return GotOver{needed, std::move(path)};
}

}  // namespace aplomb::stance
