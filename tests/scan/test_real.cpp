// Real scans, where they are: each fitted foot against the scan itself, measured by code that shares nothing with the
// fit.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdlib>
#include <filesystem>

#include "../source_data.h"
#include "aplomb/geometry/exact.h"
#include "aplomb/scan/fit_scan.h"

using namespace aplomb;
using namespace aplomb::scan;

namespace {

std::filesystem::path scans() {
  const char* const named = std::getenv("APLOMB_SHARED");
  const auto folder = named != nullptr ? std::filesystem::path(named) : source_data::project().parent_path() / "shared";
  return folder / "data" / "scans";
}

struct Box {
  double length = 0, breadth = 0;
};

/// The rectangle of least breadth round the plan of the points below 60 mm, by trying every tenth of a degree.
Box plan_box_of(const std::vector<Vec3>& points) {
  Box best{0, 1e9};
  for (int step = 0; step < 1800; ++step) {
    const double a = geometry::pi * step / 1800, c = std::cos(a), s = std::sin(a);
    double u_min = 1e9, u_max = -1e9, v_min = 1e9, v_max = -1e9;
    for (const Vec3& p : points) {
      if (p.z() > 60) continue;
      const double u = c * p.x() + s * p.y(), v = -s * p.x() + c * p.y();
      u_min = std::min(u_min, u), u_max = std::max(u_max, u), v_min = std::min(v_min, v), v_max = std::max(v_max, v);
    }
    if (v_max - v_min < best.breadth) best = {u_max - u_min, v_max - v_min};
  }
  return best;
}

struct Ways {
  double mean = 0, rms = 0, p95 = 0;
};
Ways ways(const geometry::ExactDistance& ruler, const std::vector<Vec3>& points, double top) {
  std::vector<double> gaps;
  for (std::size_t i = 0; i < points.size(); i += 3)
    if (points[i].z() < top) gaps.push_back(ruler.distance(points[i]));
  Ways out;
  for (const double gap : gaps)
    out.mean += gap / static_cast<double>(gaps.size()), out.rms += gap * gap / static_cast<double>(gaps.size());
  out.rms = std::sqrt(out.rms);
  std::sort(gaps.begin(), gaps.end());
  out.p95 = gaps[gaps.size() * 95 / 100];
  return out;
}

}  // namespace

TEST_CASE("Real scans are followed and measure the same", "[scan][real]") {
  if (!std::filesystem::exists(scans())) {
    fmt::print("skipped: no scans in {}\n", scans().string());
    return;
  }
  struct Case {
    const char* file;
    Unit unit;
    double mean_mm;
    bool fused;
  };
  // How near a shape of 27 numbers comes to a foot that is not of its family; see tests/results.md.
  const auto [file, unit, mean_mm, fused] =
      GENERATE(Case{"real_left_foot.stl", Unit::m, 2.0, true}, Case{"artist_left_foot.obj", Unit::mm, 1.5, false});
  INFO(file);
  const RawScan scan = source_data::need(read_scan(scans() / file));
  const ScanFit fit = source_data::need(fit_scan(scan, source_data::model(), source_data::prior()));
  CHECK(fit.found.side == foot::Side::left);
  CHECK(fit.found.unit == unit);
  CHECK(fit.found.toes_fused == fused);
  // The file's own vertices in F: up and forward are found, the rest is rigid.
  const Vec3 x = fit.found.forward, z = fit.found.up, y = -z.cross(x);  // medial of a left foot
  std::vector<Vec3> points;
  for (const Vec3& p : scan.mesh.vertices) points.emplace_back(mm_per(unit) * Vec3(x.dot(p), y.dot(p), z.dot(p)));
  double floor = 1e9;
  for (const Vec3& p : points) floor = std::min(floor, p.z());
  for (Vec3& p : points) p.z() -= floor;
  const Box shown = plan_box_of(points);
  double x_min = 1e9, x_max = -1e9;
  for (const Vec3& p : points)
    if (p.z() < 60) x_min = std::min(x_min, p.x()), x_max = std::max(x_max, p.x());
  const double length = x_max - x_min;
  fmt::print(
      "result: {}: plan box {:.1f} x {:.1f} mm, in the scan {:.1f} x {:.1f}; length {:.1f} mm, in the scan {:.1f}\n",
      file, fit.foot.measurements.at("plan_box_length_mm").value, fit.foot.measurements.at("plan_box_breadth_mm").value,
      shown.length, shown.breadth, fit.foot.length_mm, length);
  CHECK(fit.foot.length_mm == Approx(length).margin(1));
  CHECK(fit.foot.measurements.at("plan_box_length_mm").value == Approx(shown.length).margin(2));
  CHECK(fit.foot.measurements.at("plan_box_breadth_mm").value == Approx(shown.breadth).margin(2));
  // CGAL is the ruler, scan to skin; what lies past the fitted skin's own end is no fault of it.
  const geometry::ExactDistance ruler(fit.skin_F);
  const Ways forth = ways(ruler, fit.points_F, std::min(fit.found.cut_height_mm - 5, 115.0));
  fmt::print(
      "result: {}: scan to skin (CGAL) mean {:.2f}, rms {:.2f}, 95 % {:.2f} mm; back mean {:.2f}, rms {:.2f}, 95 % "
      "{:.2f} mm\n",
      file, forth.mean, forth.rms, forth.p95, fit.found.back_mean_mm, fit.found.back_rms_mm, fit.found.back_95_mm);
  CHECK(forth.mean < mean_mm);
}
