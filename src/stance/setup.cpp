// Positions made ready: problem, start, and how the shoe lies on the floor.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "setup.h"

#include "flat.h"
#include "pointe.h"
#include "rise.h"
#include "shoe_problem.h"

namespace aplomb::stance {

using geometry::rad_per_deg;

io::Result<Setup> pointe_setup(const foot::Foot& foot, const shoe::Shoe& shoe, const StandOptions& options,
                               double load_N, const Ground& ground, double at_mm) {
  auto built = shoe_problem(foot, shoe, options, load_N, ground);
  if (!built) return tl::unexpected(built.error());
  Setup setup{std::move(*built), ground, {}, {}};
  const contact::Linkage& linkage = setup.problem.linkage;
  const double steer =
      options.position == Position::full_pointe_one ? options.constants.subtalar_command_deg * rad_per_deg : 0;
  // The foot goes in lined up with the leg, the ankle over the toes; under the load she moves over the platform.
  const bool given = options.ankle_command_deg.has_value();
  setup.aim =
      lined_up(foot, linkage, options.constants,
               given ? *options.ankle_command_deg * rad_per_deg : ankle_over_toe(foot, linkage, options.constants));
  const bool weighted = options.position != Position::on_box;
  // Beside a path that tells where the seat is nobody starts above the box.
  const auto& beside = options.solve.beside;
  const bool told = beside && options.solve.seats_as_beside && beside->seat.converged &&
                    beside->seat.q.size() == setup.problem.dof_count;
  setup.start_in = [&foot, &shoe, constants = options.constants, aim = setup.aim](const contact::Problem& problem) {
    return pointe_start(problem, foot, shoe, constants, aim);
  };
  setup.start = told ? beside->seat.q : setup.start_in(setup.problem);
  aim_foot(setup.problem, foot, options.constants, setup.aim,
           {weighted && !given, steer > 0, steer, ground.forward_S(), at_mm});
  return setup;
}

namespace {

/// Before a box that lies on its sole side.
Setup flat_on(contact::Problem problem, const foot::Foot& foot, const shoe::Shoe& shoe, const Ground& ground,
              const Aim& aim, double lean_deg) {
  Setup setup{std::move(problem), ground, aim, [&foot, &shoe, ground, lean_deg](const contact::Problem& in) {
                return flat_start(in, foot, shoe, ground, lean_deg);
              }};
  setup.start = setup.start_in(setup.problem);
  return setup;
}

io::Result<Setup> flat_setup(const foot::Foot& foot, const shoe::Shoe& shoe, const StandOptions& options,
                             double load_N) {
  StandOptions leant = options;
  if (options.position == Position::demi_plie) leant.tibia_forward_deg += options.constants.plie_lean_deg;
  const Ground ground = on_the_sole(shoe);
  auto built = flat_problem(foot, shoe, leant, load_N, ground);
  if (!built) return tl::unexpected(built.error());
  return flat_on(std::move(*built), foot, shoe, ground, {}, leant.tibia_forward_deg);
}

}  // namespace

io::Result<Setup> rise_setup(const foot::Foot& foot, const shoe::Shoe& shoe, const StandOptions& options, double load_N,
                             int steps_down) {
  const Ground ground = on_the_sole(shoe);
  auto built = rise(foot, shoe, options, load_N, ground, steps_up, steps_down);
  if (!built) return tl::unexpected(built.error());
  return flat_on(std::move(built->problem), foot, shoe, ground, built->aim, options.tibia_forward_deg);
}

io::Result<Setup> setup_of(const foot::Foot& foot, const shoe::Shoe& shoe, const StandOptions& options, double load_N) {
  switch (options.position) {
    case Position::parallel:
    case Position::demi_plie:
      return flat_setup(foot, shoe, options, load_N);
    case Position::demi_pointe:
      return rise_setup(foot, shoe, options, load_N);
    default:
      return pointe_setup(foot, shoe, options, load_N);
  }
}

}  // namespace aplomb::stance
