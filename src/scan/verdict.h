// Whether what was fitted is a foot at all, and of which side and unit.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "align.h"
#include "find_foot.h"

namespace aplomb::scan {

/// How a fit and a scan go together, both ways, mm.
struct Closeness {
  double mean = 0, rms = 0, p95 = 0;
  double far_share = 0;  ///< of the points asked: farther than far_mm, or looking another way
  std::size_t count = 0;
};
inline constexpr double far_from_skin_mm = 5;

/// Scan points to the skin; those past the rim of the leg are not asked.
Closeness scan_to_skin(const MovingSurface& surface, const Cloud& cloud, const Alignment& at);

/// Skin to the scan's surface, of the vertices that the scan shows, and which those are. A vertex is seen when a scan
/// point lies within what the scan's own spacing makes likely.
struct BackWay {
  Closeness closeness;
  std::vector<bool> seen;      ///< by vertex
  std::vector<double> gap_mm;  ///< by vertex: scan over skin along the normal; nan where not seen
  double seen_share = 0;       ///< of the vertices below the cut
  double cut_height_mm = 0;
};
BackWay skin_to_scan(const MovingSurface& surface, const Cloud& cloud, const Alignment& at);

/// SD of single points about the smooth surface through their neighbours; what a shape cannot follow is no noise.
double point_noise(const std::vector<Vec3>& points, const geometry::NearestPoints& tree);

/// Gaps at matches, split into what single points do and what patches of skin do together.
struct GapSpread {
  double noise_mm = 0;   ///< SD of a point about its patch, robust
  double misfit_mm = 0;  ///< SD of the patches' means beyond what the noise explains
  double points_per_patch = 1;
};
GapSpread spread_of(const std::vector<Match>& matches, const Cloud& cloud);

/// Length and breadth of the foot as the scan itself shows them, in F; absent where it does not show both ends. All
/// points are asked, so that the outermost is among them.
struct ShownSizes {
  KnownSizes sizes;
  std::vector<Edge> edges;  ///< two for each
};
ShownSizes shown_sizes(const foot::ShapeModel& model, const MovingSurface& surface, const Cloud& all,
                       const geometry::Isometry& T_foot_scan);

/// Whether the scan shows the sole, and the sides of the toes that face each other.
bool shows_sole(const MovingSurface& surface, const BackWay& back);
bool shows_gaps_between_toes(const foot::ShapeModel& model, const BackWay& back);

/// Why it is no foot, in words, or nothing.
std::optional<std::string> no_foot(const Closeness& forth, const BackWay& back, const AlignEvidence& evidence,
                                   const GapSpread& spread, double length_mm);

}  // namespace aplomb::scan
