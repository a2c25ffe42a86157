// Blocks of elements of second order; nodes are shared inside a block, between blocks when asked.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "deck.h"

namespace aplomb::ladder {

Quads add_quads(Deck& deck, const std::string& type, const std::string& set, int nx, int ny,
                const std::function<Vec3(double u, double v)>& map, bool share_nodes) {
  Quads out{nx, ny, {}, {}};
  for (int j = 0; j <= 2 * ny; ++j)
    for (int i = 0; i <= 2 * nx; ++i) {
      const Vec3 x = map(i / (2.0 * nx), j / (2.0 * ny));
      const bool inside = i % 2 == 1 && j % 2 == 1;
      out.nodes.push_back(inside ? 0 : share_nodes ? deck.shared_node(x) : deck.add_node(x));
    }
  for (int j = 0; j < 2 * ny; j += 2)
    for (int i = 0; i < 2 * nx; i += 2)
      out.elements.push_back(
          deck.add_element(type, set,
                           {out.node(i, j), out.node(i + 2, j), out.node(i + 2, j + 2), out.node(i, j + 2),
                            out.node(i + 1, j), out.node(i + 2, j + 1), out.node(i + 1, j + 2), out.node(i, j + 1)}));
  return out;
}

std::vector<int> Quads::bottom() const {
  std::vector<int> out;
  for (int i = 0; i <= 2 * nx; ++i) out.push_back(node(i, 0));
  return out;
}
std::vector<int> Quads::top() const {
  std::vector<int> out;
  for (int i = 0; i <= 2 * nx; ++i) out.push_back(node(i, 2 * ny));
  return out;
}
std::vector<int> Quads::left() const {
  std::vector<int> out;
  for (int j = 0; j <= 2 * ny; ++j) out.push_back(node(0, j));
  return out;
}
std::vector<int> Quads::right() const {
  std::vector<int> out;
  for (int j = 0; j <= 2 * ny; ++j) out.push_back(node(2 * nx, j));
  return out;
}
std::vector<int> Quads::all() const {
  std::vector<int> out;
  for (const int n : nodes)
    if (n > 0) out.push_back(n);
  return out;
}
std::vector<Face> Quads::bottom_faces() const {
  std::vector<Face> out;
  for (int i = 0; i < nx; ++i) out.push_back({elements[static_cast<std::size_t>(i)], 1});
  return out;
}
std::vector<Face> Quads::right_faces() const {
  std::vector<Face> out;
  for (int j = 0; j < ny; ++j) out.push_back({elements[static_cast<std::size_t>(j * nx + nx - 1)], 2});
  return out;
}
std::vector<Face> Quads::top_faces() const {
  std::vector<Face> out;
  for (int i = 0; i < nx; ++i) out.push_back({elements[static_cast<std::size_t>((ny - 1) * nx + i)], 3});
  return out;
}

Bricks add_bricks(Deck& deck, const std::string& type, const std::string& set, int nx, int ny, int nz,
                  const std::function<Vec3(double u, double v, double w)>& map) {
  Bricks out{nx, ny, nz, {}, {}};
  for (int k = 0; k <= 2 * nz; ++k)
    for (int j = 0; j <= 2 * ny; ++j)
      for (int i = 0; i <= 2 * nx; ++i)  // nodes on edges only
        out.nodes.push_back(
            i % 2 + j % 2 + k % 2 > 1 ? 0 : deck.add_node(map(i / (2.0 * nx), j / (2.0 * ny), k / (2.0 * nz))));
  for (int k = 0; k < 2 * nz; k += 2)
    for (int j = 0; j < 2 * ny; j += 2)
      for (int i = 0; i < 2 * nx; i += 2) {
        const auto n = [&](int a, int b, int c) { return out.node(i + a, j + b, k + c); };
        out.elements.push_back(deck.add_element(
            type, set, {n(0, 0, 0), n(2, 0, 0), n(2, 2, 0), n(0, 2, 0), n(0, 0, 2), n(2, 0, 2), n(2, 2, 2),
                        n(0, 2, 2), n(1, 0, 0), n(2, 1, 0), n(1, 2, 0), n(0, 1, 0), n(1, 0, 2), n(2, 1, 2),
                        n(1, 2, 2), n(0, 1, 2), n(0, 0, 1), n(2, 0, 1), n(2, 2, 1), n(0, 2, 1)}));
      }
  return out;
}

std::vector<int> Bricks::where(const std::function<bool(int i, int j, int k)>& at) const {
  std::vector<int> out;
  for (int k = 0; k <= 2 * nz; ++k)
    for (int j = 0; j <= 2 * ny; ++j)
      for (int i = 0; i <= 2 * nx; ++i)
        if (node(i, j, k) > 0 && at(i, j, k)) out.push_back(node(i, j, k));
  return out;
}

}  // namespace aplomb::ladder
