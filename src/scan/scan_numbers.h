// The numbers of a foot that was fitted to a scan.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "aplomb/foot/build.h"
#include "aplomb/foot/prior.h"
#include "aplomb/foot/shape.h"
#include "aplomb/scan/fit_scan.h"

namespace aplomb::scan {

/// What is known of the shape of the foot as scanned.
struct ShapeKnown {
  foot::Shape shape = foot::Shape::Zero();  ///< under `load`
  Eigen::MatrixXd covariance;               ///< shape x shape
  foot::Load load = foot::Load::standing;
  std::vector<double> skin_offset_mm;  ///< beyond the shape; may be empty
};

/// The foot in its rest shape, with every dimension as it is under the scan's load, its SD, and the source "scan", or
/// "prior" where the scan tells little more than the prior does; what is no dimension as the card says, else as is
/// usual. Of fused toes breadths and lengths are the prior's.
foot::Foot foot_of_scan(const foot::ShapeModel& model, const foot::Prior& prior, const ShapeKnown& known,
                        foot::Side side, const foot::Card* card = nullptr, bool toes_fused = false);

}  // namespace aplomb::scan
