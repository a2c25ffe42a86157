// A box as a scene, for tests whose answers follow from plane geometry.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/findings/findings.h"

namespace aplomb::test {

/// A closed box of these sides round the z axis, its lower face on the floor, as the skin of a right foot.
inline findings::Scene box_scene(const geometry::Vec3& sides) {
  findings::Scene scene;
  for (int k = 0; k < 8; ++k)
    scene.skin.vertices.emplace_back((k & 1) ? sides.x() / 2 : -sides.x() / 2, (k & 2) ? sides.y() / 2 : -sides.y() / 2,
                                     (k & 4) ? sides.z() : 0);
  scene.skin.faces = {{0, 2, 1}, {1, 2, 3}, {4, 5, 6}, {5, 7, 6}, {0, 1, 4}, {1, 5, 4},
                      {2, 6, 3}, {3, 6, 7}, {0, 4, 2}, {2, 4, 6}, {1, 3, 5}, {3, 7, 5}};
  return scene;
}

}  // namespace aplomb::test
