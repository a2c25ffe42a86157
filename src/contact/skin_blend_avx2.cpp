// The loops for processors with AVX2; compiled for them alone.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "skin_blend_kernel.h"

namespace aplomb::contact {

Blend blend_avx2() { return {blend_positions, blend_normals}; }

}  // namespace aplomb::contact
