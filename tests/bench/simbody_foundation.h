// A library's elastic foundation between two meshes behind plain data: its headers are of an older C++ than ours.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <memory>
#include <vector>

namespace aplomb::bench {

/// Closed, outward, mm.
struct PlainMesh {
  std::vector<std::array<double, 3>> vertices;
  std::vector<std::array<int, 3>> faces;
};

/// `skin` carries springs (MPa/mm) over its triangles and is pressed against a rigid `block`; no friction.
class SimbodyFoundation {
 public:
  SimbodyFoundation(const PlainMesh& block, const PlainMesh& skin, double spring_MPa_per_mm);
  ~SimbodyFoundation();
  /// On the skin, N, where it is moved up by so much.
  std::array<double, 3> force_at(double up_mm);

 private:
  struct Model;
  std::unique_ptr<Model> model_;
};

}  // namespace aplomb::bench
