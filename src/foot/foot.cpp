// Names and family tree of the bones, the in-between bones, names of toes and regions, and the look-up of a joint by
// name.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/foot/foot.h"

namespace aplomb::foot {

const char* const toe_names[toe_count] = {"hallux", "second", "third", "fourth", "little"};

const char* const bone_names[bone_count] = {"tibia",
                                            "talus",
                                            "hindfoot",
                                            "midfoot",
                                            "cuneiform",  //
                                            "ray1",
                                            "ray2",
                                            "ray3",
                                            "ray4",
                                            "ray5",  //
                                            "proximal1",
                                            "proximal2",
                                            "proximal3",
                                            "proximal4",
                                            "proximal5",  //
                                            "middle2",
                                            "middle3",
                                            "middle4",
                                            "middle5",  //
                                            "distal1",
                                            "distal2",
                                            "distal3",
                                            "distal4",
                                            "distal5",  //
                                            "ankle_between1",
                                            "ankle_between2",
                                            "ankle_between3",
                                            "ankle_between4",  //
                                            "heel_cord1",
                                            "heel_cord2",
                                            "heel_cord3",
                                            "heel_cord4",
                                            "inner_flesh1",
                                            "inner_flesh2",
                                            "inner_flesh3",
                                            "inner_flesh4",  //
                                            "outer_flesh1",
                                            "outer_flesh2",
                                            "outer_flesh3",
                                            "outer_flesh4",  //
                                            "arch_flesh",    //
                                            "mtp_between_near1",
                                            "mtp_between_near2",
                                            "mtp_between_near3",
                                            "mtp_between_near4",
                                            "mtp_between_near5",  //
                                            "mtp_between_far1",
                                            "mtp_between_far2",
                                            "mtp_between_far3",
                                            "mtp_between_far4",
                                            "mtp_between_far5",  //
                                            "ip_between1",
                                            "ip_between2",
                                            "ip_between3",
                                            "ip_between4",
                                            "ip_between5",  //
                                            "dip_between2",
                                            "dip_between3",
                                            "dip_between4",
                                            "dip_between5"};

const char* const region_names[static_cast<int>(Region::count)] = {
    "hallux",       "second", "third", "fourth",         "little", "ball_medial", "ball_middle",
    "ball_lateral", "dorsum", "arch",  "lateral_border", "heel",   "ankle"};

int bone_parent(int bone) {
  if (bone >= anatomical_bone_count) return between_of(bone).from;
  if (bone <= tibia) return -1;
  if (bone <= cuneiform) return bone - 1;
  // The cuboid moves with the midfoot and carries the two lateral rays; the cuneiforms carry the three medial ones.
  if (bone <= ray2) return cuneiform;
  if (bone <= ray4) return midfoot;
  if (bone <= proximal4) return bone - proximal0 + ray0;
  if (bone <= middle4) return bone - middle1 + proximal1;
  if (bone == distal0) return proximal0;  // the hallux has no middle phalanx
  return bone - distal1 + middle1;
}

namespace {

/// Step `i` of a row of four round the ankle: skin bulges by `swell` of `bulge` there.
Between round_ankle(int i, const Vec3& bulge, const std::array<double, 4>& swell, Fold fold) {
  return {tibia, hindfoot, (i + 1) / 5.0, swell[i] * bulge, fold};
}

}  // namespace

Between between_of(int bone) {
  // Pointed by a radian, the heel would carry the skin behind the ankle a tenth of the foot's length into the leg; in
  // truth the cord between calf and heel keeps it out, backward and a little up, and the flesh beside the cord is
  // squeezed out between it and the ankle bones [guess].
  static const Vec3 cord(-0.062, 0, 0.036), inner(-0.045, 0.05, 0.02), outer(-0.045, -0.05, 0.02);
  // Most in the middle of a row; less toward the heel, whose skin would else be folded under.
  static const std::array<double, 4> at_cord{0.3, 0.7, 0.85, 0.3}, beside{0.5, 0.9, 0.9, 0.4};
  // Flesh under the arch is pressed out of it to the inner side and a little downward: more would fold the sole short
  // [guess].
  static const Vec3 arch(0, 0.115, -0.012);
  // Toes bent up draw the ball's skin forward and press its flesh down, out of the bend [guess]. Under a standing foot
  // the ball carries: a steady slide there would turn its load into a moment of the toes.
  static const Vec3 toes(0, 0, 0.007);
  if (bone >= dip_between1) return {middle1 + bone - dip_between1, distal1 + bone - dip_between1, 0.5};
  if (bone > ip_between0) return {proximal0 + bone - ip_between0, middle1 + bone - ip_between1, 0.5};
  if (bone == ip_between0) return {proximal0, distal0, 0.5};
  if (bone >= mtp_between_far0)
    return {
        ray0 + bone - mtp_between_far0, proximal0 + bone - mtp_between_far0, 2 / 3.0, Vec3::Zero(), Fold::toes, toes};
  if (bone >= mtp_between_near0)
    return {
        ray0 + bone - mtp_between_near0, proximal0 + bone - mtp_between_near0, 1 / 3.0, Vec3::Zero(), Fold::toes, toes};
  if (bone == arch_flesh) return {hindfoot, cuneiform, 0.7, arch, Fold::arch};
  if (bone >= outer_flesh0) return round_ankle(bone - outer_flesh0, outer, beside, Fold::ankle);
  if (bone >= inner_flesh0) return round_ankle(bone - inner_flesh0, inner, beside, Fold::ankle);
  if (bone >= heel_cord0) return round_ankle(bone - heel_cord0, cord, at_cord, Fold::cord);
  return round_ankle(bone - ankle_between0, Vec3::Zero(), at_cord, Fold::cord);
}

std::vector<int> bones_on_the_way(int from, int to) {
  std::vector<int> way;
  for (int bone = to; bone != from; bone = bone_parent(bone)) way.insert(way.begin(), bone);
  return way;
}

std::vector<int> toe_chain(int toe) {
  std::vector<int> chain{ray0 + toe, mtp_between_near0 + toe, mtp_between_far0 + toe, proximal0 + toe,
                         ip_between0 + toe};
  if (toe > 0) chain.insert(chain.end(), {middle1 + toe - 1, dip_between1 + toe - 1});
  chain.push_back(distal0 + toe);
  return chain;
}

int joint_index(const Foot& foot, const std::string& name) {
  for (std::size_t i = 0; i < foot.joints.size(); ++i) {
    if (foot.joints[i].name == name) return static_cast<int>(i);
  }
  return -1;
}

}  // namespace aplomb::foot
