// The loops as every processor can do them, and which are taken.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/contact/skin_blend.h"

#include "skin_blend_kernel.h"

namespace aplomb::contact {

Blend blend_plain() { return {blend_positions, blend_normals}; }

Blend best_blend() {
#ifdef __x86_64__
  if (__builtin_cpu_supports("avx2")) return blend_avx2();
#endif
  return blend_plain();
}

}  // namespace aplomb::contact
