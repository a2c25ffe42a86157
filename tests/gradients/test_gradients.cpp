// Slopes of findings against differences of findings of answers solved anew.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <cmath>
#include <map>

#include "../stance/stands.h"
#include "aplomb/findings/assess.h"
#include "aplomb/foot/build.h"
#include "aplomb/foot/fit.h"
#include "aplomb/foot/numbers.h"
#include "aplomb/gradients/gradients.h"

using namespace aplomb;
using gradients::Options;
using namespace aplomb::stance::test;

namespace {

FootPtr with_dimension(const FootPtr& foot, int dimension, double by) {
  foot::Foot out = foot::build_foot_with_more(model(), foot::build_of(*foot), dimension, by);
  out.side = foot->side;
  out.mass_kg = foot->mass_kg;
  return std::make_shared<const foot::Foot>(std::move(out));
}

std::map<std::string, double> numbers_of(const FootPtr& foot, const shoe::ShoeParameters& parameters,
                                         stance::StandOptions options) {
  options.solve.residual_tolerance = options.solve.tolerance_on_the_way = 1e-11;
  options.solve.trusted_step_mm = 0;
  const auto stance =
      need(stance::stand(foot, std::make_shared<const shoe::Shoe>(need(shoe::make_shoe(parameters))), options));
  REQUIRE(stance.rest().converged);
  const auto found = findings::assess(stance);
  std::map<std::string, double> out;
  for (const auto& numbers : {findings::named_numbers(found), findings::named_heights(found)})
    for (const auto& number : numbers)
      if (number.value) out[number.key] = *number.value;
  return out;
}

/// The same with one number more by `by`.
std::map<std::string, double> numbers_beside(const shoe::Shoe& shoe, const stance::StandOptions& options,
                                             const std::string& key, double by) {
  if (const auto dimension = foot::find_number(key))
    return numbers_of(with_dimension(sample_foot(), *dimension, by), shoe.parameters, options);
  const auto& fields = shoe::number_fields();
  const auto field = std::find_if(fields.begin(), fields.end(), [&](const auto& f) { return f.key == key; });
  REQUIRE(field != fields.end());
  shoe::ShoeParameters parameters = shoe.parameters;
  parameters.*(field->member) += by;
  return numbers_of(sample_foot(), parameters, options);
}

using Steps = std::map<std::string, double>;

}  // namespace

TEST_CASE("slopes of findings are those of answers solved anew", "[gradients]") {
  const auto [position, shoe_name, steps, at_least] = GENERATE(table<stance::Position, const char*, Steps, int>(
      {{stance::Position::full_pointe_two,
        "tapered",
        {{"ball_breadth_mm", 1e-3}, {"elastic_N", 1e-3}, {"wall_E_GPa", 1e-5}, {"foot_breadth_mm", 1e-3}},
        200},
       {stance::Position::parallel,
        "tapered",
        {{"ball_breadth_mm", 1e-3}, {"wall_E_GPa", 1e-5}, {"toes.fourth.length_mm", 1e-3}},
        60},
       {stance::Position::demi_pointe, "parallel", {{"elastic_N", 1e-3}, {"foot_length_mm", 1e-4}}, 60},
       {stance::Position::roll_down, "tapered", {{"ball_breadth_mm", 2e-3}}, 100}}));
  shoe::ShoeParameters parameters = make_shoe(shoe_name)->parameters;
  // The sample as it is stands, on the way down, half a thousandth of a mm from where a point begins to slip.
  if (position == stance::Position::roll_down) parameters.ball_breadth_mm += 0.6;
  const auto shoe = std::make_shared<const shoe::Shoe>(need(shoe::make_shoe(parameters)));
  stance::StandOptions options;
  options.position = position;
  Options which;
  for (const auto& [key, step] : steps) which.keys.push_back(key);
  const auto columns = need(gradients::gradients(sample_foot(), shoe, options, model(), which));
  REQUIRE(columns.size() == steps.size());
  int compared = 0, bent = 0;
  for (const findings::Gradient& column : columns) {
    CAPTURE(stance::name(position), shoe_name, column.key, column.why_not);
    REQUIRE(column.why_not.empty());
    CHECK(column.of == (foot::find_number(column.key) ? findings::Gradient::Of::foot : findings::Gradient::Of::shoe));
    const double step = steps.at(column.key);
    const auto minus = numbers_beside(*shoe, options, column.key, -step),
               middle = numbers_beside(*shoe, options, column.key, 0),
               plus = numbers_beside(*shoe, options, column.key, step);
    for (const auto& slope : column.slopes) {
      CAPTURE(slope.finding, minus.at(slope.finding), middle.at(slope.finding), plus.at(slope.finding));
      const double below = (middle.at(slope.finding) - minus.at(slope.finding)) / step;
      const double above = (plus.at(slope.finding) - middle.at(slope.finding)) / step;
      const double difference = (below + above) / 2;
      // To 1e-4 of the difference; what moves a finding by less than a millionth of itself is lost in its balance.
      const double size = std::max(1.0, std::abs(plus.at(slope.finding)));
      const double lost = std::max(1e-4 * std::abs(difference), 1e-6 * size);
      ++compared;
      if (std::abs(slope.value - difference) <= lost) continue;
      // Where something begins to slip or to touch within the step, the two sides differ, and so may it from both.
      ++bent;
      CHECK(std::abs(slope.value - difference) <= 1.5 * std::abs(above - below) + lost);
    }
  }
  fmt::print("{}: {} slopes compared, of them {} bent within the step\n", stance::name(position), compared, bent);
  CHECK(compared > at_least);
  CHECK(bent <= (position == stance::Position::roll_down ? 0.06 : 0.01) * compared);  // nineteen balances follow there
}

TEST_CASE("gradients are refused by name", "[gradients]") {
  stance::StandOptions options;
  const auto unknown = gradients::gradients(sample_foot(), make_shoe("tapered"), options, model(), {{"no_such"}, 1});
  REQUIRE_FALSE(unknown);
  CHECK(unknown.error().field == "no_such");
}
