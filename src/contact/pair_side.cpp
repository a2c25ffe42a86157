// Points in a row make blocks of neighbours. Most blocks are told from their middle to be out of reach.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/contact/pair_side.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "pair_look.h"

namespace aplomb::contact {

namespace {

constexpr Eigen::Index block = look_lanes;
constexpr float rounding_mm = 1e-3F;  // of what is told in float
constexpr float nowhere_mm = 1e6F;
constexpr float most_asked_mm = 0.5F;  // how far others are is told no further than this

Eigen::Index whole_blocks(std::size_t count) { return static_cast<Eigen::Index>((count + block - 1) / block * block); }

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
  // From the end where the first point is: the same blocks in the same order for the same foot seen in a mirror.
  const auto place = [&](int point) { return skin[static_cast<std::size_t>(point)].position_rest[longest]; };
  const double way = 2 * place(*std::min_element(first, last)) < low[longest] + high[longest] ? 1 : -1;
  const auto middle = first + (count / 2 + block - 1) / block * block;
  std::nth_element(first, middle, last, [&](int a, int b) {
    const double at_a = way * place(a), at_b = way * place(b);
    return at_a < at_b || (at_a == at_b && a < b);
  });
  sort_to_blocks(skin, first, middle);
  sort_to_blocks(skin, middle, last);
}

}  // namespace

void PairSide::Columns::resize(Eigen::Index count) {
  for (Eigen::ArrayXf* list : {&x, &y, &z, &nx, &ny, &nz}) list->setConstant(count, nowhere_mm);
}

LookColumns PairSide::Columns::lanes() const { return {x.data(), y.data(), z.data(), nx.data(), ny.data(), nz.data()}; }

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
    spread_[b] =
        static_cast<float>(std::sqrt(std::max(radius, turned * turning_arm_mm * turning_arm_mm))) + rounding_mm;
  }
  return std::sqrt(farthest);
}

double PairSide::look(const Vec3& p, const Vec3& n, const PartnerReach& reach,
                      std::vector<std::pair<int, double>>& partners) const {
  static const Look best = best_look();
  const auto as_float = [](double value) { return static_cast<float>(value); };
  const LookTables tables{of_points_.lanes(), of_blocks_.lanes(),
                          spread_.data(),     static_cast<int>(spread_.size() / block),
                          rounding_mm,        static_cast<float>(turning_arm_mm),
                          most_asked_mm};
  const LookFrom from{as_float(p.x()),           as_float(p.y()),          as_float(p.z()),
                      as_float(n.x()),           as_float(n.y()),          as_float(n.z()),
                      as_float(reach.across_mm), as_float(reach.along_mm), as_float(reach.between_mm)};
  near_.resize(static_cast<std::size_t>(of_points_.x.size()));
  float clear_mm = 0;
  const int count = best(tables, from, near_.data(), clear_mm);
  partners.clear();
  for (int k = 0; k < count; ++k)
    partners.emplace_back(points_[static_cast<std::size_t>(near_[static_cast<std::size_t>(k)])], 0.0);
  return clear_mm;
}

}  // namespace aplomb::contact
