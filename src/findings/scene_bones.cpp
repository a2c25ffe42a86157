// Where the bones' ends are follows from joints and landmarks alone, so a drawn bone never says more than was solved.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene_bones.h"

#include <algorithm>

namespace aplomb::findings {

namespace {

/// Adds bones between points of the rest shape, moved with their bone.
class Drawer {
 public:
  explicit Drawer(const PosedFoot& rest) : rest_(rest), foot_(*rest.stance->foot), scale_(foot_.length_mm / 240) {}

  Vec3 joint(const std::string& name) const {
    return foot_.joints[static_cast<std::size_t>(foot::joint_index(foot_, name))].centre_F;
  }
  Vec3 mark(const std::string& name) const { return foot_.landmarks.at(name).position_F; }

  void add(int bone, const Vec3& from_F, const Vec3& to_F, double radius_mm, bool shaft) {
    const Isometry& T = rest_.T_S_bone[static_cast<std::size_t>(bone)];
    shapes_.push_back({foot::bone_names[bone], T * from_F, T * to_F, scale_ * radius_mm, shaft});
  }

  std::vector<BoneShape> take() { return std::move(shapes_); }
  const foot::Foot& foot() const { return foot_; }

 private:
  const PosedFoot& rest_;
  const foot::Foot& foot_;
  double scale_;
  std::vector<BoneShape> shapes_;
};

void add_hindfoot(Drawer& drawer) {
  double top = 0;
  for (const Vec3& vertex : drawer.foot().skin.vertices_F) top = std::max(top, vertex.z());
  const Vec3 ankle = drawer.joint("ankle"), subtalar = drawer.joint("subtalar"), middle = drawer.joint("midtarsal");
  const Vec3 lateral = drawer.mark("lateral_malleolus"), heel = drawer.mark("heel_back");
  drawer.add(foot::tibia, {ankle.x(), ankle.y(), top - 2}, ankle + Vec3(0, 0, 14), 11, true);
  // The fibula lies a third of the way in from the skin over its end.
  const Vec3 fibula = lateral + 0.3 * (Vec3(ankle.x(), ankle.y(), lateral.z()) - lateral);
  drawer.add(foot::tibia, {fibula.x(), fibula.y(), top - 2}, fibula, 6, true);
  drawer.add(foot::talus, ankle, middle + Vec3(0, 3, 6), 12, false);
  drawer.add(foot::hindfoot, Vec3(heel.x() + 20, 0.7 * heel.y(), 0.55 * subtalar.z()), subtalar + Vec3(10, -6, -10), 13,
             false);
}

void add_midfoot(Drawer& drawer) {
  const Vec3 middle = drawer.joint("midtarsal"), wedge = drawer.joint("naviculocuneiform");
  drawer.add(foot::midfoot, middle + Vec3(4, 4, 4), wedge, 10, false);
  for (int ray = 0; ray < foot::toe_count; ++ray) {
    const Vec3 base = drawer.joint(numbered("TMT", ray));
    const bool cuboid = ray >= 3;
    const Vec3 from = cuboid ? Vec3(middle + Vec3(0, -9, -5)) : wedge;
    drawer.add(cuboid ? foot::midfoot : foot::cuneiform, from + 0.35 * (base - from), base, ray == 0 ? 8 : 7, false);
    drawer.add(foot::ray0 + ray, base, drawer.joint(numbered("MTP", ray)), ray == 0 ? 8.5 : 6, true);
  }
}

void add_toes(Drawer& drawer) {
  for (int toe = 0; toe < foot::toe_count; ++toe) {
    const Vec3 root = drawer.joint(numbered("MTP", toe)), tip = drawer.mark(numbered("bonetip", toe));
    const bool big = toe == 0;
    const Vec3 first = drawer.joint(numbered(big ? "IP" : "PIP", toe));
    drawer.add(foot::proximal0 + toe, root, first, big ? 7 : 4.3, true);
    if (big) {
      drawer.add(foot::distal0, first, tip, 6, true);
      continue;
    }
    const Vec3 second = drawer.joint(numbered("DIP", toe));
    drawer.add(foot::middle1 + toe - 1, first, second, 3.8, true);
    drawer.add(foot::distal0 + toe, second, tip, 3.4, true);
  }
}

}  // namespace

std::vector<BoneShape> bone_shapes(const PosedFoot& rest) {
  Drawer drawer(rest);
  add_hindfoot(drawer);
  add_midfoot(drawer);
  add_toes(drawer);
  return drawer.take();
}

}  // namespace aplomb::findings
