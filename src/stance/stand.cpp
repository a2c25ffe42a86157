// Solves a position: the foot lined up with the leg goes in, is loaded, and moves over the platform.
// SPDX-License-Identifier: GPL-3.0-or-later
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
constexpr double centred_mm = 2;  // balance is found when the centre of pressure is this near

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

/// Options that are numbers, each in its range; what is not a number lies in none.
std::optional<io::Error> range_fault(const foot::Foot& foot, const StandOptions& options) {
  const auto fault = [](const char* field, double value, double min, double max, const char* unit,
                        const char* remedy) -> std::optional<io::Error> {
    if (value >= min && value <= max) return std::nullopt;
    return io::Error{.field = field,
                     .message = fmt::format("{}{} is not between {:.3g} and {:.3g}{}", value, unit, min, max, unit),
                     .remedy = remedy};
  };
  const double most_lean_deg = 45;
  if (options.friction)
    if (auto e = fault("friction", *options.friction, 0, 1.5, "", "give skin to lining, about 0.2 to 0.6")) return e;
  for (const auto& [field, lean] :
       {std::pair{"tibia forward", options.tibia_forward_deg}, {"tibia medial", options.tibia_medial_deg}})
    if (auto e = fault(field, lean, -most_lean_deg, most_lean_deg, " deg", "give the lean from the vertical")) return e;
  if (!options.ankle_command_deg) return std::nullopt;
  const foot::JointAxis& ankle = foot.joints[static_cast<std::size_t>(foot::joint_index(foot, "ankle"))];
  return fault("ankle command", *options.ankle_command_deg, ankle.min_deg,
               pointing_range(foot, options.constants).ankle * deg_per_rad + 1e-7, " deg",
               "stay within her range or raise plantarflexion_deg");
}

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
  for (std::size_t k = 0; k < problem.bands.size(); ++k)
    for (std::size_t i = 0; i < problem.bands[k].path.size(); ++i) {
      if (problem.bands[k].path[i].on == contact::BandPoint::On::link) continue;  // pulls on the foot
      moment += state.bands[k].position[i].cross(state.bands[k].force_N[i]);
      down -= state.bands[k].force_N[i].z();
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
  if (const auto good = check(options.constants); !good) return tl::unexpected(good.error());
  if (const auto fault = range_fault(*foot, options)) return tl::unexpected(*fault);
  auto built = pointe_problem(*foot, *shoe, options, *load);
  if (!built) return tl::unexpected(built.error());
  auto problem = std::make_shared<contact::Problem>(std::move(*built));

  const Pointing range = pointing_range(*foot, options.constants);
  const double steer =
      options.position == Position::full_pointe_one ? options.constants.subtalar_command_deg * rad_per_deg : 0;
  // The foot goes in lined up with the leg, the ankle over the toes; under the load she moves over the platform.
  const bool given = options.ankle_command_deg.has_value();
  Aim aim = lined_up(
      *foot, problem->linkage, options.constants,
      given ? *options.ankle_command_deg * rad_per_deg : ankle_over_toe(*foot, problem->linkage, options.constants));
  const Balance balance{!given, steer > 0, steer};
  const Eigen::VectorXd start = pointe_start(*problem, *foot, *shoe, options.constants, aim);
  aim_foot(*problem, *foot, options.constants, aim, balance);
  contact::LoadPath path = contact::solve(*problem, start, options.solve, progress);

  if (progress.cancelled())
    return io::fail(
        {.kind = io::ErrorKind::cancelled, .message = "stopped", .remedy = "run it again to get an answer"});

  // The springs of the answer carry the aims that were found.
  bool at_limit = false;
  for (std::size_t k = 0; k < path.loaded.aim.size(); ++k) {
    const contact::Steering& found = problem->steering[k];
    problem->springs[found.spring].tone_target = path.loaded.aim[k];
    const bool ankle = found.locked_dof == FootUnknowns::tilt_y;
    (ankle ? aim.ankle : aim.subtalar) = path.loaded.aim[k];
    const bool at_end = path.loaded.aim[k] <= found.min || path.loaded.aim[k] >= found.max;
    at_limit = at_limit || (at_end && std::abs(path.loaded.off_line_mm[k]) > centred_mm);
  }

  Stance stance;
  stance.position = options.position;
  stance.constants = options.constants;
  stance.friction = problem->surfaces[0].friction;
  stance.mass_kg = foot->mass_kg;
  stance.load_N = *load;
  stance.hold = {aim.ankle * deg_per_rad, aim.subtalar * deg_per_rad, range.ankle * deg_per_rad, at_limit};
  stance.problem = problem;
  stance.path = std::move(path);
  if (stance.path.loaded.converged) stance.centre_of_pressure = centre_of_pressure(*problem, stance.path.loaded);
  stance.foot = std::move(foot);
  stance.shoe = std::move(shoe);
  stance.solve_ms = std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - started).count();
  return stance;
}

}  // namespace aplomb::stance
