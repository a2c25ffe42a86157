// Points and normals carried by several links: each processor's loop against the sum written out, and against each
// other to the last bit.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/contact/skin_blend.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <random>

#include "aplomb/contact/linkage.h"

using namespace aplomb;
using namespace aplomb::contact;

TEST_CASE("blended skin is the sum over its links, to the same bits on every processor") {
  std::mt19937 random(4);
  std::normal_distribution<double> normal;
  const auto some = [&] { return Vec3(normal(random), normal(random), normal(random)); };
  constexpr int links = 7, points = 101;
  std::vector<Isometry> T(links);
  for (Isometry& one : T)
    one = Eigen::Translation3d(30 * some()) * Eigen::AngleAxisd(normal(random), some().normalized());
  std::vector<BlendPoint> blended(points);
  for (int i = 0; i < points; ++i) {
    BlendPoint& p = blended[static_cast<std::size_t>(i)];
    p.count = 1 + i % 4;
    Eigen::Map<Vec3>(p.position) = 40 * some();
    Eigen::Map<Vec3>(p.normal) = some().normalized();
    for (int k = 0; k < p.count; ++k) p.links[k] = (i + 3 * k) % links, p.weights[k] = 1.0 / (1 + k);
  }
  const BlendTables tables{blended.data(), T.front().matrix().data()};
  const std::vector<int> listed{3, 0, 100, 57};
  // Of points not asked for nothing is written, nor past the end.
  constexpr double untouched = -7;
  const auto run = [&](const Blend& blend) {
    std::pair<std::vector<double>, std::vector<double>> out{std::vector<double>(3 * points + 1, untouched),
                                                            std::vector<double>(3 * points + 1, untouched)};
    blend.positions(tables, points - 2, out.first.data());
    blend.normals(tables, listed.data(), static_cast<int>(listed.size()), out.second.data());
    return out;
  };
  const auto plain = run(blend_plain());
  for (int i = 0; i < points; ++i) {
    const BlendPoint& p = blended[static_cast<std::size_t>(i)];
    Vec3 x = Vec3::Zero(), n = Vec3::Zero();
    for (int k = 0; k < p.count; ++k) {
      const Isometry& link = T[static_cast<std::size_t>(p.links[k])];
      x += p.weights[k] * (link * Vec3(p.position[0], p.position[1], p.position[2]));
      n += p.weights[k] * (link.linear() * Vec3(p.normal[0], p.normal[1], p.normal[2]));
    }
    if (i >= points - 2) x.setConstant(untouched);
    if (std::find(listed.begin(), listed.end(), i) == listed.end()) n.setConstant(untouched);
    CHECK((Eigen::Map<const Vec3>(&plain.first[static_cast<std::size_t>(3 * i)]) - x).norm() < 1e-12);
    CHECK((Eigen::Map<const Vec3>(&plain.second[static_cast<std::size_t>(3 * i)]) - n).norm() < 1e-14);
  }
  CHECK(plain.first.back() == untouched);
  CHECK(plain.second.back() == untouched);
#ifdef __x86_64__
  if (__builtin_cpu_supports("avx2")) CHECK(run(blend_avx2()) == plain);
#endif
}
