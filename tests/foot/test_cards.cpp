// Cards of all kinds: every number met in the state it speaks of, measured again by other geometry; bad ones refused by
// name. The feet are invented; what counts is that a card asks and the mesh answers.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <functional>
#include <iostream>
#include <map>

#include "aplomb/foot/build.h"
#include "aplomb/foot/loading.h"
#include "aplomb/foot/random.h"
#include "aplomb/geometry/exact.h"
#include "feet.h"
#include "fuzz_cards.h"
#include "remeasure.h"

using namespace aplomb;
using namespace aplomb::foot;
using Catch::Detail::Approx;
using testing::model;
using testing::need;
using testing::prior;
using testing::remeasure;
using testing::Remeasured;

namespace {

const std::string& key(int number) { return number_table()[number].key; }

FitOptions all_meant() {
  FitOptions options;
  for (const auto& info : number_table()) options.accept_unlikely.push_back(info.key);
  return options;
}

bool is_girth(int i) { return i == ball_girth || i == heel_ankle_girth || i == ankle_girth; }

/// What a number may miss: lengths .5 mm, girths 1.5 mm, the angle 1 deg.
double allowed(int i) { return is_girth(i) ? 1.5 : i == hallux_angle ? 1.0 : 0.5; }

Foot under(const Foot& foot, Load load) { return foot_under(model(), build_of(foot), load); }

/// The largest miss of the dimensions of a card, in units of what is allowed, and whose it is.
std::pair<double, std::string> worst_miss(const Card& card, const Foot& foot) {
  const Remeasured again = remeasure(under(foot, card.load));
  std::pair<double, std::string> worst{0, ""};
  for (int i = 0; i < dimension_count; ++i) {
    if (!card.numbers[i]) continue;
    const double miss = std::abs(again.dimension[i] - *card.numbers[i]) / allowed(i);
    if (!(miss <= worst.first)) worst = {miss, key(i)};
  }
  return worst;
}

geometry::ExactReport examined(const Foot& foot) { return geometry::examine({foot.skin.vertices_F, foot.skin.faces}); }

void check_closed(const Foot& foot) {
  for (const Load load : {Load::none, Load::standing}) {
    const auto report = examined(under(foot, load));
    CAPTURE(load_names[static_cast<int>(load)]);
    CHECK(report.closed);
    CHECK(report.outward);
    CHECK(report.self_intersections == 0);
  }
}

/// Every dimension that a foot with `some` numbers is likely to have, to a quarter of a millimetre: a card that one
/// foot can meet.
Card whole_card(Card some) {
  const Foot likely = need(fit_card(some, model(), prior(), all_meant()));
  for (int i = 0; i < dimension_count; ++i)
    if (!some.numbers[i]) some.numbers[i] = std::round(4 * likely.measurements.at(key(i)).value) / 4;
  return some;
}

Card card_of(std::initializer_list<std::pair<int, double>> numbers, Load load = Load::standing) {
  Card card;
  card.load = load;
  card.numbers[foot_length] = 240;
  card.numbers[foot_breadth] = 91;
  for (const auto& [number, value] : numbers) card.numbers[number] = value;
  return card;
}

struct Named {
  std::string name;
  Card some;
};

std::vector<Named> named_feet() {
  return {
      {"Egyptian", card_of({{toe_length, 64}, {toe_length + 1, 56}, {toe_length + 2, 51}})},
      {"Greek", card_of({{toe_length, 60}, {toe_length + 1, 63}, {toe_length + 2, 55}})},
      {"square", card_of({{toe_length, 63.5}, {toe_length + 1, 61}, {toe_length + 2, 61.5}, {toe_length + 3, 54}})},
      {"bunion", card_of({{foot_breadth, 97}, {hallux_angle, 32}})},
      {"hammer toe", card_of({{toe_bend + 1, 45}})},
      {"lifted little toe", card_of({{toe_lift + 4, 7}})},
      {"high arch", card_of({{arch_height, 53}, {instep_height, 71}})},
      {"flat arch", card_of({{arch_height, 29}, {instep_height, 56}})},
      {"narrow heel", card_of({{heel_breadth, 54}})},
      {"child", card_of({{foot_length, 180}, {foot_breadth, 70}})},
      {"man", card_of({{foot_length, 290}, {foot_breadth, 111}})},
      {"sitting", card_of({{foot_length, 238}, {foot_breadth, 88}, {arch_height, 48}}, Load::none)},
      {"on one foot", card_of({{foot_length, 241}, {foot_breadth, 94}}, Load::full)},
      {"spreading", card_of({{breadth_relaxed, 86}, {breadth_squeezed, 81}})},
      {"many at once", card_of({{hallux_angle, 27},
                                {toe_bend + 1, 30},
                                {toe_lift + 4, 4},
                                {breadth_relaxed, 89},
                                {breadth_squeezed, 86},
                                {heel_breadth, 60}})},
  };
}

}  // namespace

TEST_CASE("cards: every number of every kind of foot is met, measured again by sections and hulls", "[cards]") {
  for (const Named& named : named_feet()) {
    const Card card = whole_card(named.some);
    const Foot foot = need(fit_card(card, model(), prior(), all_meant()));
    const Remeasured again = remeasure(under(foot, card.load));
    for (int i = 0; i < dimension_count; ++i) {
      CAPTURE(named.name, key(i), *card.numbers[i], again.dimension[i]);
      CHECK(std::abs(again.dimension[i] - *card.numbers[i]) < allowed(i));
      // What the foot file says is what the mesh shows.
      CHECK(std::abs(again.dimension[i] - foot.measurements.at(key(i)).value) < allowed(i));
    }
    CAPTURE(named.name);
    CHECK(again.malleolus_off_skin_mm < 1.5);
    CHECK(again.navicular_off_skin_mm < 1.5);
    check_closed(foot);

    // Toes as they lie, standing; bends count from the same foot with straight toes.
    const Remeasured standing = remeasure(under(foot, Load::standing));
    Build straight = build_of(foot);
    straight.bend_deg = {};
    straight.lift_mm = {};
    const Remeasured unbent = remeasure(foot_under(model(), straight, Load::standing));
    for (int toe = 0; toe < toe_count; ++toe) {
      CAPTURE(toe);
      const double bend = standing.knuckle_bend_deg[toe] - unbent.knuckle_bend_deg[toe];
      CHECK(bend == Approx(card.numbers[toe_bend + toe].value_or(0)).margin(1));
      // The root of a bent toe presses the ball's skin down by half a millimetre, and the floor is looked for there.
      CHECK(standing.lift_mm[toe] == Approx(card.numbers[toe_lift + toe].value_or(unbent.lift_mm[toe])).margin(0.7));
    }
    // The unloaded breadth, on the unloaded skin.
    if (card.numbers[breadth_relaxed])
      CHECK(remeasure(foot).dimension[foot_breadth] == Approx(*card.numbers[breadth_relaxed]).margin(0.5));
    if (card.numbers[breadth_squeezed]) CHECK(foot.breadth_squeezed_mm == *card.numbers[breadth_squeezed]);
  }
}

TEST_CASE("cards: a card number has the caliper's doubt, an open one what the rest leaves", "[cards]") {
  for (const Named& named : named_feet()) {
    const Foot foot = need(fit_card(named.some, model(), prior(), all_meant()));
    CAPTURE(named.name);
    REQUIRE(foot.covariance.size() == shape_count * shape_count);
    const Eigen::Map<const Eigen::Matrix<double, shape_count, shape_count>> covariance(foot.covariance.data());
    CHECK(covariance.llt().info() == Eigen::Success);
    const Numbers standing = to_standing(named.some.numbers, named.some.load);
    const Conditional rest = given(given_length(prior(), *standing[foot_length]), standing);
    for (int i = 0; i < dimension_count; ++i) {
      const Measurement& said = foot.measurements.at(key(i));
      CAPTURE(key(i), said.sd);
      if (named.some.numbers[i]) {
        CHECK(said.source == "card");
        CHECK(said.sd < 1.05 * number_table()[i].caliper_sd);
        CHECK(said.sd > 0.1 * number_table()[i].caliper_sd);
        continue;
      }
      CHECK(said.source == "prior");
      const auto k = std::find(rest.index.begin(), rest.index.end(), i) - rest.index.begin();
      const double open = std::sqrt(rest.covariance(k, k));
      // Length ties the longest toe to the ball, which the prior knows only by statistics.
      CHECK(said.sd > (i == ball_length || (i >= toe_length && i < toe_breadth) ? 0.25 : 0.75) * open);
      CHECK(said.sd < 1.4 * std::hypot(open, 0.3));
    }
  }
}

TEST_CASE("cards: every key acts", "[cards]") {
  const Foot plain = need(fit_card(card_of({}), model(), prior()));
  const auto range = [](const Foot& foot, const std::string& name) {
    const JointAxis& joint = foot.joints[static_cast<std::size_t>(joint_index(foot, name))];
    return joint.max_deg - joint.min_deg;
  };
  // Dimensions, bend and lift move the skin.
  for (int i = 0; i < breadth_relaxed; ++i) {
    Card card = card_of({});
    const auto& info = number_table()[i];
    const double now = plain.measurements.at(info.key).value;
    card.numbers[i] = now + (i >= toe_bend && i < toe_lift ? 20 : i >= toe_lift ? 4 : 2 * info.caliper_sd);
    const Foot other = need(fit_card(card, model(), prior(), all_meant()));
    double moved = 0;
    for (std::size_t v = 0; v < plain.skin.vertices_F.size(); ++v)
      moved = std::max(moved, (plain.skin.vertices_F[v] - other.skin.vertices_F[v]).norm());
    CAPTURE(info.key, moved);
    CHECK(moved > 0.3);
  }
  // A hand that takes more finds rays that turn farther; the standing foot stays.
  const Foot soft = need(fit_card(card_of({{breadth_squeezed, 82}}), model(), prior(), all_meant()));
  const Foot firm = need(fit_card(card_of({{breadth_squeezed, 86.5}}), model(), prior(), all_meant()));
  for (const char* const ray : {"TMT1_splay", "TMT5_splay"}) {
    const double ratio = (soft.breadth_relaxed_mm - 82) / (firm.breadth_relaxed_mm - 86.5);
    CHECK(range(soft, ray) / range(firm, ray) == Approx(ratio));
    CHECK(ratio > 2);
  }
  CHECK(soft.breadth_mm == firm.breadth_mm);
  // Relaxed: the unloaded skin, not the standing one.
  const Foot relaxed = need(fit_card(card_of({{breadth_relaxed, 85.5}}), model(), prior(), all_meant()));
  CHECK(relaxed.breadth_mm == Approx(plain.breadth_mm).margin(0.1));
  CHECK(remeasure(plain).dimension[foot_breadth] - remeasure(relaxed).dimension[foot_breadth] > 2);
  const Foot bendy = need(fit_card(card_of({{plantarflexion, 95}}), model(), prior()));
  CHECK(range(bendy, "ankle") > range(plain, "ankle") + 3);
  const Foot person = need(fit_card(card_of({{mass, 49.5}, {age, 14}}), model(), prior()));
  CHECK(person.mass_kg == 49.5);
  CHECK(person.age_years == 14);
}

TEST_CASE("cards: a bunion bulges beside the joint, and calipers meet it", "[cards]") {
  const auto bulge = [](const Card& card) {
    const Foot foot = under(need(fit_card(card, model(), prior(), all_meant())), Load::standing);
    const auto joint = [&](const char* name) {
      return foot.joints[static_cast<std::size_t>(joint_index(foot, name))].centre_F;
    };
    // Skin beyond the line from the base of the first ray to the second ray's head, at the first head's station.
    const Vec3 base = joint("TMT1"), second = joint("MTP2");
    const Vec3 along = (second - joint("TMT2")).normalized(), medial = Vec3::UnitZ().cross(along);
    double most = 0;
    for (const Vec3& p : foot.skin.vertices_F)
      if (std::abs(along.dot(p - joint("MTP1"))) < 8 && p.z() < 30) most = std::max(most, medial.dot(p - base));
    return most;
  };
  // Radiographs: the head lies 3 to 6 mm farther out at 34 than at 10 degrees (the angle between the first two
  // metatarsals grows by a quarter of the hallux angle, over 60 mm) [from memory], and calipers meet it there.
  const double straight = bulge(card_of({{hallux_angle, 10}}));
  const double bunion = bulge(card_of({{hallux_angle, 34}, {foot_breadth, 95}})) - straight;
  CHECK(bunion > 3);
  CHECK(bunion < 7);
  // A foot of the same breadth in spite of its bunion is narrower elsewhere.
  const double as_broad = bulge(card_of({{hallux_angle, 34}})) - straight;
  CHECK(as_broad > 2);
  CHECK(as_broad < bunion);
  // Not every broad foot has one.
  CHECK(bulge(card_of({{hallux_angle, 10}, {foot_breadth, 95}})) - straight < bunion - 1.5);
}

TEST_CASE("cards: numbers that contradict each other are refused by name", "[cards]") {
  struct Bad {
    Card card;
    std::string field;
  };
  const std::vector<Bad> bad = {
      {card_of({{foot_breadth, 95}, {ball_girth, 150}}), "ball_girth_mm"},
      {card_of({{toe_length + 1, 110}}), "toes.second.length_mm"},
      {card_of({{toe_length + 1, 85}}), "toes.second.length_mm"},
      {card_of({{ball_length, 200}, {toe_length, 64}}), "toes.hallux.length_mm"},
      {card_of(
           {{toe_length, 41}, {toe_length + 1, 45}, {toe_length + 2, 50}, {toe_length + 3, 55}, {toe_length + 4, 64}}),
       "toes.little.length_mm"},
      {card_of({{toe_length, 41}, {toe_length + 4, 64}}), "toes.little.length_mm"},
      {card_of({{toe_length + 1, 45}, {toe_length + 2, 50}, {toe_length + 4, 55}}), "toes.little.length_mm"},
      {card_of({{breadth_relaxed, 88}, {breadth_squeezed, 60}}), "foot_breadth_squeezed_mm"},
      {card_of({{breadth_relaxed, 86}}, Load::none), "foot_breadth_relaxed_mm"},
      {card_of({{toe_lift + 4, 40}, {toe_bend + 4, 90}}), "toes.little"},
  };
  for (const Bad& b : bad) {
    // Even when everything unlikely is said to be meant.
    const auto answer = fit_card(b.card, model(), prior(), all_meant());
    CAPTURE(b.field, card_text(b.card));
    REQUIRE_FALSE(answer);
    const std::string line = io::to_line(answer.error());
    CAPTURE(line);
    CHECK(answer.error().kind == io::ErrorKind::bad_input);
    CHECK(answer.error().field.find(b.field) == 0);
    CHECK_FALSE(answer.error().remedy.empty());
    CHECK(line.find('\n') == std::string::npos);
  }
}

TEST_CASE("cards: likely numbers that leave no room for the toes are refused, not drawn through each other",
          "[cards]") {
  // Each number within two SD of what the rest makes likely.
  const Card card = card_of({{foot_length, 255.2},
                             {foot_breadth, 93.5},
                             {hallux_angle, 1.06},
                             {toe_length + 1, 60.8},
                             {toe_breadth + 1, 17.0},
                             {toe_breadth + 2, 15.3},
                             {toe_breadth + 4, 13.9}},
                            Load::none);
  const auto answer = fit_card(card, model(), prior());
  if (answer) {
    check_closed(*answer);
    return;
  }
  CHECK(answer.error().kind == io::ErrorKind::bad_input);
  CHECK(answer.error().field == "hallux_angle_deg");
}

TEST_CASE("cards: an unlikely unloaded breadth has to be meant", "[cards]") {
  for (const Card& card : {card_of({{breadth_relaxed, 78}}), card_of({{breadth_squeezed, 77}})}) {
    const auto answer = fit_card(card, model(), prior());
    REQUIRE_FALSE(answer);
    CHECK(answer.error().kind == io::ErrorKind::decision_needed);
    CHECK(answer.error().remedy.find("--accept-unlikely " + answer.error().field) != std::string::npos);
  }
}

namespace {

/// How the fit took one card; fails the test where it is neither a sound foot nor a refusal by name.
struct Tally {
  std::map<std::string, int> outcomes;
  int fitted = 0, missed = 0;
  double worst = 0;

  void take(const Card& card, const FitOptions& options) {
    const auto answer = fit_card(card, model(), prior(), options);
    CAPTURE(card_text(card));
    if (!answer) {
      const io::Error& error = answer.error();
      CAPTURE(io::to_line(error));
      CHECK((error.kind == io::ErrorKind::bad_input || error.kind == io::ErrorKind::decision_needed));
      CHECK(find_number(error.field).has_value());
      CHECK_FALSE(error.message.empty());
      CHECK_FALSE(error.remedy.empty());
      CHECK(io::to_line(error).find('\n') == std::string::npos);
      CHECK(io::to_line(error).find("nan") == std::string::npos);
      ++outcomes[error.kind == io::ErrorKind::bad_input ? "bad input" : "decision needed"];
      return;
    }
    ++fitted;
    const auto finite = [](const Foot& foot) {
      return std::all_of(foot.skin.vertices_F.begin(), foot.skin.vertices_F.end(),
                         [](const Vec3& p) { return p.allFinite(); });
    };
    CHECK(finite(*answer));
    for (const auto& [name, m] : answer->measurements) CHECK((std::isfinite(m.value) && std::isfinite(m.sd)));
    check_closed(*answer);
    const auto [miss, whose] = worst_miss(card, *answer);
    worst = std::max(worst, miss);
    // Numbers that differ from each other within honest reading are met in the mean.
    missed += miss > 1;
  }
};

}  // namespace

TEST_CASE("cards: each number alone at its limits, and all together", "[cards]") {
  Tally tally;
  for (const bool top : {false, true}) {
    Card all = card_of({});
    for (int i = 0; i < number_count; ++i) {
      const auto& range = number_table()[i].range;
      Card card = card_of({{i, top ? range.max : range.min}});
      tally.take(card, {});
      tally.take(card, all_meant());
      all.numbers[i] = top ? range.max : range.min;
    }
    tally.take(all, {});
    tally.take(all, all_meant());
  }
  CHECK(tally.fitted > 10);
  CHECK(tally.outcomes["decision needed"] > 30);
}

TEST_CASE("cards: random cards are refused by name or give a sound foot", "[cards]") {
  Tally tally;
  for (std::uint64_t seed = 0; seed < 200; ++seed)
    tally.take(testing::fuzz_card(prior(), seed), seed % 8 == 0 ? all_meant() : FitOptions{});
  CHECK(tally.fitted > 20);
}

TEST_CASE("cards: ten thousand random cards", "[.][long][cards]") {
  Tally tally;
  constexpr std::uint64_t count = 10000;
  for (std::uint64_t seed = 1000; seed < 1000 + count; ++seed)
    tally.take(testing::fuzz_card(prior(), seed), seed % 8 == 0 ? all_meant() : FitOptions{});
  std::cout
      << fmt::format("result: {} random cards: {} fitted, {} need a decision, {} bad input; none else\n", count,
                     tally.fitted, tally.outcomes["decision needed"], tally.outcomes["bad input"])
      << fmt::format(
             "result: of the fitted, {} hold numbers that differ among themselves by more than .5 mm (girths 1.5); "
             "all others are met within that, measured again\n",
             tally.missed);
}
