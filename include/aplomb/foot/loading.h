// What body weight does to a foot's numbers: from the load of the card to the standing foot and to the unloaded one.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/foot/card.h"
#include "aplomb/foot/numbers.h"

namespace aplomb::foot {

/// Size under a load against the unloaded foot.
struct LoadRatios {
  double length = 1;         ///< Xiong 2009, 30 adults: 14.56 / 14.72 / 14.77 % of stature at none / half / full weight
  double foot_breadth = 1;   ///< Tsung 2003, healthy: +2.9 % half, +6.0 % full weight (from memory). Of the toes too:
                             ///< their pads are pressed flat with the ball's [guess]
  double heel_breadth = 1;   ///< Tsung 2003: +5.9 %, +8.7 % (from memory)
  double arch_height = 1;    ///< Tsung 2003: -15 %, -20 % (from memory)
  double instep_height = 1;  ///< arch height index .363 sitting, .340 standing, Butler 2008 (from memory); full: guess
  double sinking_mm =
      0;  ///< the ankle's descent by heel pad and arch at 240 mm length: heel pad 16 mm unloaded, 13 standing
};
LoadRatios load_ratios(Load load);

/// The dimensions of the standing foot from those taken under `load`, and back. Lengths and heights of toes, girths and
/// angles do not change with load here; the length grows behind the ball, so the ball length grows by as many mm. Pre:
/// foot length known.
Numbers to_standing(const Numbers& under_load, Load load);
Numbers from_standing(const Numbers& standing, Load load);

}  // namespace aplomb::foot
