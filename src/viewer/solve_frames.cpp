// From a stance to what is drawn of it: one state, or every one on its way up or down.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include "aplomb/findings/assess.h"
#include "aplomb/report/rows.h"
#include "solve_parts.h"

namespace aplomb::viewer {

namespace {

void add_frame(const stance::Stance& stance, std::string title, Solved& out) {
  Frame frame{findings::make_scene(stance), std::move(title), nullptr};
  auto prepared = report::PreparedScene::make(frame.scene);
  if (!prepared) {
    out.error = prepared.error();
    return;
  }
  frame.prepared = std::make_shared<const report::PreparedScene>(std::move(*prepared));
  // A few points where a bone is near would leave all the rest pale.
  std::vector<double> loaded;
  for (const double p : frame.scene.pressure_kPa)
    if (p > 1) loaded.push_back(p);
  if (!loaded.empty()) {
    const auto high = loaded.begin() + static_cast<std::ptrdiff_t>(0.98 * static_cast<double>(loaded.size() - 1));
    std::nth_element(loaded.begin(), high, loaded.end());
    out.scale_kPa = std::max(out.scale_kPa, *high);
  }
  out.frames.push_back(std::move(frame));
}

}  // namespace

/// While a number is dragged only the position itself is looked at.
void add_frames(const stance::Stance& stance, Solved& out) {
  if (!out.findings.converged) return;
  const std::vector<stance::Stance> up =
      out.care == Care::full ? stance::way_up(stance) : std::vector<stance::Stance>{};
  const std::vector<stance::Stance>& way = up.empty() ? stance.way_down : up;
  if (way.empty()) return add_frame(stance, "", out);
  out.heights = findings::find_heights(way);
  const report::Grid grid = report::heights_grid("", out.heights);
  for (std::size_t i = 0; i < way.size(); ++i) add_frame(way[i], "heel " + grid.rows[i][0], out);
}

std::size_t Solved::at(std::optional<int> step) const {
  const std::size_t last = frames.size() - 1;
  if (!step) return position == stance::Position::demi_pointe ? last : 0;
  return std::min(static_cast<std::size_t>(std::max(*step, 0)), last);
}

}  // namespace aplomb::viewer
