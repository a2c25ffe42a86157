// The way of a scan: sample, clean, find, align, judge, and only then a foot.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/scan/fit_scan.h"

#include <fmt/format.h>
#include <spdlog/spdlog.h>

#include <algorithm>
#include <cmath>

#include "align.h"
#include "aplomb/foot/build.h"
#include "aplomb/foot/loading.h"
#include "clean.h"
#include "find_foot.h"
#include "scan_numbers.h"
#include "verdict.h"

namespace aplomb::scan {

namespace {

using foot::Load;
using foot::Side;

constexpr std::size_t sampled = 60000, fitted = 8000;
/// Neighbours in the plane that gives a point its direction.
constexpr int normal_neighbours = 16;
/// The side is told when its foot lies closer than this share of the other side's.
constexpr double side_told = 0.8;
/// Without weight, when that leaves this share of the squared gaps that standing leaves [C].
constexpr double unloaded_told = 0.8;
/// What a point is worth beside its neighbours: their errors are partly one [C], tests/scan/test_known_truth.cpp.
constexpr double own_share = 0.6;
constexpr double least_noise_mm = 0.05;
/// A foot of the shape model itself leaves less than this when fitted, or than this share of its noise [C].
constexpr double plain_misfit_mm = 0.4, plain_misfit_noises = 0.6;
/// Numbers of a card that lie farther from the scan than this many SDs are shown, not used.
constexpr double disagree_sds = 3;

const char* const no_foot_remedy = "give a scan of one bare foot, cut above the ankle, or a card (.toml)";

/// A scan that was found to be about this side's foot, aligned.
struct Aligned {
  Candidate candidate;
  Load load = Load::standing;
  Cloud cloud;  // mm, a right foot's
  AlignEvidence evidence;
  GapSpread spread;
  KnownSizes shown;  // of the scan itself
  double cost = 0;
};

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

/// `cloud` is fitted to; `all` holds every point of the part, to find its outermost ones.
Aligned aligned_under(Load load, const Candidate& from, const Cloud& cloud, const Cloud& all,
                      const foot::ShapeModel& model, const foot::Prior& prior, const KnownSizes& card) {
  Aligned out{.candidate = from, .load = load, .cloud = cloud, .evidence = {}, .spread = {}, .shown = {}};
  MovingSurface surface(model, load);
  const std::vector<AlignStage> stages = {
      {.steps = 6, .reach_from_mm = 6, .reach_to_mm = 3, .noise_mm = 1, .effective_points = 2000},
      {.steps = 6, .reach_from_mm = 3, .reach_to_mm = 2, .noise_mm = 0.5, .effective_points = 8000}};
  out.evidence = align(surface, model, prior, load, cloud, card, stages, out.candidate.at);
  if (!out.evidence.sound) return out;
  // Once more as noisy as it is, which the covariance then tells.
  out.spread = spread_of(out.evidence.matches, cloud);
  const double noise = std::hypot(std::max(least_noise_mm, out.spread.noise_mm) / std::sqrt(own_share),
                                  std::sqrt(out.spread.points_per_patch) * out.spread.misfit_mm);
  const double reach = std::max(1.0, 3 * out.evidence.spread_mm);
  // What the shape cannot follow must not cost length and breadth, which the scan shows plainly.
  const bool misfits = out.spread.misfit_mm > std::max(plain_misfit_mm, plain_misfit_noises * out.spread.noise_mm);
  // The way back is for a foot that the shape cannot follow, where skin may stand out past the scan unseen.
  if (misfits)
    align(surface, model, prior, load, cloud, card,
          {{.steps = 8,
            .reach_from_mm = 8,
            .reach_to_mm = 3,
            .noise_mm = 1,
            .effective_points = 2000,
            .back_share = 0.5}},
          out.candidate.at);
  const auto settle = [&](int steps) {
    out.evidence = align(surface, model, prior, load, cloud, together(out.shown, card),
                         {{.steps = steps,
                           .reach_from_mm = reach,
                           .reach_to_mm = reach,
                           .noise_mm = noise,
                           .effective_points = static_cast<double>(cloud.points.size()),
                           .back_share = misfits ? 0.5 : 0}},
                         out.candidate.at);
  };
  for (int round = 0; misfits && round < 3; ++round) {
    out.shown = shown_sizes(model, surface, all, out.candidate.at.T_foot_scan);
    settle(4);
    if (!out.evidence.sound) return out;
  }
  if (!misfits) settle(3);
  for (const Match& match : out.evidence.matches) out.cost += std::min(match.gap_mm * match.gap_mm, 4.0);
  out.cost /= std::max<std::size_t>(1, out.evidence.matches.size());
  return out;
}

io::Result<Candidate> choose_side(const BothSides& both, const RawScan& scan, const ScanOptions& options) {
  if (options.side) {
    const Candidate& said = *options.side == Side::left ? both.left : both.right;
    if (said.found) return said;
  } else if (both.right.found && both.left.found) {
    const Candidate& better = both.left.score_mm < both.right.score_mm ? both.left : both.right;
    const Candidate& other = &better == &both.left ? both.right : both.left;
    if (better.score_mm > side_told * other.score_mm)
      return io::fail(
          {.kind = io::ErrorKind::decision_needed,
           .file = scan.file,
           .field = "--side",
           .message = fmt::format("cannot tell the side: a right foot lies {:.2f} mm off, a left one {:.2f} mm",
                                  both.right.score_mm, both.left.score_mm),
           .remedy = "give --side right or --side left"});
    return better;
  } else if (both.right.found || both.left.found) {
    return both.right.found ? both.right : both.left;
  }
  return io::fail({.file = scan.file, .message = "no foot was found in it", .remedy = no_foot_remedy});
}

Eigen::MatrixXd shape_covariance(const AlignEvidence& evidence) {
  const auto n = evidence.information.rows();
  const Eigen::MatrixXd all = evidence.information.ldlt().solve(Eigen::MatrixXd::Identity(n, n));
  const Eigen::MatrixXd shape = all.block(6, 6, int{foot::shape_count}, int{foot::shape_count});
  return (shape + shape.transpose()) / 2;
}

/// The card's dimensions as the scan's load makes them, those that go with the scan; the others are told.
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

io::Result<Unit> choose_unit(const Candidate& candidate, const RawScan& scan, const ScanOptions& options) {
  if (options.unit) return *options.unit;
  const double raw = candidate.length_mm / mm_per(candidate.unit);
  const std::vector<Unit> units = units_for(raw);
  if (units.size() == 1) return units.front();
  if (units.empty())
    return io::fail(
        {.file = scan.file,
         .message = fmt::format("a foot {:.4g} long has no length in mm, cm, m or inches that feet have", raw),
         .remedy = "give a scan of a foot of 120 to 330 mm"});
  return io::fail(
      {.kind = io::ErrorKind::decision_needed,
       .file = scan.file,
       .field = "--unit",
       .message = fmt::format("cannot tell the unit: the foot would be {:.0f} mm long in {}, {:.0f} mm in {}",
                              raw * mm_per(units[0]), unit_names[static_cast<int>(units[0])], raw * mm_per(units[1]),
                              unit_names[static_cast<int>(units[1])]),
       .remedy = fmt::format("give --unit {} or --unit {}", unit_names[static_cast<int>(units[0])],
                             unit_names[static_cast<int>(units[1])])});
}

}  // namespace

const char* const unit_names[4] = {"mm", "cm", "m", "inch"};

double mm_per(Unit unit) {
  constexpr double mm[] = {1, 10, 1000, 25.4};
  return mm[static_cast<int>(unit)];
}

io::Result<ScanFit> fit_scan(const RawScan& scan, const foot::ShapeModel& model, const foot::Prior& prior,
                             const ScanOptions& options, const io::Progress& progress) {
  const auto stopped = [&] {
    return io::fail({.kind = io::ErrorKind::cancelled, .message = "stopped", .remedy = "nothing was written"});
  };
  if (options.card)
    for (int number = foot::toe_bend; number < foot::breadth_relaxed; ++number)
      if (options.card->numbers[number])
        return tl::unexpected(foot::card_error(*options.card, number,
                                               "does not go with a scan, which shows the toes as they lie",
                                               "leave bend and lift out of the card beside a scan"));
  progress(0.05, "cleaning the scan");
  const Cloud whole = sample(scan.mesh, sampled, options.seed);
  CleanScan cleaned;
  if (whole.points.size() >= 200) cleaned = clean(whole, options.seed);
  if (cleaned.parts.empty())
    return io::fail({.file = scan.file, .message = "has no surface that could be a foot", .remedy = no_foot_remedy});
  const Cloud& part = cleaned.parts.front();
  if (progress.cancelled()) return stopped();

  progress(0.15, "looking for the foot");
  const BothSides both = find_foot(model, prior, part, options);
  spdlog::info("scan: right foot {:.2f} mm off, left {:.2f} mm; unseen {:.2f}, {:.2f}", both.right.score_mm,
               both.left.score_mm, both.right.unseen_mm, both.left.unseen_mm);
  auto chosen = choose_side(both, scan, options);
  if (progress.cancelled()) return stopped();

  progress(0.6, "following its shape");
  const bool asks_side = !chosen && chosen.error().kind == io::ErrorKind::decision_needed;
  if (!chosen && !asks_side) return tl::unexpected(chosen.error());
  // Before anything is asked about a foot it has to be one.
  const Candidate& likely = asks_side ? (both.left.score_mm < both.right.score_mm ? both.left : both.right) : *chosen;
  const geometry::NearestPoints tree(part.points);
  const Cloud even = with_plane_normals(part, tree, spread(part.points, fitted), normal_neighbours);
  const auto unit = choose_unit(likely, scan, options);
  Candidate candidate = likely;
  const Unit used = unit ? *unit : likely.unit;
  if (used != likely.unit) {
    const double ratio = mm_per(used) / mm_per(likely.unit);
    candidate.at.look.shape[0] += std::log(ratio);
    candidate.at.T_foot_scan.translation() *= ratio;
    candidate.unit = used;
  }
  Cloud cloud = in_mm(even, mm_per(used), candidate.side == Side::left);
  take_orientation(cloud, candidate.outward_share);
  Cloud all = in_mm(part, mm_per(used), candidate.side == Side::left);
  all.oriented = all.oriented && cloud.oriented;
  if (all.oriented && candidate.outward_share < 0.5)
    for (Vec3& n : all.normals) n = -n;
  Aligned best = aligned_under(options.load.value_or(Load::standing), candidate, cloud, all, model, prior, {});
  if (!options.load) {
    Aligned hanging = aligned_under(Load::none, candidate, cloud, all, model, prior, {});
    if (hanging.evidence.sound && (!best.evidence.sound || hanging.cost < unloaded_told * best.cost))
      best = std::move(hanging);
  }
  if (progress.cancelled()) return stopped();

  progress(0.8, "judging it");
  std::vector<Disagreement> disagreements;
  if (options.card && best.evidence.sound) {
    const KnownSizes told = agreeing(*options.card, best, model, disagreements);
    if (!told.number.empty()) {
      // One problem: the scan's points, the card's numbers and the prior.
      Candidate again = best.candidate;
      best = aligned_under(best.load, again, cloud, all, model, prior, told);
    }
  }
  MovingSurface surface(model, best.load);
  surface.set(best.candidate.at.look);
  const Closeness forth = scan_to_skin(surface, cloud, best.candidate.at);
  const BackWay back = skin_to_scan(surface, cloud, best.candidate.at);
  spdlog::info("scan: mean {:.2f} mm, far {:.2f}, seen {:.2f}, prior cost {:.1f}, noise {:.2f}, misfit {:.2f}",
               forth.mean, forth.far_share, back.seen_share, best.evidence.prior_cost, best.spread.noise_mm,
               best.spread.misfit_mm);
  const double length = foot::template_length_mm * std::exp(best.candidate.at.look.shape[0]);
  if (const auto why = no_foot(forth, back, best.evidence, best.spread.misfit_mm, length))
    return io::fail({.file = scan.file, .message = "is no foot: " + *why, .remedy = no_foot_remedy});
  if (!unit) return tl::unexpected(unit.error());
  if (!chosen) return tl::unexpected(chosen.error());

  progress(0.9, "making the foot");
  ScanFit fit;
  fit.found.sole = shows_sole(surface, back);
  fit.found.toes_fused = !shows_gaps_between_toes(model, back);
  fit.found.disagreements = std::move(disagreements);
  fit.foot = foot_of_scan(model, prior, {best.candidate.at.look.shape, shape_covariance(best.evidence), best.load},
                          candidate.side, options.card ? &*options.card : nullptr, fit.found.toes_fused);

  Found& found = fit.found;
  found.side = candidate.side;
  found.unit = used;
  found.load = best.load;
  found.side_said = options.side.has_value();
  found.unit_said = options.unit.has_value();
  found.load_said = options.load.has_value();
  found.side_score_right = both.right.score_mm;
  found.side_score_left = both.left.score_mm;
  found.floor = cleaned.floor.has_value();
  found.parts = static_cast<int>(cleaned.parts.size());
  found.cut_height_mm = back.cut_height_mm;
  const geometry::Mat3 R = best.candidate.at.T_foot_scan.linear().transpose();
  const bool left = candidate.side == Side::left;
  found.up = mirrored(R.col(2), left);
  found.forward = mirrored(R.col(0), left);
  found.points_in_file = scan.points_in_file;
  found.points_read = scan.mesh.faces.empty() ? scan.mesh.vertices.size() : scan.points_in_file;
  found.points_used = cloud.points.size();
  found.noise_mm = best.spread.noise_mm;
  found.misfit_mm = best.spread.misfit_mm;
  found.seen_share = back.seen_share;
  found.surface_mean_mm = forth.mean;
  found.surface_rms_mm = forth.rms;
  found.surface_95_mm = forth.p95;
  found.back_mean_mm = back.closeness.mean;
  found.back_rms_mm = back.closeness.rms;
  found.back_95_mm = back.closeness.p95;
  fit.gap_mm = back.gap_mm;
  for (Eigen::Index j = 0; j < surface.body().joints.cols(); ++j) fit.joints_F.push_back(surface.body().joints.col(j));
  for (const Vec3& p : cloud.points) fit.points_F.push_back(best.candidate.at.T_foot_scan * p);
  fit.skin_F.faces = surface.faces();
  for (Eigen::Index v = 0; v < surface.vertices().cols(); ++v) fit.skin_F.vertices.push_back(surface.vertices().col(v));
  return fit;
}

}  // namespace aplomb::scan
