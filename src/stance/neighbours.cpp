// The paths of the middle stance are walked beside it: one of most positions, several of the way down.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/stance/neighbours.h"

#include <functional>

#include "aplomb/contact/tangent.h"
#include "setup.h"

namespace aplomb::stance {

namespace {

/// What has moved a hair from what.
struct Moved {
  const Standing &of, &minus, &plus;
  double otherwise_N;  ///< load where the options give none

  double load_N(const Standing& one) const { return one.options.load_N.value_or(otherwise_N); }
};

/// One path, whole, on both sides.
struct Sides {
  Stance minus, plus;
  int corrections = 0;
};

using MakeSetup = std::function<io::Result<Setup>(const Standing&, double load_N)>;

io::Result<std::optional<Sides>> sides_of(const contact::LoadPath& path, const Moved& moved, const MakeSetup& make) {
  // Not the answer's problem, whose springs carry the aims that were found.
  const auto setup = make(moved.of, moved.load_N(moved.of));
  if (!setup) return tl::unexpected(setup.error());
  auto below = make(moved.minus, moved.load_N(moved.minus)), above = make(moved.plus, moved.load_N(moved.plus));
  if (!below) return tl::unexpected(below.error());
  if (!above) return tl::unexpected(above.error());
  contact::BothSides sides =
      contact::beside_path(path, setup->problem, below->problem, above->problem, moved.of.options.solve);
  if (!sides.found) return std::nullopt;
  const auto stance = [&](const Standing& one, Setup made, const contact::Equilibrium& seat,
                          const contact::Equilibrium& loaded, std::vector<contact::Equilibrium> further) {
    contact::LoadPath beside;
    beside.seat = seat;
    beside.loaded = loaded;
    beside.further = std::move(further);
    return stance_of(one.foot, one.shoe, std::move(made), std::move(beside), one.options, moved.load_N(one));
  };
  return Sides{stance(moved.minus, std::move(*below), sides.seat_minus, sides.minus, std::move(sides.further_minus)),
               stance(moved.plus, std::move(*above), sides.seat_plus, sides.plus, std::move(sides.further_plus)),
               sides.corrections};
}

MakeSetup rising(int steps_down) {
  return [steps_down](const Standing& one, double load_N) {
    return rise_setup(*one.foot, *one.shoe, one.options, load_N, steps_down);
  };
}

/// Height by height, each on the floor as the middle's is.
io::Result<std::optional<Neighbours>> beside_way_down(const Stance& middle, const Moved& moved) {
  std::vector<Stance> minus, plus;
  int corrections = 0;
  const auto add = [&](Stance below, Stance above) {
    const OnFloor on_floor = middle.way_down[minus.size()].on_floor;
    below.on_floor = above.on_floor = on_floor;
    minus.push_back(std::move(below)), plus.push_back(std::move(above));
  };
  for (const Stance& height : middle.way_down) {
    const bool on_pointe = height.on_floor == OnFloor::platform || height.on_floor == OnFloor::edge;
    auto sides = sides_of(
        *height.solved, moved,
        on_pointe ? [pitch = height.ground.pitch](
                        const Standing& one,
                        double load_N) { return height_on_pointe(*one.foot, *one.shoe, one.options, load_N, pitch); }
                  : rising(heights_on_the_sole - 1));
    if (!sides) return tl::unexpected(sides.error());
    if (!*sides) return std::nullopt;
    corrections += (*sides)->corrections;
    if (on_pointe) {
      add(std::move((*sides)->minus), std::move((*sides)->plus));
      continue;
    }
    // All the heights left are of this one path.
    const auto &below = (*sides)->minus.path.further, &above = (*sides)->plus.path.further;
    for (std::size_t k = steps_up - 1; k < below.size(); ++k)
      add(at_height((*sides)->minus, below[k]), at_height((*sides)->plus, above[k]));
    break;
  }
  Neighbours out{minus.back(), plus.back(), corrections};
  out.minus.way_down = std::move(minus);
  out.plus.way_down = std::move(plus);
  return out;
}

}  // namespace

io::Result<std::optional<Neighbours>> neighbours(const Stance& middle, const Standing& of, const Standing& minus,
                                                 const Standing& plus) {
  const Moved moved{of, minus, plus, middle.load_N};
  if (of.options.position == Position::roll_down) return beside_way_down(middle, moved);
  const bool rises = of.options.position == Position::demi_pointe;
  auto sides = sides_of(
      *middle.solved, moved, rises ? rising(0) : [](const Standing& one, double load_N) {
        return setup_of(*one.foot, *one.shoe, one.options, load_N);
      });
  if (!sides) return tl::unexpected(sides.error());
  if (!*sides) return std::nullopt;
  if (!rises) return Neighbours{std::move((*sides)->minus), std::move((*sides)->plus), (*sides)->corrections};
  return Neighbours{at_height((*sides)->minus, (*sides)->minus.path.further.back()),
                    at_height((*sides)->plus, (*sides)->plus.path.further.back()), (*sides)->corrections};
}

}  // namespace aplomb::stance
