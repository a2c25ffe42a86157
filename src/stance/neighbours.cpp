// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/stance/neighbours.h"

#include "aplomb/contact/tangent.h"
#include "setup.h"

namespace aplomb::stance {

io::Result<std::optional<Neighbours>> neighbours(const Stance& middle, const Standing& of, const Standing& minus,
                                                 const Standing& plus) {
  if (of.options.position == Position::demi_pointe || of.options.position == Position::roll_down) return std::nullopt;
  const auto load = [&](const Standing& one) { return one.options.load_N.value_or(middle.load_N); };
  // Not the answer's problem, whose springs carry the aims that were found.
  const auto setup = setup_of(*of.foot, *of.shoe, of.options, load(of));
  if (!setup) return tl::unexpected(setup.error());
  auto below = setup_of(*minus.foot, *minus.shoe, minus.options, load(minus)),
       above = setup_of(*plus.foot, *plus.shoe, plus.options, load(plus));
  if (!below) return tl::unexpected(below.error());
  if (!above) return tl::unexpected(above.error());
  const contact::BothSides sides =
      contact::beside_path(middle.path, setup->problem, below->problem, above->problem, of.options.solve);
  if (!sides.found) return std::nullopt;
  const auto stance = [&](const Standing& one, Setup made, const contact::Equilibrium& seat,
                          const contact::Equilibrium& loaded) {
    contact::LoadPath path;
    path.seat = seat;
    path.loaded = loaded;
    return stance_of(one.foot, one.shoe, std::move(made), std::move(path), one.options, load(one));
  };
  return Neighbours{stance(minus, std::move(*below), sides.seat_minus, sides.minus),
                    stance(plus, std::move(*above), sides.seat_plus, sides.plus), sides.corrections};
}

}  // namespace aplomb::stance
