// Meshes of the box: rows of points round the section, from the flat of the platform to the cut line.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>
#include <functional>

#include "aplomb/shoe/meshes.h"

namespace aplomb::shoe {

namespace {

// Rows of `around` vertices each; row 0 closes in a fan on a centre vertex.
class RowMesh {
 public:
  explicit RowMesh(int around) : around_(around) {}

  int add_row(const std::function<Vec3(int)>& point) {
    const int first = static_cast<int>(mesh_.vertices.size());
    for (int k = 0; k < around_; ++k) mesh_.vertices.push_back(point(k));
    return first;
  }
  // Triangles between two rows; `left` is on the left when going round with the outside toward the viewer.
  void join(int left, int right) {
    for (int k = 0; k < around_; ++k) {
      const int next = (k + 1) % around_;
      const std::array<int, 4> quad{left + k, right + k, right + next, left + next};
      // The shorter diagonal keeps narrow rows from folding.
      const double d02 = (mesh_.vertices[quad[0]] - mesh_.vertices[quad[2]]).squaredNorm();
      const double d13 = (mesh_.vertices[quad[1]] - mesh_.vertices[quad[3]]).squaredNorm();
      if (d02 <= d13 * (1 + 1e-9)) {
        mesh_.faces.push_back({quad[0], quad[1], quad[2]});
        mesh_.faces.push_back({quad[0], quad[2], quad[3]});
      } else {
        mesh_.faces.push_back({quad[0], quad[1], quad[3]});
        mesh_.faces.push_back({quad[1], quad[2], quad[3]});
      }
    }
  }
  // Fan over a row; `up`: seen from +z the fan is anticlockwise.
  void close(int row, bool up) {
    Vec3 centre = Vec3::Zero();
    for (int k = 0; k < around_; ++k) centre += mesh_.vertices[row + k];
    mesh_.vertices.push_back(centre / around_);
    const int hub = static_cast<int>(mesh_.vertices.size()) - 1;
    for (int k = 0; k < around_; ++k) {
      const int next = (k + 1) % around_;
      if (up)
        mesh_.faces.push_back({hub, row + k, row + next});
      else
        mesh_.faces.push_back({hub, row + next, row + k});
    }
  }
  TriMesh take() { return std::move(mesh_); }

 private:
  int around_;
  TriMesh mesh_;
};

double smooth_step(double t) {
  t = std::clamp(t, 0.0, 1.0);
  return t * t * t * (10 + t * (6 * t - 15));
}

}  // namespace

TriMesh make_shell(const Shoe& shoe, const MeshResolution& resolution) {
  const BoxSurface& box = shoe.box;
  const ShoeParameters& p = shoe.parameters;
  const int around = resolution.around;
  std::vector<double> turn(around), cut(around);
  for (int k = 0; k < around; ++k) turn[k] = k / static_cast<double>(around), cut[k] = box.cut_v(turn[k]);
  const double height = box.highest_cut_z() - box.rounding_end_z();
  const int wall_rows = std::max(4, static_cast<int>(std::ceil(height / resolution.row_mm)));
  const int rows = resolution.rounding_rows + wall_rows;

  // Parameter of row r at direction k: the rounding first, then even steps up to the cut.
  const auto v_of = [&](int r, int k) {
    return r <= resolution.rounding_rows ? r / static_cast<double>(resolution.rounding_rows)
                                         : 1 + (cut[k] - 1) * (r - resolution.rounding_rows) / wall_rows;
  };
  const auto inner = [&](int r, int k) { return box.wall_point(turn[k], v_of(r, k)).position_S; };
  const auto outer = [&](int r, int k) -> Vec3 {
    const auto wall = box.wall_point(turn[k], v_of(r, k));
    const double s = smooth_step(v_of(r, k));
    return wall.position_S - ((1 - s) * p.platform_thickness_mm + s * p.wall_thickness_mm) * wall.inward_S;
  };

  RowMesh mesh(around);
  int before = mesh.add_row([&](int k) { return outer(0, k); });
  mesh.close(before, false);
  for (int r = 1; r <= rows; ++r) {
    const int row = mesh.add_row([&](int k) { return outer(r, k); });
    mesh.join(row, before);
    before = row;
  }
  for (int r = rows; r >= 0; --r) {
    const int row = mesh.add_row([&](int k) { return inner(r, k); });
    mesh.join(row, before);
    before = row;
  }
  mesh.close(before, true);
  return mesh.take();
}

TriMesh make_cavity(const Shoe& shoe, double past_cut_mm, const MeshResolution& resolution) {
  const BoxSurface& box = shoe.box;
  const double top_z = box.highest_cut_z() + std::min(past_cut_mm, BoxSurface::fade_mm + 40);
  const int wall_rows = std::max(4, static_cast<int>(std::ceil((top_z - box.rounding_end_z()) / resolution.row_mm)));
  const double top_v = box.v_of_z(top_z);
  const int around = resolution.around;
  RowMesh mesh(around);
  const auto row_at = [&](double v) {
    return mesh.add_row([&](int k) { return box.wall_point(k / static_cast<double>(around), v).position_S; });
  };
  int before = row_at(0);
  mesh.close(before, false);
  for (int r = 1; r <= resolution.rounding_rows + wall_rows; ++r) {
    const int row =
        row_at(r <= resolution.rounding_rows ? r / static_cast<double>(resolution.rounding_rows)
                                             : 1 + (top_v - 1) * (r - resolution.rounding_rows) / wall_rows);
    mesh.join(row, before);
    before = row;
  }
  mesh.close(before, true);
  return mesh.take();
}

}  // namespace aplomb::shoe
