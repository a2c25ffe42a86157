// Solves a position: finds the ankle command that brings the centre of pressure nearest the platform's centre, then the
// answer. SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/stance/stand.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>

#include "foot_linkage.h"
#include "pointe.h"

namespace aplomb::stance {

using geometry::deg_per_rad;
using geometry::rad_per_deg;
using geometry::Vec2;
using geometry::Vec3;

namespace {

constexpr double newtons_per_kg = 9.80665;
constexpr double centred_mm = 0.1;  // balance is found when the centre of pressure is this near

io::Result<double> load_of(const foot::Foot& foot, const StandOptions& options) {
  if (options.load_N) {
    if (!(*options.load_N > 0) || *options.load_N > 10000)
      return io::fail({.field = "--load",
                       .message = fmt::format("{} N cannot stand on a shoe", *options.load_N),
                       .remedy = "give a load between 0 and 10000 N, or leave it out to use body mass"});
    return *options.load_N;
  }
  if (!foot.mass_kg)
    return io::fail({.field = "mass_kg",
                     .message = "the card gives no body mass and no load was given",
                     .remedy = "add mass_kg to the card or pass --load in N"});
  return *foot.mass_kg * newtons_per_kg * load_share_of_weight(options.position);
}

std::optional<io::Error> side_fault(const foot::Foot& foot, const shoe::Shoe& shoe) {
  const shoe::Cut cut = shoe.parameters.cut;
  if (cut == shoe::Cut::straight) return std::nullopt;
  if ((cut == shoe::Cut::right) == (foot.side == foot::Side::right)) return std::nullopt;
  const bool right = foot.side == foot::Side::right;
  return io::Error{.field = "cut",
                   .message = fmt::format("a {} shoe on a {} foot", right ? "left" : "right", right ? "right" : "left"),
                   .remedy = "take the shoe of the pair cut for this foot, or a straight one"};
}

/// One solve with a given aim of the ankle.
struct Trial {
  double ankle = 0, subtalar = 0;
  contact::LoadPath path;
  Vec2 cop = Vec2::Zero();
  bool converged() const { return path.loaded.converged; }
};

}  // namespace

Vec2 centre_of_pressure(const contact::Problem& problem, const contact::Equilibrium& state) {
  // Moment of everything the foot does to the shoe, about the platform centre; forces between toes stay inside the
  // foot.
  Vec3 moment = Vec3::Zero();
  double down = 0;
  for (const contact::ContactState& c : state.contacts) {
    if (c.against == contact::ContactState::Against::skin) continue;
    const Vec3 on_shoe = -(c.normal_force_N + c.friction_force_N);
    moment += c.position.cross(on_shoe);
    down -= on_shoe.z();
  }
  if (problem.tie) {
    const contact::HeelTie& tie = *problem.tie;
    const Vec3 heel =
        contact::pose(problem.linkage, state.q).T_world_link[static_cast<std::size_t>(tie.link)] * tie.point_rest;
    const Vec2 end = contact::rear_end(contact::pose(*problem.rod, state.q));
    const Vec3 to_anchor = heel - tie.anchor, to_end = heel - Vec3(end.x(), 0, end.y());
    const Vec3 on_shoe = state.tie_tension_N * (to_anchor / std::sqrt(to_anchor.squaredNorm() + 0.01) +
                                                to_end / std::sqrt(to_end.squaredNorm() + 0.01));
    moment += heel.cross(on_shoe);
    down -= on_shoe.z();
  }
  return Vec2(moment.y(), -moment.x()) / down;
}

io::Result<Stance> stand(std::shared_ptr<const foot::Foot> foot, std::shared_ptr<const shoe::Shoe> shoe,
                         const StandOptions& options, const io::Progress& progress) {
  const auto started = std::chrono::steady_clock::now();
  if (!is_solved(options.position))
    return io::fail({.field = "--position",
                     .message = fmt::format("{} is not solved yet", name(options.position)),
                     .remedy = "use full-pointe-two or full-pointe-one"});
  const auto load = load_of(*foot, options);
  if (!load) return tl::unexpected(load.error());
  if (const auto fault = side_fault(*foot, *shoe)) return tl::unexpected(*fault);
  auto built = pointe_problem(*foot, *shoe, options, *load);
  if (!built) return tl::unexpected(built.error());
  auto problem = std::make_shared<contact::Problem>(std::move(*built));

  const Pointing range = pointing_range(*foot, options.constants);
  const double steer =
      options.position == Position::full_pointe_one ? options.constants.subtalar_command_deg * rad_per_deg : 0;
  if (options.ankle_command_deg && *options.ankle_command_deg * rad_per_deg > range.ankle + 1e-9)
    return io::fail(
        {.field = "ankle command",
         .message = fmt::format("{} deg is past her {:.0f} deg", *options.ankle_command_deg, range.ankle * deg_per_rad),
         .remedy = "stay within her range or raise plantarflexion_deg"});

  // Every trial starts from the same place, so that the answer depends on the inputs only.
  const double first = std::min(range.ankle, 45 * rad_per_deg);
  command_ankle(*problem, *foot, options.constants, first, 0);
  const Eigen::VectorXd start = pointe_start(*problem, *foot, *shoe, options.constants, first);

  int solves = 0;
  auto solve_at = [&](double ankle, double subtalar) {
    Trial trial{ankle, subtalar, {}, Vec2::Zero()};
    command_ankle(*problem, *foot, options.constants, ankle, subtalar);
    trial.path = contact::solve(*problem, start, options.solve, progress);
    ++solves;
    if (trial.converged()) trial.cop = centre_of_pressure(*problem, trial.path.loaded);
    return trial;
  };

  Trial best = solve_at(options.ankle_command_deg ? *options.ankle_command_deg * rad_per_deg : first, 0);
  bool at_limit = false;
  if (!options.ankle_command_deg) {
    // Secant on the fore-aft (and, on one foot, the frontal) balance. More plantar flexion carries the ankle, and with
    // it the centre of pressure, dorsal; more inversion carries it lateral.
    Trial previous = best;
    double slope_ankle = 40, slope_subtalar = -40;  // mm per rad, to begin with
    const double low = -10 * rad_per_deg;
    for (int round = 0; round < 8 && best.converged() && !progress.cancelled(); ++round) {
      const bool judged_y = steer > 0;
      if (std::abs(best.cop.x()) < centred_mm && (!judged_y || std::abs(best.cop.y()) < centred_mm)) break;
      double ankle = std::clamp(best.ankle - best.cop.x() / slope_ankle, low, range.ankle);
      double subtalar = judged_y ? std::clamp(best.subtalar - best.cop.y() / slope_subtalar, -steer, steer) : 0;
      ankle = std::clamp(ankle, best.ankle - 0.3, best.ankle + 0.3);
      at_limit = ankle == range.ankle && best.ankle == range.ankle;
      if (std::abs(ankle - best.ankle) < 1e-6 && std::abs(subtalar - best.subtalar) < 1e-6) break;
      const Trial next = solve_at(ankle, subtalar);
      if (!next.converged()) break;
      if (std::abs(next.ankle - best.ankle) > 1e-5) {
        const double s = (next.cop.x() - best.cop.x()) / (next.ankle - best.ankle);
        if (s > 5) slope_ankle = std::min(s, 500.0);
      }
      if (std::abs(next.subtalar - best.subtalar) > 1e-5) {
        const double s = (next.cop.y() - best.cop.y()) / (next.subtalar - best.subtalar);
        if (s < -5) slope_subtalar = std::max(s, -500.0);
      }
      previous = best;
      best = next;
    }
  }
  if (progress.cancelled())
    return io::fail(
        {.kind = io::ErrorKind::cancelled, .message = "stopped", .remedy = "run it again to get an answer"});

  Stance stance;
  command_ankle(*problem, *foot, options.constants, best.ankle, best.subtalar);
  stance.position = options.position;
  stance.constants = options.constants;
  stance.friction = problem->surfaces[0].friction;
  stance.mass_kg = foot->mass_kg;
  stance.load_N = *load;
  stance.hold = {best.ankle * deg_per_rad, best.subtalar * deg_per_rad, range.ankle * deg_per_rad, at_limit, solves};
  stance.problem = problem;
  stance.path = std::move(best.path);
  stance.centre_of_pressure = best.cop;
  stance.foot = std::move(foot);
  stance.shoe = std::move(shoe);
  stance.solve_ms = std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - started).count();
  return stance;
}

}  // namespace aplomb::stance
