// Never a plausible foot out of something that is not one.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <catch2/catch.hpp>

#include "../source_data.h"
#include "no_feet.h"
#include "synthetic.h"

using namespace aplomb;
using namespace aplomb::scan;

TEST_CASE("Of fifty things that are no feet none is taken for one", "[scan][no_foot]") {
  const auto things = testing::no_feet();
  REQUIRE(things.size() == 50);
  int taken = 0;
  for (const testing::NoFoot& thing : things) {
    INFO(thing.name);
    REQUIRE(thing.scan.mesh.vertices.size() >= 1000);  // the thing was sampled at all
    const auto fit = fit_scan(thing.scan, source_data::model(), source_data::prior());
    if (fit) {
      ++taken;
      fmt::print("{} was taken for a foot: {:.2f} mm off, seen {:.2f}\n", thing.name, fit->found.surface_mean_mm,
                 fit->found.seen_share);
    } else {
      CHECK(fit.error().kind == io::ErrorKind::bad_input);
      CHECK(io::to_line(fit.error()).find('\n') == std::string::npos);
    }
  }
  CHECK(taken == 0);
}

TEST_CASE("A card goes with a scan, and what contradicts it is told and not used", "[scan][card]") {
  const auto truth = testing::make_synthetic({.seed = 3, .points = 20000, .noise_mm = 0.5});
  ScanOptions options;
  foot::Card card;
  card.numbers[foot::foot_length] = truth.truth.length_mm;
  card.numbers[foot::foot_breadth] = truth.truth.breadth_mm + 15;  // misread
  card.numbers[foot::mass] = 52;
  options.card = card;
  const auto fit = source_data::need(fit_scan(truth.scan, source_data::model(), source_data::prior(), options));
  REQUIRE(fit.found.disagreements.size() == 1);
  CHECK(fit.found.disagreements[0].key == "foot_breadth_mm");
  CHECK(fit.found.disagreements[0].card == card.numbers[foot::foot_breadth]);
  CHECK(std::abs(fit.found.disagreements[0].scan - truth.truth.breadth_mm) < 1);
  CHECK(fit.found.disagreements[0].sds > 3);
  CHECK(std::abs(fit.foot.breadth_mm - truth.truth.breadth_mm) < 1);
  CHECK(fit.foot.mass_kg == 52);
  CHECK(std::abs(fit.foot.residual.at("foot_breadth_mm") + 15) < 1);

  // Where the scan shows no forefoot the card's breadth carries the answer.
  testing::Synthetic half = truth;
  std::erase_if(half.scan.mesh.vertices, [&](const Vec3& p) { return (half.T_scan_foot.inverse() * p).x() > 150; });
  half.scan.points_in_file = half.scan.mesh.vertices.size();
  options.side = foot::Side::right;
  card.numbers[foot::foot_breadth] = truth.truth.breadth_mm;
  const auto without = fit_scan(half.scan, source_data::model(), source_data::prior(), options);
  options.card = card;
  const auto with = fit_scan(half.scan, source_data::model(), source_data::prior(), options);
  if (without && with) {
    CHECK(with->foot.measurements.at("foot_breadth_mm").sd < without->foot.measurements.at("foot_breadth_mm").sd);
    CHECK(std::abs(with->foot.breadth_mm - truth.truth.breadth_mm) < 3);
  }
}

TEST_CASE("The same scan gives the same foot, moved, scaled or mirrored too", "[scan]") {
  const testing::Synthetic truth =
      testing::make_synthetic({.seed = 5, .points = 12000, .noise_mm = 0.3, .mesh = false});
  const auto fit = source_data::need(fit_scan(truth.scan, source_data::model(), source_data::prior()));
  ScanOptions one;
  one.threads = 1;
  const auto again = source_data::need(fit_scan(truth.scan, source_data::model(), source_data::prior(), one));
  CHECK(again.foot.shape == fit.foot.shape);
  RawScan mirror = truth.scan;
  for (Vec3& p : mirror.mesh.vertices) p = Vec3(-p.x(), p.y(), p.z()) / 10;
  const auto other = source_data::need(fit_scan(mirror, source_data::model(), source_data::prior()));
  CHECK(other.found.side == foot::Side::left);
  CHECK(other.found.unit == Unit::cm);
  CHECK(other.foot.length_mm == Approx(fit.foot.length_mm).margin(0.1));
  CHECK(other.foot.breadth_mm == Approx(fit.foot.breadth_mm).margin(0.1));
}
