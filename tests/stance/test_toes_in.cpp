// Every toe goes into the box, however much too small it is; where one does not, the stand is no rest and says so.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "stands.h"
#include "toes_in.h"

using namespace aplomb;
using namespace aplomb::stance;
using namespace aplomb::stance::test;
using Catch::Contains;
using U = FootUnknowns;

namespace {

/// Far too large for the sample shoes. Invented.
const FootPtr& large_foot() {
  static const FootPtr foot = make_foot([](foot::Card& card) {
    card.numbers = {};
    card.numbers[foot::foot_length] = 251;
    card.numbers[foot::foot_breadth] = 101;
    card.numbers[foot::ball_girth] = 243;
    card.numbers[foot::plantarflexion] = 72;
    card.numbers[foot::mass] = 63;
  });
  return foot;
}

Stance stand_in(const FootPtr& foot, const char* shoe, Position position) {
  StandOptions options;
  options.position = position;
  return need(stand(foot, make_shoe(shoe), options));
}

std::vector<int> outside(const Stance& stance) {
  return toes_outside(*stance.foot, *stance.shoe, *stance.problem, stance.rest().q);
}

}  // namespace

TEST_CASE("toes that would go over the edge of a box far too small are led in") {
  // By itself the whole foot comes out over the front edge of the one, the little toe of the other.
  const auto [shoe, position] =
      GENERATE(std::pair("parallel", Position::full_pointe_one), std::pair("deep_box", Position::full_pointe_two));
  CAPTURE(shoe);
  const Stance stance = stand_in(large_foot(), shoe, position);
  REQUIRE(stance.rest().converged);
  CHECK(outside(stance).empty());
  CHECK(stance.toes_outside.empty());
  const findings::Findings found = findings::assess(stance);
  CHECK_FALSE(found.goes_in);
  CHECK(found.load_share->platform > 25);
  CHECK(found.load_share->vamp < 25);
  for (const auto& state : {stance.rest(), stance.path.seat}) CHECK(state.force_residual <= 1e-4);
}

TEST_CASE("toes are led in where a box on the way holds no seat") {
  StandOptions options;
  options.position = Position::full_pointe_two;
  const ShoePtr shoe = make_shoe("deep_box");
  const Setup setup = need(setup_of(*large_foot(), *shoe, options, 250));
  options.solve.max_iterations = 1;
  REQUIRE_FALSE(contact::seat(setup.problem, setup.start, 10, options.solve).converged);
  const auto led = led_in(setup, options.solve, {});
  REQUIRE(led);
  const auto seat = contact::seat(setup.problem, *led, 10, contact::SolveOptions{});
  CHECK(seat.converged);
  CHECK(toes_outside(*large_foot(), *shoe, setup.problem, seat.q).empty());
}

TEST_CASE("a toe beyond the wall is outside the box") {
  const Stance stance = stand_in(sample_foot(), "parallel", Position::full_pointe_two);
  REQUIRE(outside(stance).empty());
  const auto bent = [&](std::vector<int> toes) {
    Eigen::VectorXd q = stance.rest().q;
    for (const int toe : toes) q[U::mtp_flexion + toe] -= 1.2;  // up and over the vamp
    return toes_outside(*stance.foot, *stance.shoe, *stance.problem, q);
  };
  CHECK(bent({4}) == std::vector<int>{4});
  CHECK(bent({0, 3}) == std::vector<int>{0, 3});
  // Where the wall has moved out at the dorsum, there is room that the box at rest does not have.
  Eigen::VectorXd q = stance.rest().q;
  q[U::slide_x] += 22;
  const std::vector<int> at_rest = toes_outside(*stance.foot, *stance.shoe, *stance.problem, q);
  REQUIRE_FALSE(at_rest.empty());
  for (int hat = 0; hat < shoe::WallGive::hats; ++hat)
    q[stance.problem->surfaces[0].give->first_dof + shoe::WallGive::index(hat, 2, false)] += 25;
  CHECK(toes_outside(*stance.foot, *stance.shoe, *stance.problem, q).size() < at_rest.size());
}

TEST_CASE("a state with toes outside is no rest, says which, and nothing follows it") {
  const Stance stance = stand_in(sample_foot(), "parallel", Position::full_pointe_two);
  const auto bent = [&](std::vector<int> toes) {
    contact::Equilibrium state = stance.rest();
    for (const int toe : toes) state.q[U::mtp_flexion + toe] -= 1.2;
    return state;
  };
  const auto judged = [&](const contact::Equilibrium& loaded, std::vector<contact::Equilibrium> further) {
    contact::LoadPath path;
    path.loaded = loaded;
    path.further = std::move(further);
    const auto toes = no_rest_outside(*stance.foot, *stance.shoe, *stance.problem, path);
    return std::pair(toes, path);
  };
  const contact::Equilibrium in = bent({});
  {
    const auto [toes, path] = judged(in, {in, in});
    CHECK(toes.empty());
    CHECK(path.loaded.converged);
    CHECK(path.further.size() == 2);
  }
  {
    const auto [toes, path] = judged(bent({4}), {in});
    CHECK(toes == std::vector<int>{4});
    CHECK_FALSE(path.loaded.converged);
    CHECK(path.loaded.reason == "the little toe stays outside the box");
    CHECK(path.further.empty());
  }
  {
    const auto [toes, path] = judged(in, {in, bent({2, 3, 4}), in});
    CHECK(toes == std::vector<int>{2, 3, 4});
    CHECK(path.loaded.converged);
    REQUIRE(path.further.size() == 2);
    CHECK(path.further[0].converged);
    CHECK_FALSE(path.further[1].converged);
    CHECK(path.further[1].reason == "the third, fourth and little toes slip out of the box");
  }
  CHECK(judged(bent({0, 1, 2, 3, 4}), {}).second.loaded.reason == "the toes stay outside the box");
  // What did not balance anyway keeps its own reason.
  contact::Equilibrium lost = bent({4});
  lost.converged = false, lost.reason = "no balance";
  CHECK(judged(lost, {}).first.empty());
  CHECK(judged(lost, {}).second.loaded.reason == "no balance");
}

TEST_CASE("a wider box closed about the foot leads where the foot lies by itself, when it fits") {
  const FootPtr& foot = sample_foot();
  const ShoePtr shoe = make_shoe("parallel");
  StandOptions options;
  options.position = Position::full_pointe_two;
  const double load_N = 250;
  const Setup setup = need(setup_of(*foot, *shoe, options, load_N));
  const auto led = led_in(setup, options.solve, {});
  REQUIRE(led);
  const auto by_itself = contact::seat(setup.problem, setup.start, 10, options.solve);
  const auto led_seat = contact::seat(setup.problem, *led, 10, options.solve);
  REQUIRE(by_itself.converged);
  REQUIRE(led_seat.converged);
  CHECK(toes_outside(*foot, *shoe, setup.problem, *led).empty());
  // Under 10 N alone there are two places to rest, 2.1 mm apart; under the load, one.
  CHECK(led_seat.q[U::slide_z] == Approx(by_itself.q[U::slide_z]).margin(2.5));
  const auto loaded_from = [&](const Eigen::VectorXd& start) {
    return contact::solve(setup.problem, start, options.solve).loaded.q[U::slide_z];
  };
  CHECK(loaded_from(*led) == Approx(loaded_from(setup.start)).margin(0.1));
  // Stopped: no start.
  const std::atomic<bool> now{true};
  io::Progress stopped;
  stopped.cancel = &now;
  CHECK_FALSE(led_in(setup, options.solve, stopped));
}
