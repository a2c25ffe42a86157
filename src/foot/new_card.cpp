// The card to fill in. Words for someone with a caliper and a tape in hand; the drawings are ours.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/foot/new_card.h"

#include <fmt/format.h>

#include <sstream>
#include <string>
#include <vector>

#include "aplomb/foot/card.h"
#include "aplomb/foot/numbers.h"

namespace aplomb::foot {

namespace {

const char* const head = R"(# One foot, measured with a caliper and a tape.
#
# NEEDED: three lines, side, foot_length_mm and foot_breadth_mm. They stand below without a # in front;
# put your own numbers in place of the examples. Everything else is optional: take the # away from each
# line that you measured, write your number, and leave the others as they are.
#
# What is left out is estimated from the prior: what is usual for a foot of this length and breadth among
# the adult women of an army survey, with tables of anatomy and guesses where that survey has no number.
# Dancers differ from them, and children more. The answer says how unsure each number is; every number you
# measure makes it surer.
#
# BEFORE YOU START
#  - Measure both feet and make one card for each: they are seldom the same. A left foot's numbers go in
#    as they are.
#  - Late in the day or after class, when feet are at their largest; bare, dry, on a hard level floor.
#  - She stands with her weight on both feet, toes long, not gripping, unless it says otherwise below.
#  - The caliper touches the skin and does not press; the tape lies flat and does not pull in.
#  - Take each number twice. If the two differ by more than 2 mm, take it a third time and write the
#    middle one.
#  - Numbers of a painful, swollen or injured foot tell nothing: wait, and send her to someone who knows
#    dancers' feet.
#  - Nothing here says whether she may dance on pointe. That is for her teacher and, in doubt, for
#    clinicians.
#
# Millimetres, degrees, kilograms and years; a point as the decimal sign; no units behind the numbers.
)";

const char* const loading = R"(
# What the foot carried: "standing" is her weight on both feet, "full" all of it on this foot, "none" the
# foot hanging.
)";

const char* const plan = R"(
# ----------------------------------------------------------------------------------------------------------
# FROM ABOVE, with the caliper or on a measuring board. The foot lies along the line from the middle of
# the heel to the tip of the second toe; lengths are taken along that line, breadths square to it.
#
#      |<--------------------- foot_length_mm ----------------------->|
#      |<--------------- ball_length_mm ------------->|               |
#      |                                              |               |
#      |                            ___.....-------..._____           |      ------------  ^
#      |   ____.......------''''''''                  B    ''''---.___|                    |
#     _.-''   ^                                       :             __)  hallux            |
#   .'        |                                       :  .--------''                       |
#  /          |                                       :  `--------.                        |  foot_
# |    heel_breadth_mm                 ball_girth_mm  :   ._______)      second            |  breadth_mm
# |    a sixth of the length      tape over B and L,  :  `-------.                         |
#  \   from the back of the heel   round the sole     :   .______)       third             |
#   `.        |                                       :   `-----.                          |
#     `-._    v                                       :    .____)       fourth             |
#         ''---...____                                :    `---.                           |
#                     ''''----....____                L    ___)       little               |
#                                     '''----.....____.--''                  ------------  v
#
# B is where the joint of the big toe bulges most to the inside, L where that of the little toe bulges
# most outside.
)";

const char* const tape = R"(
# ----------------------------------------------------------------------------------------------------------
# WITH THE TAPE, flat on the skin, closed but not tight.
)";

const char* const from_the_side = R"(
# ----------------------------------------------------------------------------------------------------------
# FROM THE SIDE, heights above the floor, with the caliper or a square standing on the floor.
#
#                |            |
#            ~~~~|~~~~~~~~~~~~|~~~~  ankle_girth_mm, level, where the leg is thinnest above the ankle bones
#                |            |
#                |             \
#                |     .-.     ~`.    the bend between leg and foot
#     ^  - - - - | - -( o )   ~   `-._
#     |          /     `-'   ~        `-._
#     |         /           ~             `-. ^  instep_height_mm, the top of the foot at half its length
#     |        |           ~                 `|._
#     |        |          ~ heel_ankle_   n   |  `--.._
#     |        |         ~  girth_mm      ^   |        ``--..__
#     |         \       ~                 |   |                ``--...__
#     |          \     ~                  |   |                         ``-.
#     v           `---~------.___________ v _ v ____________.---------------'
#     -------------------------------------------------------------------------  floor
#     lateral_malleolus_height_mm         arch_height_mm
#     up to o, where the outer            up to n, the bump of bone on the inside of
#     ankle bone bulges most              the midfoot (navicular); feel for it
)";

const char* const unloaded = R"(
# ----------------------------------------------------------------------------------------------------------
# SITTING, the foot hanging free: across the same two joints B and L. The difference to foot_breadth_mm
# tells how far her foot spreads; the squeeze, by your whole hand round the ball, how far it gives.
)";

const char* const range = R"(
# ----------------------------------------------------------------------------------------------------------
# HOW FAR SHE POINTS, counted from a foot square to the shin. With a goniometer from the outer side: one
# arm along the outer bone of the shin (fibula), the other along the outer edge of the foot to the joint
# of the little toe. As she stands on pointe with a hand on the barre, if she already does; else sitting,
# by herself, nobody pushing (that reads some degrees differently).
#
#     shin  |                      shin  |
#           |                            |
#           o------- 0 deg               o - - - 0 deg
#              foot                       \  )
#                                          \'   plantarflexion_deg
#                                           \
)";

const char* const toes = R"(
# ----------------------------------------------------------------------------------------------------------
# TOE BY TOE, with the caliper. Lift the toe to feel the joint where it meets the ball.
#
#                    |<------- length_mm ------->|
#                    |                           |
#      ______________|_______________________     |
#                                            `-.  |  ^
#      from above    o the joint                ) |  |  breadth_mm, across the pad
#      ______________________________________,-'     v
#
#      __________________________________
#                                        ``--..nail  ^
#      from the side                            `.   |  height_mm, through the pad
#      ____________________________.----.______,-'   v
#                                      |  lift_mm, only if the pad stays off the floor
#      -----------------------------------------------------  floor
#
# bend_deg: how far a hammer toe is bent at its first knuckle more than its neighbours; leave it out on a
# usual toe.
)";

/// A plausible foot to show the size of each number. Invented.
double example_of(int number) {
  constexpr double sizes[toe_count][3] = {{62, 24, 19}, {55, 15, 14}, {50, 14, 14}, {45, 13.5, 13}, {41, 14, 13}};
  switch (number) {
    case foot_length:
      return 238;
    case ball_length:
      return 176;
    case foot_breadth:
      return 90;
    case heel_breadth:
      return 65;
    case ball_girth:
      return 221;
    case heel_ankle_girth:
      return 301;
    case ankle_girth:
      return 209;
    case bimalleolar_breadth:
      return 65;
    case lateral_malleolus_height:
      return 61;
    case arch_height:
      return 42;
    case instep_height:
      return 62;
    case hallux_angle:
      return 12;
    case breadth_relaxed:
      return 87;
    case breadth_squeezed:
      return 83;
    case plantarflexion:
      return 85;
    case mass:
      return 52;
    case age:
      return 16;
    default:
      break;
  }
  if (number >= toe_bend) return 0;
  return sizes[(number - toe_length) % toe_count][(number - toe_length) / toe_count];
}

/// Key, example, and how to take it in a column beside, wrapped.
std::string line(int number, bool needed, bool with_help) {
  constexpr std::size_t column = 37, most = 108;
  const NumberInfo& info = number_table()[number];
  const std::string key = info.key.substr(info.key.rfind('.') + 1);
  std::string text = fmt::format("{}{} = {}", needed ? "" : "# ", key, example_of(number));
  if (!with_help) return text + "\n";
  std::istringstream words(info.how);
  text = fmt::format("{:<{}}#", text, column);
  std::size_t used = text.size();
  for (std::string word; words >> word; used += 1 + word.size()) {
    if (used + 1 + word.size() > most) {
      text += "\n" + std::string(column, ' ') + "#";
      used = column + 1;
    }
    text += " " + word;
  }
  return text + "\n";
}

std::string lines(const std::vector<int>& numbers) {
  std::string text = "\n";
  for (const int number : numbers) text += line(number, number == foot_length || number == foot_breadth, true);
  return text;
}

std::string toe_lines() {
  std::string text;
  for (int toe = 0; toe < toe_count; ++toe) {
    text += fmt::format("\n[toes.{}]\n", toe_names[toe]);
    for (const int first : {int{toe_length}, int{toe_breadth}, int{toe_height}, int{toe_lift}, int{toe_bend}})
      text += line(first + toe, false, toe == 0);
  }
  return text;
}

}  // namespace

std::string new_card_text() {
  std::string text = head;
  text += fmt::format("\nformat = \"aplomb-card\"\nformat_version = {}\n", card_format_version);
  text += "\nside = \"right\"                        # \"right\" or \"left\"\n";
  text += loading;
  text += "load = \"standing\"\n";
  text += plan + lines({foot_length, foot_breadth, ball_length, heel_breadth, bimalleolar_breadth, hallux_angle});
  text += tape + lines({ball_girth, heel_ankle_girth, ankle_girth});
  text += from_the_side + lines({lateral_malleolus_height, arch_height, instep_height});
  text += unloaded + lines({breadth_relaxed, breadth_squeezed});
  text += range + lines({plantarflexion});
  text += "\n# Body mass sets the load when she stands in a shoe.\n" + lines({mass, age}).substr(1);
  text += toes + toe_lines();
  return text;
}

}  // namespace aplomb::foot
