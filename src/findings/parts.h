// The parts of assess(): each fills its findings from a stance with its seated and loaded feet.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/findings/findings.h"
#include "posed.h"

namespace aplomb::findings {

void find_sink(const PosedFoot& seated, const PosedFoot& rest, Findings& out);  ///< depth, sink and its parts, bend
void find_bend(const PosedFoot& seated, const PosedFoot& rest, Findings& out);  ///< of the toes, seat to rest
void find_crowding(const PosedFoot& rest, Findings& out);                       ///< squeeze, index, overlap
void find_load_share(const PosedFoot& rest, Findings& out);                     ///< shares of F
void find_pressure(const PosedFoot& rest, Findings& out);                       ///< peaks, areas, regions
void find_break(const PosedFoot& rest, Findings& out);                          ///< break point against the arch
void find_plumb(const PosedFoot& rest, Findings& out);                          ///< plumb, ankle, roll, twist
void find_cover(const PosedFoot& rest, Findings& out);                          ///< wings, vamp, crown, toe gap
void find_wall_give(const PosedFoot& rest, Findings& out);                      ///< how far the wall gives
void find_ankle_moment(const PosedFoot& rest, Findings& out);                   ///< her muscles about the ankle
void find_toe_room(const PosedFoot& rest, Findings& out);                       ///< toe tips to the front wall
void find_heel_slack(const PosedFoot& rest, Findings& out);                     ///< fold on the box, length elsewhere
/// Goes in; asks for the load share found before.
void find_goes_in(const PosedFoot& seated, const PosedFoot& rest, Findings& out);

/// Standing on the sole: the heel is in its seat; asks for the heel slack found before.
void find_goes_in_standing(Findings& out);

/// How far the heel of the standing foot ends past the rear of the heel seat with its forefoot where the box holds it
/// under a push of 150 N (or under the load on the foot where that is less); < 0 in the seat.
double heel_past_seat_mm(const PosedFoot& seated, const PosedFoot& rest);

/// So much longer than the shoe that no balance need be found to know that it does not go in.
bool hopelessly_long(const stance::Stance& stance);

/// Skin of the dorsum within 6 mm of where the vamp ends.
bool at_vamp_edge(const PosedFoot& rest, int contact_point);

/// Lowest skin of the heel over the floor.
double heel_height_mm(const PosedFoot& rest);
RiseFinding find_rise(const PosedFoot& rest);

/// The place on the rod at this arc length from its clamp, between its nodes.
Vec2 rod_point(const contact::PosedRod& posed, double arc_mm);

/// Largest mean over this area is the peak pressure.
inline constexpr double peak_area_mm2 = 50;

}  // namespace aplomb::findings
