// Changes: each makes a shoe that can be made, does what it says, and is undone by its opposite.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <Eigen/Eigenvalues>
#include <catch2/catch.hpp>

#include "../source_data.h"
#include "aplomb/shoe/shoe.h"
#include "aplomb/shop/alterations.h"
#include "aplomb/shop/solver.h"

using namespace aplomb;
using namespace aplomb::shop;
using source_data::need;

TEST_CASE("Every change alters the sample shoe and names an opposite that undoes it", "[alterations]") {
  const auto base = need(shoe::read_shoe(source_data::shoe_file("deep_box")));
  for (const Change& change : changes()) {
    CAPTURE(change.name);
    const double by = change.unit == "factor" ? 1.2 : change.unit == "share" ? 0.6 : std::max(change.range.min, 1.0);
    const auto changed = altered(base, {change.name, by}, foot::Side::right);
    if (!changed) FAIL(io::to_line(changed.error()));
    CHECK(shoe_hash(*changed) != shoe_hash(base));
    CHECK(shoe::make_shoe(*changed));
    CHECK(words({change.name, by}).find('{') == std::string::npos);
    if (change.opposite.empty()) continue;
    const Change* opposite = change_named(change.opposite);
    REQUIRE(opposite != nullptr);
    CHECK(opposite->opposite == change.name);
    if (change.name == "more_tapered" || change.name == "more_parallel") continue;  // they end at 0 and 1
    const auto back = need(altered(*changed, {opposite->name, by}, foot::Side::right));
    for (const shoe::NumberField& field : shoe::number_fields())
      CHECK(back.*field.member == Approx(base.*field.member).epsilon(1e-12));
  }
}

TEST_CASE("A wing changed on one side makes a shoe for that foot", "[alterations]") {
  const auto base = need(shoe::read_shoe(source_data::shoe_file("parallel")));
  CHECK(need(altered(base, {"lateral_wing_higher", 4}, foot::Side::left)).cut == shoe::Cut::left);
  CHECK(need(altered(base, {"lateral_wing_higher", 4}, foot::Side::right)).cut == shoe::Cut::right);
  CHECK(need(altered(base, {"wings_higher", 4}, foot::Side::right)).cut == shoe::Cut::straight);
}

TEST_CASE("A change that cannot be made is refused", "[alterations]") {
  auto base = need(shoe::read_shoe(source_data::shoe_file("parallel")));
  const auto low = altered(base, {"lower_crown", 12}, foot::Side::right);
  REQUIRE_FALSE(low);
  CHECK(low.error().field == "crown_height_mm");
  base.plan_taper = 1;
  const auto tapered = altered(base, {"more_tapered", 0.2}, foot::Side::right);
  REQUIRE_FALSE(tapered);
  CHECK(tapered.error().message.find("changes nothing") != std::string::npos);
  base.elastic_N = 3;
  CHECK_FALSE(altered(base, {"elastic_looser", 6}, foot::Side::right));
}

TEST_CASE("A tuck takes its length out of the upper, and a softened wing stiffness out of its side", "[alterations]") {
  const auto base = need(shoe::read_shoe(source_data::shoe_file("parallel")));
  const auto plain = need(shoe::make_shoe(base));
  const auto tucked = need(shoe::make_shoe(need(altered(base, {"heel_shaping", 7}, foot::Side::right))));
  CHECK(plain.upper.slack_mm - tucked.upper.slack_mm == Approx(7));

  const auto soft = [&](const char* change) {
    return need(shoe::make_shoe(need(altered(base, {change, 0.6}, foot::Side::right)))).wall_stiffness_N_per_mm;
  };
  const Eigen::MatrixXd whole = plain.wall_stiffness_N_per_mm, medial = soft("softened_wing_medial"),
                        lateral = soft("softened_wing_lateral");
  // Less stiff for every shape of the wall, by less than what was taken from the whole wall.
  const auto least = [](const Eigen::MatrixXd& m) {
    return Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd>(m).eigenvalues().minCoeff();
  };
  CHECK(least(whole - medial) > -1e-9 * whole.norm());
  CHECK(least(medial - 0.4 * whole) > -1e-9 * whole.norm());
  CHECK((whole - medial).norm() > 0.02 * whole.norm());
  // On a straight shoe the two sides are mirror images: cosine shapes cost the same.
  CHECK(medial.trace() == Approx(lateral.trace()).epsilon(1e-6));
}
