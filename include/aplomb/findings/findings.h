// What an equilibrium means to a fitter: the findings, with names and signs as in DEVELOPERS.md.
// Units here are those of reports: mm, deg, N, kPa, N m. Medial/lateral signs are the same for both feet.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "aplomb/foot/foot.h"
#include "aplomb/geometry/types.h"

namespace aplomb::findings {

using Number = std::optional<double>;  ///< null: does not apply in this position, or is not known

/// One toe; toes in the order hallux, second, third, fourth, little.
struct ToeFindings {
  std::string name;
  Number squeeze_mm;                    ///< crowding: free breadth minus the breadth it is left
  Number load_share;                    ///< percent of F carried by this toe's skin along S.z
  Number peak_kPa;                      ///< largest mean over 0.5 cm^2 on this toe
  Number overlap_mm;                    ///< how far this toe lies over or under a neighbour; 0 side by side
  Number bend_deg;                      ///< bend gained from seated to rest: flexion of IP or PIP, + = more curled
  Number room_mm;                       ///< toe tip to the front wall (parallel, demi-plie); null on pointe
  Number gap_mm;                        ///< skin to wall above the toe (dorsal); negative presses
  Number sink_mm;                       ///< this toe's own descent of the metatarsal head, seat to rest
  Number slide_mm, tissue_mm, curl_mm;  ///< its parts; sum to sink_mm to 1e-9
  Number tip_clearance_seated_mm;
};

struct LoadShare {  ///< percent of F along S.z; never normalised
  double platform = 0, wall_normal = 0, wall_friction = 0, vamp = 0, shank_heel = 0;
  double sum() const { return platform + wall_normal + wall_friction + vamp + shank_heel; }
};

/// The same load told apart by kind, as measurements inside shoes tell it: normals on the forefoot (platform, wall and
/// vamp), all friction, heel and shank. Percent of F along S.z; never normalised.
struct LoadKind {
  double forefoot_normal = 0, all_friction = 0, heel_and_shank = 0;
  double sum() const { return forefoot_normal + all_friction + heel_and_shank; }
};

struct RegionPressure {
  std::string region;
  double peak_kPa = 0;  ///< largest mean over 0.5 cm^2
  double mean_kPa = 0;  ///< over the loaded area, at least 0.5 cm^2
  double area_mm2 = 0;  ///< loaded area
};

struct BreakFinding {
  bool held = false;  ///< false: no heel tension, the break is "none"
  Number front_offset_mm, apex_offset_mm,
      back_offset_mm;    ///< arc length on the solved midline from that landmark, + toward the heel
  Number arch_fraction;  ///< 0 arch front, 1 arch back
  Number width_mm;
  bool bends_at_box = false;
  bool applies = true;  ///< in this position
};

struct Plumb {
  Number fore_aft_mm;  ///< ankle centre over the platform centre, + dorsal
  Number medial_mm;    ///< + medial
  Number margin_mm;    ///< signed distance of the centre of pressure to the outer platform outline, + inside
  double cop_fore_aft_mm = 0, cop_medial_mm = 0;
  bool gets_over = true;  ///< margin >= 0
  bool applies = true;    ///< in this position
};

/// On the ball of the foot.
struct RiseFinding {
  double heel_height_mm = 0;     ///< lowest skin of the heel over the floor
  double mtp_extension_deg = 0;  ///< of the first toe joint, from standing
  double mtp_left_deg = 0;       ///< of its range; negative past its end
  bool rolls_through = true;     ///< she stands over the ball with toe joints inside their ranges
};

/// One heel height on the way up or down.
struct HeightFinding {
  std::string on_floor;  ///< "platform", "edge", "box", "sole": what of the shoe is
  double heel_height_mm = 0;
  double heel_slack_mm = 0;  ///< length of sole left behind the heel; negative: the heel hangs over its end
  double shank_gap_mm = 0;   ///< where the sole is farthest from the foot, between ball and heel
  double shank_gap_from_heel_mm = 0;
  double mtp_extension_deg = 0;
  double ankle_moment_Nm = 0;
  double peak_kPa = 0;
};

/// Where the width of a doubt band comes from: an input, with its share of the variance, 0..1.
struct DoubtSource {
  std::string key;     ///< of the constant, the shoe's number or the card's; "foot_shape": what the card leaves open
  std::string words;   ///< "friction of skin on the lining"
  bool guess = false;  ///< a guessed constant; else a number of the foot
  double first = 0;    ///< by itself (first order Sobol' index)
  double total = 0;    ///< together with all others (total Sobol' index)
};

/// Between what values a number lies with 90 % when what is not known of the foot, and constants that are guesses, take
/// any value that is plausible. Apart from the friction band, which is of one foot and one set of constants.
struct Doubt {
  std::string key;                       ///< in the JSON, as Findings::Band
  double low = 0, median = 0, high = 0;  ///< 5, 50, 95 %
  bool by_expansion = false;             ///< of a polynomial expansion with Q2 >= .95; else plain quantiles of the runs
  double q2 = 0;                         ///< share of the variance that the expansion predicts in runs held out from it
  double low_error = 0, high_error = 0;  ///< one standard error of low and high
  int runs = 0;                          ///< that the band rests on
  int absent = 0;                        ///< balanced without having this number; not among `runs`
  Number
      quick_minus_full;  ///< runs are solved more quickly than the answer: by how much that changed this number in it
  std::vector<DoubtSource> sources = {};  ///< largest total first, those of at least 1 %
  std::string words = {};                 ///< what matters most and what would narrow it; may be empty
};

/// The bands of all numbers, with what they rest on.
struct Doubts {
  std::vector<Doubt> bands;
  std::uint64_t seed = 0;
  int runs = 0;           ///< that were tried
  int not_converged = 0;  ///< of them, no place of rest that balances
  int refused = 0;        ///< of them, foot, shoe or stand could not be made of the numbers
  int gets_over = 0;      ///< of those that balance and are judged
  int judged = 0;
  int inputs = 0;           ///< varied
  int foot_components = 0;  ///< of them, ways in which the foot's shape varies
  double foot_share = 0;    ///< share of the skin's variance that these carry; 0 where the foot's doubt is not known
  std::vector<std::string> notes;  ///< what to know before trusting them
};

/// How one number of the shoe, the foot or the stand moves the findings, at the answer: slopes, nothing solved anew.
struct Gradient {
  enum class Of { shoe, foot, stand };
  /// Of one finding, in its own unit for each unit of the number.
  struct Slope {
    std::string finding;  ///< key as of named_numbers() or named_heights()
    double value = 0;
  };
  Of of = Of::shoe;
  std::string key;   ///< "ball_breadth_mm", "foot_length_mm", "load_N"; with a number of the foot goes what hangs on it
  double value = 0;  ///< of the number, at the answer
  std::vector<Slope> slopes;  ///< findings that both sides have; empty where `why_not`
  std::string why_not;        ///< no slopes: the number cannot move both ways, or a contact is about to change
};

/// Everything said about one foot in one shoe in one position.
struct Findings {
  // inputs
  foot::Side side = foot::Side::right;
  std::string position;              ///< "full-pointe-two", ...
  std::string foot_name, shoe_name;  ///< as the user named the files
  std::string foot_hash, shoe_hash, template_hash, constants_hash;
  std::string version;
  Number mass_kg;
  double load_N = 0;
  double friction = 0;
  // evidence
  bool converged = false;
  std::string reason;
  double force_balance_error = 0;
  /// false: toes or walls still carry it with the heel outside the seat. The one finding that is also made without
  /// convergence, of a foot far longer than the shoe, and of one with a toe that does not go into the box; `reason`
  /// says which.
  bool goes_in = true;
  double solve_ms = 0;
  // findings
  Number depth_mm;
  Number tip_clearance_seated_mm;
  Number sink_mm, slide_mm, tissue_mm, curl_mm;
  Number crowding_index;
  std::optional<LoadShare> load_share;
  std::optional<LoadKind> load_kind;
  std::array<ToeFindings, 5> toes;
  Number peak_kPa, contact_area_mm2;
  std::vector<RegionPressure> regions;
  BreakFinding break_point;
  Plumb plumb;
  Number pointing_needed_deg, moment_needed_Nm;  ///< with which she would get over; null when she does
  Number ankle_moment_Nm;  ///< moment of her muscles about the ankle axis, + = plantar-flexing; without the end of her
                           ///< range
  Number plantarflexion_used_deg;  ///< total pointing used (tibia to foot, midfoot included)
  Number plantarflexion_left_deg;
  Number side_roll_deg, twist_deg;
  Number heel_slack_mm, toe_room_mm;
  Number wing_cover_medial_mm, wing_cover_lateral_mm;
  Number vamp_cover_mm;  ///< least over the toes; per toe in vamp_cover_toe_mm
  std::array<Number, 5> vamp_cover_toe_mm;
  Number flesh_over_vamp_mm;        ///< how far skin just past the vamp's edge stands out over it; negative stays below
  Number vamp_edge_kPa;             ///< largest mean over 0.5 cm^2 of skin at the vamp's edge; null without weight
  std::optional<RiseFinding> rise;  ///< demi-pointe
  std::optional<std::vector<HeightFinding>> way_down;  ///< roll-down, from full pointe to flat
  std::array<Number, 5> crown_gap_mm;                  ///< at each MTP; negative presses
  Number wall_give_mm;  ///< furthest that the wall of the box moves outward; without the vamp's cloth
  /// A number on the path into the shoe and after the load was cycled until friction had settled.
  struct Band {
    std::string key;  ///< its key in the JSON, e.g. "load_share.platform"
    double path = 0, settled = 0;
  };
  std::optional<std::vector<Band>> friction_band;  ///< nothing when not asked for, or not known
  std::optional<Doubts> doubts;                    ///< nothing when not asked for
  std::optional<std::vector<Gradient>> gradients;  ///< nothing when not asked for
  std::vector<std::string> advice;                 ///< plain sentences; may be empty
  std::vector<std::string> limits;                 ///< printed beside every result
};

/// A bone for drawing: two ends and how thick it is there; shafts are thinner between. Its ends are where the joints
/// are solved to be; its thickness is only drawn.
struct BoneShape {
  std::string name;  ///< of the linkage's bone, e.g. "proximal0"
  geometry::Vec3 from = geometry::Vec3::Zero(), to = geometry::Vec3::Zero();
  double radius_mm = 4;
  bool shaft = true;
};

/// What a picture needs, mm, already mirrored for a left foot, as it stands in the room: +x the way she faces, +z up,
/// z = 0 the floor. On full pointe that is frame S.
struct Scene {
  foot::Side side = foot::Side::right;
  geometry::TriMesh skin;                        ///< moved by its indentation: at the deformed wall, never through it
  std::vector<double> pressure_kPa;              ///< per skin vertex
  geometry::TriMesh shell, sole, upper;          ///< see-through box; shank and sole as solved; light fabric
  std::vector<geometry::Vec2> platform_outline;  ///< outer face, x-y at z = 0; empty when it is not on the floor
  std::optional<geometry::Vec2> centre_of_pressure;  ///< on the floor; nothing without weight
  geometry::Vec3 ankle_centre = geometry::Vec3::Zero();
  std::optional<geometry::Vec3> break_point;
  std::optional<geometry::Vec3> arch_front, arch_apex, arch_back;
  // Inside the box, for looking closer; per skin vertex like the pressures. Empty in scenes made without them.
  std::vector<foot::Region> region;
  std::vector<double> gap_mm;  ///< to the box: > 0 clear, < 0 tissue pressed by that much; beyond_gap_mm: nothing near
  std::vector<double> crowding_mm;  ///< tissue pressed by the neighbouring toe
  std::vector<BoneShape> bones;
};

/// Gaps are looked for this far from the skin.
inline constexpr double beyond_gap_mm = 15;

}  // namespace aplomb::findings
