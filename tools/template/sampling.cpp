// Dart throwing over small triangles, then a few rounds of centring each point in the skin it stands for.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "sampling.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <random>

namespace aplomb::template_tool {

namespace {

struct Piece {
  int face;
  Vec3 barycentric, centroid, normal;
  double area, spacing;
  int part;
};

/// n x n equal triangles of a face: barycentric centroids.
std::vector<Vec3> split_barycentric(int n) {
  std::vector<Vec3> centres;
  for (int i = 0; i < n; ++i) {
    for (int j = 0; j < n - i; ++j) {
      const auto add = [&](double a, double b) { centres.emplace_back(1 - (a + b) / n, a / n, b / n); };
      add(i + 1.0 / 3, j + 1.0 / 3);
      if (j < n - i - 1) add(i + 2.0 / 3, j + 2.0 / 3);
    }
  }
  return centres;
}

/// Points hashed by cubes of `cell` mm.
class Buckets {
 public:
  explicit Buckets(double cell) : cell_(cell) {}
  void add(const Vec3& p, int id) { map_[key(p)].push_back(id); }
  template <class F>
  void near(const Vec3& p, F&& visit) const {
    const auto k = key(p);
    for (int a = -1; a <= 1; ++a)
      for (int b = -1; b <= 1; ++b)
        for (int c = -1; c <= 1; ++c)
          if (const auto at = map_.find({k[0] + a, k[1] + b, k[2] + c}); at != map_.end())
            for (const int id : at->second) visit(id);
  }

 private:
  std::array<int, 3> key(const Vec3& p) const {
    return {static_cast<int>(std::floor(p.x() / cell_)), static_cast<int>(std::floor(p.y() / cell_)),
            static_cast<int>(std::floor(p.z() / cell_))};
  }
  double cell_;
  std::map<std::array<int, 3>, std::vector<int>> map_;
};

std::vector<Piece> cut(const foot::Skin& skin, const SamplingOptions& options) {
  std::vector<Piece> pieces;
  for (std::size_t f = 0; f < skin.faces.size(); ++f) {
    const auto v = [&](std::size_t k) { return skin.vertices_F[static_cast<std::size_t>(skin.faces[f][k])]; };
    if (!options.covered(static_cast<int>(f))) continue;
    const Vec3 middle = (v(0) + v(1) + v(2)) / 3;
    const Vec3 cross = (v(1) - v(0)).cross(v(2) - v(0));
    const double longest = std::max({(v(1) - v(0)).norm(), (v(2) - v(1)).norm(), (v(0) - v(2)).norm()});
    const int n = std::max(2, static_cast<int>(std::ceil(longest / (0.35 * options.spacing_mm(middle)))));
    for (const Vec3& b : split_barycentric(n)) {
      const Vec3 p = b[0] * v(0) + b[1] * v(1) + b[2] * v(2);
      pieces.push_back({static_cast<int>(f), b, p, cross.normalized(), cross.norm() / 2 / (n * n),
                        options.spacing_mm(p), options.part(p)});
    }
  }
  return pieces;
}

/// Skin that faces away is another side of the foot, however near.
bool same_side(const Piece& a, const Piece& b) { return a.part == b.part && a.normal.dot(b.normal) > -0.2; }

std::vector<int> throw_darts(const std::vector<Piece>& pieces, double widest) {
  std::vector<int> order(pieces.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = static_cast<int>(i);
  // A plain shuffle from a fixed generator: std::shuffle is not the same in every library.
  std::mt19937 random(20);
  for (std::size_t i = order.size(); i > 1; --i) std::swap(order[i - 1], order[random() % i]);
  Buckets buckets(widest);
  std::vector<int> chosen;
  for (const int id : order) {
    const Piece& piece = pieces[static_cast<std::size_t>(id)];
    bool free = true;
    buckets.near(piece.centroid, [&](int other) {
      const Piece& o = pieces[static_cast<std::size_t>(other)];
      // 0.81: dart throwing packs points less tightly than the wanted mean spacing.
      if (same_side(piece, o) && (o.centroid - piece.centroid).norm() < 0.81 * std::min(piece.spacing, o.spacing))
        free = false;
    });
    if (!free) continue;
    buckets.add(piece.centroid, id);
    chosen.push_back(id);
  }
  std::sort(chosen.begin(), chosen.end());
  return chosen;
}

/// Index into `chosen` of the point that stands for each piece.
std::vector<int> assign(const std::vector<Piece>& pieces, const std::vector<int>& chosen, double widest) {
  Buckets buckets(widest);
  for (std::size_t c = 0; c < chosen.size(); ++c)
    buckets.add(pieces[static_cast<std::size_t>(chosen[c])].centroid, static_cast<int>(c));
  std::vector<int> owner(pieces.size(), -1);
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    double best = std::numeric_limits<double>::infinity();
    buckets.near(pieces[i].centroid, [&](int c) {
      const Piece& o = pieces[static_cast<std::size_t>(chosen[static_cast<std::size_t>(c)])];
      const double d = (o.centroid - pieces[i].centroid).norm() + (same_side(pieces[i], o) ? 0 : 100);
      if (d < best) {
        best = d;
        owner[i] = c;
      }
    });
  }
  return owner;
}

/// For each owner, the piece nearest to the middle of its pieces.
std::vector<int> centred(const std::vector<Piece>& pieces, const std::vector<int>& owner, std::size_t count) {
  std::vector<Vec3> middle(count, Vec3::Zero());
  std::vector<double> area(count, 0);
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    middle[static_cast<std::size_t>(owner[i])] += pieces[i].area * pieces[i].centroid;
    area[static_cast<std::size_t>(owner[i])] += pieces[i].area;
  }
  std::vector<int> nearest(count, -1);
  std::vector<double> best(count, std::numeric_limits<double>::infinity());
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    const auto c = static_cast<std::size_t>(owner[i]);
    const double d = (pieces[i].centroid - middle[c] / area[c]).norm();
    if (d < best[c]) {
      best[c] = d;
      nearest[c] = static_cast<int>(i);
    }
  }
  return nearest;
}

}  // namespace

std::vector<foot::ContactPoint> sample_contact_points(const foot::Skin& skin, const SamplingOptions& options) {
  const std::vector<Piece> pieces = cut(skin, options);
  double widest = 0;
  for (const Piece& piece : pieces) widest = std::max(widest, piece.spacing);
  std::vector<int> chosen = throw_darts(pieces, widest);
  std::vector<int> owner;
  for (int round = 0; round < 3; ++round) {
    owner = assign(pieces, chosen, widest);
    chosen = centred(pieces, owner, chosen.size());
    std::erase(chosen, -1);
  }
  owner = assign(pieces, chosen, widest);
  std::vector<double> area(chosen.size(), 0);
  for (std::size_t i = 0; i < pieces.size(); ++i) area[static_cast<std::size_t>(owner[i])] += pieces[i].area;
  std::vector<foot::ContactPoint> points;
  for (std::size_t c = 0; c < chosen.size(); ++c) {
    if (area[c] <= 0) continue;
    const Piece& piece = pieces[static_cast<std::size_t>(chosen[c])];
    const auto& face = skin.faces[static_cast<std::size_t>(piece.face)];
    foot::ContactPoint point{piece.face, piece.barycentric, area[c], 0, foot::Region::dorsum};
    int nearest = 0;
    for (int k = 0; k < 3; ++k) {
      point.thickness_mm +=
          piece.barycentric[k] * skin.thickness_mm[static_cast<std::size_t>(face[static_cast<std::size_t>(k)])];
      if (piece.barycentric[k] > piece.barycentric[nearest]) nearest = k;
    }
    point.region = skin.region[static_cast<std::size_t>(face[static_cast<std::size_t>(nearest)])];
    points.push_back(point);
  }
  return points;
}

}  // namespace aplomb::template_tool
