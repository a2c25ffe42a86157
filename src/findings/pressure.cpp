// Where pressure lands: peaks over half a square centimetre, means and areas by region.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "aplomb/geometry/cells.h"
#include "parts.h"

namespace aplomb::findings {

namespace {

/// Peak = largest mean over a disc of 50 mm^2 of skin: the points near a centre, out to the distance at which the skin
/// gathered reaches that area, the last point counted in part.
class Disc {
 public:
  Disc(const std::vector<contact::SkinPoint>& points, const std::vector<double>& force)
      : points_(points), force_(force) {}

  static constexpr double usual_mm = 4.3;  ///< radius of most

  double carried_about(std::size_t centre, const geometry::PointCells& cells) {
    constexpr double far_mm = 12, wider = 1.55;
    const Vec3& at = points_[centre].position_rest;
    double radius = usual_mm;
    for (;; radius = std::min(far_mm, radius * wider)) {
      cells.within(at, radius, near_);
      double gathered = 0;
      std::size_t kept = 0;
      for (const geometry::Neighbour& neighbour : near_) {
        const contact::SkinPoint& point = points_[static_cast<std::size_t>(neighbour.index)];
        if (point.normal_rest.dot(points_[centre].normal_rest) <= 0) continue;  // the other side of a toe
        near_[kept++] = neighbour;
        gathered += point.area_mm2;
      }
      near_.resize(kept);
      if (gathered >= peak_area_mm2 || radius >= far_mm) break;
    }
    return nearest_first(radius);
  }

 private:
  /// Force on the nearest of near_ up to the area. Only among those about as far as its edge does the order matter.
  double nearest_first(double radius) {
    constexpr std::size_t rings = 16;  // of equal area
    std::array<double, rings> area{}, carried{};
    const auto ring_of = [&](const geometry::Neighbour& neighbour) {
      return std::min(rings - 1, static_cast<std::size_t>(neighbour.squared_distance / (radius * radius) * rings));
    };
    for (const geometry::Neighbour& neighbour : near_) {
      const auto j = static_cast<std::size_t>(neighbour.index);
      const std::size_t ring = ring_of(neighbour);
      area[ring] += points_[j].area_mm2;
      carried[ring] += force_[j];
    }
    double gathered = 0, sum = 0;
    std::size_t edge = 0;
    for (; edge < rings && gathered + area[edge] <= peak_area_mm2; ++edge) gathered += area[edge], sum += carried[edge];
    std::erase_if(near_, [&](const geometry::Neighbour& neighbour) { return ring_of(neighbour) != edge; });
    std::sort(near_.begin(), near_.end(), geometry::nearer);
    for (const geometry::Neighbour& neighbour : near_) {
      if (gathered >= peak_area_mm2) break;
      const auto j = static_cast<std::size_t>(neighbour.index);
      const double part = std::min(1.0, (peak_area_mm2 - gathered) / points_[j].area_mm2);
      gathered += part * points_[j].area_mm2;
      sum += part * force_[j];
    }
    return sum;
  }

  const std::vector<contact::SkinPoint>& points_;
  const std::vector<double>& force_;
  std::vector<geometry::Neighbour> near_;
};

}  // namespace

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
  std::vector<geometry::Vec3> places;
  places.reserve(n);
  for (const contact::SkinPoint& point : points) places.push_back(point.position_rest);
  const geometry::PointCells cells(places, Disc::usual_mm);
  Disc disc(points, force);
  std::array<double, static_cast<std::size_t>(foot::Region::count)> peak{};
  for (std::size_t i = 0; i < n; ++i) {
    if (force[i] <= 0) continue;
    const double carried = disc.carried_about(i, cells);
    const std::size_t region = static_cast<std::size_t>(stance.foot->contact_points[i].region);
    const double mean_kPa = carried / peak_area_mm2 * kPa_per_MPa;
    peak[region] = std::max(peak[region], mean_kPa);
    if (at_vamp_edge(rest, static_cast<int>(i))) out.vamp_edge_kPa = std::max(out.vamp_edge_kPa.value_or(0), mean_kPa);
  }
  if (!out.vamp_edge_kPa) out.vamp_edge_kPa = 0;
  std::array<double, peak.size()> carried{}, touching{};
  for (std::size_t i = 0; i < n; ++i) {
    const auto r = static_cast<std::size_t>(stance.foot->contact_points[i].region);
    carried[r] += force[i], touching[r] += area[i];
  }
  double total_area = 0;
  for (std::size_t r = 0; r < peak.size(); ++r) {
    RegionPressure region{foot::region_names[r], peak[r], 0, touching[r]};
    total_area += region.area_mm2;
    // A touch smaller than what peaks are taken over counts as that much. Several small spots, each in a disc of its
    // own with skin that carries nothing, are no higher than the highest of them.
    if (region.area_mm2 > 0)
      region.mean_kPa = std::min(peak[r], carried[r] / std::max(region.area_mm2, peak_area_mm2) * kPa_per_MPa);
    if (r < static_cast<std::size_t>(foot::toe_count)) out.toes[r].peak_kPa = peak[r];
    out.regions.push_back(region);
  }
  out.peak_kPa = *std::max_element(peak.begin(), peak.end());
  out.contact_area_mm2 = total_area;
}

}  // namespace aplomb::findings
