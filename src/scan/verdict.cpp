// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>

namespace aplomb::scan {

namespace {

/// A foot that the template has followed leaves no more than these [C]: feet drawn, real and modelled by an artist on
/// the one side, things that are no feet on the other (tests/scan/test_no_foot.cpp).
constexpr double most_mean_mm = 2.4, most_far_share = 0.25, least_seen_share = 0.35;
/// Half the sum of squares of 26 dimensions against what is usual: a foot in ten thousand has 32; a foot whose skin the
/// fields can only nearly follow strains some of them more [C].
constexpr double most_prior_cost = 160;

Closeness closeness_of(std::vector<double> gaps, std::size_t far) {
  Closeness out;
  out.count = gaps.size() + far;
  out.far_share = out.count > 0 ? static_cast<double>(far) / static_cast<double>(out.count) : 1;
  if (gaps.empty()) return out;
  for (const double gap : gaps) out.mean += gap, out.rms += gap * gap;
  out.mean /= static_cast<double>(gaps.size());
  out.rms = std::sqrt(out.rms / static_cast<double>(gaps.size()));
  const auto at = gaps.begin() + static_cast<std::ptrdiff_t>(gaps.size() * 95 / 100);
  std::nth_element(gaps.begin(), at, gaps.end());
  out.p95 = *at;
  return out;
}

}  // namespace

Closeness scan_to_skin(const MovingSurface& surface, const Cloud& cloud, const Alignment& at) {
  std::vector<double> gaps;
  std::size_t far = 0;
  for (const Match& match : matches_of(surface, cloud, at.T_foot_scan, far_from_skin_mm, 0.2)) {
    if (match.hit.face < 0) {
      // Nothing in reach: past the rim of the leg it is no fault.
      const Hit any = surface.nearest(at.T_foot_scan * cloud.points[match.point],
                                      at.T_foot_scan.linear() * cloud.normals[match.point], false, 60, -2);
      if (any.face < 0 || !surface.at_rim(any)) ++far;
      continue;
    }
    if (surface.at_rim(match.hit)) continue;
    gaps.push_back((at.T_foot_scan * cloud.points[match.point] - match.hit.point).norm());
  }
  return closeness_of(std::move(gaps), far);
}

BackWay skin_to_scan(const MovingSurface& surface, const Cloud& cloud, const Alignment& at) {
  BackWay out;
  std::vector<Vec3> points_F;
  std::vector<double> heights;
  for (const Vec3& p : cloud.points) {
    points_F.push_back(at.T_foot_scan * p);
    heights.push_back(points_F.back().z());
  }
  const auto high = heights.begin() + static_cast<std::ptrdiff_t>(heights.size() * 98 / 100);
  std::nth_element(heights.begin(), high, heights.end());
  out.cut_height_mm = *high;
  const geometry::NearestPoints tree(points_F);
  const double reach = std::clamp(3.5 * typical_spacing(points_F, tree), 2.5, 8.0);
  const auto& x = surface.vertices();
  out.seen.assign(static_cast<std::size_t>(x.cols()), false);
  out.gap_mm.assign(static_cast<std::size_t>(x.cols()), std::numeric_limits<double>::quiet_NaN());
  std::vector<double> gaps;
  std::size_t asked = 0, seen = 0;
  std::vector<geometry::Neighbour> near;
  for (Eigen::Index v = 0; v < x.cols(); ++v) {
    if (x(2, v) > out.cut_height_mm) continue;
    ++asked;
    const Vec3 p = x.col(v), n = surface.normals().col(v);
    tree.nearest(p, 4, near);
    // The scan's surface near the vertex, as planes through its points.
    double sum = 0, weight = 0, least = std::numeric_limits<double>::max();
    for (const auto& neighbour : near) {
      const Vec3 normal = at.T_foot_scan.linear() * cloud.normals[neighbour.index];
      const double cosine = normal.dot(n);
      if ((cloud.oriented ? cosine : std::abs(cosine)) < 0.3) continue;
      const Vec3 d = points_F[neighbour.index] - p;
      const double along = normal.dot(d) / cosine, across = (d - along * n).norm();
      if (across > reach || std::abs(along) > far_from_skin_mm + reach) continue;
      const double w = 1 / (0.5 + across);
      sum += w * along;
      weight += w;
      least = std::min(least, d.norm());
    }
    if (weight <= 0) continue;
    ++seen;
    out.seen[v] = true;
    out.gap_mm[v] = sum / weight;
    gaps.push_back(std::abs(out.gap_mm[v]));
  }
  out.seen_share = asked > 0 ? static_cast<double>(seen) / static_cast<double>(asked) : 0;
  out.closeness = closeness_of(std::move(gaps), 0);
  return out;
}

GapSpread spread_of(const std::vector<Match>& matches, const Cloud& cloud) {
  // Patches as wide as what the shape cannot follow is long: an ankle bone, a pad, the arch.
  constexpr double patch_mm = 15, farthest_mm = 6;
  std::map<std::array<int, 3>, std::vector<double>> patches;
  for (const Match& match : matches) {
    if (std::abs(match.gap_mm) > farthest_mm) continue;
    std::array<int, 3> at;
    for (int k = 0; k < 3; ++k) at[k] = static_cast<int>(std::floor(cloud.points[match.point][k] / patch_mm));
    patches[at].push_back(match.gap_mm);
  }
  GapSpread out;
  std::vector<double> within;
  double between = 0, expected = 0;
  std::size_t counted = 0, points = 0;
  for (auto& [at, gaps] : patches) {
    if (gaps.size() < 4) continue;
    double mean = 0;
    for (const double gap : gaps) mean += gap;
    mean /= static_cast<double>(gaps.size());
    double squares = 0;
    for (const double gap : gaps) {
      squares += (gap - mean) * (gap - mean);
      within.push_back(std::abs(gap - mean));
    }
    between += mean * mean;
    expected += squares / static_cast<double>(gaps.size() - 1) / static_cast<double>(gaps.size());
    ++counted;
    points += gaps.size();
  }
  if (counted == 0) return out;
  std::nth_element(within.begin(), within.begin() + static_cast<std::ptrdiff_t>(within.size() / 2), within.end());
  out.noise_mm = 1.4826 * within[within.size() / 2];
  // Noise alone leaves the difference about zero, by this much either way.
  const double chance = 2 * expected * std::sqrt(2.0 / static_cast<double>(counted));
  const double beyond = (between - expected - chance) / static_cast<double>(counted);
  out.misfit_mm = std::sqrt(std::max(0.0, beyond));
  out.points_per_patch = static_cast<double>(points) / static_cast<double>(counted);
  return out;
}

std::optional<std::string> no_foot(const Closeness& forth, const BackWay& back, const AlignEvidence& evidence,
                                   double length_mm) {
  if (!evidence.sound) return "nothing in it could be followed by a foot's shape";
  if (forth.far_share > most_far_share)
    return fmt::format("{:.0f} % of it lies farther than {:.0f} mm from the nearest foot", 100 * forth.far_share,
                       far_from_skin_mm);
  const double noise = evidence.spread_mm;
  if (forth.mean > std::max(most_mean_mm, noise))
    return fmt::format("it lies {:.1f} mm off the nearest foot, in the mean", forth.mean);
  if (back.seen_share < least_seen_share) return fmt::format("it shows {:.0f} % of a foot", 100 * back.seen_share);
  if (evidence.prior_cost > most_prior_cost)
    return fmt::format("the nearest foot, {:.0f} mm long, has proportions that no foot has", length_mm);
  return std::nullopt;
}

}  // namespace aplomb::scan
