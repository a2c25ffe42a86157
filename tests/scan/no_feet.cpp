// Unions of balls, capsules, boxes and the like, sampled on their skin: bodies that are near a foot in size, some in
// form too (a hand, a boot's box, an L of pipes, a whole body).
// SPDX-License-Identifier: GPL-3.0-or-later
#include "no_feet.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <random>

namespace aplomb::scan::testing {

namespace {

using geometry::Vec3;
using Random = std::mt19937_64;

double uniform(Random& random) { return static_cast<double>(random() >> 11) * 0x1p-53; }
Vec3 in_cube(Random& random) { return 2 * Vec3(uniform(random), uniform(random), uniform(random)) - Vec3::Ones(); }

/// Distance to a solid, < 0 inside.
using Solid = std::function<double(const Vec3&)>;

Solid capsule(const Vec3& a, const Vec3& b, double ra, double rb) {
  return [=](const Vec3& x) {
    const double t = std::clamp((x - a).dot(b - a) / (b - a).squaredNorm(), 0.0, 1.0);
    return (x - a - t * (b - a)).norm() - (ra + t * (rb - ra));
  };
}
Solid box(const Vec3& middle, const Vec3& half) {
  return [=](const Vec3& x) {
    const Vec3 d = (x - middle).cwiseAbs() - half;
    return d.cwiseMax(0).norm() + std::min(0.0, d.maxCoeff());
  };
}
Solid ellipsoid(const Vec3& middle, const Vec3& half) {
  return [=](const Vec3& x) { return ((x - middle).cwiseQuotient(half).norm() - 1) * half.minCoeff(); };
}
Solid any_of(std::vector<Solid> parts) {
  return [parts = std::move(parts)](const Vec3& x) {
    double least = 1e9;
    for (const Solid& part : parts) least = std::min(least, part(x));
    return least;
  };
}

/// Points on the skin: drawn in a ball round it and walked along the slope of the distance.
RawScan sampled(const Solid& solid, double size, std::size_t count, std::uint64_t seed) {
  Random random(seed);
  RawScan scan;
  for (std::size_t tries = 0; scan.mesh.vertices.size() < count && tries < 60 * count; ++tries) {
    Vec3 x = size * in_cube(random);
    for (int step = 0; step < 30; ++step) {
      const double d = solid(x), h = 1e-3;
      Vec3 slope;
      for (int k = 0; k < 3; ++k) slope[k] = (solid(x + h * Vec3::Unit(k)) - solid(x - h * Vec3::Unit(k))) / (2 * h);
      if (!(slope.norm() > 0.05)) break;
      x -= d * slope / slope.squaredNorm();
    }
    if (std::abs(solid(x)) < 0.2) scan.mesh.vertices.push_back(x);
  }
  scan.points_in_file = scan.mesh.vertices.size();
  scan.file = "no_foot";
  return scan;
}

}  // namespace

std::vector<NoFoot> no_feet() {
  std::vector<NoFoot> out;
  const auto add = [&](const std::string& name, const Solid& solid, double size, std::size_t count = 4000) {
    out.push_back({name, sampled(solid, size, count, out.size() + 1)});
  };
  for (const double half : {40.0, 60.0, 120.0})
    add(fmt::format("cube {}", half), box(Vec3::Zero(), Vec3::Constant(half)), 1.5 * half);
  for (const double r : {50.0, 100.0})
    add(fmt::format("ball {}", r), ellipsoid(Vec3::Zero(), Vec3::Constant(r)), 1.5 * r);
  add("egg", ellipsoid(Vec3::Zero(), {120, 45, 40}), 150);
  add("flat egg", ellipsoid(Vec3::Zero(), {120, 50, 20}), 150);
  add("brick", box(Vec3::Zero(), {120, 55, 30}), 150);
  add("board", box(Vec3::Zero(), {130, 45, 5}), 150);
  add("bottle", any_of({capsule({0, 0, -100}, {0, 0, 40}, 40, 40), capsule({0, 0, 40}, {0, 0, 130}, 15, 14)}), 150);
  add("pipe", capsule({-120, 0, 0}, {120, 0, 0}, 35, 35), 170);
  add("cone", capsule({-120, 0, 0}, {120, 0, 0}, 50, 8), 170);
  add("bar bell",
      any_of({capsule({-90, 0, 0}, {90, 0, 0}, 12, 12), ellipsoid({-90, 0, 0}, {40, 40, 40}),
              ellipsoid({90, 0, 0}, {40, 40, 40})}),
      150);
  add(
      "ring", [](const Vec3& x) { return std::hypot(std::hypot(x.x(), x.y()) - 90, x.z()) - 28; }, 130);
  // L of boxes and of pipes, of a foot's proportions.
  for (int i = 0; i < 4; ++i) {
    const double w = 30 + 8 * i;
    add(fmt::format("boot box {}", i), any_of({box({120, 0, 30}, {120, w, 30}), box({40, 0, 80}, {40, w, 80})}), 260);
    add(fmt::format("pipes {}", i),
        any_of({capsule({30, 0, 30}, {220, 0, 30}, w * 0.8, w * 0.8),
                capsule({30, 0, 30}, {30, 0, 150}, w * 0.8, w * 0.8)}),
        260);
  }
  // Hands: a palm, four fingers, a thumb, an arm.
  for (int i = 0; i < 4; ++i) {
    std::vector<Solid> parts{box({0, 0, 0}, {45, 40, 12}), capsule({-45, 0, 0}, {-130, 0, 0}, 28, 34)};
    for (int f = 0; f < 4; ++f) {
      const double y = -30 + 20 * f, open = 0.15 * i * (f - 1.5);
      parts.push_back(capsule({45, y, 0}, {45 + 75 * std::cos(open), y + 75 * std::sin(open), -12.0 * i}, 10, 8));
    }
    parts.push_back(capsule({-15, 40, 0}, {40, 85, 5}, 13, 10));
    add(fmt::format("hand {}", i), any_of(parts), 180);
  }
  // A whole body, standing and lying about in other units.
  for (const double unit : {1.0, 0.1, 0.001}) {
    std::vector<Solid> parts{capsule({0, 0, 900}, {0, 0, 1400}, 150, 170), ellipsoid({0, 0, 1600}, {90, 80, 120})};
    for (const double side : {-1.0, 1.0}) {
      parts.push_back(capsule({0, 90 * side, 900}, {0, 100 * side, 80}, 80, 45));
      parts.push_back(capsule({0, 100 * side, 40}, {180, 110 * side, 30}, 40, 30));
      parts.push_back(capsule({0, 180 * side, 1400}, {0, 260 * side, 800}, 50, 35));
    }
    const Solid body = any_of(parts);
    NoFoot made{fmt::format("body, unit {}", unit), sampled(body, 1800, 20000, out.size() + 1)};
    for (Vec3& p : made.scan.mesh.vertices) p *= unit;
    out.push_back(std::move(made));
  }
  // Noise in a box, and blobs of random balls.
  for (int i = 0; i < 2; ++i) {
    Random random(900 + i);
    NoFoot noise{fmt::format("noise {}", i), {}};
    for (int k = 0; k < 5000; ++k) noise.scan.mesh.vertices.push_back(in_cube(random).cwiseProduct(Vec3(130, 50, 60)));
    noise.scan.points_in_file = 5000;
    noise.scan.file = "noise";
    out.push_back(std::move(noise));
  }
  for (int i = 0; out.size() < 50; ++i) {
    Random random(500 + i);
    std::vector<Solid> parts;
    for (int k = 0; k < 4 + i % 5; ++k) {
      const double r = 18 + 32 * uniform(random);
      parts.push_back(
          ellipsoid(in_cube(random).cwiseProduct(Vec3(90, 45, 45)), r * Vec3(1, 0.6 + 0.8 * uniform(random), 1)));
    }
    add(fmt::format("blob {}", i), any_of(parts), 150);
  }
  return out;
}

}  // namespace aplomb::scan::testing
