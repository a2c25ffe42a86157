// Residuals by what they balance, and what touches.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "describe.h"

#include <algorithm>
#include <cmath>

#include "newton.h"

namespace aplomb::contact {

void describe(System& system, const Problem& problem, double load_factor, FrictionMode mode, Equilibrium& state) {
  state.load_N = load_factor * problem.load_N;
  Eigen::VectorXd R;
  system.freeze(state.q);
  system.assemble(state.q, load_factor, mode, R, nullptr);
  const double F = problem.load_N;
  // Sliding unknowns carry the sum of forces. The first three turning unknowns of the load's own link carry the sum of
  // moments about its centre; every turning unknown is a joint residual too.
  state.aim.clear();
  state.aim_at_end.clear();
  state.off_line_mm.clear();
  for (std::size_t s = 0; s < problem.steering.size(); ++s) {
    const Steering& steer = problem.steering[s];
    const double aim = system.aim(static_cast<int>(s));
    state.aim.push_back(aim);
    state.aim_at_end.push_back(aim >= steer.max ? 1 : aim <= steer.min ? -1 : 0);
    state.off_line_mm.push_back(system.off_line(static_cast<int>(s), load_factor, R, nullptr, nullptr));
  }
  for (int i : problem.locked) R[i] = 0;
  double force2 = 0, moment2 = 0, joint = 0;
  int turning = 0;
  const int linkage = linkage_unknowns(problem);
  for (int i = 0; i < linkage; ++i) {
    if (problem.dof_is_length[i]) {
      force2 += R[i] * R[i];
    } else {
      if (turning++ < 3) moment2 += R[i] * R[i];
      joint = std::max(joint, std::abs(R[i]));
    }
  }
  state.rod_residual = state.give_residual = 0;
  for (int i = linkage; i < problem.dof_count; ++i) {
    double& worst = problem.dof_is_length[i] ? state.give_residual : state.rod_residual;
    worst = std::max(worst, std::abs(R[i]) / residual_size(problem, i, F, system.largest_terms()));
  }
  state.force_residual = std::sqrt(force2) / F;
  state.moment_residual = std::sqrt(moment2) / (F * moment_arm_mm);
  state.joint_residual = joint / (F * moment_arm_mm);
  state.bands = system.bands(state.q);
  state.contacts = system.contacts(state.q, mode);
  state.at_bone = 0;
  for (const ContactState& c : state.contacts)
    if (c.area_mm2 > 0.1 && c.compression_mm > bone_fraction * problem.points[c.point].layer.thickness_mm)
      ++state.at_bone;
}

}  // namespace aplomb::contact
