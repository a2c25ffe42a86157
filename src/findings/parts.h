// The parts of assess(): each fills its findings from a stance with its seated and loaded feet.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/findings/findings.h"
#include "posed.h"

namespace aplomb::findings {

void find_sink(const PosedFoot& seated, const PosedFoot& rest, Findings& out);  ///< depth, sink and its parts, bend
void find_crowding(const PosedFoot& rest, Findings& out);                       ///< squeeze, index, overlap
void find_load_share(const PosedFoot& rest, Findings& out);                     ///< shares of F
void find_pressure(const PosedFoot& rest, Findings& out);                       ///< peaks, areas, regions
void find_break(const PosedFoot& rest, Findings& out);                          ///< break point against the arch
void find_plumb(const PosedFoot& rest, Findings& out);                          ///< plumb, ankle, roll, twist
void find_cover(const PosedFoot& rest, Findings& out);                          ///< wings, vamp, crown, toe gap
void find_wall_give(const PosedFoot& rest, Findings& out);                      ///< how far the wall gives
/// Goes in; asks for the load share found before.
void find_goes_in(const PosedFoot& seated, const PosedFoot& rest, Findings& out);

/// How far the heel of the standing foot ends past the rear of the heel seat with its forefoot where the box holds it
/// under a push of 150 N (or under the load on the foot where that is less); < 0 in the seat.
double heel_past_seat_mm(const PosedFoot& seated, const PosedFoot& rest);

/// So much longer than the shoe that no balance need be found to know that it does not go in.
bool hopelessly_long(const stance::Stance& stance);

/// The place on the rod at this arc length from its clamp, between its nodes.
Vec2 rod_point(const contact::PosedRod& posed, double arc_mm);

/// Largest mean over this area is the peak pressure.
inline constexpr double peak_area_mm2 = 50;

}  // namespace aplomb::findings
