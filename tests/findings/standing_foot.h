// The template's foot and the sample shoe, put together without a solve: states are made by turning joints.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <catch2/catch.hpp>
#include <memory>

#include "../source_data.h"
#include "aplomb/shoe/shoe.h"
#include "foot_linkage.h"
#include "parts.h"

namespace aplomb::findings::test {

using namespace source_data;

/// A stance without springs, contacts and load path; load 250 N. Foot and shoe are read once.
inline stance::Stance unsolved_stance() {
  using geometry::Mat3;
  static const auto foot = std::make_shared<const foot::Foot>(need(foot::load_template(meshes() / "foot")));
  static const auto shoe =
      std::make_shared<const shoe::Shoe>(need(shoe::make_shoe(need(shoe::read_shoe(shoe_file("parallel"))))));
  static const auto problem = [] {
    contact::Problem made;
    made.linkage = need(stance::foot_linkage(*foot, {}, Mat3::Identity()));
    made.points = stance::skin_points(*foot, {});
    contact::Rod rod;
    rod.start_xz = shoe->shank.start_xz;
    rod.start_angle = shoe->shank.start_angle_rad;
    rod.length_mm = shoe->shank.element_length_mm;
    rod.EI_Nmm2 = shoe->shank.EI_Nmm2;
    rod.rest_curvature = shoe->shank.kappa0_per_mm;
    rod.half_breadth_mm = shoe->shank.half_breadth_mm;
    rod.first_dof = stance::FootUnknowns::count;
    made.rod = rod;
    made.dof_count = rod.first_dof + rod.element_count();
    made.load_N = 250;
    return made;
  }();
  stance::Stance stance;
  stance.foot = foot;
  stance.shoe = shoe;
  stance.problem = std::make_shared<const contact::Problem>(problem);
  stance.load_N = 250;
  return stance;
}

/// All joints as when standing, ankle centre at the origin of S, the rod straight on from its clamp.
inline contact::Equilibrium standing_state(const stance::Stance& stance) {
  using U = stance::FootUnknowns;
  contact::Equilibrium state;
  state.q = Eigen::VectorXd::Zero(stance.problem->dof_count);
  for (int k = 0; k < foot::toe_count; ++k) {
    // IP and PIP are counted from straight.
    const int joint = foot::joint_index(*stance.foot, numbered(k == 0 ? "IP" : "PIP", k));
    state.q[U::ip + k] = -stance.foot->joints[static_cast<std::size_t>(joint)].straight_deg * geometry::rad_per_deg;
  }
  const contact::Rod& rod = *stance.problem->rod;
  for (int j = 0; j < rod.element_count(); ++j) state.q[rod.first_dof + j] = rod.start_angle;
  return state;
}

}  // namespace aplomb::findings::test
