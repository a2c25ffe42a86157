// How every finding moves with every number of the shoe and of the foot, at one answer.
//
// Each number is moved a hair up and down, and the answer's whole path, friction and all, is moved along without being
// solved again (stance::neighbours). Forward, number by number, not backward from the findings: there are more findings
// than numbers, and making the shoe or foot anew costs more than moving the path along.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "aplomb/findings/findings.h"
#include "aplomb/foot/shape.h"
#include "aplomb/io/progress.h"
#include "aplomb/stance/stand.h"

namespace aplomb::gradients {

struct Options {
  std::vector<std::string> keys;  ///< those alone; empty: all
  int threads = 0;                ///< 0: all cores
};

/// The answer to foot, shoe and options, tightly solved, and its slopes: load and friction first, then
/// shoe::number_fields() in order, then the dimensions of the foot (foot::number_table()). Errors: those of stand(); an
/// unknown key; no balance; cancelled. Of a roll-down, slopes of every height too.
io::Result<std::vector<findings::Gradient>> gradients(std::shared_ptr<const foot::Foot> foot,
                                                      std::shared_ptr<const shoe::Shoe> shoe,
                                                      const stance::StandOptions& options,
                                                      const foot::ShapeModel& model, const Options& which,
                                                      const io::Progress& progress = {});

}  // namespace aplomb::gradients
