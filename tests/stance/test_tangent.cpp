// How an answer moves when a number of the shoe or of the foot does: against differences of answers solved anew.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <functional>

#include "aplomb/contact/tangent.h"
#include "aplomb/foot/build.h"
#include "aplomb/foot/fit.h"
#include "setup.h"
#include "stands.h"

using namespace aplomb;
using namespace aplomb::stance;

namespace {

/// What is varied by `by`, in the number's own unit.
struct Varied {
  const char* name;
  double by;
  std::function<void(foot::Build&, shoe::ShoeParameters&, StandOptions&, double)> vary;
};

const std::vector<Varied>& varied() {
  static const std::vector<Varied> all = {
      {"load N", 1e-3, [](foot::Build&, shoe::ShoeParameters&, StandOptions& o, double by) { *o.load_N += by; }},
      {"friction", 1e-6, [](foot::Build&, shoe::ShoeParameters&, StandOptions& o, double by) { *o.friction += by; }},
      {"ball breadth mm", 1e-4,
       [](foot::Build&, shoe::ShoeParameters& s, StandOptions&, double by) { s.ball_breadth_mm += by; }},
      {"heel pull N", 1e-4, [](foot::Build&, shoe::ShoeParameters& s, StandOptions&, double by) { s.elastic_N += by; }},
      {"first number of the foot's shape", 1e-6,
       [](foot::Build& b, shoe::ShoeParameters&, StandOptions&, double by) { b.shape[1] += by; }},
  };
  return all;
}

/// Everything that a problem points to.
struct Made {
  std::shared_ptr<const foot::Foot> foot;
  std::shared_ptr<const shoe::Shoe> shoe;
  Setup setup;
};

Made made(Position position, const Varied& what, double by) {
  StandOptions options;
  options.position = position;
  options.load_N = position == Position::full_pointe_one ? 480 : 240;
  options.friction = 0.35;
  foot::Build build = foot::build_of(*test::sample_foot());
  shoe::ShoeParameters shoe = test::need(shoe::read_shoe(test::shoe_file("tapered")));
  what.vary(build, shoe, options, by);
  Made out{std::make_shared<const foot::Foot>(foot::build_foot(test::model(), build)),
           std::make_shared<const shoe::Shoe>(test::need(shoe::make_shoe(shoe))),
           {}};
  out.setup = test::need(setup_of(*out.foot, *out.shoe, options, *options.load_N));
  return out;
}

}  // namespace

TEST_CASE("the tangent of a path is the difference of paths solved anew", "[tangent]") {
  const Position position = GENERATE(Position::full_pointe_two, Position::full_pointe_one);
  contact::SolveOptions tight;
  tight.residual_tolerance = 1e-11;
  tight.tolerance_on_the_way = 1e-11;
  tight.trusted_step_mm = 0;
  for (const Varied& what : varied()) {
    CAPTURE(stance::name(position), what.name);
    const Made middle = made(position, what, 0), minus = made(position, what, -what.by),
               plus = made(position, what, what.by);
    const auto path =
        std::make_shared<const contact::LoadPath>(contact::solve(middle.setup.problem, middle.setup.start, tight));
    REQUIRE(path->loaded.converged);
    const contact::BothSides sides =
        contact::beside_path(*path, middle.setup.problem, minus.setup.problem, plus.setup.problem, tight);
    REQUIRE(sides.found);
    const auto below = contact::solve(minus.setup.problem, minus.setup.start, tight),
               above = contact::solve(plus.setup.problem, plus.setup.start, tight);
    REQUIRE(below.loaded.converged);
    REQUIRE(above.loaded.converged);
    const Eigen::VectorXd tangent = (sides.plus.q - sides.minus.q) / (2 * what.by),
                          difference = (above.loaded.q - below.loaded.q) / (2 * what.by);
    double worst = 0, largest = 0;
    for (Eigen::Index i = 0; i < tangent.size(); ++i) {
      const double mm = middle.setup.problem.dof_is_length[static_cast<std::size_t>(i)] ? 1 : 30;
      worst = std::max(worst, mm * std::abs(tangent[i] - difference[i]));
      largest = std::max(largest, mm * std::abs(difference[i]));
    }
    fmt::print("{}, {}: largest {:.4g} mm per unit, worst {:.2g} of it; {} corrections of {} balances, {} steps anew\n",
               stance::name(position), what.name, largest, worst / largest, sides.corrections, path->walked.size() + 1,
               below.seat.iterations + below.loaded.iterations);
    CHECK(worst <= 1e-4 * largest);
  }
}
