// Where the next balance of a way is likely to be.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <optional>
#include <vector>

#include "aplomb/contact/problem.h"

namespace aplomb::contact {

/// Furthest that one unknown moves from one state to the other, mm; an angle counts moment_arm_mm per rad.
double way_mm(const Problem& problem, const Eigen::VectorXd& from, const Eigen::VectorXd& to);

/// The last balances of one way point to the next.
class Ahead {
 public:
  struct Guess {
    Eigen::VectorXd q;
    std::vector<double> aims;
    double stride_mm = 0;  ///< way_mm from the last balance
  };

  /// A balance, with its aims, at `place`: the load, the aims, or how much of a way is done.
  void passed(const Eigen::VectorXd& q, const std::vector<double>& aims, const Eigen::VectorXd& place);
  /// Along the straight line through the last two balances, or the parabola through three where it bends little.
  /// Nullopt after fewer than two, where `place` is not straight on, or too far.
  std::optional<Guess> at(const Problem& problem, const Eigen::VectorXd& place) const;

 private:
  struct Passed {
    Eigen::VectorXd state;  ///< q, then the aims
    Eigen::VectorXd place;
  };
  std::vector<Passed> passed_;  ///< the last three, oldest first
};

}  // namespace aplomb::contact
