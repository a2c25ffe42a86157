// Points in a row make blocks of neighbours. Most blocks are told from their middle to be out of reach.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/contact/pair_side.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace aplomb::contact {

namespace {

constexpr Eigen::Index block = 8;
using Block = Eigen::Array<float, block, 1>;
constexpr float rounding_mm = 1e-3F;  // of what is told in float
constexpr float nowhere_mm = 1e6F;
constexpr float arm = static_cast<float>(turning_arm_mm);
constexpr float most_asked_mm = 1.5F;  // how far others are is told no further than this

Eigen::Index whole_blocks(std::size_t count) {
  return static_cast<Eigen::Index>((count + block - 1) / block * block);
}

/// Sorts so that every block is a neighbourhood: halves, at a block's end, across the longest side.
void sort_to_blocks(const std::vector<SkinPoint>& skin, std::vector<int>::iterator first,
                    std::vector<int>::iterator last) {
  const auto count = last - first;
  if (count <= block) return;
  Vec3 low = Vec3::Constant(std::numeric_limits<double>::max()), high = -low;
  for (auto it = first; it != last; ++it) {
    low = low.cwiseMin(skin[static_cast<std::size_t>(*it)].position_rest);
    high = high.cwiseMax(skin[static_cast<std::size_t>(*it)].position_rest);
  }
  Eigen::Index longest = 0;
  (high - low).maxCoeff(&longest);
  const auto middle = first + (count / 2 + block - 1) / block * block;
  std::nth_element(first, middle, last, [&](int a, int b) {
    const double at_a = skin[static_cast<std::size_t>(a)].position_rest[longest],
                 at_b = skin[static_cast<std::size_t>(b)].position_rest[longest];
    return at_a < at_b || (at_a == at_b && a < b);
  });
  sort_to_blocks(skin, first, middle);
  sort_to_blocks(skin, middle, last);
}

/// What partners are short of having weight for a point: how far they are too far along its normal or across, or would
/// have to turn (times arm). Of that, motion by t makes up at most t, and turning by t / arm at most t distance / arm
/// more.
struct Lack {
  Block mm, distance;

  template <typename Of>
  Lack(const Of& of, Eigen::Index k, const Eigen::Vector3f& p, const Eigen::Vector3f& n, const PartnerReach& reach) {
    const Block dx = of.x.template segment<block>(k) - p.x(), dy = of.y.template segment<block>(k) - p.y(),
                dz = of.z.template segment<block>(k) - p.z();
    const Block along = dx * n.x() + dy * n.y() + dz * n.z();
    const Block square = dx * dx + dy * dy + dz * dz;
    const Block turned_away = of.nx.template segment<block>(k) * n.x() + of.ny.template segment<block>(k) * n.y() +
                              of.nz.template segment<block>(k) * n.z();
    const Block across = (square - along * along).max(0.0F).sqrt();
    distance = square.sqrt();
    mm = ((along - static_cast<float>(reach.between_mm)).abs() - static_cast<float>(reach.along_mm))
             .max(across - static_cast<float>(reach.across_mm))
             .max(turned_away * arm) -
         rounding_mm;
  }
};

}  // namespace

void PairSide::Columns::resize(Eigen::Index count) {
  for (Eigen::ArrayXf* list : {&x, &y, &z, &nx, &ny, &nz}) list->setConstant(count, nowhere_mm);
}

void PairSide::Columns::set(Eigen::Index k, const Vec3& at, const Vec3& normal) {
  x[k] = static_cast<float>(at.x()), y[k] = static_cast<float>(at.y()), z[k] = static_cast<float>(at.z());
  nx[k] = static_cast<float>(normal.x()), ny[k] = static_cast<float>(normal.y()),
  nz[k] = static_cast<float>(normal.z());
}

PairSide::PairSide(const std::vector<SkinPoint>& skin, std::vector<int> points)
    : quiet_until(points.size(), -1), item(points.size(), -1), points_(std::move(points)) {
  sort_to_blocks(skin, points_.begin(), points_.end());
  const Eigen::Index filled = whole_blocks(points_.size());
  const Eigen::Index blocks = whole_blocks(static_cast<std::size_t>(filled / block));
  of_points_.resize(filled);
  of_blocks_.resize(blocks);
  radius_.setZero(blocks);
  spread_.setZero(blocks);
}

double PairSide::follow(const SkinKinematics& skin, const Isometry& T_frame_world) {
  const bool seen = !at_.empty();
  at_.resize(points_.size());
  normals_.resize(points_.size());
  double farthest = 0;
  for (std::size_t k = 0; k < points_.size(); ++k) {
    const Vec3 at = T_frame_world * skin.position(points_[k]);
    const Vec3 normal = T_frame_world.linear() * skin.normal(points_[k]);
    if (seen)
      farthest = std::max({farthest, (at - at_[k]).squaredNorm(),
                           (normal - normals_[k]).squaredNorm() * (turning_arm_mm * turning_arm_mm)});
    at_[k] = at;
    normals_[k] = normal;
    of_points_.set(static_cast<Eigen::Index>(k), at, normal);
  }
  for (std::size_t first = 0; first < points_.size(); first += block) {
    const std::size_t last = std::min(points_.size(), first + block);
    Vec3 middle = Vec3::Zero(), normal = Vec3::Zero();
    for (std::size_t k = first; k < last; ++k) middle += at_[k], normal += normals_[k];
    middle /= static_cast<double>(last - first), normal /= static_cast<double>(last - first);
    double radius = 0, turned = 0;
    for (std::size_t k = first; k < last; ++k) {
      radius = std::max(radius, (at_[k] - middle).squaredNorm());
      turned = std::max(turned, (normals_[k] - normal).squaredNorm());
    }
    const auto b = static_cast<Eigen::Index>(first / block);
    of_blocks_.set(b, middle, normal);
    radius_[b] = static_cast<float>(std::sqrt(radius)) + rounding_mm;
    spread_[b] = std::max(radius_[b], static_cast<float>(std::sqrt(turned)) * arm + rounding_mm);
  }
  return std::sqrt(farthest);
}

double PairSide::look(const Vec3& p, const Vec3& n, const PartnerReach& reach,
                      std::vector<std::pair<int, double>>& partners) const {
  partners.clear();
  const Eigen::Vector3f from = p.cast<float>(), facing = n.cast<float>();
  float least = std::numeric_limits<float>::max();
  for (Eigen::Index k = 0; k < radius_.size(); k += block) {
    const Lack lack(of_blocks_, k, from, facing, reach);
    const Block spread = spread_.segment<block>(k);
    const Block clear = (lack.mm - spread) / (1 + (lack.distance + radius_.segment<block>(k)) / arm);
    for (Eigen::Index i = 0; i < block; ++i) {
      if (clear[i] > most_asked_mm) {
        least = std::min(least, clear[i]);
        continue;
      }
      const Eigen::Index first = (k + i) * block;
      const Lack each(of_points_, first, from, facing, reach);
      least = std::min(least, (each.mm / (1 + each.distance / arm)).minCoeff());
      if ((each.mm > 0).all()) continue;
      for (Eigen::Index j = 0; j < block; ++j)
        if (each.mm[j] <= 0) partners.emplace_back(points_[static_cast<std::size_t>(first + j)], 0.0);
    }
  }
  return std::max(0.0F, least);
}

}  // namespace aplomb::contact
