// The loop for processors with AVX2; compiled for them alone.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pair_look_kernel.h"

namespace aplomb::contact {

int look_avx2(const LookTables& tables, const LookFrom& from, int* near, float& least_mm) {
  return look(tables, from, near, least_mm);
}

}  // namespace aplomb::contact
