// What the pictures dim: hollows of a surface, told from its bumps, the same for fine and coarse meshes.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "../../src/report/shading.h"

using namespace aplomb;

namespace {

/// A square sheet, z up, with a bell of `height_mm` and 3 mm breadth in its middle; `step` between vertices.
geometry::TriMesh sheet(double step, double height_mm) {
  geometry::TriMesh mesh;
  const int n = static_cast<int>(std::lround(40 / step)) + 1;
  for (int i = 0; i < n; ++i)
    for (int j = 0; j < n; ++j) {
      const double x = -20 + i * step, y = -20 + j * step;
      mesh.vertices.emplace_back(x, y, height_mm * std::exp(-(x * x + y * y) / (2 * 3 * 3)));
    }
  for (int i = 0; i + 1 < n; ++i)
    for (int j = 0; j + 1 < n; ++j) {
      const int a = i * n + j, b = a + n;
      mesh.faces.push_back({a, b, b + 1});
      mesh.faces.push_back({a, b + 1, a + 1});
    }
  return mesh;
}

double in_the_middle(double step, double height_mm) {
  const auto mesh = sheet(step, height_mm);
  return report::hollows_mm(mesh)[mesh.vertices.size() / 2];
}

}  // namespace

TEST_CASE("shading: dents are hollow, bumps are not, flats are neither", "[shading]") {
  CHECK(in_the_middle(1, -2) > 0.5);
  CHECK(in_the_middle(1, 2) < -0.5);
  CHECK(in_the_middle(1, 0) == Approx(0).margin(1e-12));
  // Twice as fine, the same dent.
  CHECK(in_the_middle(1, -2) == Approx(in_the_middle(2, -2)).epsilon(0.25));
}

TEST_CASE("shading: hollows reach the vertices that are drawn", "[shading]") {
  const auto mesh = sheet(2, -2);
  const auto hollows = report::hollows_mm(mesh);
  const auto drawn = report::draw_mesh(mesh, {}, hollows, 40);
  float deepest = 0;
  for (const auto& vertex : drawn.vertices) deepest = std::max(deepest, vertex.hollow_mm);
  CHECK(deepest == Approx(*std::max_element(hollows.begin(), hollows.end())).epsilon(1e-6));
  for (const auto& vertex : report::draw_mesh(mesh, {}, {}, 40).vertices) CHECK(vertex.hollow_mm == 0);
}
