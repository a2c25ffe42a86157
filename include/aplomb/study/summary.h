// What many stands say together: how many converged, why the rest did not, and how each finding is spread.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "aplomb/study/population.h"

namespace aplomb::study {

/// One number of the findings, under the name that the columns and the summary give it; the suffix is the unit (load
/// shares: percent of F).
struct Quantity {
  std::string key;
  std::function<findings::Number(const findings::Findings&)> of;
};
const std::vector<Quantity>& quantities();

/// How a quantity is spread over the stands that have it.
struct Spread {
  int count = 0;
  double min = 0, p05 = 0, median = 0, p95 = 0, max = 0;
};

/// Value below which `share` (0..1) of the values lie, linear between neighbours (type 7 of Hyndman and Fan 1996, The
/// American Statistician 50, 361-365). Pre: not empty.
double quantile(std::vector<double> values, double share);

/// Nothing when there are no values.
std::optional<Spread> spread_of(const std::vector<double>& values);

/// How often something was said.
struct ReasonCount {
  std::string reason;  ///< numbers in it replaced by #
  int count = 0;
};

struct Summary {
  int stands = 0, converged = 0;
  double share_converged() const { return stands > 0 ? static_cast<double>(converged) / stands : 0; }
  std::vector<ReasonCount> reasons;            ///< of the rest; most frequent first
  std::vector<std::optional<Spread>> spreads;  ///< as quantities(), of the converged
  std::optional<Spread> solve_ms, iterations;  ///< of the converged
  int past_platform = 0;                       ///< converged, but the centre of pressure lies outside the platform
  int at_ankle_limit = 0;                      ///< converged, but she points as far as she can
  int does_not_go_in = 0;                      ///< an answer too, whether converged or not
};

Summary summarise(const std::vector<StandRecord>& stands);
/// The same of one position only.
Summary summarise(const std::vector<StandRecord>& stands, stance::Position position);

/// One line for each fact, without indent or final newline: for a terminal and for tests/results.md.
std::vector<std::string> summary_lines(const Summary& summary);

}  // namespace aplomb::study
