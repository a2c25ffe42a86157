// What the study tests share: the data of the source tree.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "../source_data.h"
#include "aplomb/study/csv.h"
#include "aplomb/study/population.h"

namespace aplomb::study::test {

using namespace source_data;

inline shoe::ShoeParameters sample_shoe(const std::string& name) { return need(shoe::read_shoe(shoe_file(name))); }

inline std::vector<StandRecord> run_study(const PopulationOptions& options) {
  return need(stand_population(model(), prior(), options));
}

/// CSV without its last column, the time taken.
inline std::string untimed(const std::vector<StandRecord>& stands) {
  std::string out;
  const std::string text = csv_text(stands);
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = text.find('\n', at);
    out += text.substr(at, text.rfind(',', end) - at) + "\n";
    at = end + 1;
  }
  return out;
}

}  // namespace aplomb::study::test
