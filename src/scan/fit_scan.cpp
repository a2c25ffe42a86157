// The way of a scan: sample, clean, find, align, judge, and only then a foot.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/scan/fit_scan.h"

#include <fmt/format.h>
#include <spdlog/spdlog.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <thread>

#include "apart.h"
#include "aplomb/foot/build.h"
#include "aplomb/foot/loading.h"
#include "aplomb/geometry/exact.h"
#include "clean.h"
#include "doubt.h"
#include "find_foot.h"
#include "follow.h"
#include "free_form.h"
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
/// Without weight, when that leaves so many SDs less of squared gaps than standing [C],
/// tests/scan/test_known_truth.cpp.
constexpr double unloaded_sds = 2;

/// Where the shape cannot follow, toes and edges may be taken for one another, which no covariance about one answer
/// knows of: SDs are so much wider [C], feet with lumps of tests/scan/test_known_truth.cpp (they ask for 1.4 to 1.9).
constexpr double beyond_linear = 1.5;

/// What was cut in two may have been anything: of a half more has to be shown, and closer [C], tests/scan/no_feet.cpp.
constexpr double half_seen_share = 0.5, half_misfit_mm = 1.4;

const char* const no_foot_remedy = "give a scan of one bare foot, cut above the ankle, or a card (.toml)";

double nearest_mm(const BothSides& both) {
  double least = std::numeric_limits<double>::max();
  for (const Candidate* one : {&both.right, &both.left})
    if (one->found) least = std::min(least, one->score_mm + 0.5 * one->unseen_mm);
  return least;
}

/// The foot of the points' middle on the floor, in mm.
Vec3 on_floor(const Floor& floor, const std::vector<Vec3>& points_mm, double mm_per_unit, bool mirror) {
  const Vec3 up = mirrored(floor.up, mirror);
  Vec3 middle = Vec3::Zero();
  for (const Vec3& p : points_mm) middle += p / static_cast<double>(points_mm.size());
  return middle - (up.dot(middle) - mm_per_unit * floor.height) * up;
}

/// Whether the gaps tell that no weight stood on it. Where the other load is d off, its squared gaps are d^2 more;
/// noise moves that difference by 2 d sd(gap) / sqrt(points), what the shape cannot follow by as much for each patch.
bool hangs(const Aligned& hanging, const Aligned& standing) {
  if (!hanging.evidence.sound || !standing.evidence.sound) return hanging.evidence.sound;
  const double less_mm2 = standing.cost - hanging.cost;
  if (less_mm2 <= 0) return false;
  const GapSpread spread = spread_of(hanging.evidence.matches, hanging.cloud);
  const auto points = static_cast<double>(hanging.evidence.matches.size());
  const double sd_mm =
      std::sqrt((std::pow(spread.noise_mm, 2) + spread.points_per_patch * std::pow(spread.misfit_mm, 2)) / points);
  spdlog::info("scan: standing leaves {:.4f} mm2, no weight {:.4f}; {:.1f} SDs", standing.cost, hanging.cost,
               std::sqrt(less_mm2) / (2 * sd_mm));
  return std::sqrt(less_mm2) > unloaded_sds * 2 * sd_mm;
}

/// `part`: where both were looked for.
io::Result<Candidate> choose_side(const BothSides& both, const Cloud& part, const RawScan& scan,
                                  const ScanOptions& options) {
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
  Eigen::AlignedBox3d box;
  for (const Vec3& p : part.points) box.extend(p);
  const Vec3 size = box.sizes();
  return io::fail({.file = scan.file,
                   .message = fmt::format("is no foot: what hangs together in it fills {:.4g} x {:.4g} x {:.4g} of its "
                                          "own unit, and no foot's shape comes near it",
                                          size.x(), size.y(), size.z()),
                   .remedy = no_foot_remedy});
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

io::Result<ScanFit> stopped() {
  return io::fail({.kind = io::ErrorKind::cancelled, .message = "stopped", .remedy = "nothing was written"});
}

/// The foot in the first of the parts. `whole`: the scan with its floor, where it may still be a floor.
io::Result<ScanFit> fit_part(const RawScan& scan, const Cloud* whole, CleanScan cleaned, const foot::ShapeModel& model,
                             const foot::Prior& prior, const ScanOptions& options, const io::Progress& progress) {
  progress(0.15, "looking for the foot");
  BothSides both = find_foot(model, prior, cleaned.parts.front(), options);
  if (whole != nullptr && !cleaned.floor && cleaned.bare_share > maybe_floor) {
    CleanScan other = clean(*whole, options.seed, maybe_floor);
    if (!other.parts.empty() && other.floor) {
      const BothSides there = find_foot(model, prior, other.parts.front(), options);
      if (nearest_mm(there) < nearest_mm(both)) {
        both = there;
        cleaned = std::move(other);
      }
    }
  }
  const Cloud& part = cleaned.parts.front();
  spdlog::info("scan: right foot {:.2f} mm off, left {:.2f} mm; unseen {:.2f}, {:.2f}", both.right.score_mm,
               both.left.score_mm, both.right.unseen_mm, both.left.unseen_mm);
  auto chosen = choose_side(both, part, scan, options);
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
  std::optional<Ground> floor;
  if (cleaned.floor)
    floor = Ground{.up = mirrored(cleaned.floor->up, candidate.side == Side::left),
                   .middle = on_floor(*cleaned.floor, all.points, mm_per(used), candidate.side == Side::left)};
  Aligned best, hanging;
  const int shared = options.load ? options.threads : std::max(1, options.threads / 2);
  const auto follow = [&](Load load, Aligned& out) {
    out = followed_under(load, candidate, cloud, model, prior, {}, shared);
  };
  std::jthread other;
  if (!options.load && options.threads > 1)
    other = std::jthread([&] { follow(Load::none, hanging); });
  else if (!options.load)
    follow(Load::none, hanging);
  follow(options.load.value_or(Load::standing), best);
  if (other.joinable()) other.join();
  if (hangs(hanging, best)) best = std::move(hanging);
  settle(best, all, model, prior, {}, floor, options.threads);
  if (progress.cancelled()) return stopped();

  progress(0.8, "judging it");
  std::vector<Disagreement> disagreements;
  if (options.card && best.evidence.sound) {
    const KnownSizes told = agreeing(*options.card, best, model, disagreements);
    if (!told.number.empty()) {
      // One problem: the scan's points, the card's numbers and the prior.
      Candidate again = best.candidate;
      best = followed_under(best.load, again, cloud, model, prior, told, options.threads);
      settle(best, all, model, prior, told, floor, options.threads);
    }
  }
  if (!best.evidence.sound || best.cloud.points.empty())
    return io::fail({.file = scan.file,
                     .message = "is no foot: nothing in it could be followed by a foot's shape",
                     .remedy = no_foot_remedy});
  MovingSurface surface(model, best.load);
  surface.set(best.candidate.at.look);
  Closeness forth = scan_to_skin(surface, best.cloud, best.candidate.at);
  BackWay back = skin_to_scan(surface, best.cloud, best.candidate.at);
  spdlog::info("scan: mean {:.2f} mm, far {:.2f}, seen {:.2f}, prior cost {:.1f}, noise {:.2f}, misfit {:.2f}",
               forth.mean, forth.far_share, back.seen_share, best.evidence.prior_cost, best.spread.noise_mm,
               best.spread.misfit_mm);
  const double length = foot::template_length_mm * std::exp(best.candidate.at.look.shape[0]);
  if (const auto why = no_foot(forth, back, best.evidence, best.spread, length))
    return io::fail({.file = scan.file, .message = "is no foot: " + *why, .remedy = no_foot_remedy});
  if (!unit) return tl::unexpected(unit.error());
  if (!chosen) return tl::unexpected(chosen.error());

  if (progress.cancelled()) return stopped();
  progress(0.9, "making the foot");
  ScanFit fit;
  fit.found.sole = !best.closed && shows_sole(surface, back);
  fit.found.toes_fused = !shows_gaps_between_toes(model, back);
  fit.found.disagreements = std::move(disagreements);
  ShapeKnown known{best.candidate.at.look.shape, shape_covariance(best.evidence), best.load, {}};
  const auto grown = [&](const Eigen::VectorXd& offset_mm) {
    known.skin_offset_mm.assign(offset_mm.begin(), offset_mm.end());
    return foot_of_scan(model, prior, known, candidate.side, options.card ? &*options.card : nullptr,
                        fit.found.toes_fused);
  };
  Eigen::VectorXd offset_mm;
  if (best.misfits) {
    const double noise = point_noise(all.points, geometry::NearestPoints(all.points));
    FieldDoubt doubt;
    foot::Sizes sizes;
    const auto numbers_of = [&](const Eigen::Matrix3Xd& direction) {
      return slope_by_offset(model, best.candidate.at.look.shape, surface.straight(), surface.body(), direction, sizes);
    };
    offset_mm = free_form(surface, best.candidate.at.look, best.cloud, best.candidate.at.T_foot_scan, best.shown.edges,
                          noise, best.spread.misfit_mm, options.threads, numbers_of, &doubt);
    doubt.covariance *= std::pow(best.field_mm / best.spread.misfit_mm, 2);
    if (doubt.covariance.size() > 0)
      known.covariance =
          covariance_with_field(known.covariance, sizes, doubt, surface.outward_by_shape(), best.shown.sizes);
    known.covariance *= beyond_linear * beyond_linear;
    if (progress.cancelled()) return stopped();
  }
  fit.foot = grown(offset_mm);
  if (best.misfits && geometry::crosses_itself({fit.foot.skin.vertices_F, fit.foot.skin.faces})) {
    // Under its load it did not: the rest shape is another.
    untangle(
        [&](const Eigen::VectorXd& mm) {
          const foot::Foot foot = grown(mm);
          return geometry::TriMesh{foot.skin.vertices_F, foot.skin.faces};
        },
        offset_mm);
    fit.foot = grown(offset_mm);
    surface.set(best.candidate.at.look, offset_mm);
  }
  if (best.misfits) {
    forth = scan_to_skin(surface, best.cloud, best.candidate.at);
    back = skin_to_scan(surface, best.cloud, best.candidate.at);
  }

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
  found.points_used = best.cloud.points.size();
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
  fit.T_foot_scan = best.candidate.at.T_foot_scan;
  for (Eigen::Index j = 0; j < surface.body().joints.cols(); ++j) fit.joints_F.push_back(surface.body().joints.col(j));
  for (const Vec3& p : best.cloud.points) fit.points_F.push_back(best.candidate.at.T_foot_scan * p);
  fit.skin_F.faces = surface.faces();
  for (Eigen::Index v = 0; v < surface.vertices().cols(); ++v) fit.skin_F.vertices.push_back(surface.vertices().col(v));
  return fit;
}

}  // namespace

const char* const unit_names[4] = {"mm", "cm", "m", "inch"};

double mm_per(Unit unit) {
  constexpr double mm[] = {1, 10, 1000, 25.4};
  return mm[static_cast<int>(unit)];
}

io::Result<ScanFit> fit_scan(const RawScan& scan, const foot::ShapeModel& model, const foot::Prior& prior,
                             const ScanOptions& options, const io::Progress& progress) {
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
  if (progress.cancelled()) return stopped();

  auto fit = fit_part(scan, &whole, cleaned, model, prior, options, progress);
  if (fit || fit.error().kind != io::ErrorKind::bad_input) return fit;
  // Two feet close together hang together as points.
  auto two = apart(cleaned.parts.front());
  if (!two) return fit;
  progress(0.9, "telling two feet apart");
  const io::Progress quiet{.report = {}, .cancel = progress.cancel};  // else it would begin anew for each
  cleaned.parts.front() = std::move(two->first);
  cleaned.parts.insert(cleaned.parts.begin() + 1, std::move(two->second));
  for (int i = 0; i < 2; ++i) {
    auto again = fit_part(scan, nullptr, cleaned, model, prior, options, quiet);
    if (again ? again->found.seen_share > half_seen_share && again->found.misfit_mm < half_misfit_mm
              : again.error().kind == io::ErrorKind::cancelled)
      return again;
    std::swap(cleaned.parts[0], cleaned.parts[1]);
  }
  return fit;
}

}  // namespace aplomb::scan
