// Quantiles against published ones, counting, and the lines of a summary.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include "aplomb/study/summary.h"
#include "setup.h"

using namespace aplomb;
using namespace aplomb::study;
using Catch::Contains;

namespace {

StandRecord stand(bool converged, double depth_mm, const std::string& reason = {}) {
  StandRecord record;
  record.findings.converged = converged;
  record.findings.reason = reason;
  if (converged) record.findings.depth_mm = depth_mm;
  record.findings.solve_ms = 10;
  return record;
}

const Spread& spread(const Summary& summary, const std::string& key) {
  const auto& list = quantities();
  const auto found = std::find_if(list.begin(), list.end(), [&](const Quantity& q) { return q.key == key; });
  REQUIRE(found != list.end());
  const auto& spread = summary.spreads[static_cast<std::size_t>(found - list.begin())];
  REQUIRE(spread);
  return *spread;
}

}  // namespace

TEST_CASE("quantiles are type 7 of Hyndman and Fan") {
  // Worked by their definition, m = 1 - p: at = 1 + (n - 1) p counted from 1.
  const std::vector<double> values = {15, 3, 9, 6, 12};  // sorted: 3 6 9 12 15
  CHECK(quantile(values, 0) == 3);
  CHECK(quantile(values, 0.25) == 6);
  CHECK(quantile(values, 0.5) == 9);
  CHECK(quantile(values, 0.05) == Approx(3.6).epsilon(1e-14));
  CHECK(quantile(values, 0.9) == Approx(13.8).epsilon(1e-14));
  CHECK(quantile(values, 1) == 15);
  CHECK(quantile({4, 1, 3, 2}, 0.5) == 2.5);
  CHECK(quantile({7}, 0.3) == 7);
  // The median and the quartiles of R's own example data `quantile(c(1, 2, 3, 4, 5, 6, 7, 8, 9, 10))`: 3.25, 5.5, 7.75.
  const std::vector<double> ten = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10};
  CHECK(quantile(ten, 0.25) == Approx(3.25).epsilon(1e-14));
  CHECK(quantile(ten, 0.5) == Approx(5.5).epsilon(1e-14));
  CHECK(quantile(ten, 0.75) == Approx(7.75).epsilon(1e-14));
  CHECK_FALSE(spread_of({}));
}

TEST_CASE("stands are counted, reasons gathered, findings spread over the converged only") {
  std::vector<StandRecord> stands = {stand(true, 1),
                                     stand(true, 3),
                                     stand(true, 2),
                                     stand(false, 99, "no balance found at 80 % of the load"),
                                     stand(false, 99, "no seat"),
                                     stand(false, 99, "no balance found at 7.5 % of the load")};
  stands[1].findings.plumb.gets_over = false;
  stands[2].hold.at_limit = true;
  stands[0].findings.goes_in = stands[4].findings.goes_in = false;
  stands[0].position = stance::Position::full_pointe_one;
  const Summary summary = summarise(stands);
  CHECK(summary.stands == 6);
  CHECK(summary.converged == 3);
  CHECK(summary.share_converged() == Approx(0.5));
  REQUIRE(summary.reasons.size() == 2);
  CHECK(summary.reasons[0].reason == "no balance found at # % of the load");
  CHECK(summary.reasons[0].count == 2);
  CHECK(summary.reasons[1].reason == "no seat");
  CHECK(summary.past_platform == 1);
  CHECK(summary.at_ankle_limit == 1);
  CHECK(summary.does_not_go_in == 2);
  const Spread& depth = spread(summary, "depth_mm");
  CHECK(depth.count == 3);
  CHECK(depth.min == 1);
  CHECK(depth.median == 2);
  CHECK(depth.max == 3);
  CHECK(summarise(stands, stance::Position::full_pointe_one).stands == 1);
  CHECK(spread(summarise(stands, stance::Position::full_pointe_one), "depth_mm").max == 1);

  const auto lines = summary_lines(summary);
  CHECK(lines.front() == "converged: 3 of 6 stands (50.0 %)");
  CHECK(std::count(lines.begin(), lines.end(), "depth_mm: min 1.00, 5 % 1.10, median 2.00, 95 % 2.90, max 3.00") == 1);
  CHECK(std::count(lines.begin(), lines.end(), "not converged, 2: no balance found at # % of the load") == 1);
  CHECK(std::count(lines.begin(), lines.end(), "does not go in: 2") == 1);
  // Nothing is said of what no stand has.
  CHECK(std::none_of(lines.begin(), lines.end(), [](const std::string& line) { return line.starts_with("peak_kPa"); }));
  CHECK(summary_lines(summarise({stand(false, 0)})).size() == 2);
  CHECK(summary_lines(summarise({})).size() == 1);
}

TEST_CASE("quantities read what their names say") {
  findings::Findings f;
  f.depth_mm = 1.5;
  f.toes[4].load_share = 7;
  f.plumb.margin_mm = -2;
  f.break_point.arch_fraction = 0.4;
  f.load_share =
      findings::LoadShare{.platform = 40, .wall_normal = 30, .wall_friction = 15, .vamp = 10, .shank_heel = 5};
  f.load_kind = findings::LoadKind{.forefoot_normal = 79, .all_friction = 16, .heel_and_shank = 5};
  const auto value = [&](const std::string& key) {
    for (const Quantity& quantity : quantities())
      if (quantity.key == key) return quantity.of(f).value_or(-99);
    return -999.0;
  };
  CHECK(value("depth_mm") == 1.5);
  CHECK(value("sink_mm") == -99);
  CHECK(value("little_load_share") == 7);
  CHECK(value("plumb_margin_mm") == -2);
  CHECK(value("break_arch_fraction") == 0.4);
  CHECK(value("load_share_platform") == 40);
  CHECK(value("load_share_wall_normal") == 30);
  CHECK(value("load_share_wall_friction") == 15);
  CHECK(value("load_share_vamp") == 10);
  CHECK(value("load_share_shank_heel") == 5);
  CHECK(value("load_share_sum") == 100);
  CHECK(value("forefoot_normal") == 79);
  CHECK(value("all_friction") == 16);
  CHECK(value("heel_and_shank") == 5);
  std::vector<std::string> keys;
  for (const Quantity& quantity : quantities()) keys.push_back(quantity.key);
  std::sort(keys.begin(), keys.end());
  CHECK(std::adjacent_find(keys.begin(), keys.end()) == keys.end());
}
