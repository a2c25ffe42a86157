// A balance whose aims may be unknowns too, as Newton sees it.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <vector>

#include "newton.h"

namespace aplomb::contact {

/// Takes the locked unknowns out of a balance: nothing moves them.
inline void lock(const Problem& problem, Eigen::VectorXd& R, Eigen::MatrixXd* K) {
  for (int i : problem.locked) {
    R[i] = 0;
    if (K == nullptr) continue;
    K->row(i).setZero();
    K->col(i).setZero();
    (*K)(i, i) = 1;
  }
}

/// A balance in which aims are unknowns too. A steered aim takes the place of the unknown locked for it: its column
/// says what the aim does to the joints, its row where the line of force passes, as a moment.
class SteeredBalance {
 public:
  SteeredBalance(System& system, const Problem& problem, double load_factor, FrictionMode mode, Aims aims)
      : system_(system),
        problem_(problem),
        load_factor_(load_factor),
        mode_(mode),
        found_(aims == Aims::found),
        free_(problem.steering.size(), found_) {}

  void assemble(const Eigen::VectorXd& q, Eigen::VectorXd& R, Eigen::MatrixXd* K) {
    system_.assemble(q, load_factor_, mode_, R, K);
    const double F = load_factor_ * problem_.load_N;
    std::vector<double> off;
    std::vector<Eigen::VectorXd> gradient(problem_.steering.size());
    for (std::size_t s = 0; s < problem_.steering.size(); ++s)
      off.push_back(system_.off_line(static_cast<int>(s), load_factor_, R, K, K ? &gradient[s] : nullptr));
    lock(problem_, R, K);
    for (std::size_t s = 0; s < problem_.steering.size(); ++s) {
      if (!free_[s]) continue;
      const Steering& steer = problem_.steering[s];
      R[steer.locked_dof] = F * off[s];
      if (K == nullptr) continue;
      for (int i : problem_.locked) gradient[s][i] = 0;
      K->row(steer.locked_dof) = F * gradient[s].transpose();
      (*K)(problem_.springs[steer.spring].dof, steer.locked_dof) =
          system_.aim_slope(static_cast<int>(s), q, load_factor_);
    }
  }

  /// An aim at the end of its range that the step would push on is no unknown; true when that changed anything.
  bool hold_at_ends(const Eigen::VectorXd& step) {
    bool held = false;
    for (std::size_t s = 0; s < free_.size(); ++s) {
      const Steering& steer = problem_.steering[s];
      const double aim = system_.aim(static_cast<int>(s)), d = step[steer.locked_dof];
      if (!free_[s] || !((aim >= steer.max && d > 0) || (aim <= steer.min && d < 0))) continue;
      free_[s] = false;
      held = true;
    }
    return held;
  }
  void free_all() { free_.assign(free_.size(), found_); }

  /// q and aims moved by the step.
  Eigen::VectorXd moved(const Eigen::VectorXd& q, const std::vector<double>& aims, const Eigen::VectorXd& step) {
    Eigen::VectorXd out = q + step;
    for (int i : problem_.locked) out[i] = q[i];
    for (std::size_t s = 0; s < free_.size(); ++s) {
      const Steering& steer = problem_.steering[s];
      const double by = free_[s] ? step[steer.locked_dof] : 0.0;
      system_.set_aim(static_cast<int>(s), std::clamp(aims[s] + by, steer.min, steer.max));
    }
    return out;
  }
  std::vector<double> aims() const {
    std::vector<double> out;
    for (std::size_t s = 0; s < free_.size(); ++s) out.push_back(system_.aim(static_cast<int>(s)));
    return out;
  }

  /// Aims that are unknowns from here on.
  void free_only(const std::vector<bool>& free) { free_ = free; }

 private:
  System& system_;
  const Problem& problem_;
  double load_factor_;
  FrictionMode mode_;
  bool found_;
  std::vector<bool> free_;
};

/// Projected areas follow q while this lives.
class AreasFollow {
 public:
  explicit AreasFollow(System& system) : system_(system) { system_.let_areas_follow(true); }
  ~AreasFollow() { system_.let_areas_follow(false); }
  AreasFollow(const AreasFollow&) = delete;
  AreasFollow& operator=(const AreasFollow&) = delete;

 private:
  System& system_;
};

}  // namespace aplomb::contact
