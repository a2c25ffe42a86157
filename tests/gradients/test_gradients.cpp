// Slopes of findings against differences of findings of answers solved anew.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <cmath>
#include <map>

#include "../stance/stands.h"
#include "aplomb/gradients/gradients.h"

using namespace aplomb;
using namespace aplomb::gradients;
using namespace aplomb::stance::test;
using Catch::Matchers::Contains;

namespace {

std::map<std::string, double> numbers_of(const FootPtr& foot, const shoe::ShoeParameters& parameters,
                                         stance::StandOptions options) {
  options.solve.residual_tolerance = options.solve.tolerance_on_the_way = 1e-11;
  const auto stance =
      need(stance::stand(foot, std::make_shared<const shoe::Shoe>(need(shoe::make_shoe(parameters))), options));
  REQUIRE(stance.rest().converged);
  std::map<std::string, double> out;
  for (const auto& number : findings::named_numbers(findings::assess(stance)))
    if (number.value) out[number.key] = *number.value;
  return out;
}

}  // namespace

TEST_CASE("slopes of findings are those of answers solved anew", "[gradients]") {
  const auto shoe = make_shoe("tapered");
  stance::StandOptions options;
  options.position = GENERATE(stance::Position::full_pointe_two, stance::Position::parallel);
  const std::map<std::string, double> steps{{"ball_breadth_mm", 1e-3}, {"elastic_N", 1e-3}, {"wall_E_GPa", 1e-5}};
  Options which;
  for (const auto& [key, step] : steps) which.keys.push_back(key);
  const auto columns = need(gradients::gradients(sample_foot(), shoe, options, model(), which));
  REQUIRE(columns.size() == steps.size());
  int compared = 0;
  for (const Column& column : columns) {
    CAPTURE(stance::name(options.position), column.key, column.why_not);
    REQUIRE(column.why_not.empty());
    CHECK(column.of == Column::Of::shoe);
    const double step = steps.at(column.key);
    const auto& fields = shoe::number_fields();
    const auto field = std::find_if(fields.begin(), fields.end(), [&](const auto& f) { return f.key == column.key; });
    REQUIRE(field != fields.end());
    shoe::ShoeParameters below = shoe->parameters, above = shoe->parameters;
    below.*(field->member) -= step, above.*(field->member) += step;
    const auto minus = numbers_of(sample_foot(), below, options), plus = numbers_of(sample_foot(), above, options);
    for (const Slope& slope : column.slopes) {
      CAPTURE(slope.finding);
      const double difference = (plus.at(slope.finding) - minus.at(slope.finding)) / (2 * step);
      // To 1e-4 of the difference; what moves a finding by less than a millionth of itself is lost in its balance.
      const double size = std::max(1.0, std::abs(plus.at(slope.finding)));
      CHECK(std::abs(slope.value - difference) <= std::max(1e-4 * std::abs(difference), 1e-6 * size));
      ++compared;
    }
  }
  fmt::print("{}: {} slopes compared\n", stance::name(options.position), compared);
  CHECK(compared > 60);
}

TEST_CASE("gradients are refused by name", "[gradients]") {
  stance::StandOptions options;
  const auto unknown = gradients::gradients(sample_foot(), make_shoe("tapered"), options, model(), {{"no_such"}, 1});
  REQUIRE_FALSE(unknown);
  CHECK(unknown.error().field == "no_such");
  options.position = stance::Position::roll_down;
  const auto way = gradients::gradients(sample_foot(), make_shoe("tapered"), options, model(), {});
  REQUIRE_FALSE(way);
  CHECK_THAT(way.error().message, Contains("has no gradients"));
}
