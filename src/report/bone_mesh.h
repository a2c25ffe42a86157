// A bone as a smooth body of revolution.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "aplomb/findings/findings.h"

namespace aplomb::report {

/// All bones as one mesh, closed bodies wound outward.
geometry::TriMesh bone_mesh(const std::vector<findings::BoneShape>& bones);

}  // namespace aplomb::report
