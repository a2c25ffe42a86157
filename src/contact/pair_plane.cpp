// The loops as every processor can do them, and which are taken.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pair_plane.h"

#include "pair_plane_kernel.h"

namespace aplomb::contact {

PairPlane plane_plain() { return {see, hang}; }

PairPlane best_plane() {
#ifdef __x86_64__
  if (__builtin_cpu_supports("avx2")) return plane_avx2();
#endif
  return plane_plain();
}

}  // namespace aplomb::contact
