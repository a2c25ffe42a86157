// The loop as every processor can do it, and which one is taken.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pair_look.h"

#include "pair_look_kernel.h"

namespace aplomb::contact {

int look_plain(const LookTables& tables, const LookFrom& from, int* near, float& least_mm) {
  return look(tables, from, near, least_mm);
}

Look best_look() {
#ifdef __x86_64__
  if (__builtin_cpu_supports("avx2")) return look_avx2;
#endif
  return look_plain;
}

}  // namespace aplomb::contact
