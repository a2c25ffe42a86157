// Scans of feet that are known, spoiled in every way a scanner has: how near the fit comes to the truth.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <chrono>
#include <cmath>
#include <cstdlib>

#include "../source_data.h"
#include "aplomb/foot/build.h"
#include "aplomb/foot/measure.h"
#include "aplomb/geometry/exact.h"
#include "synthetic.h"

using namespace aplomb;
using namespace aplomb::scan;

namespace {

/// Everything that is asked of a run over many scans.
struct Tally {
  int scans = 0, refused = 0, asked = 0, wrong_side = 0, wrong_unit = 0, near = 0, joints_near = 0;
  std::size_t in_band = 0, banded = 0;
  std::vector<double> mean_mm, seconds, joint_mm;
};

/// The dimensions of a foot as scanned that any foot is measured by, and whether the fit's band holds them.
void count_bands(const testing::Synthetic& truth, const ScanFit& fit, Tally& tally) {
  const auto& model = source_data::model();
  // A scan's dimensions and their SDs are those under its load.
  const auto scanned =
      foot::measure(*model.sites, foot::body_of(foot::foot_under(model, foot::build_of(truth.truth), fit.found.load)));
  const auto fitted =
      foot::measure(*model.sites, foot::body_of(foot::foot_under(model, foot::build_of(fit.foot), fit.found.load)));
  for (int i = 0; i < foot::dimension_count; ++i) {
    const foot::Measurement& m = fit.foot.measurements.at(foot::number_table()[i].key);
    ++tally.banded;
    // 5 to 95 % of a Gaussian.
    if (std::abs(fitted[i].value - scanned[i].value) <= 1.645 * m.sd) ++tally.in_band;
  }
}

void run(std::uint64_t seed, Tally& tally, double lumps_mm = 0) {
  testing::Recipe recipe = testing::drawn_recipe(seed);
  recipe.lumps_mm = lumps_mm;
  const testing::Synthetic truth = testing::make_synthetic(recipe);
  // Without the sole nothing tells the load, nor beside lumps as large as what it changes: it is said.
  ScanOptions options;
  if (!recipe.sole || recipe.lumps_mm > 0) options.load = recipe.load;
  const auto start = std::chrono::steady_clock::now();
  const auto fit = fit_scan(truth.scan, source_data::model(), source_data::prior(), options);
  tally.seconds.push_back(std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count());
  ++tally.scans;
  if (!fit) {
    ++(fit.error().kind == io::ErrorKind::decision_needed ? tally.asked : tally.refused);
    fmt::print("seed {}: {}\n", seed, io::to_line(fit.error()));
    return;
  }
  const bool side_right = fit->found.side == recipe.side, unit_right = fit->found.unit == recipe.unit;
  if (!side_right) ++tally.wrong_side;
  if (!unit_right) ++tally.wrong_unit;
  if (!side_right || !unit_right) {
    fmt::print("seed {}: taken for {} in {}\n", seed, fit->found.side == foot::Side::left ? "left" : "right",
               unit_names[static_cast<int>(fit->found.unit)]);
    return;
  }
  // CGAL is the ruler: fitted skin at the places seen against the true surface.
  const geometry::ExactDistance ruler({truth.as_scanned.skin.vertices_F, truth.as_scanned.skin.faces});
  double sum = 0;
  std::size_t count = 0;
  for (std::size_t v = 0; v < truth.seen.size(); v += 4) {
    if (!truth.seen[v]) continue;
    sum += ruler.distance(fit->skin_F.vertices[v]);
    ++count;
  }
  const double mean = sum / static_cast<double>(std::max<std::size_t>(count, 1));
  double joint = 0;
  for (std::size_t j = 0; j < fit->joints_F.size(); ++j)
    joint = std::max(joint, (fit->joints_F[j] - truth.as_scanned.joints[j].centre_F).norm());
  tally.mean_mm.push_back(mean);
  tally.joint_mm.push_back(joint);
  const bool clean = recipe.noise_mm == 0 && recipe.missing == 0;
  if (mean <= (clean ? 0.5 : 1.0)) ++tally.near;
  if (joint <= 3) ++tally.joints_near;
  if (mean > (clean ? 0.5 : 1.0) || joint > 3)
    fmt::print("seed {}: {:.2f} mm off in the mean, joints {:.2f} mm\n", seed, mean, joint);
  count_bands(truth, *fit, tally);
}

double share(std::size_t part, std::size_t of) {
  return of > 0 ? static_cast<double>(part) / static_cast<double>(of) : 0;
}

void report(const Tally& tally) {
  std::vector<double> mean = tally.mean_mm, joint = tally.joint_mm, seconds = tally.seconds;
  for (auto* list : {&mean, &joint, &seconds}) std::sort(list->begin(), list->end());
  const auto at = [](const std::vector<double>& list, double q) {
    return list.empty() ? 0.0 : list[static_cast<std::size_t>(q * static_cast<double>(list.size() - 1))];
  };
  fmt::print("result: {} scans of random feet: {} refused, {} asked, {} of the wrong side, {} in the wrong unit\n",
             tally.scans, tally.refused, tally.asked, tally.wrong_side, tally.wrong_unit);
  fmt::print(
      "result: mean distance where seen (CGAL): median {:.3f} mm, 95 % {:.3f} mm, greatest {:.3f} mm; within the goal "
      "in "
      "{:.1f} %\n",
      at(mean, 0.5), at(mean, 0.95), at(mean, 1), 100 * share(tally.near, mean.size()));
  fmt::print(
      "result: worst joint centre of a foot: median {:.2f} mm, 95 % {:.2f} mm, greatest {:.2f} mm; within 3 mm in "
      "{:.1f} %\n",
      at(joint, 0.5), at(joint, 0.95), at(joint, 1), 100 * share(tally.joints_near, joint.size()));
  fmt::print("result: 5-95 % bands hold {:.1f} % of {} dimensions\n", 100 * share(tally.in_band, tally.banded),
             tally.banded);
  fmt::print("result: time of a fit: median {:.2f} s, greatest {:.2f} s\n", at(seconds, 0.5), at(seconds, 1));
}

void check(const Tally& tally) {
  const auto scans = static_cast<std::size_t>(tally.scans);
  CHECK(share(tally.near, tally.mean_mm.size()) >= 0.95);
  CHECK(share(static_cast<std::size_t>(tally.wrong_side), scans) <= 0.01);
  CHECK(share(static_cast<std::size_t>(tally.wrong_unit), scans) <= 0.01);
  CHECK(share(static_cast<std::size_t>(tally.refused), scans) <= 0.02);
  CHECK(share(static_cast<std::size_t>(tally.joints_near), tally.joint_mm.size()) >= 0.95);
}

}  // namespace

TEST_CASE("Known feet are found again in spoiled scans", "[scan]") {
  Tally tally;
  for (std::uint64_t seed = 1; seed <= 24; ++seed) run(seed, tally);
  report(tally);
  check(tally);
}

TEST_CASE("Five hundred known feet are found again in spoiled scans", "[.][long][scans]") {
  const char* const asked = std::getenv("APLOMB_SCANS");
  const std::uint64_t count = asked != nullptr ? std::strtoull(asked, nullptr, 10) : 500;
  Tally tally;
  for (std::uint64_t seed = 1001; seed < 1001 + count; ++seed) run(seed, tally);
  report(tally);
  check(tally);
  const double held = share(tally.in_band, tally.banded);
  CHECK(held >= 0.87);
  CHECK(held <= 0.93);
}

TEST_CASE("Bands hold where skin lies off every shape of the model", "[.][long][scan_lumps]") {
  Tally tally;
  for (std::uint64_t seed = 3001; seed <= 3040; ++seed) run(seed, tally, 1.2);
  report(tally);
  CHECK(tally.wrong_side == 0);
  CHECK(tally.wrong_unit == 0);
  CHECK(tally.refused <= 4);  // a part of a foot that is followed only roughly is refused
  const double held = share(tally.in_band, tally.banded);
  CHECK(held >= 0.87);
  CHECK(held <= 0.93);
}
