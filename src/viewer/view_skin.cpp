// The skin with what its colours show; prepared once for a frame, and kept.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>

#include "aplomb/report/colour.h"
#include "view_area.h"

namespace aplomb::viewer {

namespace {

/// Ends of the scales that do not follow from the peak, mm.
constexpr double gap_scale_mm = 6, crowding_scale_mm = 4;

}  // namespace

std::shared_ptr<const report::PreparedScene> ViewArea::skin_of(const SeatView& seat,
                                                               const std::shared_ptr<const Frame>& frame,
                                                               const Look& seen, int index, double& scale_end) {
  const SkinLook look = seen.skin;
  if (look == SkinLook::gap) scale_end = gap_scale_mm;
  if (look == SkinLook::crowding) scale_end = crowding_scale_mm;
  if (look == SkinLook::pressure) return frame->prepared;
  const std::shared_ptr<const Frame> reference =
      look == SkinLook::difference ? frame_of(seat.reference, seen.step) : nullptr;
  const findings::Scene& scene = frame->scene;
  SkinCache& cache = skins_[static_cast<std::size_t>(index)];
  if (cache.frame != frame || cache.skin != look || cache.reference != reference) {
    std::vector<double> values = look == SkinLook::gap ? scene.gap_mm : scene.crowding_mm;
    // Skin with no box near has no colour. Far beyond it there, or on the way to the first skin in the box every colour
    // of the scale would make a seam.
    if (look == SkinLook::gap)
      for (double& value : values)
        if (value >= findings::beyond_gap_mm) value = 1e4;
    if (look == SkinLook::difference) {
      values.assign(scene.skin.vertices.size(), 0.0);
      double largest = 0;
      for (std::size_t v = 0; reference && v < values.size(); ++v) {
        values[v] = scene.pressure_kPa[v] - reference->scene.pressure_kPa[v];
        largest = std::max(largest, std::abs(values[v]));
      }
      cache.scale_end = report::pressure_scale_end_kPa(largest);
    }
    auto made = report::PreparedScene::make(scene, values);
    cache.frame = frame, cache.skin = look, cache.reference = reference;
    cache.prepared = made ? std::make_shared<const report::PreparedScene>(std::move(*made)) : nullptr;
  }
  if (look == SkinLook::difference) scale_end = cache.scale_end;
  return cache.prepared;
}

}  // namespace aplomb::viewer
