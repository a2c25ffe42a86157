// The field over the skin is Matern's with smoothness 1, as finite elements (Lindgren, Rue and Lindstrom 2011, eq. 10):
// precision t^2 (k^2 M + G) M^-1 (k^2 M + G), M the areas, G the stiffness of the Laplacian. So it does not depend on
// how fine the mesh is, and its SD and range are in mm.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "free_form.h"

#include <Eigen/SparseCholesky>
#include <algorithm>
#include <cmath>

#include "aplomb/foot/skin_offset.h"
#include "aplomb/geometry/exact.h"

namespace aplomb::scan {

namespace {

using Sparse = Eigen::SparseMatrix<double>;
using Triplet = Eigen::Triplet<double>;

constexpr double range_mm = 25;                      // offsets so far apart are nearly independent [guess]
constexpr double least_sd_mm = 0.5, most_sd_mm = 3;  // of the field
constexpr double least_noise_mm = 0.3;               // what a flat triangle leaves of round skin [guess]
constexpr double neighbour_share = 0.5;              // of a point's error is its own [guess]
constexpr double most_offset_mm = 12;
constexpr double opposite_reach_mm = 12;                   // skin that faces other skin this near has to keep off it
constexpr double outward_share = 0.4, inward_share = 0.3;  // of the room, of the thickness
constexpr double room_slope = 0.3;                         // of what vertices may move, along the skin
constexpr double rim_fade_mm = 10;
// Skin ends where the scan does within this; edges farther off are another's.
constexpr double edge_sd_mm = 0.05, most_edge_mm = 4;
constexpr int rounds = 3;
constexpr double reach_mm[rounds] = {8, 5, 3};

Sparse field_precision(const Eigen::Matrix3Xd& x, const std::vector<std::array<int, 3>>& faces, double sd_mm) {
  const Eigen::Index n = x.cols();
  Eigen::VectorXd area = Eigen::VectorXd::Zero(n);
  std::vector<Triplet> stiff;
  for (const auto& face : faces) {
    const Vec3 normal = Vec3(x.col(face[1]) - x.col(face[0])).cross(Vec3(x.col(face[2]) - x.col(face[0])));
    const double twice = std::max(normal.norm(), 1e-9);
    for (int k = 0; k < 3; ++k) {
      const int i = face[(k + 1) % 3], j = face[(k + 2) % 3];
      const Vec3 a = x.col(i) - x.col(face[k]), b = x.col(j) - x.col(face[k]);
      // Slivers would make single edges stiffer than their surroundings by orders.
      const double cotangent = std::clamp(a.dot(b) / twice, -0.5, 5.0) / 2;
      stiff.emplace_back(i, i, cotangent), stiff.emplace_back(j, j, cotangent);
      stiff.emplace_back(i, j, -cotangent), stiff.emplace_back(j, i, -cotangent);
      area[face[k]] += twice / 6;
    }
  }
  const double kappa = std::sqrt(8.0) / range_mm, tau_squared = 1 / (4 * geometry::pi * kappa * kappa * sd_mm * sd_mm);
  Sparse K(n, n);
  for (Eigen::Index v = 0; v < n; ++v)
    stiff.emplace_back(static_cast<int>(v), static_cast<int>(v), kappa * kappa * area[v]);
  K.setFromTriplets(stiff.begin(), stiff.end());
  const Eigen::VectorXd inverse = area.cwiseMax(1e-6).cwiseInverse();
  return tau_squared * Sparse(K * inverse.asDiagonal() * K);
}

/// Lowers what is more than its neighbours allow, so that what holds one vertex back leaves no step beside it.
void rise_slowly(Eigen::VectorXd& most, const std::vector<std::array<int, 3>>& faces,
                 const std::function<Vec3(int)>& place) {
  for (bool changed = true; changed;) {
    changed = false;
    for (const auto& face : faces)
      for (int k = 0; k < 3; ++k) {
        const int a = face[k], b = face[(k + 1) % 3];
        const double step = room_slope * (place(a) - place(b)).norm();
        for (const auto& [from, to] : {std::pair(a, b), std::pair(b, a)})
          if (most[to] > most[from] + step) most[to] = most[from] + step, changed = true;
      }
  }
}

/// How far each vertex may move along its direction n, in and out, so as to keep off the skin that faces it.
struct Room {
  Eigen::VectorXd in, out;
};

Room room_of(const MovingSurface& surface, const Eigen::Matrix3Xd& n) {
  const auto& x = surface.vertices();
  Room room{Eigen::VectorXd::Constant(x.cols(), most_offset_mm), Eigen::VectorXd::Constant(x.cols(), most_offset_mm)};
  const geometry::NearestPoints tree(x);
  std::vector<geometry::Neighbour> near;
  double top = x.row(2).maxCoeff();
  for (Eigen::Index v = 0; v < x.cols(); ++v) {
    tree.nearest(x.col(v), 60, near);
    for (const auto& u : near) {
      if (u.squared_distance > opposite_reach_mm * opposite_reach_mm) break;
      if (n.col(v).dot(n.col(u.index)) > -0.2) continue;
      const double along = n.col(v).dot(x.col(u.index) - x.col(v)), apart = std::sqrt(u.squared_distance);
      if (along > 0)
        room.out[v] = std::min(room.out[v], outward_share * apart);
      else
        room.in[v] = std::min(room.in[v], inward_share * apart);
    }
    const double fade = std::clamp((top - x(2, v)) / rim_fade_mm, 0.0, 1.0);
    if (fade < 1 || surface.is_rim(v)) {
      const double share = surface.is_rim(v) ? 0 : fade * fade * (3 - 2 * fade);
      room.in[v] *= share, room.out[v] *= share;
    }
  }
  for (Eigen::VectorXd* side : {&room.in, &room.out})
    rise_slowly(*side, surface.faces(), [&](int v) { return Vec3(x.col(v)); });
  return room;
}

}  // namespace

Eigen::VectorXd free_form(MovingSurface& surface, const Look& look, const Cloud& cloud,
                          const geometry::Isometry& T_foot_scan, const std::vector<Edge>& edges, double noise_mm,
                          double misfit_mm, int threads,
                          const std::function<Eigen::MatrixXd(const Eigen::Matrix3Xd&)>& numbers_of,
                          FieldDoubt* doubt) {
  surface.set(look);
  const Eigen::Index n = surface.vertices().cols();
  // Of the leg as the scan has it, though offsets are added before it is bent: what it turns them by is small.
  const Eigen::Matrix3Xd direction = foot::offset_directions(surface.vertices(), surface.faces());
  const Room room = room_of(surface, direction);
  const Sparse precision =
      field_precision(surface.vertices(), surface.faces(), std::clamp(misfit_mm, least_sd_mm, most_sd_mm));
  const double noise = std::max(noise_mm, least_noise_mm), weight = neighbour_share / (noise * noise);
  const geometry::NearestPoints tree(cloud.points);
  Eigen::VectorXd offset = Eigen::VectorXd::Zero(n);
  Eigen::SimplicialLLT<Sparse> solver;
  Sparse data(n, n);
  for (const double reach : reach_mm) {
    std::vector<Triplet> rows;
    Eigen::VectorXd goal = Eigen::VectorXd::Zero(n);
    // One equation: the offsets' shares times what they are is what they were, and the gap.
    const auto add = [&](const std::array<std::pair<int, double>, 3>& share, int count, double gap, double w) {
      double is = gap;
      for (int k = 0; k < count; ++k) is += share[k].second * offset[share[k].first];
      for (int k = 0; k < count; ++k) {
        goal[share[k].first] += w * share[k].second * is;
        for (int l = 0; l < count; ++l)
          rows.emplace_back(share[k].first, share[l].first, w * share[k].second * share[l].second);
      }
    };
    const auto counts = [reach](double gap) {
      const double q = gap / reach;
      return 1 / ((1 + q * q) * (1 + q * q));
    };
    for (const Match& match : matches_of(surface, cloud, T_foot_scan, 2 * reach, 0.4, threads)) {
      if (match.hit.face < 0 || surface.at_rim(match.hit)) continue;
      std::array<std::pair<int, double>, 3> share;
      for (int k = 0; k < 3; ++k) {
        const int v = surface.faces()[match.hit.face][k];
        share[k] = {v, match.hit.barycentric[k] * std::max(0.3, match.hit.normal.dot(direction.col(v)))};
      }
      add(share, 3, match.gap_mm, weight * counts(match.gap_mm));
    }
    for (const BackMatch& back : back_matches(surface, cloud, tree, T_foot_scan, 2 * reach, 1, threads)) {
      const double along = std::max(0.3, back.normal_F.dot(direction.col(back.vertex)));
      add({{{static_cast<int>(back.vertex), along}, {0, 0}, {0, 0}}}, 1, -back.gap_mm,
          weight / 2 * counts(back.gap_mm));
    }
    for (const Edge& edge : edges) {
      const auto reach_of = [&](int v) { return edge.direction.dot(surface.vertices().col(v)); };
      const int end = *std::max_element(edge.vertices.begin(), edge.vertices.end(),
                                        [&](int a, int b) { return reach_of(a) < reach_of(b); });
      const double gap = edge.reach_mm - reach_of(end);
      if (std::abs(gap) > most_edge_mm) continue;
      // Whatever stands out past the edge comes back to it.
      for (const int v : edge.vertices) {
        const double past = edge.reach_mm - reach_of(v), along = edge.direction.dot(direction.col(v));
        if (along < 0.5 || (v != end && past > 0)) continue;
        add({{{v, along}, {0, 0}, {0, 0}}}, 1, past, 1 / (edge_sd_mm * edge_sd_mm));
      }
    }
    data.setFromTriplets(rows.begin(), rows.end());
    const Sparse A = precision + data;
    solver.compute(A);
    if (solver.info() != Eigen::Success) break;
    offset = solver.solve(goal).cwiseMin(room.out).cwiseMax(-room.in);
    surface.set(look, offset);
  }
  if (doubt != nullptr && solver.info() == Eigen::Success) {
    const Eigen::MatrixXd slope = numbers_of(direction), carried = solver.solve(slope);
    doubt->covariance = slope.transpose() * carried;
    doubt->made_up = data * carried;
  }
  // Files keep so many digits.
  for (double& mm : offset) mm = std::round(1000 * mm) / 1000;
  untangle(
      [&](const Eigen::VectorXd& mm) {
        surface.set(look, mm);
        geometry::TriMesh mesh{{}, surface.faces()};
        for (Eigen::Index v = 0; v < n; ++v) mesh.vertices.push_back(surface.vertices().col(v));
        return mesh;
      },
      offset);
  surface.set(look, offset);
  return offset;
}

bool untangle(const std::function<geometry::TriMesh(const Eigen::VectorXd&)>& mesh_of, Eigen::VectorXd& offset_mm) {
  constexpr int most_rounds = 8;
  const geometry::TriMesh plain = mesh_of(Eigen::VectorXd::Zero(offset_mm.size()));
  std::optional<std::size_t> allowed;
  for (int round = 0; round < most_rounds; ++round) {
    const geometry::TriMesh mesh = mesh_of(offset_mm);
    if (!geometry::crosses_itself(mesh)) return round > 0;
    const auto crossing = geometry::examine(mesh).crossing_faces;
    if (!allowed) allowed = geometry::examine(plain).crossing_faces.size();
    if (crossing.size() <= *allowed) return round > 0;
    Eigen::VectorXd most = Eigen::VectorXd::Constant(offset_mm.size(), most_offset_mm);
    for (const auto& pair : crossing)
      for (const int f : pair)
        for (const int v : mesh.faces[f]) most[v] = std::abs(offset_mm[v]) / 2;
    rise_slowly(most, mesh.faces, [&](int v) { return mesh.vertices[v]; });
    for (Eigen::Index v = 0; v < offset_mm.size(); ++v)
      offset_mm[v] = std::round(1000 * std::clamp(offset_mm[v], -most[v], most[v])) / 1000;
  }
  offset_mm.setZero();
  return true;
}

}  // namespace aplomb::scan
