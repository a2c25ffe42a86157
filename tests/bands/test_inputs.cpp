// What is not known of a foot as independent deviates: nothing at their middle, and the fit's own covariance around it.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>

#include "aplomb/bands/doubts.h"
#include "aplomb/bands/inputs.h"
#include "aplomb/foot/build.h"
#include "aplomb/foot/measure.h"
#include "sample_stand.h"

using namespace aplomb;
using namespace aplomb::bands;
using namespace aplomb::bands::test;
using namespace aplomb::source_data;

namespace {

Inputs inputs_of(std::shared_ptr<const foot::Foot> foot, const stance::StandOptions& stand = {}) {
  return need(Inputs::make(std::move(foot), sample_shoe(), model(), stand, usual_ranges()));
}

}  // namespace

TEST_CASE("With no deviation the foot is the one that was fitted, bit for bit", "[bands][inputs]") {
  const Inputs inputs = inputs_of(card_foot());
  const Draw draw = need(inputs.at(Eigen::VectorXd::Zero(static_cast<Eigen::Index>(inputs.list().size()))));
  REQUIRE(draw.foot->skin.vertices_F.size() == card_foot()->skin.vertices_F.size());
  double most = 0;
  for (std::size_t v = 0; v < draw.foot->skin.vertices_F.size(); ++v)
    most = std::max(most, (draw.foot->skin.vertices_F[v] - card_foot()->skin.vertices_F[v]).norm());
  CHECK(most == 0);
  CHECK(draw.foot->mass_kg == card_foot()->mass_kg);
  CHECK(draw.foot->plantarflexion_deg == card_foot()->plantarflexion_deg);
}

TEST_CASE("The ways of the foot hold the doubt that the fit left of its dimensions", "[bands][inputs]") {
  const Inputs inputs = inputs_of(card_foot());
  CHECK(inputs.ways() >= 3);
  CHECK(inputs.ways() <= Inputs::most_ways);
  CHECK(inputs.share() >= 0.9);
  // Each dimension measured again on feet one deviate to either side; squares of the changes add up to its variance,
  // but for what the ways left out would add: never more, and nearly all where the skin moves much.
  const auto count = static_cast<Eigen::Index>(inputs.list().size());
  Eigen::VectorXd variance = Eigen::VectorXd::Zero(int{foot::dimension_count});
  for (int k = 0; k < inputs.ways(); ++k) {
    Eigen::VectorXd one = Eigen::VectorXd::Zero(count);
    const auto dimension_at = [&](double deviate) {
      one[k] = deviate;
      const foot::Foot standing = foot::foot_under(model(), inputs.build_at(one), foot::Load::standing);
      const auto measured = foot::measure(*model().sites, foot::body_of(standing));
      Eigen::VectorXd values(int{foot::dimension_count});
      for (int i = 0; i < foot::dimension_count; ++i) values[i] = measured[i].value;
      return values;
    };
    variance += ((dimension_at(1) - dimension_at(-1)) / 2).cwiseAbs2();
  }
  double share = 0;
  for (int i = 0; i < foot::dimension_count; ++i) {
    const auto& info = foot::number_table()[i];
    const double sd = card_foot()->measurements.at(info.key).sd;
    CAPTURE(info.key, sd);
    CHECK(std::sqrt(variance[i]) <= 1.05 * sd + 0.02);
    share += variance[i] / (sd * sd) / int{foot::dimension_count};
  }
  // Dimensions that hardly move the skin (heights and breadths of single toes) are what is left out.
  CHECK(share > 0.4);
}

TEST_CASE("A foot known twice as well varies half as much", "[bands][inputs]") {
  foot::Foot surer = *card_foot();
  for (double& entry : surer.covariance) entry /= 4;
  const Inputs inputs = inputs_of(card_foot()), sure = inputs_of(std::make_shared<const foot::Foot>(surer));
  REQUIRE(sure.ways() == inputs.ways());
  Eigen::VectorXd slope = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(inputs.list().size()));
  slope[0] = 1;
  // Another reading tells less of what is known better.
  CHECK(sure.best_reading(slope, 1).share < inputs.best_reading(slope, 1).share);
}

TEST_CASE("A reading takes away what the conditional variance of Gaussians says", "[bands][inputs]") {
  // Pointing by itself: variance v, read with doubt c: v / (v + c^2) of it goes.
  const Inputs inputs = inputs_of(card_foot());
  const auto count = static_cast<Eigen::Index>(inputs.list().size());
  Eigen::VectorXd slope = Eigen::VectorXd::Zero(count);
  slope[inputs.ways()] = 2;
  REQUIRE(inputs.list()[static_cast<std::size_t>(inputs.ways())].key == "plantarflexion_deg");
  const auto best = inputs.best_reading(slope, 4);
  CHECK(best.key == "plantarflexion_deg");
  CHECK(best.on_card);
  CHECK(best.share == Approx(0.5));  // on the card: known as well as it can be read
}

TEST_CASE("A foot of unknown doubt leaves the guesses", "[bands][inputs]") {
  foot::Foot bare = *card_foot();
  bare.covariance.clear();
  const Inputs inputs = inputs_of(std::make_shared<const foot::Foot>(bare));
  CHECK(inputs.ways() == 0);
  CHECK(inputs.share() == 0);
  CHECK(inputs.list().size() > 20);
}

TEST_CASE("What cannot matter in a position is not varied", "[bands][inputs]") {
  const auto has = [](const Inputs& inputs, const std::string& key) {
    for (const Input& input : inputs.list())
      if (input.key == key) return true;
    return false;
  };
  stance::StandOptions flat, one;
  flat.position = stance::Position::parallel;
  one.position = stance::Position::full_pointe_one;
  CHECK(has(inputs_of(card_foot(), flat), "flat_cop_share"));
  CHECK_FALSE(has(inputs_of(card_foot()), "flat_cop_share"));
  CHECK(has(inputs_of(card_foot(), one), "subtalar_command_deg"));
  CHECK_FALSE(has(inputs_of(card_foot()), "subtalar_command_deg"));
  CHECK(has(inputs_of(card_foot()), "mass_kg"));
  one.load_N = 300;
  CHECK_FALSE(has(inputs_of(card_foot(), one), "mass_kg"));
}

TEST_CASE("Words name guesses as guesses and what would narrow a band", "[bands][words]") {
  const std::vector<findings::DoubtSource> sources = {
      {"lining_friction", "friction of skin on the lining", true, .5, .6},
      {"foot_shape", "what the card leaves open", false, .2, .25},
      {"tone_factor", "tone", true, .05, .05}};
  CHECK(source_words(sources, {"toes.hallux.length_mm", 0.19, false}) ==
        "comes mostly from friction of skin on the lining, a guess (60 %), what the card leaves open (25 %); measure "
        "length of the hallux to narrow it by 10 %");
  CHECK(source_words(sources, {"ball_girth_mm", 0.19, true}).find("measure ball girth once more") != std::string::npos);
  CHECK(source_words(sources, {"toes.little.length_mm", 0.05, false}).find("measure") == std::string::npos);
  CHECK(source_words({}, {}).empty());
}
