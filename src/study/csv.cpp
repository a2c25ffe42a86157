// CSV by RFC 4180: text is quoted when it holds a comma, a quote or a line end.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/study/csv.h"

#include <fmt/format.h>

#include <cmath>

#include "aplomb/study/summary.h"

namespace aplomb::study {

namespace {

std::string quoted(const std::string& text) {
  if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
  std::string out = "\"";
  for (const char c : text) out += c == '"' ? std::string("\"\"") : std::string(1, c);
  return out + "\"";
}

/// Nothing is known of a 0: what could not be had.
std::string size(double value) { return value > 0 ? fmt::format("{}", value) : ""; }

std::string number(const findings::Number& value) {
  return value && std::isfinite(*value) ? fmt::format("{}", *value) : "";
}

std::string row(const StandRecord& s) {
  const findings::Findings& f = s.findings;
  std::string line =
      fmt::format("aplomb-study,{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{}", csv_format_version,
                  s.foot + 1, s.foot_seed, size(s.foot_length_mm), size(s.foot_breadth_mm), size(s.mass_kg),
                  quoted(s.shoe), size(s.inner_length_mm), size(s.ball_breadth_mm), stance::name(s.position),
                  size(f.load_N), size(f.friction), f.converged,
                  !f.goes_in    ? "false"
                  : f.converged ? "true"
                                : "",
                  quoted(f.reason), number(f.force_balance_error), s.iterations, s.hold.ankle_command_deg,
                  s.hold.subtalar_command_deg, s.hold.at_limit);
  for (const Quantity& quantity : quantities()) line += "," + (f.converged ? number(quantity.of(f)) : std::string());
  return line + fmt::format(",{}\n", f.solve_ms);
}

}  // namespace

std::string csv_text(const std::vector<StandRecord>& stands) {
  std::string text =
      "format,format_version,foot,foot_seed,foot_length_mm,foot_breadth_mm,mass_kg,shoe,inner_length_mm,"
      "ball_breadth_mm,position,load_N,friction,converged,goes_in,reason,force_balance_error,iterations,"
      "ankle_command_deg,subtalar_command_deg,at_ankle_limit";
  for (const Quantity& quantity : quantities()) text += "," + quantity.key;
  text += ",solve_ms\n";
  for (const StandRecord& stand : stands) text += row(stand);
  return text;
}

}  // namespace aplomb::study
