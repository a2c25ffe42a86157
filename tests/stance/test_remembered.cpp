// What a system remembers of the way so as not to look again (points that stood clear, planes far from pressing) must
// not change what it says: against one that has been nowhere.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <random>

#include "aplomb/contact/system.h"
#include "setup.h"
#include "stands.h"

using namespace aplomb;
using namespace aplomb::stance;

namespace {

constexpr double arm_mm = 30;  // of an angle

/// Every unknown somewhere within `by_mm` of q.
Eigen::VectorXd near(const contact::Problem& problem, const Eigen::VectorXd& q, double by_mm, std::mt19937& random) {
  std::uniform_real_distribution<double> u(-by_mm, by_mm);
  Eigen::VectorXd out = q;
  for (Eigen::Index i = 0; i < q.size(); ++i)
    out[i] += u(random) / (problem.dof_is_length[static_cast<std::size_t>(i)] ? 1 : arm_mm);
  return out;
}

}  // namespace

TEST_CASE("forces do not hang on where the foot has been", "[remembered]") {
  const Position position = GENERATE(Position::full_pointe_one, Position::parallel);
  const char* shoe_name = GENERATE("tapered", "deep_box");
  CAPTURE(stance::name(position), shoe_name);
  StandOptions options;
  options.position = position;
  const auto shoe = test::make_shoe(shoe_name);
  const Stance stance = test::stood(test::sample_foot(), shoe, options).stance;
  const contact::Problem& problem = *stance.problem;
  std::mt19937 random(42);
  contact::System travelled(problem);
  Eigen::VectorXd R, R_fresh;
  Eigen::MatrixXd K, K_fresh;
  int touching = 0;
  const auto check = [&](const Eigen::VectorXd& q) {
    contact::System fresh(problem);
    for (contact::System* system : {&travelled, &fresh}) {
      system->freeze(q);
      system->let_areas_follow(true);
    }
    travelled.assemble(q, 1, contact::FrictionMode::none, R, &K);
    fresh.assemble(q, 1, contact::FrictionMode::none, R_fresh, &K_fresh);
    CHECK((R - R_fresh).lpNorm<Eigen::Infinity>() <= 1e-6 * stance.load_N);
    CHECK((K - K_fresh).lpNorm<Eigen::Infinity>() <= 1e-6 * K_fresh.lpNorm<Eigen::Infinity>());
    const auto a = travelled.contacts(q, contact::FrictionMode::none),
               b = fresh.contacts(q, contact::FrictionMode::none);
    CHECK(a.size() == b.size());
    touching += static_cast<int>(b.size());
  };
  // There and back between the balances of the load, by strides like those of a descent and of Newton, and lifted out.
  std::vector<Eigen::VectorXd> balances = {stance.path.seat.q};
  for (const contact::Waypoint& point : stance.path.way) balances.push_back(point.q);
  for (int round = 0; round < 3; ++round)
    for (std::size_t k = 0; k < balances.size(); ++k) {
      const Eigen::VectorXd& q = balances[round == 1 ? balances.size() - 1 - k : k];
      for (const double by_mm : {1.0, 0.1, 0.001, 0.0}) check(near(problem, q, by_mm, random));
      if (k % 4 != 0) continue;
      Eigen::VectorXd lifted = q;
      lifted[FootUnknowns::slide_z] += 12;
      travelled.freeze(lifted);
      travelled.assemble(lifted, 1, contact::FrictionMode::none, R, nullptr);
    }
  CHECK(touching > 10000);
}

TEST_CASE("an answer while dragging stops where the one before had to", "[remembered]") {
  StandOptions options;
  options.position = Position::full_pointe_one;
  const Stance before = test::stood(test::sample_foot(), test::make_shoe("parallel"), options).stance;
  const auto farthest = [](const Stance& stance) {
    double most = 0;
    for (double off : stance.rest().off_line_mm) most = std::max(most, std::abs(off));
    return most;
  };
  REQUIRE(farthest(before) > 0.5);
  const auto wider = test::make_shoe("parallel", [](shoe::ShoeParameters& numbers) { numbers.ball_breadth_mm += 0.2; });
  options.solve = contact::dragging_options(before.solved);
  const Stance dragged = test::stood(test::sample_foot(), wider, options).stance;
  CHECK(dragged.rest().aim == before.rest().aim);
  CHECK(dragged.rest().iterations < 40);
  test::check_residuals(dragged.rest());
  // The full answer gets there by strides of half a millimetre and more.
  options.solve = {};
  const Stance full = test::stood(test::sample_foot(), wider, options).stance;
  CHECK(std::abs(farthest(dragged) - farthest(full)) < 1.5);
  CHECK(dragged.rest().iterations < full.rest().iterations / 3);
}

TEST_CASE("what it would take to get over is found beside the answer before, and is the same", "[remembered]") {
  const auto foot = test::make_foot([](foot::Card& card) { card.numbers[foot::plantarflexion] = 62; });
  StandOptions options;
  const Stance before = test::stood(foot, test::make_shoe("parallel"), options).stance;
  REQUIRE(before.hold.at_limit);
  REQUIRE(before.needed);
  REQUIRE(before.solved->beyond);
  const auto wider = test::make_shoe("parallel", [](shoe::ShoeParameters& numbers) { numbers.ball_breadth_mm += 0.2; });
  const Stance full = test::stood(foot, wider, options).stance;
  options.solve = contact::dragging_options(before.solved);
  const Stance dragged = test::stood(foot, wider, options).stance;
  REQUIRE(full.needed);
  REQUIRE(dragged.needed);
  CHECK(dragged.needed->pointing_deg == Approx(full.needed->pointing_deg).margin(0.05));
  CHECK(dragged.needed->moment_Nm == Approx(full.needed->moment_Nm).margin(0.05));
  REQUIRE(dragged.solved->beyond);
  CHECK(dragged.solved->beyond->loaded.iterations < full.solved->beyond->loaded.iterations / 2);
}
