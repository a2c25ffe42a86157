// Lists everything that touches, with forces on the skin, for the findings.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/contact/friction.h"
#include "aplomb/contact/system.h"

namespace aplomb::contact {

std::vector<ContactState> System::contacts(const Eigen::VectorXd& q, FrictionMode mode) {
  find_touching(q);
  std::vector<ContactState> out;
  for (const WallView& view : touching()) {
    const SurfaceItem& item = *view.item;
    if (item.area == 0) continue;
    const geometry::SurfaceSample& s = view.at_rest;
    const SkinPoint& point = problem_.points[item.point];
    const Jet r = ramp(-view.gap_mm);
    const SeriesJet series = press(point, r.value);
    const Jet& w = series.jet;
    ContactState c;
    c.point = item.point;
    c.against = ContactState::Against::surface;
    c.surface = item.surface;
    c.zone = s.zone;
    c.gap_mm = view.gap_mm;
    c.pressure_MPa = w.first * r.first;
    c.area_mm2 = item.area * s.cover;
    c.compression_mm = series.first_compression_mm;
    c.position = skin_.position(item.point);
    c.normal = view.normal;
    c.normal_force_N = item.area * (s.cover * w.first * r.first * view.gradient - w.value * s.cover_gradient);
    if (mode != FrictionMode::none) {
      FrictionInput in = rubbing(item);
      in.normal = view.normal;
      in.pressure_MPa = w.first * r.first;
      const FrictionOutput t = friction_return(in);
      c.friction_force_N = item.area * s.cover * t.traction_MPa;
      c.slipping = t.slipping;
    }
    out.push_back(c);
  }
  if (problem_.rod) {
    const PosedRod rod = contact::pose(*problem_.rod, q);
    for (const RodItem& item : rod_items_) {
      const auto g =
          place(*problem_.rod, rod, skin_.position(item.point), ramp_half_width_mm + over_mm_[item.point], 30.0);
      if (!g || !item.in_reach || item.area == 0) continue;
      const double rod_gap = g->gap_mm - over_mm_[item.point];
      const Jet r = ramp(-rod_gap);
      const SeriesJet series = press(problem_.points[item.point], r.value);
      const Jet& w = series.jet;
      ContactState c;
      c.point = item.point;
      c.against = ContactState::Against::rod;
      c.gap_mm = rod_gap;
      c.pressure_MPa = w.first * r.first;
      c.area_mm2 = item.area;
      c.compression_mm = series.first_compression_mm;
      c.position = skin_.position(item.point);
      c.normal = Vec3(g->normal_xz.x(), 0, g->normal_xz.y());
      c.normal_force_N = item.area * c.pressure_MPa * c.normal;
      out.push_back(c);
    }
  }
  for (const PairView& pair : pair_views_)
    for (const PairItem& item : pair.items) {
      if (!item.in_reach) continue;
      const double gap = pair_gap(item);
      if (gap >= ramp_half_width_mm) continue;
      const Jet r = ramp(-gap);
      const SeriesJet series = press_pair(item, r.value);
      ContactState c;
      c.point = item.point;
      c.against = ContactState::Against::skin;
      c.gap_mm = gap;
      c.pressure_MPa = series.jet.first * r.first;
      c.area_mm2 = 2 * item.area;
      c.compression_mm = series.first_compression_mm;
      c.position = skin_.position(item.point);
      c.normal = item.normal;
      c.normal_force_N = item.area * c.pressure_MPa * item.normal;
      out.push_back(c);
    }
  return out;
}

}  // namespace aplomb::contact
