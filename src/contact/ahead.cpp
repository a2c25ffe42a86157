// A straight line through two states; see ahead.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "ahead.h"

#include <algorithm>
#include <cmath>

#include "newton.h"

namespace aplomb::contact {

double way_mm(const Problem& problem, const Eigen::VectorXd& from, const Eigen::VectorXd& to) {
  double most = 0;
  for (int i = 0; i < problem.dof_count; ++i)
    most = std::max(most, std::abs(to[i] - from[i]) * (problem.dof_is_length[i] ? 1.0 : moment_arm_mm));
  return most;
}

void Ahead::passed(const Eigen::VectorXd& q, const Eigen::VectorXd& place) {
  if (last_q_.size() > 0) stride_q_ = q - last_q_, stride_place_ = place - last_place_;
  last_q_ = q;
  last_place_ = place;
}

std::optional<Ahead::Guess> Ahead::at(const Problem& problem, const Eigen::VectorXd& place) const {
  constexpr double longest_mm = 4;  // the way bends: over more, trying costs as much as it saves
  if (stride_q_.size() == 0 || stride_place_.squaredNorm() == 0) return std::nullopt;
  const Eigen::VectorXd onward = place - last_place_;
  const double times = onward.dot(stride_place_) / stride_place_.squaredNorm();
  if (!(times > 0) || (onward - times * stride_place_).norm() > 1e-6 * onward.norm()) return std::nullopt;
  Guess guess{last_q_ + times * stride_q_};
  guess.stride_mm = way_mm(problem, last_q_, guess.q);
  if (!(guess.stride_mm < longest_mm)) return std::nullopt;
  return guess;
}

}  // namespace aplomb::contact
