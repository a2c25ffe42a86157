// Points in a row make blocks of neighbours. Most blocks are told from their middle to be out of reach.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/contact/pair_side.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>

namespace aplomb::contact {

namespace {

constexpr Eigen::Index block = 8;
using Block = Eigen::Array<float, block, 1>;
constexpr float rounding_mm = 1e-3F;  // of what is told in float
constexpr float nowhere_mm = 1e6F;
constexpr float arm = static_cast<float>(turning_arm_mm);
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

/// A block of partners (or of middles of blocks) as a point at p sees them that faces along n.
struct Seen {
  Block along, square, turned_mm;

  template <typename Columns>
  Seen(const Columns& of, Eigen::Index k, const Eigen::Vector3f& p, const Eigen::Vector3f& n) {
    const Block dx = of.x.template segment<block>(k) - p.x(), dy = of.y.template segment<block>(k) - p.y(),
                dz = of.z.template segment<block>(k) - p.z();
    along = dx * n.x() + dy * n.y() + dz * n.z();
    square = dx * dx + dy * dy + dz * dz;
    turned_mm = arm * (of.nx.template segment<block>(k) * n.x() + of.ny.template segment<block>(k) * n.y() +
                       of.nz.template segment<block>(k) * n.z());
  }
};

struct Reach {
  float across, depth, between;
};

/// No more than 0 where one has weight, give or take `spread`.
template <typename Spread>
Block out_of_reach(const Seen& seen, const Reach& reach, const Spread& spread) {
  const auto across = spread + reach.across;
  return ((seen.along - reach.between).abs() - (spread + reach.depth))
      .max(seen.square - seen.along * seen.along - across * across)
      .max(seen.turned_mm - spread);
}

/// Bit i: what stands there is not above 0. Without branches, as which they are cannot be foretold.
unsigned not_positive(const Block& values) {
  unsigned bits = 0;
  for (Eigen::Index i = 0; i < block; ++i) bits |= static_cast<unsigned>(values[i] <= 0) << i;
  return bits;
}

/// How far the two sides may move before one that has no weight may have some. It is short of that by the most of: how
/// far it is too far along n, or across, or would have to turn (times arm). Of these, motion by t makes up at most t,
/// and turning by t / arm at most t distance / arm more.
template <typename Spread>
Block clear_mm(const Seen& seen, const Reach& reach, const Spread& spread) {
  const Block across = (seen.square - seen.along * seen.along).max(0.0F).sqrt();
  const Block lacks = ((seen.along - reach.between).abs() - reach.depth).max(across - reach.across).max(seen.turned_mm);
  return (lacks - spread) / (1 + (seen.square.sqrt() + spread) / arm);
}

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
  partners.clear();
  const Eigen::Vector3f from = p.cast<float>(), facing = n.cast<float>();
  const Block just = Block::Constant(rounding_mm);
  const Reach within{static_cast<float>(reach.across_mm), static_cast<float>(reach.along_mm),
                     static_cast<float>(reach.between_mm)};
  for (Eigen::Index k = 0; k < spread_.size(); k += block) {
    unsigned blocks = not_positive(out_of_reach(Seen(of_blocks_, k, from, facing), within, spread_.segment<block>(k)));
    for (; blocks != 0; blocks &= blocks - 1) {
      const Eigen::Index first = (k + std::countr_zero(blocks)) * block;
      unsigned near = not_positive(out_of_reach(Seen(of_points_, first, from, facing), within, just));
      for (; near != 0; near &= near - 1)
        partners.emplace_back(points_[static_cast<std::size_t>(first + std::countr_zero(near))], 0.0);
    }
  }
  if (!partners.empty()) return 0;
  float least = most_asked_mm;
  for (Eigen::Index k = 0; k < spread_.size(); k += block) {
    const Block clear = clear_mm(Seen(of_blocks_, k, from, facing), within, spread_.segment<block>(k));
    for (unsigned blocks = not_positive(clear - most_asked_mm); blocks != 0; blocks &= blocks - 1) {
      const Eigen::Index first = (k + std::countr_zero(blocks)) * block;
      least = std::min(least, clear_mm(Seen(of_points_, first, from, facing), within, just).minCoeff());
    }
  }
  return std::max(0.0F, least);
}

}  // namespace aplomb::contact
