// Whether every toe lies in the box, and a start from which they all go in.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "setup.h"

namespace aplomb::stance {

/// Toes, 0 hallux to 4 little, that lie beyond the wall of the box as it stands: over its edge instead of in.
std::vector<int> toes_outside(const foot::Foot& foot, const shoe::Shoe& shoe, const contact::Problem& problem,
                              const Eigen::VectorXd& q);

/// The loaded state, or the first after it, at which toes are outside is no rest, nor is what follows; says so there.
/// Returns those toes.
std::vector<int> no_rest_outside(const foot::Foot& foot, const shoe::Shoe& shoe, const contact::Problem& problem,
                                 contact::LoadPath& path);

/// Where the foot lies after going into a wider box that was closed about it, toes and all: a start for the seat in the
/// box as it is. Nothing when stopped.
std::optional<Eigen::VectorXd> led_in(const Setup& setup, const contact::SolveOptions& options,
                                      const io::Progress& progress);

}  // namespace aplomb::stance
