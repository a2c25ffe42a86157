// From a scan to a foot: found in the scan, laid over the template, fitted, checked that it is one.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "aplomb/foot/card.h"
#include "aplomb/foot/fit.h"
#include "aplomb/foot/foot.h"
#include "aplomb/foot/prior.h"
#include "aplomb/foot/shape.h"
#include "aplomb/io/error.h"
#include "aplomb/io/progress.h"
#include "aplomb/scan/raw_scan.h"

namespace aplomb::scan {

using geometry::Vec3;

enum class Unit { mm, cm, m, inch };
extern const char* const unit_names[4];
double mm_per(Unit unit);

struct ScanOptions {
  std::optional<foot::Side> side;  ///< said, not found
  std::optional<Unit> unit;
  std::optional<foot::Load> load;
  std::optional<foot::Card> card;  ///< of the same foot: its dimensions count with the scan's points, each by its doubt
  std::uint64_t seed = 1;          ///< of the points that are drawn from the scan
  int threads = 2;
};

/// A number of the card that the scan contradicts: not used, but told.
struct Disagreement {
  std::string key;
  double card = 0, scan = 0;  ///< under the load of the scan
  double sds = 0;             ///< (card - scan) in SDs of both together
};

/// What was found or said about a scan.
struct Found {
  foot::Side side = foot::Side::right;
  Unit unit = Unit::mm;
  foot::Load load = foot::Load::standing;
  bool side_said = false, unit_said = false, load_said = false;
  double side_score_right = 0, side_score_left = 0;  ///< mean distance of the best foot of either side, mm; 0 unknown
  bool floor = false;                                ///< a floor was in it and taken away
  int parts = 1;                                     ///< separate things in it, the largest or best kept
  bool sole = true;                                  ///< it shows the sole
  bool toes_fused = false;                           ///< it shows no gaps between the toes
  double cut_height_mm = 0;                          ///< of the leg over the floor
  Vec3 up = Vec3::UnitZ(), forward = Vec3::UnitX();  ///< in the file's frame, unit length
  std::size_t points_in_file = 0, points_read = 0, points_used = 0;   ///< in it; kept on reading; fitted to
  std::vector<Disagreement> disagreements;                            ///< beyond 3 SD
  double noise_mm = 0;                                                ///< SD of single points about the fitted skin
  double misfit_mm = 0;                                               ///< SD of what shape parameters cannot follow
  double seen_share = 0;                                              ///< of the skin below the cut
  double surface_mean_mm = 0, surface_rms_mm = 0, surface_95_mm = 0;  ///< scan to skin, over the points that are foot
  double back_mean_mm = 0, back_rms_mm = 0, back_95_mm = 0;           ///< skin to scan, over the skin that was seen
};

struct ScanFit {
  foot::Foot foot;  ///< rest shape as from a card; measurements have the source "scan" where it shows them
  Found found;
  /// For pictures: gap of the scan over the skin at each vertex, + scan outside; not a number where it shows nothing.
  std::vector<double> gap_mm;
  /// Scan in frame F of the foot as scanned, mm, and the fitted skin there.
  std::vector<Vec3> points_F;
  geometry::TriMesh skin_F;
  geometry::Isometry T_foot_scan = geometry::Isometry::Identity();  ///< from the scan in mm, y mirrored when left, to F
  std::vector<Vec3> joints_F;  ///< joint centres of the foot as scanned, in the order of foot.joints
};

/// Errors: bad_input when there is no foot in it, with what was found; decision_needed when side or unit cannot be told
/// (the remedy names the option), cancelled.
io::Result<ScanFit> fit_scan(const RawScan& scan, const foot::ShapeModel& model, const foot::Prior& prior,
                             const ScanOptions& options = {}, const io::Progress& progress = {});

}  // namespace aplomb::scan
