// SPDX-License-Identifier: GPL-3.0-or-later
#include "follow.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "aplomb/foot/build.h"
#include "aplomb/foot/loading.h"
#include "ground.h"

namespace aplomb::scan {

namespace {

using foot::Load;

/// Of a point, what flat faces leave of round skin among it [C], tests/scan/test_known_truth.cpp.
constexpr double least_noise_mm = 0.01;
/// What the shape cannot follow hangs together over more than a patch: as Matern's field of free_form.cpp does over
/// 4 pi / kappa^2 = 980 mm2, against the 225 mm2 of a patch.
constexpr double patches_together = 4.4;
/// Nor is all of it left: a shape of 27 numbers takes up much of a field that has some 50 independent patches [C],
/// known feet with lumps of known size.
constexpr double absorbed = 1.35;
/// A foot of the shape model itself leaves less than this when fitted, or than this share of its noise [C].
constexpr double plain_misfit_mm = 0.4, plain_misfit_noises = 0.6;
/// Half the sum of squares of the dimensions against what is usual, beyond which a fit has gone astray: a foot in ten
/// thousand has 32.
constexpr double strained = 60;
/// Numbers of a card that lie farther from the scan than this many SDs are shown, not used.
constexpr double disagree_sds = 3;

KnownSizes together(const KnownSizes& a, const KnownSizes& b) {
  KnownSizes out = a;
  out.number.insert(out.number.end(), b.number.begin(), b.number.end());
  out.value.resize(a.value.size() + b.value.size());
  out.sd.resize(out.value.size());
  if (out.value.size() > 0) {
    out.value << a.value, b.value;
    out.sd << a.sd, b.sd;
  }
  return out;
}

}  // namespace

Aligned followed_under(Load load, const Candidate& from, const Cloud& cloud, const foot::ShapeModel& model,
                       const foot::Prior& prior, const KnownSizes& card, int threads) {
  Aligned out;
  out.candidate = from;
  out.load = load;
  out.cloud = without_lid(cloud, from.at.T_foot_scan);
  MovingSurface surface(model, load);
  std::vector<AlignStage> stages = {
      {.steps = 6, .reach_from_mm = 6, .reach_to_mm = 3, .noise_mm = 1, .effective_points = 2000},
      {.steps = 6, .reach_from_mm = 3, .reach_to_mm = 2, .noise_mm = 0.5, .effective_points = 8000}};
  for (AlignStage& stage : stages) stage.threads = threads;
  out.evidence = align(surface, model, prior, load, out.cloud, card, stages, out.candidate.at);
  if (!out.evidence.sound || out.evidence.prior_cost > strained) {
    // Toes that the scan shows as one piece let the skin slide on past them unseen.
    for (AlignStage& stage : stages) stage.back_share = 0.5;
    out.candidate = from;
    out.evidence = align(surface, model, prior, load, out.cloud, card, stages, out.candidate.at);
  }
  if (!out.evidence.sound) return out;
  // The loads are compared by how a foot follows the points, before anything else is asked of it.
  for (const Match& match : out.evidence.matches) out.cost += std::min(match.gap_mm * match.gap_mm, 4.0);
  out.cost /= std::max<std::size_t>(1, out.evidence.matches.size());
  return out;
}

void settle(Aligned& out, const Cloud& all, const foot::ShapeModel& model, const foot::Prior& prior,
            const KnownSizes& card, const std::optional<Ground>& floor, int threads) {
  if (!out.evidence.sound) return;
  const Load load = out.load;
  MovingSurface surface(model, load);
  surface.set(out.candidate.at.look);
  // Once more as noisy as it is, which the covariance then tells.
  out.spread = spread_of(out.evidence.matches, out.cloud);
  // What the shape cannot follow must not cost length and breadth, which the scan shows plainly.
  const bool misfits = out.spread.misfit_mm > std::max(plain_misfit_mm, plain_misfit_noises * out.spread.noise_mm);
  out.misfits = misfits;
  out.field_mm = absorbed * out.spread.misfit_mm;
  const double point_noise_mm = std::max(least_noise_mm, out.spread.noise_mm);
  const double noise = std::hypot(point_noise_mm, std::sqrt(out.spread.points_per_patch) * out.spread.misfit_mm);
  const double reach = std::max(1.0, 3 * out.evidence.spread_mm);
  // The way back is for a foot that the shape cannot follow, where skin may stand out past the scan unseen.
  if (misfits)
    align(surface, model, prior, load, out.cloud, card,
          {{.steps = 8,
            .reach_from_mm = 8,
            .reach_to_mm = 3,
            .noise_mm = 1,
            .effective_points = 2000,
            .back_share = 0.5,
            .threads = threads}},
          out.candidate.at);
  // Nor must it tilt the foot: a standing foot stands on the plane that it rests on.
  const double length = foot::template_length_mm * std::exp(out.candidate.at.look.shape[0]);
  if (misfits && load != Load::none) {
    out.ground = rest_plane(all, out.candidate.at.T_foot_scan, length);
    if (floor && near_floor(*floor, out.candidate.at.T_foot_scan)) out.ground = floor;
  }
  const auto walk = [&](int steps, double noise_mm) {
    out.evidence = align(surface, model, prior, load, out.cloud, together(out.shown.sizes, card),
                         {{.steps = steps,
                           .reach_from_mm = reach,
                           .reach_to_mm = reach,
                           .noise_mm = noise_mm,
                           .effective_points = static_cast<double>(out.cloud.points.size()),
                           .back_share = misfits ? 0.5 : 0,
                           .threads = threads}},
                         out.candidate.at, out.ground);
  };
  for (int round = 0; misfits && round < 3; ++round) {
    out.shown = shown_sizes(model, surface, all, out.candidate.at.T_foot_scan);
    walk(4, noise);
    if (!out.evidence.sound) return;
    if (round == 0 && out.ground && closed_by_ground(all, out.candidate.at.T_foot_scan, length)) {
      out.closed = true;
      out.cloud = without_ground(out.cloud, out.candidate.at.T_foot_scan, length);
    }
  }
  if (!misfits) {
    walk(3, noise);
    return;
  }
  // How sure the shape is, where what it cannot follow hangs together; where it lies is better told by the points.
  const Alignment found = out.candidate.at;
  const double prior_cost = out.evidence.prior_cost;
  walk(1, std::hypot(point_noise_mm, std::sqrt(patches_together * out.spread.points_per_patch) * out.field_mm));
  out.candidate.at = found;
  out.evidence.prior_cost = prior_cost;
}

Eigen::MatrixXd shape_covariance(const AlignEvidence& evidence) {
  const auto n = evidence.information.rows();
  const Eigen::MatrixXd all = evidence.information.ldlt().solve(Eigen::MatrixXd::Identity(n, n));
  const Eigen::MatrixXd shape = all.block(6, 6, int{foot::shape_count}, int{foot::shape_count});
  return (shape + shape.transpose()) / 2;
}

KnownSizes agreeing(const foot::Card& card, const Aligned& scan, const foot::ShapeModel& model,
                    std::vector<Disagreement>& disagreements) {
  const foot::Numbers as_scanned = foot::from_standing(foot::to_standing(card.numbers, card.load), scan.load);
  MovingSurface surface(model, scan.load);
  surface.set(scan.candidate.at.look);
  const foot::Sizes sizes = foot::sizes_of(model, surface.body(), scan.candidate.at.look.shape, true);
  const Eigen::VectorXd variance = (sizes.slope * shape_covariance(scan.evidence) * sizes.slope.transpose()).diagonal();
  std::array<double, foot::dimension_count> floor{};
  if (scan.load == Load::none) floor = foot::unloaded_floor_z(model, sizes.value[foot::foot_length]);
  KnownSizes known;
  std::vector<double> value, sd;
  for (int i = 0; i < foot::dimension_count; ++i) {
    if (!as_scanned[i]) continue;
    const double caliper = foot::number_table()[i].caliper_sd, found = sizes.value[i] - floor[i];
    const double sds = (*as_scanned[i] - found) / std::hypot(caliper, std::sqrt(variance[i]));
    if (std::abs(sds) > disagree_sds) {
      disagreements.push_back({foot::number_table()[i].key, *as_scanned[i], found, sds});
      continue;
    }
    known.number.push_back(i);
    value.push_back(*as_scanned[i] + floor[i]);
    sd.push_back(caliper);
  }
  known.value = Eigen::Map<Eigen::VectorXd>(value.data(), static_cast<Eigen::Index>(value.size()));
  known.sd = Eigen::Map<Eigen::VectorXd>(sd.data(), static_cast<Eigen::Index>(sd.size()));
  return known;
}

}  // namespace aplomb::scan
