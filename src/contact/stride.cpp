// Finds the balance of one stride.
//
// A load step first lowers the friction potential (the limit mu p lagging by one iteration), which is robust and stays
// on the stable branch, then closes with Newton on the exact law. Where the last two balances point, Newton alone
// mostly finds the next one in a third of the time.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "stride.h"

#include <algorithm>

namespace aplomb::contact {

namespace {

constexpr double first_push_mm = 0.3;  // off a hilltop; 0.01 rad of a joint

/// Balances q at one load, wherever that is nearest: on a hilltop too. `mode` none or exact.
Step balance_nearest(System& system, const Problem& problem, Eigen::VectorXd& q, double load_factor, FrictionMode mode,
                     double target, int max_iterations, const SolveOptions& options, const io::Progress& progress,
                     double tolerance, Aims find) {
  const FrictionMode descent = mode == FrictionMode::none ? FrictionMode::none : FrictionMode::potential;
  Step step;
  // Where the aims are unknowns too there may be no answer at all: one try, the caller takes a smaller stride.
  const int rounds = find == Aims::found ? 1 : 3;
  for (int round = 0; round < rounds && step.iterations < max_iterations; ++round, target *= 1e-2) {
    const NewtonReport down = minimise(system, problem, q, load_factor, problem.load_N, descent, target,
                                       max_iterations - step.iterations, options, progress);
    step.iterations += down.iterations;
    if (down.cancelled) {
      step.cancelled = true;
      return step;
    }
    const Eigen::VectorXd kept = q;
    const std::vector<double> aims = aims_of(system, problem);
    const NewtonReport close = newton(system, problem, q, load_factor, problem.load_N, mode, Closing{tolerance},
                                      options.max_iterations, options, progress, find);
    step.iterations += close.iterations;
    step.cancelled = close.cancelled;
    if (close.converged || close.cancelled) {
      step.converged = close.converged;
      step.rises = close.rises;
      return step;
    }
    if (!down.converged && round > 0) break;
    q = kept;
    set_aims(system, aims);
  }
  return step;
}

/// Balances q at one load on a stable branch. Just past its critical load a column is still almost balanced where it
/// stood, and Newton would close on that hilltop. So a balance that can fall is left on the side the path comes from,
/// downhill until the energy has clearly dropped, and closed again. When no other balance is found the hilltop stays
/// the answer, marked unstable.
Step balance(System& system, const Problem& problem, Eigen::VectorXd& q, double load_factor, FrictionMode mode,
             double tolerance, int max_iterations, const SolveOptions& options, const io::Progress& progress,
             Aims find) {
  const FrictionMode descent = mode == FrictionMode::none ? FrictionMode::none : FrictionMode::potential;
  const Eigen::VectorXd before = q;
  Step step = balance_nearest(system, problem, q, load_factor, mode, hand_over, max_iterations, options, progress,
                              tolerance, find);
  double target = hand_over;
  for (int push = 0; push < options.most_pushes && step.converged && !step.rises; ++push) {
    const auto fall = falling_direction(system, problem, q, load_factor, descent);
    if (!fall) break;
    const double side = fall->dot(before - q) < 0 ? -1 : 1;
    Eigen::VectorXd left = q + side * first_push_mm * *fall;
    target *= 1e-2;
    const Step next = balance_nearest(system, problem, left, load_factor, mode, target, 4 * options.max_iterations,
                                      options, progress, tolerance, find);
    step.iterations += next.iterations;
    step.cancelled = next.cancelled;
    if (next.cancelled) {
      step.converged = false;
      break;
    }
    if (next.converged) q = left, step.rises = next.rises;
  }
  return step;
}

}  // namespace

bool balance_near(System& system, const Problem& problem, Eigen::VectorXd& q, const Ahead::Guess& guess,
                  double load_factor, FrictionMode mode, const Closing& closing, const SolveOptions& options,
                  const io::Progress& progress, Aims find, Step& step) {
  constexpr int most_iterations = 10;
  constexpr double at_most = 2, surely_mm = 0.3;  // off the guess: of the way to it, and in any case
  constexpr double too_long = 1.5;                // a first step, parts of that
  constexpr double hopeless = 1.3;                // of those that end well few are above this after four steps
  const double farthest_mm = std::max(at_most * guess.stride_mm, surely_mm);
  const FrictionMode descent = mode == FrictionMode::none ? FrictionMode::none : FrictionMode::potential;
  Closing near_closing = closing;
  near_closing.first_step_mm = too_long * farthest_mm;
  near_closing.hopeless = hopeless;
  near_closing.shrinking = true;
  Eigen::VectorXd near = guess.q;
  const std::vector<double> aims = aims_of(system, problem);
  if (find == Aims::found) set_aims(system, guess.aims);
  const NewtonReport close = newton(system, problem, near, load_factor, problem.load_N, mode, near_closing,
                                    most_iterations, options, progress, find);
  step.iterations += close.iterations;
  step.cancelled = close.cancelled;
  // What was stable at the guess goes on so; and nothing falls where the tangent that Newton ended with rises every
  // way.
  if (!close.converged || way_mm(problem, guess.q, near) > farthest_mm ||
      (!close.rises && !is_stable(system, problem, near, load_factor, descent))) {
    set_aims(system, aims);
    return false;
  }
  q = near;
  step.converged = true;
  return true;
}

std::vector<double> aims_of(const System& system, const Problem& problem) {
  std::vector<double> aims;
  for (std::size_t s = 0; s < problem.steering.size(); ++s) aims.push_back(system.aim(static_cast<int>(s)));
  return aims;
}
void set_aims(System& system, const std::vector<double>& aims) {
  for (std::size_t s = 0; s < aims.size(); ++s) system.set_aim(static_cast<int>(s), aims[s]);
}

Step stride(System& system, const Problem& problem, Equilibrium& state, double load_factor, FrictionMode mode,
            bool last, const SolveOptions& options, const io::Progress& progress, Aims find,
            const std::optional<Ahead::Guess>& guess, bool far) {
  constexpr int far_patience = 12;
  Eigen::VectorXd q = state.q;
  const double tolerance =
      last ? options.residual_tolerance : std::max(options.tolerance_on_the_way, options.residual_tolerance);
  Step step;
  const Closing closing{tolerance, last ? 0 : options.trusted_step_mm};
  const bool near =
      guess && balance_near(system, problem, q, *guess, load_factor, mode, closing, options, progress, find, step);
  if (!near && !step.cancelled) {
    const int before = step.iterations;
    step = balance(system, problem, q, load_factor, mode, tolerance, (far ? far_patience : 1) * options.max_iterations,
                   options, progress, find);
    step.iterations += before;
  }
  state.iterations += step.iterations;
  if (step.cancelled) {
    state.reason = "cancelled";
    step.converged = false;
  }
  if (!step.converged) return step;
  state.q = q;
  system.accept(q, mode);
  return step;
}

}  // namespace aplomb::contact
