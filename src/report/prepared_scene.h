// The meshes of a prepared scene, as the renderer uploads them.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/report/scene_renderer.h"
#include "shading.h"

namespace aplomb::report {

struct PreparedScene::Meshes {
  DrawMesh skin, shell, sole, upper, bones;
};

}  // namespace aplomb::report
