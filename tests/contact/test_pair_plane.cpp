// The plane that stands for a patch of skin: against its formulas written out point by point, and the same on every
// processor.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>
#include <cstring>
#include <limits>
#include <random>
#include <vector>

#include "aplomb/geometry/types.h"
#include "pair_plane.h"

using namespace aplomb::contact;
using aplomb::geometry::Mat3;
using aplomb::geometry::Vec3;

namespace {

constexpr double across_mm = 4, depth_mm = 5, between_mm = 0.7, reach_mm = 2;

/// A bumpy patch about the origin facing up, and which of it are asked about.
struct Patch {
  std::vector<Vec3> at, normal;
  std::vector<PlanePoint> points;
  std::vector<int> partners;

  explicit Patch(std::mt19937& random, int count) {
    std::uniform_real_distribution<double> u(-1, 1);
    for (int k = 0; k < count; ++k) {
      at.emplace_back(5 * u(random), 5 * u(random), 0.4 * u(random));
      normal.push_back(Vec3(0.5 * u(random), 0.5 * u(random), 1).normalized());
      PlanePoint& point = points.emplace_back();
      point.area_mm2 = 1 + 0.5 * u(random), point.thickness_mm = 3 + u(random),
      point.modulus_MPa = 0.2 + 0.1 * u(random);
      point.count = 1 + k % 3;
      for (int l = 0; l < point.count; ++l) point.places[l] = (k + l) % 4, point.weights[l] = 1.0 / point.count;
      const double rest[4] = {u(random), u(random), u(random), 1},
                   normal_rest[4] = {u(random), u(random), u(random), 0};
      std::memcpy(point.rest, rest, sizeof rest);
      std::memcpy(point.normal_rest, normal_rest, sizeof normal_rest);
      if (k % 7 != 0) partners.push_back(k);
    }
  }
  PlaneTables tables() const { return {at.front().data(), normal.front().data(), points.data()}; }
};

struct Look {
  PlaneSeen seen;
  std::vector<double> weights;
};

Look look(const PairPlane& plane, const Patch& patch, const Vec3& x, const Vec3& n) {
  Look out{{}, std::vector<double>(patch.partners.size())};
  std::vector<double> room(static_cast<std::size_t>(plane_room(static_cast<int>(patch.partners.size()))));
  const PlaneFrom from{{x.x(), x.y(), x.z()}, {n.x(), n.y(), n.z()}, across_mm, depth_mm, between_mm, reach_mm};
  out.seen = plane.see(patch.tables(), from, patch.partners.data(), static_cast<int>(patch.partners.size()),
                       out.weights.data(), room.data());
  return out;
}

/// The same, one after the other.
Look written_out(const Patch& patch, const Vec3& x, const Vec3& n) {
  Look out{{}, std::vector<double>(patch.partners.size())};
  Vec3 mean_normal = Vec3::Zero();
  const auto at = [&](std::size_t k) { return Vec3(patch.at[static_cast<std::size_t>(patch.partners[k])] - x); };
  const auto normal = [&](std::size_t k) { return patch.normal[static_cast<std::size_t>(patch.partners[k])]; };
  const auto point = [&](std::size_t k) { return patch.points[static_cast<std::size_t>(patch.partners[k])]; };
  for (std::size_t k = 0; k < out.weights.size(); ++k) {
    const double along = at(k).dot(n), u = (at(k) - along * n).squaredNorm() / (across_mm * across_mm);
    const double v = (along - between_mm) / depth_mm, facing = -normal(k).dot(n);
    if (u >= 1 || std::abs(v) >= 1 || facing <= 0) continue;
    out.weights[k] = std::pow(1 - u, 6) * std::pow(1 - v * v, 2) * facing * point(k).area_mm2;
    out.seen.area += out.weights[k];
    mean_normal += out.weights[k] * normal(k);
  }
  if (out.seen.area <= 0) return out;
  const Vec3 raw = mean_normal / out.seen.area - n, up = raw.normalized();
  out.seen.raw_length = raw.norm();
  Eigen::Map<Vec3>(out.seen.normal) = up;
  double nearest = std::numeric_limits<double>::max();
  Mat3 second = Mat3::Zero();
  Vec3 first = Vec3::Zero();
  const Mat3 flat = Mat3::Identity() - up * up.transpose();
  for (std::size_t k = 0; k < out.weights.size(); ++k) {
    if (out.weights[k] <= 0) continue;
    nearest = std::min(nearest, -up.dot(at(k)));
    const Vec3 t = flat * at(k);
    second += out.weights[k] * t * t.transpose();
    first += out.weights[k] * t;
  }
  out.seen.short_mm = nearest - between_mm - reach_mm;
  if (out.seen.short_mm > 0) return out;
  Vec3 b = -(second + up * up.transpose()).inverse() * first;
  if (b.norm() * across_mm > 0.9) b *= 0.9 / (b.norm() * across_mm);
  double total = 0;
  for (std::size_t k = 0; k < out.weights.size(); ++k)
    total += out.weights[k] *= std::max(0.05, 1 + b.dot(flat * at(k)));
  Vec3 mean = Vec3::Zero(), slope = Vec3::Zero();
  double thickness = 0, modulus = 0, bulge = 0;
  for (std::size_t k = 0; k < out.weights.size(); ++k) {
    const double w = out.weights[k] /= total;
    mean += w * at(k), thickness += w * point(k).thickness_mm, modulus += w * point(k).modulus_MPa;
    const Vec3 tilt = normal(k) / std::max(0.2, normal(k).dot(up)) - up;
    bulge -= 0.5 * w * tilt.dot(at(k)), slope += w * tilt;
  }
  out.seen.short_mm = -up.dot(mean) - between_mm - reach_mm;
  Eigen::Map<Vec3>(out.seen.mean) = mean;
  out.seen.thickness_mm = thickness, out.seen.modulus_MPa = modulus, out.seen.bulge_mm = bulge - 0.5 * slope.dot(mean);
  return out;
}

}  // namespace

TEST_CASE("pair plane: as its formulas say, for each of many points and patches") {
  std::mt19937 random(11);
  std::uniform_real_distribution<double> u(-1, 1);
  int seen = 0, far = 0, none = 0;
  for (int k = 0; k < 400; ++k) {
    const Patch patch(random, 3 + k % 40);
    const Vec3 x(6 * u(random), 6 * u(random), 1.5 + 2.5 * u(random));
    const Vec3 n = Vec3(0.6 * u(random), 0.6 * u(random), -1).normalized();
    const Look is = look(plane_plain(), patch, x, n), shall = written_out(patch, x, n);
    REQUIRE(is.seen.area == Approx(shall.seen.area).epsilon(1e-12));
    if (!(is.seen.area > 0)) {
      ++none;
      continue;
    }
    const auto same = [](const double* a, const double* b) {
      return (Eigen::Map<const Vec3>(a) - Eigen::Map<const Vec3>(b)).norm() < 1e-7;
    };
    REQUIRE(same(is.seen.normal, shall.seen.normal));
    REQUIRE(is.seen.raw_length == Approx(shall.seen.raw_length).epsilon(1e-12));
    REQUIRE(is.seen.short_mm == Approx(shall.seen.short_mm).margin(1e-7));
    if (is.seen.short_mm > 0) {
      ++far;
      continue;
    }
    ++seen;
    REQUIRE(same(is.seen.mean, shall.seen.mean));
    REQUIRE(is.seen.thickness_mm == Approx(shall.seen.thickness_mm).epsilon(1e-7));
    REQUIRE(is.seen.modulus_MPa == Approx(shall.seen.modulus_MPa).epsilon(1e-7));
    REQUIRE(is.seen.bulge_mm == Approx(shall.seen.bulge_mm).margin(1e-7));
    double sum = 0;
    for (std::size_t j = 0; j < is.weights.size(); ++j) {
      REQUIRE(is.weights[j] == Approx(shall.weights[j]).margin(1e-7));
      sum += is.weights[j];
    }
    REQUIRE(sum == Approx(1).epsilon(1e-12));
  }
  CHECK(seen > 100);
  CHECK(far > 20);
  CHECK(none > 20);
}

TEST_CASE("pair plane: what hangs on the links sums up to the point of the patch") {
  std::mt19937 random(12);
  const Patch patch(random, 30);
  std::vector<double> weights(patch.partners.size(), 1.0 / static_cast<double>(patch.partners.size()));
  weights[3] = 0;
  std::vector<double> skin(16, 0.5), normals(16, 0.25);
  plane_plain().hang(patch.tables(), patch.partners.data(), weights.data(), static_cast<int>(weights.size()),
                     {skin.data(), normals.data()});
  std::vector<double> shall(16, 0.5), shall_normals(16, 0.25);
  for (std::size_t k = 0; k < weights.size(); ++k) {
    const PlanePoint& point = patch.points[static_cast<std::size_t>(patch.partners[k])];
    for (int l = 0; l < point.count; ++l)
      for (int c = 0; c < 4; ++c) {
        const auto at = static_cast<std::size_t>(4 * point.places[l] + c);
        shall[at] += weights[k] * point.weights[l] * point.rest[c];
        shall_normals[at] += weights[k] * point.weights[l] * point.normal_rest[c];
      }
  }
  for (std::size_t k = 0; k < skin.size(); ++k) {
    CHECK(skin[k] == Approx(shall[k]).margin(1e-14));
    CHECK(normals[k] == Approx(shall_normals[k]).margin(1e-14));
  }
}

#ifdef __x86_64__
TEST_CASE("pair plane: the same bits with and without AVX2") {
  if (!__builtin_cpu_supports("avx2")) {
    WARN("skipped: this processor has no AVX2");
    return;
  }
  std::mt19937 random(13);
  std::uniform_real_distribution<double> u(-1, 1);
  for (int k = 0; k < 200; ++k) {
    const Patch patch(random, 3 + k % 40);
    const Vec3 x(4 * u(random), 4 * u(random), 1.5 + 2.5 * u(random));
    const Vec3 n = Vec3(0.6 * u(random), 0.6 * u(random), -1).normalized();
    const Look a = look(plane_plain(), patch, x, n), b = look(plane_avx2(), patch, x, n);
    REQUIRE(a.weights == b.weights);
    REQUIRE(a.seen.area == b.seen.area);
    if (!(a.seen.area > 0)) continue;
    REQUIRE(a.seen.short_mm == b.seen.short_mm);
    REQUIRE(std::equal(a.seen.normal, a.seen.normal + 3, b.seen.normal));
    if (a.seen.short_mm > 0) continue;
    REQUIRE(std::equal(a.seen.mean, a.seen.mean + 3, b.seen.mean));
    REQUIRE(a.seen.bulge_mm == b.seen.bulge_mm);
    REQUIRE(a.seen.thickness_mm == b.seen.thickness_mm);
    std::vector<double> held_a(16), held_b(16);
    const auto hang = [&](const PairPlane& plane, const Look& of, std::vector<double>& held) {
      plane.hang(patch.tables(), patch.partners.data(), of.weights.data(), static_cast<int>(of.weights.size()),
                 {held.data(), nullptr});
    };
    hang(plane_plain(), a, held_a);
    hang(plane_avx2(), b, held_b);
    REQUIRE(held_a == held_b);
  }
}
#endif
