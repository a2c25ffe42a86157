// A straight line through two states or a parabola through three; see ahead.h.
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

void Ahead::passed(const Eigen::VectorXd& q, const std::vector<double>& aims, const Eigen::VectorXd& place) {
  Eigen::VectorXd state(q.size() + static_cast<Eigen::Index>(aims.size()));
  state << q, Eigen::Map<const Eigen::VectorXd>(aims.data(), static_cast<Eigen::Index>(aims.size()));
  if (passed_.size() == 3) passed_.erase(passed_.begin());
  passed_.push_back({std::move(state), place});
}

std::optional<Ahead::Guess> Ahead::at(const Problem& problem, const Eigen::VectorXd& place) const {
  constexpr double longest_mm = 4, longest_known_mm = 20;  // further than that trying costs as much as it saves
  constexpr double bends_at_most = 0.5;                    // parts of the straight stride
  const std::size_t count = passed_.size();
  if (count < 2) return std::nullopt;
  const Passed &last = passed_[count - 1], &before = passed_[count - 2];
  const Eigen::VectorXd along = last.place - before.place;
  if (along.squaredNorm() == 0) return std::nullopt;
  /// How far from the last place, in strides before; nullopt off the line.
  const auto strides = [&](const Eigen::VectorXd& to) -> std::optional<double> {
    const Eigen::VectorXd onward = to - last.place;
    const double t = onward.dot(along) / along.squaredNorm();
    if ((onward - t * along).norm() > 1e-6 * onward.norm()) return std::nullopt;
    return t;
  };
  const auto t = strides(place);
  if (!t || !(*t > 0)) return std::nullopt;
  Eigen::VectorXd state = last.state + *t * (last.state - before.state);
  const auto moved = [&](const Eigen::VectorXd& to) { return way_mm(problem, last.state, to); };
  double longest = longest_mm;
  if (count == 3)
    if (const auto s = strides(passed_[0].place); s && *s < -1) {
      // Newton's divided differences on the places s < -1, -1, 0.
      const Eigen::VectorXd slope = last.state - before.state;
      const Eigen::VectorXd slope_before = (before.state - passed_[0].state) / (-1 - *s);
      const Eigen::VectorXd bend = *t * (*t + 1) / -*s * (slope - slope_before);
      if (way_mm(problem, Eigen::VectorXd::Zero(bend.size()), bend) < bends_at_most * moved(state))
        state += bend, longest = longest_known_mm;
    }
  const double stride_mm = moved(state);
  if (!(stride_mm < longest)) return std::nullopt;
  const Eigen::Index unknowns = problem.dof_count;
  return Guess{state.head(unknowns), {state.begin() + unknowns, state.end()}, stride_mm};
}

}  // namespace aplomb::contact
