// Counting and quantiles over stands.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/study/summary.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <map>

namespace aplomb::study {

namespace {

/// "no balance at 80 %" and "at 90 %" are one reason.
std::string without_numbers(const std::string& text) {
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto digit = [&](std::size_t k) {
      return k < text.size() && std::isdigit(static_cast<unsigned char>(text[k]));
    };
    if (!digit(i)) {
      out += text[i];
      continue;
    }
    while (digit(i + 1) || (i + 1 < text.size() && text[i + 1] == '.' && digit(i + 2))) ++i;
    out += '#';
  }
  return out;
}

/// Three decimals, fewer for large numbers.
std::string shown(double value) {
  const double size = std::abs(value);
  const std::string text = fmt::format("{:.{}f}", value, size < 1 ? 3 : size < 10 ? 2 : size < 1000 ? 1 : 0);
  // No minus before a zero.
  return text.find_first_of("123456789") == std::string::npos && text.front() == '-' ? text.substr(1) : text;
}

std::string line_of(const std::string& name, const Spread& s, int converged) {
  std::string line = fmt::format("{}: min {}, 5 % {}, median {}, 95 % {}, max {}", name, shown(s.min), shown(s.p05),
                                 shown(s.median), shown(s.p95), shown(s.max));
  if (s.count != converged) line += fmt::format(" ({} stands)", s.count);
  return line;
}

}  // namespace

double quantile(std::vector<double> values, double share) {
  std::sort(values.begin(), values.end());
  const double at = share * static_cast<double>(values.size() - 1);
  const auto below = static_cast<std::size_t>(at);
  if (below + 1 >= values.size()) return values.back();
  return values[below] + (at - static_cast<double>(below)) * (values[below + 1] - values[below]);
}

std::optional<Spread> spread_of(const std::vector<double>& values) {
  if (values.empty()) return std::nullopt;
  return Spread{.count = static_cast<int>(values.size()),
                .min = quantile(values, 0),
                .p05 = quantile(values, 0.05),
                .median = quantile(values, 0.5),
                .p95 = quantile(values, 0.95),
                .max = quantile(values, 1)};
}

Summary summarise(const std::vector<StandRecord>& stands) {
  Summary summary;
  summary.stands = static_cast<int>(stands.size());
  std::map<std::string, int> reasons;
  std::vector<std::vector<double>> values(quantities().size());
  std::vector<double> solve_ms, iterations;
  for (const StandRecord& stand : stands) {
    const findings::Findings& f = stand.findings;
    summary.does_not_go_in += f.goes_in ? 0 : 1;
    if (!f.converged) {
      ++reasons[without_numbers(f.reason)];
      continue;
    }
    ++summary.converged;
    summary.past_platform += f.plumb.gets_over ? 0 : 1;
    summary.at_ankle_limit += stand.hold.at_limit ? 1 : 0;
    solve_ms.push_back(f.solve_ms);
    iterations.push_back(stand.iterations);
    for (std::size_t k = 0; k < values.size(); ++k)
      if (const findings::Number value = quantities()[k].of(f)) values[k].push_back(*value);
  }
  for (const auto& [reason, count] : reasons) summary.reasons.push_back({reason, count});
  std::stable_sort(summary.reasons.begin(), summary.reasons.end(),
                   [](const ReasonCount& a, const ReasonCount& b) { return a.count > b.count; });
  for (const auto& list : values) summary.spreads.push_back(spread_of(list));
  summary.solve_ms = spread_of(solve_ms);
  summary.iterations = spread_of(iterations);
  return summary;
}

Summary summarise(const std::vector<StandRecord>& stands, stance::Position position) {
  std::vector<StandRecord> chosen;
  std::copy_if(stands.begin(), stands.end(), std::back_inserter(chosen),
               [position](const StandRecord& stand) { return stand.position == position; });
  return summarise(chosen);
}

std::vector<std::string> summary_lines(const Summary& summary) {
  std::vector<std::string> lines = {fmt::format("converged: {} of {} stands ({:.1f} %)", summary.converged,
                                                summary.stands, 100 * summary.share_converged())};
  for (const auto& [reason, count] : summary.reasons)
    lines.push_back(fmt::format("not converged, {}: {}", count, reason.empty() ? "no reason given" : reason));
  if (summary.does_not_go_in > 0) lines.push_back(fmt::format("does not go in: {}", summary.does_not_go_in));
  if (summary.converged == 0) return lines;
  lines.push_back(fmt::format("centre of pressure past the platform: {}; at the end of the ankle's range: {}",
                              summary.past_platform, summary.at_ankle_limit));
  for (std::size_t k = 0; k < summary.spreads.size(); ++k)
    if (summary.spreads[k]) lines.push_back(line_of(quantities()[k].key, *summary.spreads[k], summary.converged));
  lines.push_back(line_of("iterations", *summary.iterations, summary.converged));
  lines.push_back(line_of("solve_ms", *summary.solve_ms, summary.converged));
  return lines;
}

}  // namespace aplomb::study
