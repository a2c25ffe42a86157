// From full pointe down to the whole sole, height by height.
//
// On the platform and on its edge every height is a stand of its own: the shoe is turned, the line of force passes over
// what touches the floor. Past a few degrees on the edge no leg stands any more: toes and ball of the shoe cannot hold
// the foot up against a load that passes so far from the toe joints, and the box falls on its sole side. From there
// down one path is followed with its friction: a rise from flat onto the ball (see rise.h), and down again.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "setup.h"
#include "shoe_problem.h"

namespace aplomb::stance {

using geometry::rad_per_deg;
using geometry::Vec3;
using U = FootUnknowns;

namespace {

constexpr double edge_inset_mm = 0.5;       // of the line of force from the edge of the platform
constexpr double edge_pitches_deg[] = {6};  // while she can still stand on the edge

/// Turned over the sole-side edge of the platform.
Ground on_the_edge(const shoe::Shoe& shoe, double pitch) {
  Ground ground{pitch};
  ground.floor_mm = ground.up_S().dot(Vec3(-shoe.parameters.platform_height_mm / 2, 0, 0));
  return ground;
}

}  // namespace

io::Result<Setup> height_on_pointe(const foot::Foot& foot, const shoe::Shoe& shoe, const StandOptions& options,
                                   double load_N, double pitch) {
  if (pitch == 0) return pointe_setup(foot, shoe, options, load_N);
  const Ground ground = on_the_edge(shoe, pitch);
  const double edge_mm = shoe.parameters.platform_height_mm / 2 - edge_inset_mm;
  return pointe_setup(foot, shoe, options, load_N, ground, -edge_mm * ground.forward_S().x());
}

io::Result<Stance> roll_down(const FootPtr& foot, const ShoePtr& shoe, const StandOptions& given, double load_N,
                             const io::Progress& progress) {
  StandOptions options = given;
  options.solve.beside = nullptr;  // several paths here
  std::vector<Stance> way;
  const auto stand_on = [&](double pitch, OnFloor on_floor) -> io::Result<void> {
    auto setup = height_on_pointe(*foot, *shoe, options, load_N, pitch);
    if (!setup) return tl::unexpected(setup.error());
    auto stance = solve_setup(foot, shoe, *setup, options, load_N, progress);
    if (!stance) return tl::unexpected(stance.error());
    stance->on_floor = on_floor;
    way.push_back(std::move(*stance));
    return {};
  };
  if (auto done = stand_on(0, OnFloor::platform); !done) return tl::unexpected(done.error());
  if (!way.back().rest().converged) return way.back();
  for (const double pitch_deg : edge_pitches_deg) {
    if (auto done = stand_on(pitch_deg * rad_per_deg, OnFloor::edge); !done) return tl::unexpected(done.error());
    // She tips over before: no height to tell of.
    if (!way.back().rest().converged || way.back().hold.at_limit) {
      way.pop_back();
      break;
    }
  }

  auto setup = rise_setup(*foot, *shoe, options, load_N, heights_on_the_sole - 1);
  if (!setup) return tl::unexpected(setup.error());
  auto first = solve_setup(foot, shoe, *setup, options, load_N, progress);
  if (!first || !first->rest().converged) return first;
  const auto& states = first->path.further;
  for (std::size_t k = steps_up - 1; k < states.size(); ++k) way.push_back(at_height(*first, states[k]));
  if (states.size() < steps_up + heights_on_the_sole - 1 || !states.back().converged) {
    Stance stopped = at_height(*first, states.back());
    stopped.path.loaded.reason = fmt::format("{}, {} of {} heights {}", states.back().reason,
                                             states.size() < steps_up ? states.size() : states.size() - steps_up,
                                             states.size() < steps_up ? steps_up : heights_on_the_sole,
                                             states.size() < steps_up ? "up" : "down");
    return stopped;
  }
  for (Stance& stance : way)
    if (stance.ground.pitch == first->ground.pitch) stance.on_floor = heel_down(stance) ? OnFloor::sole : OnFloor::box;

  Stance out = way.back();
  out.solved = nullptr;
  out.way_down = std::move(way);
  return out;
}

}  // namespace aplomb::stance
