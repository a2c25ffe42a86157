// Seat, load path and settling; and the evidence of a state. A stride that finds no balance is halved.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/contact/equilibrium.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "ahead.h"
#include "aplomb/contact/system.h"
#include "beside.h"
#include "describe.h"
#include "newton.h"
#include "stride.h"
#include "thin.h"

namespace aplomb::contact {

namespace {

constexpr double smallest_load_step = 1.0 / 64.0;  // of a regular one
constexpr double hardly_ahead_mm = 4;              // what a balance may be off the one before it

void remember(const System& system, const Problem& problem, const Equilibrium& state, double load_factor, Aims aims,
              std::vector<Walked>* walked) {
  if (walked == nullptr) return;
  Walked one{state.q, load_factor, aims_of(system, problem), {}, {}};
  for (std::size_t s = 0; s < problem.steering.size(); ++s) {
    one.line_mm.push_back(system.line(static_cast<int>(s)));
    one.found.push_back(aims == Aims::found && one.aim[s] > problem.steering[s].min &&
                        one.aim[s] < problem.steering[s].max);
  }
  walked->push_back(std::move(one));
}

/// Whether the end of a walk is found to the full tolerance, or left to what follows to be closed.
enum class End { closed, open };
End end_before_aims(const Problem& problem) { return problem.steering.empty() ? End::closed : End::open; }

/// Loads from `from` (which is not among them) to `to`, evenly spaced.
std::vector<double> even_loads(double from, double to, int steps) {
  std::vector<double> loads;
  for (int k = 1; k <= steps; ++k) loads.push_back(k == steps ? to : from + (to - from) * k / steps);
  return loads;
}

/// The same for a foot let down from its seat. The first of the load moves it most, and of a long way in one step
/// friction remembers no more than how it ended: those steps are shorter.
std::vector<double> loads_from_seat(double from, double to, int steps) {
  constexpr double bend = 1.25;
  std::vector<double> loads = even_loads(0, 1, steps);
  for (double& share : loads) share = share == 1 ? to : from + (to - from) * std::pow(share, bend);
  return loads;
}

/// Walks the load from `from` through `stops`, halving a step that does not balance. Returns false with a reason.
bool walk(System& system, const Problem& problem, Equilibrium& state, double from, const std::vector<double>& stops,
          End end, FrictionMode mode, const SolveOptions& options, const io::Progress& progress, const Beside& beside,
          std::vector<Waypoint>* way = nullptr, std::vector<Walked>* walked = nullptr) {
  if (from == stops.back()) return true;
  double done = from, size = std::abs(stops.front() - from);
  const auto place = [](double factor) { return Eigen::VectorXd::Constant(1, factor); };
  Ahead ahead;
  ahead.passed(state.q, aims_of(system, problem), place(done));
  for (std::size_t k = 0; k < stops.size();) {
    const double stop = stops[k], regular = std::abs(stop - (k == 0 ? from : stops[k - 1]));
    const bool least = size <= regular * smallest_load_step * 1.001;
    const double target = size < std::abs(stop - done) * (1 - 1e-9) ? done + std::copysign(size, stop - done) : stop;
    const bool arrives = target == stops.back(), last = arrives && end == End::closed;
    auto guess = beside.loaded(state.q, done, target);
    const bool along = guess && !arrives && static_cast<int>(k + 1) % options.balanced_every != 0;
    if (!guess) guess = ahead.at(problem, place(target));
    // A short way from where it stands Newton mostly gets there by itself; not when first the skin is laid on.
    if (!guess && k > 0) guess = Ahead::Guess{state.q, aims_of(system, problem), hardly_ahead_mm};
    Step step{along};
    if (along) {
      state.q = guess->q;
      system.accept(state.q, mode);
    } else {
      step = stride(system, problem, state, target, mode, last, options, progress, Aims::fixed, guess);
    }
    if (!step.converged && !step.cancelled && least)
      step = stride(system, problem, state, target, mode, last, options, progress, Aims::fixed, std::nullopt, true);
    if (step.cancelled) return false;
    if (!step.converged) {
      if (least) {
        state.reason =
            "no balance found at " + std::to_string(static_cast<int>(std::lround(100 * target))) + " % of the load";
        return false;
      }
      size = std::min(size, std::abs(stop - done)) / 2;
      continue;
    }
    done = target;
    ahead.passed(state.q, aims_of(system, problem), place(done));
    if (way != nullptr) way->push_back({target * problem.load_N, state.q});
    remember(system, problem, state, done, Aims::fixed, walked);
    ++state.load_steps;
    progress(std::abs(done - from) / std::abs(stops.back() - from), "loading");
    // After one that had to be halved, back to whole ones by doubling.
    if (done == stop) ++k;
    size = size < regular ? size * 2 : k < stops.size() ? std::abs(stops[k] - done) : size;
  }
  return true;
}

/// At the full load: brings the line of force to where it shall pass, by the aims, in strides of a few millimetres.
/// Stops where an aim comes to its end or no balance is found further on; the state stays balanced all the way.
void steer(System& system, const Problem& problem, Equilibrium& state, FrictionMode mode, const SolveOptions& options,
           const io::Progress& progress, const Beside& beside, std::vector<Walked>* walked) {
  constexpr double stride_mm = 4, smallest = 1.0 / 8.0;
  const std::size_t count = problem.steering.size();
  if (count == 0) return;
  auto off_now = [&] {
    Eigen::VectorXd R;
    std::vector<double> off(count, 0.0);
    system.freeze(state.q);
    system.assemble(state.q, 1, mode, R, nullptr);
    for (std::size_t s = 0; s < count; ++s) off[s] = system.off_line(static_cast<int>(s), 1, R, nullptr, nullptr);
    return off;
  };
  const auto place = [](double done) { return Eigen::VectorXd::Constant(1, done); };
  bool close = false;
  if (auto guess = beside.steered(state.q)) {
    const Aims find = options.stops_as_beside && beside.stopped_short() ? Aims::fixed : Aims::found;
    const std::vector<double> aims = aims_of(system, problem);
    if (find == Aims::fixed) set_aims(system, guess->aims);
    Step step;
    if (balance_near(system, problem, state.q, *guess, 1, mode, Closing{options.residual_tolerance}, options, progress,
                     find, step)) {
      system.accept(state.q, mode);
      remember(system, problem, state, 1, find, walked);
      state.iterations += step.iterations;
      return;
    }
    set_aims(system, aims);
    state.iterations += step.iterations;
  }
  const std::vector<double> away = off_now();
  const auto lines_at = [&](double done) {
    for (std::size_t s = 0; s < count; ++s)
      system.set_line(static_cast<int>(s), problem.steering[s].at_mm + (1 - done) * away[s]);
  };
  double farthest = 0;
  for (double off : away) farthest = std::max(farthest, std::abs(off));
  const double regular = std::min(1.0, stride_mm / std::max(farthest, 1e-9));
  double done = 0, size = regular;
  Ahead ahead;
  ahead.passed(state.q, aims_of(system, problem), place(0));
  while (done < 1) {
    const double next = std::min(1.0, done + size);
    lines_at(next);
    const std::vector<double> aims = aims_of(system, problem);
    // Where a stride was too long already, the end of the range is near and a guess past it helps nobody.
    const auto guess = size < regular ? std::nullopt : ahead.at(problem, place(next));
    // The last one, or one that may be: near the end of a range what is balanced loosely may be no balance.
    const bool last = next >= 1 || size < regular;
    const Step step = stride(system, problem, state, 1, mode, last, options, progress, Aims::found, guess);
    if (!step.converged) {
      set_aims(system, aims);
      size /= 2;
      if (step.cancelled || size < regular * smallest * 0.999) break;
      continue;
    }
    done = next;
    close = last;
    remember(system, problem, state, 1, Aims::found, walked);
    ahead.passed(state.q, aims_of(system, problem), place(done));
    const std::vector<double> off = off_now();
    // An aim at the end of its range leaves its line behind; the others go on.
    bool all_ended = true;
    for (double value : off) all_ended = all_ended && std::abs(value) > 0.5;
    if (all_ended) break;
  }
  if (!close && state.reason.empty()) {
    if (stride(system, problem, state, 1, mode, true, options, progress, Aims::fixed).converged)
      remember(system, problem, state, 1, Aims::fixed, walked);
    else
      state.reason = "no balance found where the line of force can be brought to";
  }
  lines_at(1);
}

/// From a balance at the full load to the next aims, in halved strides where that is too far. False with a reason.
bool follow_aims(System& system, const Problem& problem, Equilibrium& state, const std::vector<double>& to, int stage,
                 std::vector<Walked>& walked, Ahead& ahead, const std::optional<Ahead::Guess>& beside,
                 FrictionMode mode, const SolveOptions& options, const io::Progress& progress) {
  constexpr double smallest = 1.0 / 64.0;
  const std::vector<double> from = aims_of(system, problem);
  double done = 0, size = 1;
  while (done < 1) {
    const double next = std::min(1.0, done + size);
    Eigen::VectorXd place(static_cast<Eigen::Index>(to.size()));
    for (std::size_t s = 0; s < to.size(); ++s) {
      place[static_cast<Eigen::Index>(s)] = from[s] + next * (to[s] - from[s]);
      system.set_aim(static_cast<int>(s), place[static_cast<Eigen::Index>(s)]);
    }
    const auto guess = beside && done == 0 && next == 1 ? beside : ahead.at(problem, place);
    Step step = stride(system, problem, state, 1, mode, next >= 1, options, progress, Aims::fixed, guess);
    if (!step.converged && !step.cancelled && size < 2 * smallest)
      step = stride(system, problem, state, 1, mode, next >= 1, options, progress, Aims::fixed, std::nullopt, true);
    if (step.cancelled) return false;
    if (!step.converged) {
      size /= 2;
      if (size < smallest) {
        state.reason = "no balance found on the way to the next aim";
        return false;
      }
      continue;
    }
    done = next;
    ahead.passed(state.q, to, place);
    remember(system, problem, state, 1, Aims::fixed, &walked);
    walked.back().stage = stage;
    walked.back().stage_share = done;
    ++state.load_steps;
  }
  return true;
}

/// Seating comes from far away: one long descent, allowed many capped steps, then Newton.
Step descend(System& system, const Problem& problem, Eigen::VectorXd& q, double load_factor, double tolerance,
             const SolveOptions& options, const io::Progress& progress) {
  const NewtonReport down = minimise(system, problem, q, load_factor, problem.load_N, FrictionMode::none, hand_over,
                                     12 * options.max_iterations, options, progress);
  Step step{down.converged, down.cancelled, down.iterations};
  if (!down.converged) return step;
  const Eigen::VectorXd kept = q;
  NewtonReport close = newton(system, problem, q, load_factor, problem.load_N, FrictionMode::none, Closing{tolerance},
                              options.max_iterations, options, progress, Aims::fixed);
  step.iterations += close.iterations;
  if (!close.converged && !close.cancelled) {
    q = kept;
    close = minimise(system, problem, q, load_factor, problem.load_N, FrictionMode::none, tolerance,
                     4 * options.max_iterations, options, progress);
    step.iterations += close.iterations;
  }
  step.converged = close.converged, step.cancelled = close.cancelled;
  return step;
}

Equilibrium seat_in(System& system, const Problem& problem, const Eigen::VectorXd& q_start, double load_factor,
                    const SolveOptions& options, const io::Progress& progress, const Beside& beside) {
  Equilibrium state;
  state.q = q_start;
  state.load_N = load_factor * problem.load_N;
  progress(0, "seating");
  Step step;
  const auto guess = beside.seat();
  // What a seat is seen to be is told to the last digit, unless it is one of many and on the way to a load.
  const bool on_the_way = load_factor < 1;
  const Closing closing{
      on_the_way ? std::max(options.tolerance_on_the_way, options.residual_tolerance) : options.residual_tolerance,
      on_the_way && options.beside ? options.trusted_step_mm : 0};
  const bool near = guess && balance_near(system, problem, state.q, *guess, load_factor, FrictionMode::none, closing,
                                          options, progress, Aims::fixed, step);
  if (!near && !step.cancelled) {
    const auto down_from = [&](const Eigen::VectorXd& q) {
      state.q = q;
      const int before = step.iterations;
      step = descend(system, problem, state.q, load_factor, closing.tolerance, options, progress);
      step.iterations += before;
    };
    down_from(guess ? guess->q : q_start);
    if (guess && !step.converged && !step.cancelled) down_from(q_start);
  }
  state.iterations = step.iterations;
  state.converged = step.converged;
  if (step.cancelled)
    state.reason = "cancelled";
  else if (!step.converged)
    state.reason =
        "the foot finds no seat in the shoe at " + std::to_string(static_cast<int>(std::lround(state.load_N))) + " N";
  describe(system, problem, load_factor, FrictionMode::none, state);
  state.stable = state.converged && is_stable(system, problem, state.q, load_factor, FrictionMode::none);
  return state;
}

}  // namespace

namespace {

SolveOptions loose_options() {
  SolveOptions options;
  options.residual_tolerance = 1e-4;  // what a converged answer must meet at the least
  options.tolerance_on_the_way = 1e-3;
  return options;
}

}  // namespace

SolveOptions quick_options(std::shared_ptr<const LoadPath> beside) {
  SolveOptions options = loose_options();
  options.load_steps = 5;
  options.most_pushes = 1;
  options.trusted_step_mm = 0.1;
  options.beside = std::move(beside);
  options.seats_as_beside = false;
  return options;
}

SolveOptions dragging_options(std::shared_ptr<const LoadPath> beside) {
  // As many load steps as ever: with fewer, friction points another way, which moves depths by up to a millimetre.
  SolveOptions options = loose_options();
  options.trusted_step_mm = 0.1;
  options.stops_as_beside = true;
  options.balanced_every = 5;
  options.beside = std::move(beside);
  return options;
}

Equilibrium seat(const Problem& problem, const Eigen::VectorXd& q_start, double load_N, const SolveOptions& options,
                 const io::Progress& progress) {
  System system(problem);
  return seat_in(system, problem, q_start, load_N / problem.load_N, options, progress, {problem, nullptr});
}

namespace {

/// Where the path of the same problem with fewer points goes, whole or its seat only. Null where there are few points
/// as it is.
std::shared_ptr<const LoadPath> thin_path(const Problem& problem, const Eigen::VectorXd& q_start, double seat_factor,
                                          bool whole, const SolveOptions& options, const io::Progress& progress) {
  constexpr std::size_t many = 1500;
  if (touching_points(problem) < many) return nullptr;
  const Problem thin = thinned(problem);
  const io::Progress quiet{.report = {}, .cancel = progress.cancel};  // else it would tell of each step twice
  SolveOptions loose = options;
  const SolveOptions least = loose_options();
  loose.settle = false;
  loose.beside = nullptr;
  loose.residual_tolerance = std::max(options.residual_tolerance, least.residual_tolerance);
  loose.tolerance_on_the_way = std::max(options.tolerance_on_the_way, least.tolerance_on_the_way);
  if (whole) return std::make_shared<const LoadPath>(solve(thin, q_start, loose, quiet));
  LoadPath path;
  const auto from = [&](const Eigen::VectorXd& q) {
    path.seat = seat(thin, q, seat_factor * problem.load_N, loose, quiet);
  };
  // Another foot's seat is too far off to be told by, but nearer than a start over the box.
  const auto& beside = options.beside;
  if (beside && beside->seat.converged && beside->seat.q.size() == q_start.size()) from(beside->seat.q);
  if (!path.seat.converged) from(q_start);
  return std::make_shared<const LoadPath>(std::move(path));
}

}  // namespace

LoadPath solve(const Problem& problem, const Eigen::VectorXd& q_start, const SolveOptions& options,
               const io::Progress& progress) {
  System system(problem);
  LoadPath path;
  const double seat_factor = std::min(1.0, options.seat_load_N / problem.load_N);
  // Steps of the aims are long and point badly to the next; those of the load tell well enough where the next one
  // leads.
  const bool more_follows = !problem.further_aims.empty();
  const auto few = options.beside && options.seats_as_beside
                       ? nullptr
                       : thin_path(problem, q_start, seat_factor, more_follows && !options.beside, options, progress);
  const auto neighbour = options.beside ? options.beside : few;
  const Beside beside(problem, neighbour.get());
  path.seat =
      seat_in(system, problem, q_start, seat_factor, options, progress, few ? Beside(problem, few.get()) : beside);
  path.loaded.q = path.seat.q;
  if (!path.seat.converged) {
    path.loaded.reason = path.seat.reason;
    return path;
  }
  const FrictionMode mode = options.friction ? FrictionMode::exact : FrictionMode::none;
  system.reset_friction(path.seat.q);
  path.loaded.converged =
      walk(system, problem, path.loaded, seat_factor, loads_from_seat(seat_factor, 1, std::max(1, options.load_steps)),
           end_before_aims(problem), mode, options, progress, beside, &path.way, &path.walked);
  if (!path.loaded.converged) return path;
  steer(system, problem, path.loaded, mode, options, progress, beside, &path.walked);
  path.loaded.converged = path.loaded.reason.empty();
  describe(system, problem, 1.0, mode, path.loaded);
  path.loaded.stable = is_stable(system, problem, path.loaded.q, 1.0, mode);

  Ahead ahead;
  for (const Problem::FurtherAims& further : problem.further_aims) {
    if (!path.loaded.converged) break;
    std::vector<double> aims = path.loaded.aim;
    for (std::size_t s = 0; s < aims.size(); ++s) aims[s] += further.share * (further.target[s] - aims[s]);
    Equilibrium next = path.further.empty() ? path.loaded : path.further.back();
    if (!next.converged) break;
    next.iterations = next.load_steps = 0;
    next.converged = follow_aims(system, problem, next, aims, static_cast<int>(path.further.size()), path.walked, ahead,
                                 beside.further(next.q, path.further.size()), mode, options, progress);
    describe(system, problem, 1.0, mode, next);
    next.stable = next.converged && is_stable(system, problem, next.q, 1.0, mode);
    path.further.push_back(std::move(next));
  }
  if (!path.further.empty()) return path;  // settling is of the loaded state itself

  if (options.settle && options.friction) {
    Equilibrium settled = path.loaded;
    settled.load_steps = settled.iterations = 0;
    const int foot_unknowns = linkage_unknowns(problem);
    const Beside alone(problem, nullptr);
    double moved = 1;
    for (int cycle = 0; cycle < 12 && moved >= 0.02; ++cycle) {
      const Eigen::VectorXd at_full = settled.q;
      settled.converged =
          walk(system, problem, settled, 1.0, even_loads(1, 0.7, 2), End::closed, mode, options, progress, alone) &&
          walk(system, problem, settled, 0.7, even_loads(0.7, 1, 2), End::closed, mode, options, progress, alone);
      if (!settled.converged) break;
      moved = 0;
      for (int i = 0; i < foot_unknowns; ++i)
        moved = std::max(moved, std::abs(settled.q[i] - at_full[i]) * (problem.dof_is_length[i] ? 1.0 : moment_arm_mm));
    }
    if (settled.converged) {
      describe(system, problem, 1.0, mode, settled);
      settled.stable = is_stable(system, problem, settled.q, 1.0, mode);
      if (moved >= 0.02) settled.reason = "still creeping after 12 load cycles";
    }
    path.settled = std::move(settled);
  }
  return path;
}

}  // namespace aplomb::contact
