// SPDX-License-Identifier: GPL-3.0-or-later
#include "synthetic.h"

#include <algorithm>
#include <cmath>
#include <random>

#include "../source_data.h"
#include "aplomb/foot/build.h"
#include "aplomb/foot/random.h"

namespace aplomb::scan::testing {

namespace {

using geometry::Mat3;
using geometry::TriMesh;

double uniform(std::mt19937_64& random) { return static_cast<double>(random() >> 11) * 0x1p-53; }
double normal(std::mt19937_64& random) {
  return std::sqrt(-2 * std::log(1 - uniform(random))) * std::cos(2 * geometry::pi * uniform(random));
}

Mat3 any_rotation(std::mt19937_64& random) {
  Eigen::Quaterniond q(normal(random), normal(random), normal(random), normal(random));
  return q.normalized().toRotationMatrix();
}

/// Uniform over the faces by area, those left out that `drop` says.
template <class Drop>
std::vector<Vec3> surface_points(const std::vector<Vec3>& vertices, const std::vector<std::array<int, 3>>& faces,
                                 std::size_t count, std::mt19937_64& random, const Drop& drop) {
  std::vector<double> upto;
  double total = 0;
  for (const auto& [a, b, c] : faces) {
    total += (vertices[b] - vertices[a]).cross(vertices[c] - vertices[a]).norm();
    upto.push_back(total);
  }
  std::vector<Vec3> points;
  for (std::size_t tries = 0; points.size() < count && tries < 40 * count; ++tries) {
    const auto f =
        static_cast<std::size_t>(std::lower_bound(upto.begin(), upto.end(), uniform(random) * total) - upto.begin());
    const auto& [a, b, c] = faces[std::min(f, faces.size() - 1)];
    double u = uniform(random), v = uniform(random);
    if (u + v > 1) u = 1 - u, v = 1 - v;
    const Vec3 p = vertices[a] + u * (vertices[b] - vertices[a]) + v * (vertices[c] - vertices[a]);
    if (!drop(p, f)) points.push_back(p);
  }
  return points;
}

/// A smooth random field over the skin, SD 1, nearly independent 25 mm apart: waves of random length and direction
/// (Rahimi and Recht 2007).
std::vector<double> lumps(const std::vector<Vec3>& at, std::uint64_t seed) {
  constexpr int waves = 80;
  constexpr double length_mm = 12;
  std::mt19937_64 random(seed * 6151 + 3);
  std::vector<double> field(at.size(), 0);
  for (int k = 0; k < waves; ++k) {
    const Vec3 wave = Vec3(normal(random), normal(random), normal(random)) / length_mm;
    const double phase = 2 * geometry::pi * uniform(random);
    for (std::size_t v = 0; v < at.size(); ++v) field[v] += std::sqrt(2.0 / waves) * std::cos(wave.dot(at[v]) + phase);
  }
  return field;
}

}  // namespace

Synthetic make_synthetic(const Recipe& recipe) {
  std::mt19937_64 random(recipe.seed * 7919 + 17);
  Synthetic out;
  foot::RandomOptions options;
  const auto& model = source_data::model();
  out.truth = source_data::need(foot::random_foot(model, source_data::prior(), recipe.seed, options));
  if (recipe.lumps_mm > 0) {
    foot::Build build = foot::build_of(out.truth);
    build.skin_offset_mm = lumps(out.truth.skin.vertices_F, recipe.seed);
    for (double& mm : build.skin_offset_mm) mm *= recipe.lumps_mm;
    const foot::Side side = out.truth.side;
    out.truth = foot::build_foot(model, build);
    out.truth.side = side;
  }
  out.as_scanned = foot::foot_under(model, foot::build_of(out.truth), recipe.load);
  const auto& skin = out.as_scanned.skin;

  // Holes: balls about random skin points until the share is reached.
  struct Ball {
    Vec3 middle;
    double radius;
  };
  std::vector<Ball> holes;
  const auto in_hole = [&](const Vec3& p) {
    return std::any_of(holes.begin(), holes.end(),
                       [&](const Ball& ball) { return (p - ball.middle).norm() < ball.radius; });
  };
  double top = 0;
  for (const Vec3& p : skin.vertices_F) top = std::max(top, p.z());
  const double cut = std::min(recipe.cut_mm, top - 1);
  std::vector<Vec3> normals(skin.vertices_F.size(), Vec3::Zero());
  for (const auto& [a, b, c] : skin.faces)
    for (const int v : {a, b, c})
      normals[v] += (skin.vertices_F[b] - skin.vertices_F[a]).cross(skin.vertices_F[c] - skin.vertices_F[a]);
  std::vector<int> below;
  for (std::size_t v = 0; v < skin.vertices_F.size(); ++v)
    if (skin.vertices_F[v].z() < cut) below.push_back(static_cast<int>(v));
  if (recipe.missing > 0)
    for (int tries = 0; tries < 200; ++tries) {
      std::size_t lost = 0;
      for (const int v : below) lost += in_hole(skin.vertices_F[v]) ? 1 : 0;
      if (static_cast<double>(lost) >= recipe.missing * static_cast<double>(below.size())) break;
      holes.push_back({skin.vertices_F[below[random() % below.size()]], 10 + 25 * uniform(random)});
    }
  const auto face_normal = [&](std::size_t f) {
    const auto& [a, b, c] = skin.faces[f];
    return (skin.vertices_F[b] - skin.vertices_F[a]).cross(skin.vertices_F[c] - skin.vertices_F[a]).normalized().eval();
  };
  const auto dropped = [&](const Vec3& p, std::size_t f) {
    if (p.z() > cut || in_hole(p)) return true;
    return !recipe.sole && p.z() < 8 && face_normal(f).z() < -0.5;
  };
  out.seen.assign(skin.vertices_F.size(), false);
  for (const int v : below) {
    const Vec3 n = normals[v].normalized();
    out.seen[v] = !in_hole(skin.vertices_F[v]) && (recipe.sole || !(skin.vertices_F[v].z() < 8 && n.z() < -0.5));
  }

  TriMesh& mesh = out.scan.mesh;
  if (recipe.mesh) {
    // The faces that remain, split until the vertices are as many as asked.
    mesh.vertices = skin.vertices_F;
    for (std::size_t f = 0; f < skin.faces.size(); ++f) {
      const auto& [a, b, c] = skin.faces[f];
      const Vec3 middle = (skin.vertices_F[a] + skin.vertices_F[b] + skin.vertices_F[c]) / 3;
      if (!dropped(middle, f)) mesh.faces.push_back(skin.faces[f]);
    }
    while (mesh.vertices.size() < recipe.points) {
      std::vector<std::array<int, 3>> finer;
      for (const auto& face : mesh.faces) {
        const auto m = static_cast<int>(mesh.vertices.size());
        mesh.vertices.push_back((mesh.vertices[face[0]] + mesh.vertices[face[1]] + mesh.vertices[face[2]]) / 3);
        for (int k = 0; k < 3; ++k) finer.push_back({face[k], face[(k + 1) % 3], m});
      }
      mesh.faces = std::move(finer);
    }
    if (recipe.flipped)
      for (auto& face : mesh.faces) std::swap(face[1], face[2]);
  } else {
    mesh.vertices = surface_points(skin.vertices_F, skin.faces, recipe.points, random, dropped);
  }
  if (recipe.noise_mm > 0)
    for (Vec3& p : mesh.vertices) p += recipe.noise_mm * Vec3(normal(random), normal(random), normal(random));
  const auto add_points = [&](const std::vector<Vec3>& points) {
    const auto first = static_cast<int>(mesh.vertices.size());
    for (const Vec3& p : points)
      mesh.vertices.push_back(p + recipe.noise_mm * Vec3(normal(random), normal(random), normal(random)));
    if (!recipe.mesh) return;
    for (int i = first; i + 2 < static_cast<int>(mesh.vertices.size()); i += 3) mesh.faces.push_back({i, i + 1, i + 2});
  };
  if (recipe.second_foot) {
    // The other foot, as far as the scanner happened to see it: its inner side.
    std::vector<Vec3> other;
    for (const Vec3& p : surface_points(skin.vertices_F, skin.faces, recipe.points / 2, random,
                                        [&](const Vec3&q, std::size_t) { return q.z() > 0.8 * cut || q.y() < 0; }))
      other.emplace_back(p.x() + 15, 130 - p.y(), p.z());
    if (recipe.mesh) {
      const auto first = static_cast<int>(mesh.vertices.size());
      for (const Vec3& p : skin.vertices_F) mesh.vertices.emplace_back(p.x() + 15, 130 - p.y(), p.z());
      for (const auto& [a, b, c] : skin.faces)
        if (skin.vertices_F[a].y() > 0 && skin.vertices_F[b].y() > 0 && skin.vertices_F[c].y() > 0 &&
            skin.vertices_F[a].z() < 0.8 * cut && skin.vertices_F[b].z() < 0.8 * cut &&
            skin.vertices_F[c].z() < 0.8 * cut)
          mesh.faces.push_back({first + a, first + c, first + b});
    } else {
      add_points(other);
    }
  }
  if (recipe.floor) {
    const double low = recipe.load == foot::Load::none ? -3.5 : -0.2;
    if (recipe.mesh) {
      const auto first = static_cast<int>(mesh.vertices.size());
      for (int i = 0; i <= 40; ++i)
        for (int j = 0; j <= 40; ++j) mesh.vertices.emplace_back(-120 + 12 * i, -200 + 10 * j, low);
      for (int i = 0; i < 40; ++i)
        for (int j = 0; j < 40; ++j) {
          const int a = first + 41 * i + j;
          mesh.faces.push_back({a, a + 41, a + 1});
          mesh.faces.push_back({a + 41, a + 42, a + 1});
        }
    } else {
      std::vector<Vec3> floor;
      for (std::size_t i = 0; i < recipe.points / 2; ++i)
        floor.emplace_back(-120 + 480 * uniform(random), -200 + 400 * uniform(random), low);
      add_points(floor);
    }
  }
  const bool left = recipe.side == foot::Side::left;
  if (left) {
    for (Vec3& p : mesh.vertices) p.y() = -p.y();
    for (auto& face : mesh.faces) std::swap(face[1], face[2]);
  }
  if (recipe.turned) {
    out.T_scan_foot.linear() = any_rotation(random);
    out.T_scan_foot.translation() = 400 * Vec3(normal(random), normal(random), normal(random));
  }
  for (Vec3& p : mesh.vertices) p = (out.T_scan_foot * p) / mm_per(recipe.unit);
  out.scan.points_in_file = mesh.vertices.size();
  out.scan.file = "synthetic";
  return out;
}

Recipe drawn_recipe(std::uint64_t seed) {
  std::mt19937_64 random(seed * 104729 + 5);
  Recipe recipe;
  recipe.seed = seed;
  recipe.points = static_cast<std::size_t>(2000 * std::pow(250.0, uniform(random)));
  recipe.noise_mm = 0.5 * static_cast<double>(random() % 3);
  recipe.missing = std::array{0.0, 0.2, 0.4}[random() % 3];
  recipe.sole = random() % 3 != 0;
  recipe.cut_mm = 60 + 80 * uniform(random);
  recipe.unit = static_cast<Unit>(random() % 4);
  recipe.side = random() % 2 == 0 ? foot::Side::right : foot::Side::left;
  recipe.mesh = random() % 2 == 0;
  recipe.flipped = random() % 3 == 0;
  recipe.floor = random() % 4 == 0;
  recipe.second_foot = random() % 5 == 0;
  recipe.load = random() % 4 == 0 ? foot::Load::none : foot::Load::standing;
  return recipe;
}

}  // namespace aplomb::scan::testing
