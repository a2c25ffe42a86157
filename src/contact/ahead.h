// Where the next balance of a way is likely to be.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Core>
#include <optional>

#include "aplomb/contact/problem.h"

namespace aplomb::contact {

/// Furthest that one unknown moves from one state to the other, mm; an angle counts moment_arm_mm per rad.
double way_mm(const Problem& problem, const Eigen::VectorXd& from, const Eigen::VectorXd& to);

/// The last two balances of one way point to the next.
class Ahead {
 public:
  struct Guess {
    Eigen::VectorXd q;
    double stride_mm = 0;  ///< way_mm from the last balance
  };

  /// A balance at `place`: the load or the aims.
  void passed(const Eigen::VectorXd& q, const Eigen::VectorXd& place);
  /// Nullopt after fewer than two balances, where `place` is not straight on, or too far.
  std::optional<Guess> at(const Problem& problem, const Eigen::VectorXd& place) const;

 private:
  Eigen::VectorXd last_q_, last_place_, stride_q_, stride_place_;
};

}  // namespace aplomb::contact
