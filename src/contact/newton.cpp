// Descent and Newton steps with caps; see newton.h.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "newton.h"

#include <Eigen/Cholesky>
#include <Eigen/Eigenvalues>
#include <Eigen/LU>
#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "ahead.h"
#include "steered.h"

namespace aplomb::contact {

namespace {

/// Shortens a step so that no unknown moves further than its cap.
void cap_step(const Problem& problem, Eigen::VectorXd& step, const SolveOptions& options) {
  double factor = 1;
  for (int i = 0; i < problem.dof_count; ++i) {
    const double cap = problem.dof_is_length[i] ? options.step_cap_mm : options.step_cap_rad;
    factor = std::max(factor, std::abs(step[i]) / cap);
  }
  step /= factor;
}

/// - K^-1 R for a symmetric K, with negative or vanishing curvature turned round so that the step always leads down:
/// this is what carries a buckling toe off its straight, unstable state.
Eigen::VectorXd descent_step(const Eigen::MatrixXd& K, const Eigen::VectorXd& R, const Eigen::VectorXd& scale) {
  // Among the eigenvalues, what is all but rigid would drown the soft directions in its rounding: it is measured
  // smaller.
  static constexpr double rigid_N_per_mm = 1e6;
  const Eigen::VectorXd size = scale.binaryExpr(K.diagonal(), [](double s, double k) {
    return s * std::min(1.0, std::sqrt(rigid_N_per_mm / std::max(std::abs(k) * s * s, rigid_N_per_mm)));
  });
  const Eigen::MatrixXd scaled = size.asDiagonal() * K * size.asDiagonal();
  const Eigen::VectorXd r = size.cwiseProduct(R);
  const Eigen::LLT<Eigen::MatrixXd> llt(scaled);
  if (llt.info() == Eigen::Success) return -size.cwiseProduct(llt.solve(r));
  const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> eigen(scaled);
  const double floor = std::max(1e-6 * eigen.eigenvalues().cwiseAbs().maxCoeff(), std::numeric_limits<double>::min());
  const Eigen::VectorXd inverse =
      eigen.eigenvalues().unaryExpr([floor](double v) { return 1.0 / std::max(std::abs(v), floor); });
  return -size.cwiseProduct(eigen.eigenvectors() * inverse.cwiseProduct(eigen.eigenvectors().transpose() * r));
}

/// Newton closes only linearly where weights of partners are frozen; the steps before tell how the next ones would go
/// on. Anderson mixing: of all combinations of the last states the one whose step is shortest (least squares, lengths
/// as in scale).
class Mixing {
 public:
  Mixing(const Problem& problem, const Eigen::VectorXd& scale) : problem_(problem), scale_(scale) {}

  void forget() { steps_.clear(), moves_.clear(), have_last_ = false; }

  /// The step to take from q (with its aims) where Newton proposes `step`.
  Eigen::VectorXd improve(const Eigen::VectorXd& q, const std::vector<double>& aims, const Eigen::VectorXd& step) {
    constexpr std::size_t memory = 6;
    Eigen::VectorXd x = q;
    for (std::size_t s = 0; s < aims.size(); ++s) x[problem_.steering[s].locked_dof] = aims[s];
    if (have_last_) {
      steps_.push_back(step - last_step_);
      moves_.push_back(x - last_x_);
      if (steps_.size() > memory) steps_.erase(steps_.begin()), moves_.erase(moves_.begin());
    }
    last_x_ = x;
    last_step_ = step;
    have_last_ = true;
    if (steps_.empty()) return step;
    const auto count = static_cast<Eigen::Index>(steps_.size());
    Eigen::MatrixXd D(x.size(), count);
    for (Eigen::Index k = 0; k < count; ++k) D.col(k) = steps_[static_cast<std::size_t>(k)].cwiseQuotient(scale_);
    const Eigen::VectorXd gamma = D.colPivHouseholderQr().solve(step.cwiseQuotient(scale_));
    Eigen::VectorXd out = step;
    for (Eigen::Index k = 0; k < count; ++k) {
      const auto i = static_cast<std::size_t>(k);
      out -= gamma[k] * (steps_[i] + moves_[i]);
    }
    return out;
  }

 private:
  const Problem& problem_;
  const Eigen::VectorXd& scale_;
  std::vector<Eigen::VectorXd> steps_, moves_;  ///< differences between successive steps, and between states
  Eigen::VectorXd last_x_, last_step_;
  bool have_last_ = false;
};

constexpr double mix_below = 1e-2;  // residual from which successive steps resemble one another

/// How long steps that lead nowhere are gone on with. Where aims are found along the way may have no end, which shows
/// soon, and a shorter stride is the better answer.
struct Patience {
  int steps;  ///< without halving the residual
  int cuts;   ///< of one step
};
constexpr Patience patience_with(Aims aims) { return aims == Aims::found ? Patience{5, 4} : Patience{10, 8}; }

/// Whether at these aims the symmetric part of the tangent is positive definite.
bool rises_every_way(const Problem& problem, Eigen::MatrixXd K, const Eigen::VectorXd& scale) {
  Eigen::VectorXd unused = Eigen::VectorXd::Zero(K.rows());
  lock(problem, unused, &K);
  const Eigen::MatrixXd scaled = scale.asDiagonal() * ((K + K.transpose()) / 2) * scale.asDiagonal();
  return Eigen::LLT<Eigen::MatrixXd>(scaled).info() == Eigen::Success;
}

double step_size(const Eigen::VectorXd& step, const Eigen::VectorXd& scale) { return step.cwiseQuotient(scale).norm(); }

Eigen::VectorXd newton_step(const Eigen::MatrixXd& K, const Eigen::VectorXd& R, const Eigen::VectorXd& scale) {
  const Eigen::MatrixXd scaled = scale.asDiagonal() * K * scale.asDiagonal();
  return -scale.cwiseProduct(scaled.partialPivLu().solve(scale.cwiseProduct(R)));
}

}  // namespace

Eigen::VectorXd unknown_scales(const Problem& problem) {
  Eigen::VectorXd s(problem.dof_count);
  for (int i = 0; i < problem.dof_count; ++i) s[i] = problem.dof_is_length[i] ? 1.0 : 1.0 / moment_arm_mm;
  return s;
}

int linkage_unknowns(const Problem& problem) {
  int first = problem.rod ? problem.rod->first_dof : problem.dof_count;
  for (const SurfaceContact& surface : problem.surfaces)
    if (surface.give) first = std::min(first, surface.give->first_dof);
  return first;
}

double residual_size(const Problem& problem, int i, double load_N, const System::LargestTerms& largest) {
  if (i < linkage_unknowns(problem)) return problem.dof_is_length[i] ? load_N : load_N * moment_arm_mm;
  constexpr double least = 1e-3;  // of what a loaded one carries: a free one balances as tightly
  return problem.dof_is_length[i] ? std::max(least * load_N, largest.give)
                                  : std::max(least * load_N * moment_arm_mm, largest.rod);
}

double scaled_residual(const Problem& problem, const Eigen::VectorXd& R, double load_N,
                       const System::LargestTerms& largest) {
  double worst = 0;
  for (int i = 0; i < problem.dof_count; ++i) {
    const double here = std::abs(R[i]) / residual_size(problem, i, load_N, largest);
    if (!(here <= worst)) worst = here;  // keeps what is not a number
    if (std::isnan(worst)) break;
  }
  return worst;
}

NewtonReport minimise(System& system, const Problem& problem, Eigen::VectorXd& q, double load_factor, double load_N,
                      FrictionMode mode, double tolerance, int max_iterations, const SolveOptions& options,
                      const io::Progress& progress) {
  const Eigen::VectorXd scale = unknown_scales(problem);
  system.let_areas_follow(false);
  Eigen::VectorXd R, last_step;
  Eigen::MatrixXd K;
  NewtonReport report;
  double stride = 1;
  for (report.iterations = 0; report.iterations < max_iterations; ++report.iterations) {
    if (progress.cancelled()) {
      report.cancelled = true;
      return report;
    }
    system.freeze(q);
    double start = 0;
    system.assemble(q, load_factor, mode, R, &K, &start);
    lock(problem, R, &K);
    report.residual = scaled_residual(problem, R, load_N, system.largest_terms());
    if (!std::isfinite(report.residual)) return report;
    if (report.residual < tolerance) {
      report.converged = true;
      return report;
    }
    Eigen::VectorXd step = descent_step((K + K.transpose()) / 2, R, scale);
    cap_step(problem, step, options);
    // Refreshing what was frozen can send the next step straight back, for ever: then go half as far.
    const Eigen::VectorXd scaled_step = step.cwiseQuotient(scale);
    if (last_step.size() > 0 && scaled_step.dot(last_step) < -0.5 * scaled_step.norm() * last_step.norm())
      stride /= 2;
    else
      stride = std::min(1.0, 1.5 * stride);
    last_step = scaled_step;
    step *= stride;
    const double slope = R.dot(step);
    double alpha = 1;
    bool lower = false;
    for (int cut = 0; cut < 30; ++cut, alpha /= 2) {
      const double value = system.energy(q + alpha * step, load_factor, mode);
      // Near the bottom the fall is lost in rounding: a step that does not raise the energy measurably is taken.
      if (value <= start + 1e-4 * alpha * slope + 1e-13 * std::abs(start)) {
        lower = true;
        break;
      }
    }
    if (!lower) return report;
    q += alpha * step;
  }
  return report;
}

NewtonReport newton(System& system, const Problem& problem, Eigen::VectorXd& q, double load_factor, double load_N,
                    FrictionMode mode, const Closing& closing, int max_iterations, const SolveOptions& options,
                    const io::Progress& progress, Aims aims_mode) {
  constexpr double near_balance = 0.1;  // a short step from farther off says nothing
  const Eigen::VectorXd scale = unknown_scales(problem);
  SteeredBalance balance(system, problem, load_factor, mode, aims_mode);
  const AreasFollow follow(system);
  Mixing mixing(problem, scale);
  const Patience patience = patience_with(aims_mode);
  /// A mixed step is taken on trust, as what it corrects shows only after refreshing; where it led astray the plain one
  /// is searched along from where it began.
  struct Leap {
    Eigen::VectorXd from, step;
    std::vector<double> aims;
    double residual, size;
  };
  std::optional<Leap> leap;
  double best = std::numeric_limits<double>::infinity(), last_step_mm = best;
  int best_at = 0;
  Eigen::VectorXd R, R_try;
  Eigen::MatrixXd K;
  NewtonReport report;
  /// Along the step as far as it leads to a smaller R; false, and aims as they were, where it nowhere does.
  const auto search = [&](const std::vector<double>& aims, Eigen::VectorXd step, double start) {
    cap_step(problem, step, options);
    double alpha = 1;
    for (int cut = 0; cut < patience.cuts; ++cut, alpha /= 2) {
      const Eigen::VectorXd next = balance.moved(q, aims, alpha * step);
      balance.assemble(next, R_try, nullptr);
      if (scale.cwiseProduct(R_try).norm() < (1 - 1e-4 * alpha) * start) {
        q = next;
        return true;
      }
    }
    balance.moved(q, aims, Eigen::VectorXd::Zero(q.size()));
    return false;
  };
  for (report.iterations = 0; report.iterations < max_iterations; ++report.iterations) {
    if (progress.cancelled()) {
      report.cancelled = true;
      return report;
    }
    system.freeze(q);
    balance.free_all();
    balance.assemble(q, R, &K);
    const double start = scale.cwiseProduct(R).norm();
    if (leap && !(start < 10 * leap->size)) {
      mixing.forget();
      q = leap->from;
      system.freeze(q);
      const bool found = search(leap->aims, leap->step, leap->size);
      leap.reset();
      if (!found) return report;
      continue;
    }
    const auto ends = [&] {
      report.residual = scaled_residual(problem, R, load_N, system.largest_terms());
      report.converged = report.residual < closing.tolerance;
      if (report.converged) report.rises = rises_every_way(problem, K, scale);
      return report.converged || !std::isfinite(report.residual);
    };
    if (aims_mode == Aims::fixed && ends()) return report;
    Eigen::VectorXd step = newton_step(K, R, scale);
    if (balance.hold_at_ends(step)) {
      balance.assemble(q, R, &K);
      step = newton_step(K, R, scale);
    }
    if (aims_mode == Aims::found && ends()) return report;  // which aims are unknowns shows by the step alone
    if (!step.allFinite()) return report;
    const double step_mm = way_mm(problem, q, q + step);
    if (report.iterations == 0 && step_mm > closing.first_step_mm) return report;
    if (report.residual < near_balance && step_mm < closing.trusted_step_mm && rises_every_way(problem, K, scale)) {
      q = balance.moved(q, balance.aims(), step);
      report.converged = report.rises = true;
      report.rises = rises_every_way(problem, K, scale);
      ++report.iterations;
      return report;
    }
    constexpr int soon = 4;
    constexpr double at_first = 15;
    if (report.residual > closing.hopeless * (report.iterations < soon ? at_first : 1)) return report;
    if (closing.shrinking && report.iterations + 1 >= soon && step_mm > last_step_mm) return report;
    last_step_mm = step_mm;
    // Steps that lead nowhere are better tried anew from nearer by.
    if (report.residual < 0.5 * best) best = report.residual, best_at = report.iterations;
    if (report.iterations - best_at > patience.steps) return report;
    const std::vector<double> aims = balance.aims();
    if (leap && report.residual > 2 * leap->residual) mixing.forget();  // one that led up is the last of its kind
    leap.reset();
    if (report.residual < mix_below) {
      const Eigen::VectorXd better = mixing.improve(q, aims, step);
      if (better != step && better.allFinite() && step_size(better, scale) < 3 * step_size(step, scale)) {
        leap = Leap{q, step, aims, report.residual, start};
        q = balance.moved(q, aims, better);
        continue;
      }
    }
    if (!search(aims, step, start)) return report;
  }
  return report;
}

std::optional<Eigen::VectorXd> falling_direction(System& system, const Problem& problem, const Eigen::VectorXd& q,
                                                 double load_factor, FrictionMode mode) {
  Eigen::VectorXd R;
  Eigen::MatrixXd K;
  system.freeze(q);
  system.assemble(q, load_factor, mode, R, &K);
  lock(problem, R, &K);
  const Eigen::VectorXd scale = unknown_scales(problem);
  const Eigen::MatrixXd scaled = scale.asDiagonal() * ((K + K.transpose()) / 2) * scale.asDiagonal();
  if (Eigen::LLT<Eigen::MatrixXd>(scaled).info() == Eigen::Success) return std::nullopt;
  const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> eigen(scaled);
  // An unknown that nothing holds has curvature zero up to rounding; that is not a hilltop.
  if (eigen.eigenvalues()[0] > -1e-9 * eigen.eigenvalues().cwiseAbs().maxCoeff()) return std::nullopt;
  Eigen::VectorXd v = eigen.eigenvectors().col(0);
  Eigen::Index largest = 0;
  v.cwiseAbs().maxCoeff(&largest);
  if (v[largest] < 0) v = -v;  // an eigenvector has no sign of its own: the same one on every run
  return scale.cwiseProduct(v);
}

bool is_stable(System& system, const Problem& problem, const Eigen::VectorXd& q, double load_factor,
               FrictionMode mode) {
  return !falling_direction(system, problem, q, load_factor, mode);
}

}  // namespace aplomb::contact
