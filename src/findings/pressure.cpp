// Where pressure lands: peaks over half a square centimetre, means and areas by region.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>
#include <vector>

#include "aplomb/geometry/nearest.h"
#include "parts.h"

namespace aplomb::findings {

void find_pressure(const PosedFoot& rest, Findings& out) {
  constexpr double kPa_per_MPa = 1000.0;
  const stance::Stance& stance = *rest.stance;
  const auto& points = stance.problem->points;
  const std::size_t n = points.size();
  // Normal force on each point's skin, from shoe and neighbours alike.
  std::vector<double> force(n, 0.0), area(n, 0.0);
  for (const contact::ContactState& c : rest.state->contacts) {
    force[c.point] += c.pressure_MPa * c.area_mm2;
    area[c.point] = std::max(area[c.point], c.area_mm2);
  }
  // Peak = largest mean over a disc of 50 mm^2 of skin: the loaded points near a centre, out to the radius at which the
  // skin gathered reaches that area, the last point counted in part.
  std::vector<geometry::Vec3> places;
  places.reserve(n);
  for (const contact::SkinPoint& point : points) places.push_back(point.position_rest);
  const geometry::NearestPoints tree(places);
  std::vector<geometry::Neighbour> near;
  const auto carried_about = [&](std::size_t i) {
    constexpr double far_mm = 12;
    double gathered = 0, carried = 0;
    std::size_t next = 0;
    int count = 4 + static_cast<int>(1.5 * peak_area_mm2 / points[i].area_mm2);  // mostly enough
    for (; gathered < peak_area_mm2 && next < n; count *= 4) {
      tree.nearest(places[i], count, near);
      for (; next < near.size() && gathered < peak_area_mm2; ++next) {
        if (near[next].squared_distance >= far_mm * far_mm) return carried;
        const auto j = static_cast<std::size_t>(near[next].index);
        if (points[j].normal_rest.dot(points[i].normal_rest) <= 0) continue;  // the other side of a toe
        const double part = std::min(1.0, (peak_area_mm2 - gathered) / points[j].area_mm2);
        gathered += part * points[j].area_mm2;
        carried += part * force[j];
      }
    }
    return carried;
  };
  std::array<double, static_cast<std::size_t>(foot::Region::count)> peak{};
  for (std::size_t i = 0; i < n; ++i) {
    if (force[i] <= 0) continue;
    const double carried = carried_about(i);
    const std::size_t region = static_cast<std::size_t>(stance.foot->contact_points[i].region);
    const double mean_kPa = carried / peak_area_mm2 * kPa_per_MPa;
    peak[region] = std::max(peak[region], mean_kPa);
    if (at_vamp_edge(rest, static_cast<int>(i))) out.vamp_edge_kPa = std::max(out.vamp_edge_kPa.value_or(0), mean_kPa);
  }
  if (!out.vamp_edge_kPa) out.vamp_edge_kPa = 0;
  double total_area = 0;
  for (std::size_t r = 0; r < peak.size(); ++r) {
    RegionPressure region{foot::region_names[r], peak[r], 0, 0};
    double carried = 0;
    for (std::size_t i = 0; i < n; ++i)
      if (static_cast<std::size_t>(stance.foot->contact_points[i].region) == r)
        carried += force[i], region.area_mm2 += area[i];
    total_area += region.area_mm2;
    // A touch smaller than what peaks are taken over counts as that much, so that no mean stands above its peak.
    if (region.area_mm2 > 0) region.mean_kPa = carried / std::max(region.area_mm2, peak_area_mm2) * kPa_per_MPa;
    if (r < static_cast<std::size_t>(foot::toe_count)) out.toes[r].peak_kPa = peak[r];
    out.regions.push_back(region);
  }
  out.peak_kPa = *std::max_element(peak.begin(), peak.end());
  out.contact_area_mm2 = total_area;
}

}  // namespace aplomb::findings
