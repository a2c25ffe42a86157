// Solves a position: the foot lined up with the leg goes in, is loaded, and moves over the platform.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/stance/stand.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>

#include "foot_linkage.h"
#include "setup.h"
#include "toes_in.h"

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
  if (options.position == Position::on_box) return options.constants.hand_N;
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

double pointing_used_deg(const Eigen::VectorXd& q) {
  using U = FootUnknowns;
  double rays = 0;
  for (int k = 0; k < foot::toe_count; ++k) rays += q[U::ray_flexion + k] / foot::toe_count;
  return (q[U::ankle] + (1 + naviculocuneiform_share) * q[U::midtarsal] + rays) * deg_per_rad;
}

Ground on_the_sole(const shoe::Shoe& shoe) {
  Ground ground{geometry::pi / 2 + shoe.shank.start_angle_rad};
  const Vec3 start(shoe.shank.start_xz.x(), 0, shoe.shank.start_xz.y());
  ground.floor_mm = ground.up_S().dot(start) - shoe.shank.thickness_mm;
  return ground;
}

Vec3 centre_of_pressure(const contact::Problem& problem, const contact::Equilibrium& state, const Ground& ground,
                        const Vec3& floor_S) {
  // Force and moment, about that point, of everything the foot does to the shoe; forces between toes stay inside the
  // foot.
  Vec3 moment = Vec3::Zero(), force = Vec3::Zero();
  const auto add = [&](const Vec3& at, const Vec3& on_shoe) {
    moment += (at - floor_S).cross(on_shoe);
    force += on_shoe;
  };
  for (const contact::ContactState& c : state.contacts)
    if (c.against != contact::ContactState::Against::skin) add(c.position, -(c.normal_force_N + c.friction_force_N));
  for (std::size_t k = 0; k < problem.bands.size(); ++k)
    for (std::size_t i = 0; i < problem.bands[k].path.size(); ++i)
      if (problem.bands[k].path[i].on != contact::BandPoint::On::link)  // else it pulls on the foot
        add(state.bands[k].position[i], state.bands[k].force_N[i]);
  const Vec3 up = ground.up_S();
  return floor_S + up.cross(moment) / up.dot(force);
}

Vec2 centre_of_pressure(const contact::Problem& problem, const contact::Equilibrium& state) {
  return centre_of_pressure(problem, state, Ground{}, Vec3::Zero()).head<2>();
}

io::Result<Stance> solve_setup(const FootPtr& foot, const ShoePtr& shoe, Setup& setup, const StandOptions& options,
                               double load_N, const io::Progress& progress) {
  contact::LoadPath path = contact::solve(setup.problem, setup.start, options.solve, progress);
  std::vector<int> outside = no_rest_outside(*foot, *shoe, setup.problem, path);
  if (!outside.empty())
    if (auto start = led_in(setup, options.solve, progress)) {
      contact::SolveOptions solve = options.solve;
      solve.beside = nullptr;  // its balances are of a foot that did not go in this way
      contact::LoadPath led = contact::solve(setup.problem, *start, solve, progress);
      if (led.seat.converged) {
        setup.start = std::move(*start);
        path = std::move(led);
        outside = no_rest_outside(*foot, *shoe, setup.problem, path);
      }
    }
  if (progress.cancelled())
    return io::fail(
        {.kind = io::ErrorKind::cancelled, .message = "stopped", .remedy = "run it again to get an answer"});
  const bool went_in = path.loaded.converged;  // and slipped out later
  Stance stance = stance_of(foot, shoe, setup, std::move(path), options, load_N);
  if (!went_in) stance.toes_outside = std::move(outside);
  return stance;
}

Stance stance_of(const FootPtr& foot, const ShoePtr& shoe, Setup setup, contact::LoadPath path,
                 const StandOptions& options, double load_N) {
  const auto problem = std::make_shared<contact::Problem>(std::move(setup.problem));
  Aim aim = setup.aim;
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
  stance.load_N = load_N;
  stance.ground = setup.ground;
  stance.hold = {aim.ankle * deg_per_rad, aim.subtalar * deg_per_rad,
                 pointing_range(*foot, options.constants).ankle * deg_per_rad, at_limit};
  stance.problem = problem;
  stance.solved = std::make_shared<const contact::LoadPath>(path);
  stance.path = std::move(path);
  if (stance.path.loaded.converged) stance.centre_of_pressure = centre_of_pressure(*problem, stance.path.loaded);
  stance.foot = foot;
  stance.shoe = shoe;
  return stance;
}

Stance at_height(const Stance& first, const contact::Equilibrium& state) {
  Stance out = first;
  auto problem = std::make_shared<contact::Problem>(*first.problem);
  problem->further_aims.clear();
  for (std::size_t s = 0; s < state.aim.size(); ++s)
    problem->springs[static_cast<std::size_t>(problem->steering[s].spring)].tone_target = state.aim[s];
  out.problem = problem;
  out.path.loaded = state;
  out.path.further.clear();
  out.path.way.clear();
  out.hold.ankle_command_deg = state.aim.empty() ? out.hold.ankle_command_deg : state.aim[0] * geometry::deg_per_rad;
  return out;
}

io::Result<Stance> stand(std::shared_ptr<const foot::Foot> foot, std::shared_ptr<const shoe::Shoe> shoe,
                         const StandOptions& options, const io::Progress& progress) {
  const auto started = std::chrono::steady_clock::now();
  const auto load = load_of(*foot, options);
  if (!load) return tl::unexpected(load.error());
  if (const auto fault = side_fault(*foot, *shoe)) return tl::unexpected(*fault);
  if (const auto good = check(options.constants); !good) return tl::unexpected(good.error());
  if (const auto fault = range_fault(*foot, options)) return tl::unexpected(*fault);
  io::Result<Stance> stance = tl::unexpected(io::Error{});
  if (options.position == Position::roll_down) {
    stance = roll_down(foot, shoe, options, *load, progress);
  } else {
    auto setup = setup_of(*foot, *shoe, options, *load);
    if (!setup) return tl::unexpected(setup.error());
    stance = solve_setup(foot, shoe, *setup, options, *load, progress);
    if (stance && options.position == Position::demi_pointe && stance->rest().converged)
      stance = at_height(*stance, stance->path.further.back());
    const bool pointe = applies(options.position).plumb;
    if (stance && pointe && stance->rest().converged && stance->hold.at_limit)
      if (auto over = get_over(*stance, setup->start, options, progress)) {
        stance->needed = over->needed;
        auto solved = std::make_shared<contact::LoadPath>(*stance->solved);
        solved->beyond = std::make_shared<const contact::LoadPath>(std::move(over->path));
        stance->solved = std::move(solved);
      }
  }
  if (!stance) return stance;
  stance->solve_ms = std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - started).count();
  return stance;
}

}  // namespace aplomb::stance
