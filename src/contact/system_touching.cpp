// Which points touch a surface, found anew for each q and kept for as long as q stays.
//
// Most points stand clear most of the time. Each remembers from where on it could touch, and is not asked before.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/contact/system.h"

namespace aplomb::contact {

namespace {
constexpr double reach_mm = 1.0;  // how much further gaps are measured, so that far points can be skipped for a while
// A point that stands so far off wherever the surface may have given is not asked how far it has given there; one that
// a table tells to stand off by this is not looked at closer.
constexpr double far_mm = 3, soon_mm = 0.2;
}  // namespace

void System::find_touching(const Eigen::VectorXd& q) {
  skin_.pose(q);
  pose_give(q);
  if (q.size() == touching_at_.size() && q == touching_at_) return;
  touching_at_ = q;
  touching_count_ = 0;
  for (std::size_t k = 0; k < surface_items_.size(); ++k) {
    SurfaceItem& item = surface_items_[k];
    Clearance& clearance = clearances_[k];
    const double left_mm = clearance.until_mm - given_[static_cast<std::size_t>(item.surface)];
    const double way_mm2 = (skin_.position(item.point) - clearance.at).squaredNorm();
    if (left_mm > 0 && clearance.slope * clearance.slope * way_mm2 < left_mm * left_mm) continue;
    if (item.frozen != freezes_) {
      // It may come to touch within the step: project on the last normal known (none when far).
      const bool far = item.normal_cached == Vec3::Zero();
      const double toward = far ? 0 : -skin_.normal_now(item.point).dot(item.normal_cached);
      item.area = toward > 0 ? problem_.points[item.point].area_mm2 * toward : 0.0;
      item.pressure = 0;
      item.faces_away = false;
      item.frozen = freezes_;
    }
    if (touching_count_ == views_.size()) views_.emplace_back();
    WallView& view = views_[touching_count_];
    view.item = &item;
    if (!touches(item, clearance, view)) continue;
    view.skin_normal = skin_.normal_now(item.point);
    ++touching_count_;
  }
}

bool System::samples(SurfaceItem& item, double within_mm, geometry::SurfaceSample& sample) {
  const Vec3& x = skin_.position(item.point);
  if (item.known && x == item.x_cached) {  // refreshing, trying and stepping ask at the same place
    sample = samples_[static_cast<std::size_t>(item.sample)];
    return sample.gap_mm < within_mm;
  }
  constexpr double near_mm = 2;
  if (item.known && (x - item.x_cached).squaredNorm() < near_mm * near_mm)
    sample = samples_[static_cast<std::size_t>(item.sample)];  // a start for the search
  else
    sample.near = false;
  item.x_cached = x;
  if (!problem_.surfaces[item.surface].surface->sample(x, within_mm + reach_mm, sample)) {
    // Far away, and then for as long as it takes to come near; or past a free edge whose fade may start near, where
    // nothing is known that would allow looking away.
    item.gap_cached = sample.gap_mm;
    item.known = false;
    item.normal_cached.setZero();
    return false;
  }
  item.gap_cached = sample.gap_mm;
  item.normal_cached = sample.normal;
  item.known = true;
  if (item.sample < 0) {
    item.sample = static_cast<int>(samples_.size());
    samples_.emplace_back();
  }
  samples_[static_cast<std::size_t>(item.sample)] = sample;
  return sample.gap_mm < within_mm;
}

bool System::touches(SurfaceItem& item, Clearance& clearance, WallView& view) {
  const auto s = static_cast<std::size_t>(item.surface);
  const double over = over_mm_[static_cast<std::size_t>(item.point)];
  const Vec3& x = skin_.position(item.point);
  const std::optional<Give>& give = problem_.surfaces[s].give;
  const auto clear_until = [&](const Vec3& at, double slope, double mm) {
    clearance = {at, slope, mm + given_[s]};
    return false;
  };
  clearance.until_mm = -1e9;
  // Wherever the surface may have given.
  const double within = ramp_half_width_mm + over + give_bound_[s];
  const auto still_mm = [&] { return item.gap_cached - within; };
  if (still_mm() > (x - item.x_cached).norm()) return clear_until(item.x_cached, 1, still_mm());
  // Here it has given so much, and a little off by little more. Far off, where slopes say little, the bound says more.
  const auto stands_clear = [&](double by_mm, double anyway_mm) {
    if (!give) return clear_until(x, 1, by_mm);
    const double slope = 1 + give->shapes->steepest(give_amounts_[s], x, by_mm);
    return anyway_mm * slope > by_mm ? clear_until(x, 1, anyway_mm) : clear_until(x, slope, by_mm);
  };
  if (!item.known || x != item.x_cached) {
    // Most that bound() leaves in doubt has given so little here that the closest point need not be looked for.
    const double stands_mm = problem_.surfaces[s].surface->gap_at_least(x) - over - ramp_half_width_mm;
    const double anyway_mm = stands_mm - give_bound_[s];
    if (anyway_mm > far_mm) return clear_until(x, 1, anyway_mm);
    if (stands_mm > soon_mm) {
      const double clear = stands_mm + (give ? give->shapes->moved_mm(x, give_amounts_[s]) : 0);
      if (clear > soon_mm) return stands_clear(clear, anyway_mm);
    }
  }
  if (!samples(item, within, view.at_rest)) return still_mm() > 0 && clear_until(x, 1, still_mm());
  const geometry::SurfaceSample& rest = view.at_rest;
  view.give = nullptr;
  view.gap_mm = rest.gap_mm - over;
  view.gradient = view.normal = rest.normal;
  view.hessian = view.turn = rest.curvature;
  view.gradient_length = 1;
  const bool gives = give && give->shapes->sample(x, give_amounts_[s], view.shapes);
  if (gives) view.gap_mm += view.shapes.value.dot(give_amounts_[s]);
  if (view.gap_mm >= ramp_half_width_mm) return stands_clear(view.gap_mm - ramp_half_width_mm, rest.gap_mm - within);
  if (!gives) return true;
  view.give = &*give;
  view.gradient += view.shapes.gradient * give_amounts_[s];
  view.hessian += view.shapes.hessian;
  view.gradient_length = view.gradient.norm();
  view.normal = view.gradient / view.gradient_length;
  view.turn = (view.hessian - view.normal * (view.normal.transpose() * view.hessian)) / view.gradient_length;
  return true;
}

}  // namespace aplomb::contact
