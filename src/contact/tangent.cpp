// One linear system for each balance of the path, with the tangent of the middle problem. That tangent leaves out how
// what is frozen turns with q, so corrections close linearly; they are gone on with until they do.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/contact/tangent.h"

#include <Eigen/LU>
#include <algorithm>
#include <cmath>

#include "describe.h"
#include "newton.h"
#include "steered.h"
#include "stride.h"

namespace aplomb::contact {

namespace {

constexpr double closed = 1e-7;  // of the way, by the last correction
constexpr double rounding_mm = 1e-12;
constexpr int most_corrections = 60;

/// One of the three problems on its way.
struct Walker {
  const Problem& problem;
  System system;
  double seat_factor;
  FrictionMode mode = FrictionMode::none;
  std::vector<double> away;  ///< where its lines pass minus where they shall, under the full load, before any stride
  std::vector<double> loaded_aims, stage_start;  ///< under the full load; at the last of the further aims

  Walker(const Problem& of, double seat_load_N)
      : problem(of), system(of), seat_factor(std::min(1.0, seat_load_N / of.load_N)) {}
  void measure_away(const Eigen::VectorXd& q) {
    Eigen::VectorXd R;
    system.freeze(q);
    system.assemble(q, 1, mode, R, nullptr);
    away.clear();
    for (std::size_t s = 0; s < problem.steering.size(); ++s)
      away.push_back(system.off_line(static_cast<int>(s), 1, R, nullptr, nullptr));
  }
  double farthest() const {
    double mm = 0;
    for (const double off : away) mm = std::max(mm, std::abs(off));
    return mm;
  }
  /// Its lines, as many strides of so many mm on as the middle's are at `at`.
  void set_lines(const Walked& at, const Walker& middle) {
    if (away.empty()) return;
    double done = 1;  // of the way
    for (std::size_t s = 0; s < away.size(); ++s)
      if (std::abs(middle.away[s]) == middle.farthest() && middle.farthest() > 0)
        done = 1 - (at.line_mm[s] - middle.problem.steering[s].at_mm) / middle.away[s];
    if (done < 1 - 1e-12) done *= middle.farthest() / farthest();
    for (std::size_t s = 0; s < away.size(); ++s)
      system.set_line(static_cast<int>(s), problem.steering[s].at_mm + (1 - done) * away[s]);
  }
  void stage_ends(int stage) {
    stage_start = aims_of(system, problem);
    if (stage < 0) loaded_aims = stage_start;
  }
  /// Its aims, as far on the way to its own further ones as the middle's are at `at`.
  void set_further_aims(const Walked& at) {
    const Problem::FurtherAims& to = problem.further_aims[static_cast<std::size_t>(at.stage)];
    for (std::size_t s = 0; s < loaded_aims.size(); ++s) {
      const double end = loaded_aims[s] + to.share * (to.target[s] - loaded_aims[s]);
      system.set_aim(static_cast<int>(s), stage_start[s] + at.stage_share * (end - stage_start[s]));
    }
  }
  /// As far along its own load as `factor` is along the middle one's.
  double own(double factor, double middle_seat) const {
    const double done = middle_seat < 1 ? (factor - middle_seat) / (1 - middle_seat) : 1;
    return seat_factor + done * (1 - seat_factor);
  }
};

/// Whether aims were found with it.
bool steers(const Walked& at) { return std::find(at.found.begin(), at.found.end(), true) != at.found.end(); }

/// The d of a balance; false where corrections do not close.
bool part(Walker& middle, Walker& minus, Walker& plus, const Walked& at, Eigen::VectorXd& d, int& corrections) {
  const auto balance_of = [&](Walker& w) {
    SteeredBalance balance(w.system, w.problem, w.own(at.load_factor, middle.seat_factor), w.mode,
                           steers(at) ? Aims::found : Aims::fixed);
    balance.free_only(at.found);
    return balance;
  };
  for (Walker* w : {&middle, &minus, &plus}) w->set_lines(at, middle);
  const AreasFollow follow(middle.system), follow_minus(minus.system), follow_plus(plus.system);
  SteeredBalance balance = balance_of(middle), below = balance_of(minus), above = balance_of(plus);
  Eigen::VectorXd R, R_minus, R_plus;
  Eigen::MatrixXd K;
  balance.moved(at.q, at.aim, Eigen::VectorXd::Zero(at.q.size()));
  middle.system.freeze(at.q);
  balance.assemble(at.q, R, &K);
  const Eigen::VectorXd scale = unknown_scales(middle.problem);
  const Eigen::MatrixXd scaled = scale.asDiagonal() * K * scale.asDiagonal();
  const Eigen::PartialPivLU<Eigen::MatrixXd> lu(scaled);
  d = Eigen::VectorXd::Zero(at.q.size());
  const std::vector<double> aims_below = below.aims(), aims_above = above.aims();
  // An aim that is given goes on as it is on either side; one that is found starts from the middle's.
  const auto from = [&](const std::vector<double>& own) {
    std::vector<double> aims = own;
    for (std::size_t s = 0; s < aims.size(); ++s)
      if (at.found[s]) aims[s] = at.aim[s];
    return aims;
  };
  for (int k = 0; k < most_corrections; ++k, ++corrections) {
    const Eigen::VectorXd q_minus = below.moved(at.q, from(aims_below), -d),
                          q_plus = above.moved(at.q, from(aims_above), d);
    minus.system.freeze(q_minus);
    below.assemble(q_minus, R_minus, nullptr);
    plus.system.freeze(q_plus);
    above.assemble(q_plus, R_plus, nullptr);
    const Eigen::VectorXd correction = -scale.cwiseProduct(lu.solve(scale.cwiseProduct(R_plus - R_minus) / 2));
    if (!correction.allFinite()) return false;
    d += correction;
    if (correction.cwiseQuotient(scale).norm() > std::max(closed * d.cwiseQuotient(scale).norm(), rounding_mm))
      continue;
    for (Walker* w : {&minus, &plus}) {
      SteeredBalance& its = w == &minus ? below : above;
      const Eigen::VectorXd q = its.moved(at.q, from(w == &minus ? aims_below : aims_above), w == &minus ? -d : d);
      w->system.freeze(q);
      if (w->mode == FrictionMode::none)
        w->system.reset_friction(q);
      else
        w->system.accept(q, w->mode);
    }
    if (middle.mode == FrictionMode::none)
      middle.system.reset_friction(at.q);
    else
      middle.system.accept(at.q, middle.mode);
    return true;
  }
  return false;
}

/// q of one side, without the aims that d holds in locked places.
Eigen::VectorXd moved_by(const Problem& problem, const Eigen::VectorXd& q, const Eigen::VectorXd& d) {
  Eigen::VectorXd out = q + d;
  for (const int i : problem.locked) out[i] = q[i];
  return out;
}

/// What stands on one side of `state`, described.
Equilibrium side_of(Walker& w, const Equilibrium& state, const Eigen::VectorXd& d, double load_factor) {
  Equilibrium out;
  out.q = moved_by(w.problem, state.q, d);
  out.converged = true;
  out.stable = state.stable;
  for (std::size_t s = 0; s < w.problem.steering.size(); ++s)
    w.system.set_line(static_cast<int>(s), w.problem.steering[s].at_mm);
  describe(w.system, w.problem, load_factor, w.mode, out);
  return out;
}

}  // namespace

BothSides beside_path(const LoadPath& path, const Problem& problem, const Problem& minus, const Problem& plus,
                      const SolveOptions& options) {
  BothSides out;
  Walker middle(problem, options.seat_load_N), below(minus, options.seat_load_N), above(plus, options.seat_load_N);
  Eigen::VectorXd d;
  Walked seat{path.seat.q, middle.seat_factor, aims_of(middle.system, problem), {}, {}};
  seat.found.assign(problem.steering.size(), false);
  if (!part(middle, below, above, seat, d, out.corrections)) return out;
  out.seat_minus = side_of(below, path.seat, -d, below.seat_factor);
  out.seat_plus = side_of(above, path.seat, d, above.seat_factor);
  for (Walker* w : {&middle, &below, &above}) w->mode = options.friction ? FrictionMode::exact : FrictionMode::none;
  for (std::size_t k = 0; k < path.walked.size(); ++k) {
    const Walked& at = path.walked[k];
    if (steers(at) && middle.away.empty() && k > 0) {
      const Eigen::VectorXd& q = path.walked[k - 1].q;
      middle.measure_away(q);
      below.measure_away(moved_by(problem, q, -d));
      above.measure_away(moved_by(problem, q, d));
    }
    if (at.stage >= 0)
      for (Walker* w : {&middle, &below, &above}) w->set_further_aims(at);
    if (!part(middle, below, above, at, d, out.corrections)) return out;
    const bool last_of_stage = k + 1 == path.walked.size() || path.walked[k + 1].stage != at.stage;
    if (!last_of_stage) continue;
    // What friction remembers here is what its forces are of.
    if (at.stage < 0) {
      out.minus = side_of(below, path.loaded, -d, 1);
      out.plus = side_of(above, path.loaded, d, 1);
    } else {
      const Equilibrium& state = path.further[static_cast<std::size_t>(at.stage)];
      out.further_minus.push_back(side_of(below, state, -d, 1));
      out.further_plus.push_back(side_of(above, state, d, 1));
    }
    for (Walker* w : {&middle, &below, &above}) w->stage_ends(at.stage);
  }
  out.found = true;
  return out;
}

}  // namespace aplomb::contact
