// Points in a row make blocks of neighbours. Most blocks are told from their middle to be out of reach.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/contact/pair_side.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>

#include "pair_look.h"

namespace aplomb::contact {

namespace {

using Vec4 = Eigen::Vector4d;

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
    : quiet(points.size()), item(points.size(), -1), points_(std::move(points)) {
  sort_to_blocks(skin, points_.begin(), points_.end());
  const Eigen::Index filled = whole_blocks(points_.size());
  const Eigen::Index blocks = whole_blocks(static_cast<std::size_t>(filled / block));
  for (const int number : points_) {
    const SkinPoint& point = skin[static_cast<std::size_t>(number)];
    PlanePoint& plane = plane_points_.emplace_back();
    Eigen::Map<Vec4>(plane.rest) << point.position_rest, 1;
    Eigen::Map<Vec4>(plane.normal_rest) << point.normal_rest, 0;
    plane.area_mm2 = point.area_mm2;
    plane.thickness_mm = point.layer.thickness_mm, plane.modulus_MPa = point.layer.modulus_MPa;
    plane.count = 0;
    for (std::size_t j = 0; j < 4; ++j) {
      if (!(point.weights[j] > 0)) continue;
      const auto known = std::find(links_.begin(), links_.end(), point.links[j]);
      plane.weights[plane.count] = point.weights[j];
      plane.places[plane.count++] = static_cast<int>(known - links_.begin());
      if (known == links_.end()) links_.push_back(point.links[j]);
    }
  }
  const Eigen::Index chunk_blocks = std::max<Eigen::Index>(1, (filled / block + most_chunks - 1) / most_chunks);
  chunk_points_ = static_cast<std::size_t>(chunk_blocks * block);
  const std::size_t chunks = (points_.size() + chunk_points_ - 1) / chunk_points_;
  chunk_low_.resize(chunks), chunk_high_.resize(chunks);
  moved_.assign(points_.size(), 0);
  most_moved_.assign(std::size_t{1} << chunks, 0);
  of_points_.resize(filled);
  of_blocks_.resize(blocks);
  spread_.setZero(blocks);
}

double PairSide::follow(const SkinKinematics& skin, const Isometry& T_frame_world) {
  const bool seen = !at_.empty();
  at_.resize(points_.size());
  normals_.resize(points_.size());
  std::vector<double> of_chunk(chunk_low_.size(), 0);
  for (std::size_t k = 0; k < points_.size(); ++k) {
    const Vec3 at = T_frame_world * skin.position(points_[k]);
    const Vec3 normal = T_frame_world.linear() * skin.normal(points_[k]);
    const std::size_t chunk = k / chunk_points_;
    if (seen)
      moved_[k] = std::sqrt(std::max((at - at_[k]).squaredNorm(),
                                     (normal - normals_[k]).squaredNorm() * (turning_arm_mm * turning_arm_mm)));
    of_chunk[chunk] = std::max(of_chunk[chunk], moved_[k]);
    const bool first = k % chunk_points_ == 0;
    chunk_low_[chunk] = first ? at : chunk_low_[chunk].cwiseMin(at);
    chunk_high_[chunk] = first ? at : chunk_high_[chunk].cwiseMax(at);
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
  for (std::size_t set = 1; set < most_moved_.size(); ++set) {
    const std::size_t others = set & (set - 1);
    most_moved_[set] = std::max(most_moved_[others], of_chunk[static_cast<std::size_t>(std::countr_zero(set))]);
  }
  return most_moved_.back();
}

unsigned PairSide::chunks_near(const Vec3& p, double mm) const {
  unsigned chunks = 0;
  for (std::size_t c = 0; c < chunk_low_.size(); ++c) {
    const Vec3 off = (chunk_low_[c] - p).cwiseMax(p - chunk_high_[c]).cwiseMax(0.0);
    if (off.squaredNorm() <= mm * mm) chunks |= 1u << c;
  }
  return chunks;
}

PairSide::Seen PairSide::look(const Vec3& p, const Vec3& n, const PartnerReach& reach) const {
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
  return {std::span(near_).first(static_cast<std::size_t>(count)), clear_mm};
}

}  // namespace aplomb::contact
