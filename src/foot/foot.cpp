// Names and family tree of the bones, names of toes and regions, and the look-up of a joint by name.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/foot/foot.h"

namespace aplomb::foot {

const char* const toe_names[toe_count] = {"hallux", "second", "third", "fourth", "little"};

const char* const bone_names[bone_count] = {"tibia",     "talus",     "hindfoot",  "midfoot",   "cuneiform",  //
                                            "ray1",      "ray2",      "ray3",      "ray4",      "ray5",       //
                                            "proximal1", "proximal2", "proximal3", "proximal4", "proximal5",  //
                                            "middle2",   "middle3",   "middle4",   "middle5",                 //
                                            "distal1",   "distal2",   "distal3",   "distal4",   "distal5"};

const char* const region_names[static_cast<int>(Region::count)] = {
    "hallux",       "second", "third", "fourth",         "little", "ball_medial", "ball_middle",
    "ball_lateral", "dorsum", "arch",  "lateral_border", "heel",   "ankle"};

int bone_parent(int bone) {
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

int joint_index(const Foot& foot, const std::string& name) {
  for (std::size_t i = 0; i < foot.joints.size(); ++i) {
    if (foot.joints[i].name == name) return static_cast<int>(i);
  }
  return -1;
}

}  // namespace aplomb::foot
