// SPDX-License-Identifier: GPL-3.0-or-later
#include "find_foot.h"

#include <algorithm>
#include <cmath>
#include <thread>

namespace aplomb::scan {

namespace {

constexpr int tried_per_side = 3;
constexpr double shortest_mm = 120, longest_mm = 330;
/// A length read off a placement that the shape has not followed yet is off by as much.
constexpr double placement_slack = 1.15;
constexpr double far_mm = 10;

/// Robust mean distance both ways at an alignment.
void judge(const MovingSurface& surface, const Cloud& cloud, Candidate& candidate) {
  double sum = 0, high = -1e9;
  int count = 0;
  std::vector<Vec3> points_F;
  const auto matches = matches_of(surface, cloud, candidate.at.T_foot_scan, far_mm, 0.3);
  for (const Match& match : matches) {
    const Vec3 x = candidate.at.T_foot_scan * cloud.points[match.point];
    points_F.push_back(x);
    if (match.hit.face >= 0 && surface.at_rim(match.hit)) continue;
    sum += match.hit.face < 0 ? far_mm : std::min(far_mm, (x - match.hit.point).norm());
    ++count;
  }
  candidate.score_mm = count > 0 ? sum / count : 1e9;
  std::vector<double> heights;
  for (const Vec3& x : points_F) heights.push_back(x.z());
  std::nth_element(heights.begin(), heights.begin() + static_cast<std::ptrdiff_t>(heights.size() * 97 / 100),
                   heights.end());
  high = heights[heights.size() * 97 / 100];
  const geometry::NearestPoints tree(points_F);
  double back = 0;
  int asked = 0;
  for (Eigen::Index v = 0; v < surface.vertices().cols(); v += 7) {
    if (surface.vertices()(2, v) > high - 5) continue;
    const auto near = tree.nearest(surface.vertices().col(v), far_mm * far_mm);
    back += near.index < 0 ? far_mm : std::sqrt(near.squared_distance);
    ++asked;
  }
  candidate.unseen_mm = asked > 0 ? back / asked : 1e9;
}

/// Share of the points whose normals point outward at an alignment.
double outward_share(const MovingSurface& surface, const Cloud& cloud, const Alignment& at) {
  int out = 0, all = 0;
  for (const Match& match : matches_of(surface, cloud, at.T_foot_scan, 20, 0.5)) {
    if (match.hit.face < 0) continue;
    ++all;
    if ((at.T_foot_scan.linear() * cloud.normals[match.point]).dot(match.hit.normal) > 0) ++out;
  }
  return all > 0 ? static_cast<double>(out) / all : 0.5;
}

/// From a placement to a shape, with few points.
Candidate followed(const foot::ShapeModel& model, const foot::Prior& prior, const Cloud& cloud,
                   const Placement& placement, Unit unit) {
  Candidate candidate;
  candidate.side = placement.mirrored ? foot::Side::left : foot::Side::right;
  candidate.scale = placement.scale;
  candidate.unit = unit;
  const double size = mm_per(unit) / placement.scale;  // of this foot against the template
  candidate.at.T_foot_scan.linear() = placement.rotation;
  candidate.at.T_foot_scan.translation() = size * placement.translation;
  candidate.at.look.shape[0] = std::log(size);
  Cloud points = in_mm(cloud, mm_per(unit), placement.mirrored);
  points.oriented = false;
  MovingSurface surface(model, foot::Load::standing);
  const std::vector<AlignStage> stages = {
      {.steps = 4, .reach_from_mm = 20, .reach_to_mm = 12, .noise_mm = 4, .effective_points = 60, .shape = false},
      {.steps = 6, .reach_from_mm = 15, .reach_to_mm = 6, .noise_mm = 3, .effective_points = 200},
      {.steps = 5, .reach_from_mm = 6, .reach_to_mm = 4, .noise_mm = 1.5, .effective_points = 600}};
  align(surface, model, prior, foot::Load::standing, points, {}, {stages[0]}, candidate.at);
  if (cloud.oriented) {
    candidate.outward_share = outward_share(surface, points, candidate.at);
    points = in_mm(cloud, mm_per(unit), placement.mirrored);
    take_orientation(points, candidate.outward_share);
  }
  const AlignEvidence evidence =
      align(surface, model, prior, foot::Load::standing, points, {}, {stages[1], stages[2]}, candidate.at);
  if (!evidence.sound || evidence.matches.size() < 50) return candidate;
  judge(surface, points, candidate);
  candidate.prior_cost = evidence.prior_cost;
  candidate.length_mm = foot::sizes_of(model, surface.body(), candidate.at.look.shape, false).value[foot::foot_length];
  candidate.found = std::isfinite(candidate.score_mm);
  return candidate;
}

double total(const Candidate& candidate) { return candidate.score_mm + 0.5 * candidate.unseen_mm; }

}  // namespace

Cloud in_mm(const Cloud& raw, double mm_per_unit, bool mirror) {
  Cloud out = raw;
  for (Vec3& p : out.points) p = mirrored(mm_per_unit * p, mirror);
  for (Vec3& n : out.normals) n = mirrored(n, mirror);
  return out;
}

void take_orientation(Cloud& cloud, double outward_share) {
  constexpr double agreed = 0.85;  // of the points; noise and thin parts turn some
  cloud.oriented = cloud.oriented && (outward_share > agreed || outward_share < 1 - agreed);
  if (cloud.oriented && outward_share < 0.5)
    for (Vec3& n : cloud.normals) n = -n;
}

std::vector<Unit> units_for(double raw_length) {
  std::vector<Unit> units;
  for (const Unit unit : {Unit::mm, Unit::cm, Unit::m, Unit::inch}) {
    const double mm = raw_length * mm_per(unit);
    if (mm >= shortest_mm && mm <= longest_mm) units.push_back(unit);
  }
  return units;
}

BothSides find_foot(const foot::ShapeModel& model, const foot::Prior& prior, const Cloud& cloud,
                    const ScanOptions& options) {
  const geometry::NearestPoints tree(cloud.points);
  const Cloud few = with_plane_normals(cloud, tree, spread(cloud.points, 400), 16);
  const Cloud some = with_plane_normals(cloud, tree, spread(cloud.points, 1500), 16);
  BothSides best;
  const std::vector<Placement> placements = coarse_placements(model, few, tried_per_side, options.threads);
  const auto follow_side = [&](bool left, Candidate& out) {
    for (const Placement& placement : placements) {
      if (placement.mirrored != left) continue;
      const double raw_length = foot::template_length_mm / placement.scale;
      std::optional<Unit> unit = options.unit;
      if (!unit)
        for (const double slack : {1.0, placement_slack, 1 / placement_slack})
          if (const auto units = units_for(raw_length * slack); !unit && !units.empty()) unit = units.front();
      if (!unit) continue;
      const Candidate candidate = followed(model, prior, some, placement, *unit);
      if (candidate.found && (!out.found || total(candidate) < total(out))) out = candidate;
    }
  };
  if (options.threads > 1) {
    std::thread other([&] { follow_side(true, best.left); });
    follow_side(false, best.right);
    other.join();
  } else {
    follow_side(false, best.right);
    follow_side(true, best.left);
  }
  return best;
}

}  // namespace aplomb::scan
