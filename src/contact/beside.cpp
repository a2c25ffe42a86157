// From each balance to the next as the neighbour went; see beside.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beside.h"

#include <algorithm>
#include <cmath>

namespace aplomb::contact {

namespace {
constexpr double near_mm = 2;        // within this of where the neighbour points a balance is the one looked for
constexpr double left_off_mm = 0.5;  // a line farther than this from where it shall pass was not brought there
}  // namespace

Beside::Beside(const Problem& problem, const LoadPath* path) : problem_(problem) {
  if (path == nullptr || !path->seat.converged || path->seat.q.size() != problem.dof_count) return;
  seat_ = &path->seat.q;
  if (!path->loaded.converged || path->loaded.q.size() != problem.dof_count) return;
  if (path->loaded.aim.size() != problem.steering.size()) return;
  path_ = path;
}

const Eigen::VectorXd* Beside::at(double factor) const {
  // Both walk from the same load in the seat to a full one of their own: what counts is the share of the way.
  constexpr double same = 1e-9;
  const double seat_N = path_->seat.load_N, way_N = path_->loaded.load_N - seat_N;
  const double share = (factor * problem_.load_N - seat_N) / (problem_.load_N - seat_N);
  if (std::abs(share) < same) return &path_->seat.q;
  for (const Waypoint& point : path_->way)
    if (std::abs((point.load_N - seat_N) / way_N - share) < same) return &point.q;
  return nullptr;
}

Ahead::Guess Beside::guess(const Eigen::VectorXd& q, const Eigen::VectorXd& from, const Eigen::VectorXd& to) const {
  return {q + to - from, path_->loaded.aim, std::max(near_mm, way_mm(problem_, from, to))};
}

std::optional<Ahead::Guess> Beside::seat() const {
  if (seat_ == nullptr) return std::nullopt;
  return Ahead::Guess{*seat_, {}, near_mm};
}

std::optional<Ahead::Guess> Beside::loaded(const Eigen::VectorXd& q, double done, double target) const {
  if (path_ == nullptr) return std::nullopt;
  const Eigen::VectorXd *from = at(done), *to = at(target);
  if (from == nullptr || to == nullptr) return std::nullopt;
  return guess(q, *from, *to);
}

std::optional<Ahead::Guess> Beside::steered(const Eigen::VectorXd& q) const {
  if (path_ == nullptr || problem_.steering.empty()) return std::nullopt;
  const Eigen::VectorXd* from = at(1);
  if (from == nullptr) return std::nullopt;
  Ahead::Guess there = guess(q, *from, path_->loaded.q);
  for (std::size_t s = 0; s < there.aims.size(); ++s) {
    const Steering& steer = problem_.steering[s];
    const int end = path_->loaded.aim_at_end[s];
    there.aims[s] = end > 0 ? steer.max : end < 0 ? steer.min : std::clamp(there.aims[s], steer.min, steer.max);
  }
  return there;
}

bool Beside::stopped_short() const {
  if (path_ == nullptr) return false;
  return std::any_of(path_->loaded.off_line_mm.begin(), path_->loaded.off_line_mm.end(),
                     [](double off) { return std::abs(off) > left_off_mm; });
}

std::optional<Ahead::Guess> Beside::further(const Eigen::VectorXd& q, std::size_t k) const {
  if (path_ == nullptr || k >= path_->further.size() || !path_->further[k].converged) return std::nullopt;
  return guess(q, (k == 0 ? path_->loaded : path_->further[k - 1]).q, path_->further[k].q);
}

}  // namespace aplomb::contact
