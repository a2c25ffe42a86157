// The sheet that shows how a scan lies over the fitted skin: what is near, what is far, what is not shown.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>
#include <filesystem>
#include <limits>

#include "../../src/report/residual_sheet.h"
#include "aplomb/report/foot_picture.h"
#include "drawing.h"
#include "extreme_feet.h"
#include "pixels.h"

namespace fs = std::filesystem;
using namespace aplomb;
using namespace aplomb::report;
using namespace aplomb::report::test;
using aplomb::scratch::Folder;
using geometry::Vec3;

namespace {

const fs::path shaders = fs::path(APLOMB_SOURCE_DIR) / "shaders";
const Vec3 instep(120, 0, 62), heel(2, 0, 30);

/// The template under a scan that stands 3 mm out over the instep, 3 mm in at the heel, and ends before the toes.
Residuals residuals() {
  Residuals out;
  const auto& skin = source_data::model().mean.skin;
  out.skin_F = {skin.vertices_F, skin.faces};
  const auto hill = [](const Vec3& p, const Vec3& at) { return std::exp(-(p - at).squaredNorm() / (15 * 15)); };
  for (const Vec3& p : skin.vertices_F)
    out.gap_mm.push_back(p.x() > 185 ? std::numeric_limits<double>::quiet_NaN()
                                     : 3 * hill(p, instep) - 3 * hill(p, heel));
  out.line = "a test";
  return out;
}

int cool(const Pixels& pixels, int x0, int y0, int x1, int y1) {
  int count = 0;
  for (int y = y0; y < y1; ++y)
    for (int x = x0; x < x1; ++x) count += pixels.at(x, y).b > pixels.at(x, y).r + 40 ? 1 : 0;
  return count;
}

int warm(const Pixels& pixels, int x0, int y0, int x1, int y1) {
  int count = 0;
  for (int y = y0; y < y1; ++y)
    for (int x = x0; x < x1; ++x) count += pixels.at(x, y).r > pixels.at(x, y).b + 50 ? 1 : 0;
  return count;
}

/// Leaps between light and dark along the rows: what hatching has and smooth skin has not.
int leaps(const Pixels& pixels, int x0, int y0, int x1, int y1) {
  int count = 0;
  for (int y = y0; y < y1; ++y)
    for (int x = x0; x + 3 < x1; ++x) count += pixels.at(x, y).distance(pixels.at(x + 3, y)) > 150 ? 1 : 0;
  return count;
}

}  // namespace

TEST_CASE("The greatest patches are found with their sign, the end of the bar follows the gaps",
          "[report][residuals]") {
  const std::vector<Patch> patches = greatest_patches(residuals(), 1);
  REQUIRE(patches.size() == 2);
  for (const Patch& patch : patches) {
    const bool out = patch.gap_mm > 0;
    CHECK((patch.at_F - (out ? instep : heel)).norm() < 12);
    CHECK(std::abs(patch.gap_mm) > 1.5);
    CHECK(std::abs(patch.gap_mm) < 3);
    CHECK((out ? patch.normal_F.z() > 0.5 : patch.normal_F.x() < -0.5));
  }
  CHECK(patches[0].gap_mm * patches[1].gap_mm < 0);
  std::vector<double> gaps(100, 0.1);
  CHECK(residual_scale_end_mm(gaps) == 0.5);
  for (int i = 0; i < 10; ++i) gaps[10 * i] = i % 2 == 0 ? 1.7 : -1.7;
  CHECK(residual_scale_end_mm(gaps) == 2);
  gaps.assign(5, std::numeric_limits<double>::quiet_NaN());
  CHECK(residual_scale_end_mm(gaps) == 0.5);
}

TEST_CASE("The second sheet of a scan: inside and outside told apart, hatched where nothing is shown",
          "[report][residuals]") {
  if (!graphics()) return;
  const foot::Foot foot = fitted("side = \"right\"\nfoot_length_mm = 238\nfoot_breadth_mm = 89\n");
  FootSheet sheet{.portrait = foot::make_portrait(source_data::model(), foot),
                  .numbers = foot_sections(foot, {}),
                  .notes = {},
                  .name = "scan.ply",
                  .version = "0.1.0",
                  .residuals = residuals()};
  const Folder folder;
  REQUIRE(write_foot_picture(sheet, folder.path / "f.png", shaders));
  const Pixels pixels = read_png(folder.path / "f.png");
  CHECK(pixels.width == 2000);
  REQUIRE(pixels.height == 2 * 1414);
  // Panels as laid out in residual_sheet.cpp: above, below, front; inner side, outer side, behind.
  constexpr int y = 1414 + 126, low = y + 490;
  CHECK(cool(pixels, 40, y + 40, 770, y + 470) > 500);
  CHECK(warm(pixels, 1540, low + 40, 1960, low + 540) > 500);
  CHECK(cool(pixels, 790, y + 40, 1520, y + 470) < 50);  // nothing stands out under the sole
  // Toes lie on the left of a right foot seen from above, the hatching with them.
  CHECK(leaps(pixels, 60, y + 60, 300, y + 450) > 10 * leaps(pixels, 320, y + 60, 520, y + 450));
  sheet.residuals.reset();
  REQUIRE(write_foot_picture(sheet, folder.path / "f.png", shaders));
  CHECK(read_png(folder.path / "f.png").height == 1414);
}
