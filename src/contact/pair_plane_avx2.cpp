// The loops for processors with AVX2; compiled for them alone.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pair_plane_kernel.h"

namespace aplomb::contact {

PairPlane plane_avx2() { return {see, hang}; }

}  // namespace aplomb::contact
