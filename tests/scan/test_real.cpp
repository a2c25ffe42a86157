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
#include "aplomb/foot/build.h"
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
Ways ways(const geometry::ExactDistance& ruler, const std::vector<Vec3>& points) {
  std::vector<double> gaps;
  for (std::size_t i = 0; i < points.size(); i += 3) gaps.push_back(ruler.distance(points[i]));
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
    bool fused;
  };
  const auto [file, unit, fused] =
      GENERATE(Case{"real_left_foot.stl", Unit::m, true}, Case{"artist_left_foot.obj", Unit::mm, false});
  INFO(file);
  const RawScan scan = source_data::need(read_scan(scans() / file));
  const ScanFit fit = source_data::need(fit_scan(scan, source_data::model(), source_data::prior()));
  CHECK(fit.found.side == foot::Side::left);
  CHECK(fit.found.unit == unit);
  CHECK(fit.found.toes_fused == fused);
  CHECK(fit.found.sole == !fused);  // the one is closed by the floor that it stood on
  // Both files have z up and stand on their lowest points: their plan needs nothing of the fit.
  std::vector<Vec3> points;
  double floor = 1e9, top = 0;
  for (const Vec3& p : scan.mesh.vertices)
    points.push_back(mm_per(unit) * p), floor = std::min(floor, points.back().z());
  for (Vec3& p : points) p.z() -= floor, top = std::max(top, p.z());
  // A sculpted sole rests on its own three points: a degree and a half from the upright that its maker drew.
  CHECK(fit.found.up.z() > std::cos((fused ? 0.5 : 2) * geometry::rad_per_deg));
  const Box shown = plan_box_of(points);
  const auto value = [&](const char* key) { return fit.foot.measurements.at(key).value; };
  // ISO length and breadth lie along the foot's own axis, which the fit says.
  const Vec3 x = Vec3(fit.found.forward.x(), fit.found.forward.y(), 0).normalized(), y = x.cross(Vec3::UnitZ());
  double x_min = 1e9, x_max = -1e9, y_min = 1e9, y_max = -1e9;
  for (const Vec3& p : points)
    if (p.z() < 60) {
      x_min = std::min(x_min, x.dot(p)), x_max = std::max(x_max, x.dot(p));
      y_min = std::min(y_min, y.dot(p)), y_max = std::max(y_max, y.dot(p));
    }
  fmt::print(
      "result: {}: plan box {:.1f} x {:.1f} mm, in the scan {:.1f} x {:.1f}; length {:.1f} mm, in the scan {:.1f}; "
      "breadth {:.1f} mm, in the scan {:.1f}\n",
      file, value("plan_box_length_mm"), value("plan_box_breadth_mm"), shown.length, shown.breadth, fit.foot.length_mm,
      x_max - x_min, value("foot_breadth_mm"), y_max - y_min);
  CHECK(value("plan_box_length_mm") == Approx(shown.length).margin(1));
  CHECK(value("plan_box_breadth_mm") == Approx(shown.breadth).margin(1));
  CHECK(fit.foot.length_mm == Approx(x_max - x_min).margin(1));
  CHECK(value("foot_breadth_mm") == Approx(y_max - y_min).margin(1));

  // CGAL is the ruler both ways. A lid on the leg and a floor under the arch are no foot, nor is skin that the scan
  // does not show asked about: walls between toes that it shows as one.
  std::vector<Vec3> forth;
  for (const Vec3& p : fit.points_F)
    if (p.z() < std::min(fit.found.cut_height_mm - 5, 115.0)) forth.push_back(p);
  const Ways there = ways(geometry::ExactDistance(fit.skin_F), forth);
  std::vector<Vec3> vertices = scan.mesh.vertices, back;
  for (Vec3& p : vertices) {
    p *= mm_per(unit);
    p.y() = -p.y();
    p = fit.T_foot_scan * p;
  }
  for (std::size_t v = 0; v < fit.skin_F.vertices.size(); ++v)
    if (std::isfinite(fit.gap_mm[v]) && fit.skin_F.vertices[v].z() < fit.found.cut_height_mm - 5)
      back.push_back(fit.skin_F.vertices[v]);
  const Ways here = ways(geometry::ExactDistance({vertices, scan.mesh.faces}), back);
  fmt::print(
      "result: {}: scan to skin (CGAL) mean {:.2f}, rms {:.2f}, 95 % {:.2f} mm; skin to scan mean {:.2f}, rms {:.2f}, "
      "95 % {:.2f} mm\n",
      file, there.mean, there.rms, there.p95, here.mean, here.rms, here.p95);
  CHECK(there.mean < 0.5);
  CHECK(there.p95 < 1);
  CHECK(here.mean < (fused ? 1.0 : 0.5));  // toes apart stand off a scan of toes in one piece
  // Both the foot as scanned and the rest shape are skins that a solid can have.
  CHECK(geometry::examine(fit.skin_F).self_intersections == 0);
  CHECK(geometry::examine({fit.foot.skin.vertices_F, fit.foot.skin.faces}).self_intersections == 0);
  // What lies beyond the shape bends its skin nowhere sharply: nails and creases move as they are.
  foot::Build plain = foot::build_of(fit.foot);
  REQUIRE(!plain.skin_offset_mm.empty());
  plain.skin_offset_mm.clear();
  const foot::Foot shape = foot::foot_under(source_data::model(), plain, foot::Load::none);
  int bent = 0;
  for (const auto& face : shape.skin.faces) {
    const auto normal = [&](const std::vector<Vec3>& at) {
      return (at[face[1]] - at[face[0]]).cross(at[face[2]] - at[face[0]]).normalized();
    };
    bent += normal(shape.skin.vertices_F).dot(normal(fit.foot.skin.vertices_F)) < 0.5 ? 1 : 0;
  }
  fmt::print("result: {}: {} of {} triangles turned by more than 60 degrees\n", file, bent, shape.skin.faces.size());
  CHECK(bent < (fused ? 150 : 100));  // of toes in one piece the model's are drawn out to the rim they share
}
