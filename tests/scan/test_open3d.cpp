// The fit against a library's way: Open3D's global registration (FPFH features, RANSAC) and point-to-plane ICP of the
// mean template. The library is helped: unit, side and foot length are told to it, floors and second feet left out.
// CGAL is the ruler for both.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "../source_data.h"
#include "by_open3d.h"

using namespace aplomb;
using namespace aplomb::scan;
using testing::by_open3d;
using testing::mean_distance;

TEST_CASE("The library's way finds a turned foot that has the template's shape", "[scan][open3d]") {
  // A fair opponent: where the mean template is the foot, it has nothing to lose.
  const testing::Recipe recipe{.seed = 1, .points = 20000};
  testing::Synthetic truth = testing::make_synthetic(recipe);
  truth.as_scanned = source_data::model().mean;
  truth.scan.mesh.vertices.clear();
  for (const Vec3& p : truth.as_scanned.skin.vertices_F) truth.scan.mesh.vertices.push_back(truth.T_scan_foot * p);
  std::vector<Vec3> placed = by_open3d(truth, recipe);
  for (Vec3& p : placed) p = truth.T_scan_foot.inverse() * p;
  CHECK(mean_distance(placed, truth) < 0.5);
}

TEST_CASE("Against registering the mean template with Open3D", "[.][long][scan_open3d]") {
  std::vector<double> theirs, ours;
  for (std::uint64_t seed = 2001; seed < 2031; ++seed) {
    testing::Recipe recipe = testing::drawn_recipe(seed);
    recipe.floor = recipe.second_foot = recipe.flipped = false;
    const testing::Synthetic truth = testing::make_synthetic(recipe);
    const bool left = recipe.side == foot::Side::left;
    theirs.push_back(mean_distance(testing::in_true_frame(by_open3d(truth, recipe), truth, left), truth));
    ScanOptions options;
    if (!recipe.sole) options.load = recipe.load;
    const auto fit = fit_scan(truth.scan, source_data::model(), source_data::prior(), options);
    ours.push_back(fit ? mean_distance(fit->skin_F.vertices, truth) : 99);
  }
  std::sort(theirs.begin(), theirs.end());
  std::sort(ours.begin(), ours.end());
  const auto row = [](const char* who, const std::vector<double>& d) {
    fmt::print(
        "result: {}: mean distance where seen (CGAL), {} scans: median {:.2f} mm, 90 % {:.2f} mm, greatest {:.2f} mm\n",
        who, d.size(), d[d.size() / 2], d[d.size() * 9 / 10], d.back());
  };
  row("fit with shape", ours);
  row("Open3D FPFH, RANSAC and ICP of the mean template, told unit, side and length", theirs);
  CHECK(ours[ours.size() / 2] < theirs[theirs.size() / 2]);
  CHECK(ours.back() < theirs.back());
}
