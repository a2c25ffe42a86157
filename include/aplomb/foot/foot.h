// The foot as every later part sees it: skeleton, skin, weights, contact points, landmarks, numbers.
// Frame F: right foot, origin the rearmost heel point dropped to the floor, +x to the second toe tip, +y medial, +z up,
// standing. A left foot is mirrored on the way in and back on the way out; in here every foot is a right foot.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "aplomb/geometry/types.h"

namespace aplomb::foot {

using geometry::Vec3;

enum class Side { right, left };

/// Toes are counted 0..4 = hallux, second, third, fourth, little.
inline constexpr int toe_count = 5;
extern const char* const toe_names[toe_count];

/// Rigid bones of the linkage, parents before children. Rays and phalanges are blocks of five and four.
/// tibia > talus > hindfoot > midfoot > cuneiform > ray 0..4 > proximal 0..4 > (middle 1..4) > distal 0..4
/// (rays 3 and 4 hang on the midfoot, which carries the cuboid; rays 0..2 on the cuneiform).
/// After them the in-between bones, which carry skin alone and let it bend round a joint in small steps: see Between.
enum Bone : int {
  tibia,
  talus,
  hindfoot,
  midfoot,
  cuneiform,
  ray0,
  ray1,
  ray2,
  ray3,
  ray4,
  proximal0,
  proximal1,
  proximal2,
  proximal3,
  proximal4,
  middle1,
  middle2,
  middle3,
  middle4,
  distal0,
  distal1,
  distal2,
  distal3,
  distal4,
  anatomical_bone_count,
  ankle_between0 = anatomical_bone_count,  // four steps from tibia to hindfoot
  ankle_between1,
  ankle_between2,
  ankle_between3,
  heel_cord0,  // the same row behind the ankle, where the heel cord stretches straight to the heel
  heel_cord1,
  heel_cord2,
  heel_cord3,
  inner_flesh0,  // and beside the cord, behind the inner ankle bone
  inner_flesh1,
  inner_flesh2,
  inner_flesh3,
  outer_flesh0,  // and the outer one
  outer_flesh1,
  outer_flesh2,
  outer_flesh3,
  arch_flesh,         // the sole under the arch
  mtp_between_near0,  // two steps from ray to proximal phalanx
  mtp_between_near1,
  mtp_between_near2,
  mtp_between_near3,
  mtp_between_near4,
  mtp_between_far0,
  mtp_between_far1,
  mtp_between_far2,
  mtp_between_far3,
  mtp_between_far4,
  ip_between0,  // one step at the first knuckle (PIP, IP of the hallux)
  ip_between1,
  ip_between2,
  ip_between3,
  ip_between4,
  dip_between1,  // and one at the second
  dip_between2,
  dip_between3,
  dip_between4,
  bone_count
};
extern const char* const bone_names[bone_count];
/// -1 for the tibia. An in-between bone's is the one it goes out from.
int bone_parent(int bone);

/// Where bending squeezes flesh aside. `cord` stands for what goes with the foot's length alone.
enum class Fold : int { cord, ankle, arch, toes, count };

/// What an in-between bone does: it hangs on `from`, slides, and then takes `share` of the angle of every joint on the
/// way to `to`. Skin that hangs on neighbours in such a row bends round the joint in small steps and keeps its distance
/// from it; the slide makes room for flesh that is squeezed. With q rad the angle of the first axis on the way and n
/// its direction, R its turn, the slide is the foot's length times its own Foot::bulge of `fold` times
///     bulge q + (R - 1) dip - n x dip q,
/// which moves along `bulge` steadily, along -dip by 1 - cos q, so not at all near standing, and a little across.
struct Between {
  int from = 0, to = 0;  ///< bones of the body; `to` lies below `from`
  double share = 0;      ///< 0 .. 1
  Vec3 bulge = Vec3::Zero();
  Fold fold = Fold::cord;
  Vec3 dip = Vec3::Zero();
};
/// Pre: anatomical_bone_count <= bone < bone_count.
Between between_of(int bone);
/// The bones of the body on the way from `from` (left out) down to `to` (last).
std::vector<int> bones_on_the_way(int from, int to);
/// Bones whose skin one toe bends along, in-between bones included, from its ray to its tip.
std::vector<int> toe_chain(int toe);

/// One turning axis of the foot. Positive by the right-hand rule about `axis_F`.
/// Flexion axes point medially: + = plantar flexion (toes down). Splay + = toward medial. Inversion + = sole inward.
struct JointAxis {
  std::string
      name;      ///< e.g. "ankle", "subtalar", "midtarsal", "midtarsal_inversion", "naviculocuneiform", "TMT1".."TMT5",
                 ///< "TMT1_splay".., "MTP1".."MTP5", "MTP1_splay".., "IP1", "PIP2".."PIP5", "DIP2".."DIP5"
  int bone = 0;  ///< the bone of the body that this axis moves against its parent
  Vec3 centre_F = Vec3::Zero();
  Vec3 axis_F = Vec3::UnitY();
  double straight_deg =
      0;  ///< angle, from the standing pose, at which the distal bone is in line with its parent (toe joints; else 0)
  double min_deg = 0;  ///< range from the standing pose; min <= 0 <= max
  double max_deg = 0;
};

/// Skin regions, for reports and material.
enum class Region : std::uint8_t {
  hallux,
  second,
  third,
  fourth,
  little,  // toes, from the web forward
  ball_medial,
  ball_middle,
  ball_lateral,  // plantar and sides at the metatarsal heads: MTP1, MTP2-4, MTP5
  dorsum,
  arch,
  lateral_border,
  heel,
  ankle,
  count
};
extern const char* const region_names[static_cast<int>(Region::count)];

/// Closed skin of the UNLOADED foot at rest (standing pose of the bones), outward oriented, cut flat above the ankle.
struct Skin {
  std::vector<Vec3> vertices_F;                ///< V
  std::vector<std::array<int, 3>> faces;       ///< N
  std::vector<std::array<int, 4>> bones;       ///< V: Bone; unused entries repeat with weight 0
  std::vector<std::array<double, 4>> weights;  ///< V: >= 0, sum 1
  std::vector<double> thickness_mm;            ///< V: soft tissue from skin to bone
  std::vector<Region> region;                  ///< V
};

/// A quadrature point of the skin: denser than the vertices where contact is fine (about 1 mm at toe tips, 2 mm at toe
/// sides, 4 mm elsewhere). Lies in face `face` at `barycentric`.
struct ContactPoint {
  int face = 0;
  Vec3 barycentric = Vec3::Zero();
  double area_mm2 = 0;  ///< areas sum to the area of the skin they cover
  double thickness_mm = 0;
  Region region = Region::dorsum;
};

/// A marked line on the sole, heel to toe, of material points (face, barycentric), for the break point.
struct MidlinePoint {
  int face = 0;
  Vec3 barycentric = Vec3::Zero();
};

/// Bony and skin landmarks in the rest pose, each moving with one bone of the body.
struct Landmark {
  int bone = 0;
  Vec3 position_F = Vec3::Zero();
};

/// A number with its doubt and where it came from.
struct Measurement {
  double value = 0;    ///< unit as in the key's suffix
  double sd = 0;       ///< standard deviation; 0 only when exact by definition
  std::string source;  ///< "card", "prior", "scan"
};

/// Everything later parts need. Built by fit_card() (foot/fit.h) or read back from a foot file.
struct Foot {
  Side side = Side::right;        ///< of the person; geometry here is always a right foot
  std::vector<JointAxis> joints;  ///< parents before children; for one bone in the order applied
  Skin skin;
  std::vector<ContactPoint> contact_points;
  std::vector<MidlinePoint> plantar_midline;         ///< from behind the heel to the second toe; ~ 2 mm apart
  int arch_back = 0, arch_apex = 0, arch_front = 0;  ///< indices into plantar_midline (of the STANDING foot)
  std::map<std::string, Landmark>
      landmarks;  ///< "ankle_centre", "heel_back", "MThead1".."5", "bonetip1".."5", "lateral_malleolus", ...
  std::map<std::string, Measurement> measurements;  ///< every card key as a number, of the foot as the card's load says
  std::map<std::string, double> residual;           ///< measured minus card, for every dimension that a card gave
  double length_mm = 0, breadth_mm = 0;             ///< standing
  double breadth_relaxed_mm = 0;   ///< ball, no load; against breadth_mm it says how far the forefoot spreads
  double breadth_squeezed_mm = 0;  ///< ball, no load, squeezed by a firm hand: how far the rays come together
  std::optional<double> mass_kg, age_years;
  /// How far the skin bulges at each fold against the template: so far that bending squeezes no flesh away (build.h).
  std::array<double, static_cast<int>(Fold::count)> bulge{1, 1, 1, 1};
  double plantarflexion_deg = 83;      ///< her total pointing range, tibia to foot (fibula to foot, weight bearing)
  std::vector<double> shape;           ///< parameters of the fit
  std::vector<double> covariance;      ///< shape x shape, row major; empty when unknown
  std::vector<double> skin_offset_mm;  ///< what a scan shows beyond them: outward at each vertex; empty: nothing
  std::string template_hash;
};

/// Index of the joint axis with this name, or -1.
int joint_index(const Foot& foot, const std::string& name);

}  // namespace aplomb::foot
