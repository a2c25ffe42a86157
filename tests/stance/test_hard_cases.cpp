// The hard cases of tests/cases: each balances or says why not, and those that the trade knows show what it expects.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <chrono>
#include <filesystem>
#include <map>

#include "aplomb/stance/positions.h"
#include "stands.h"

using namespace aplomb;
using namespace aplomb::stance;
using namespace aplomb::stance::test;

namespace {

struct Case {
  FootPtr foot;
  ShoePtr shoe;
  std::optional<double> load_N;
};

std::map<std::string, Case> cases() {
  std::map<std::string, Case> out;
  for (const auto& entry : std::filesystem::directory_iterator(project() / "tests" / "cases")) {
    if (!entry.is_directory()) continue;
    const std::string name = entry.path().filename();
    CAPTURE(name);
    foot::FitOptions outside_the_likely;
    outside_the_likely.unlikely_sds = 100;
    const foot::Card card = need(foot::read_card(entry.path() / "foot.toml"));
    Case one{
        std::make_shared<const foot::Foot>(need(foot::fit_card(card, model(), prior(), outside_the_likely))),
        std::make_shared<const shoe::Shoe>(need(shoe::make_shoe(need(shoe::read_shoe(entry.path() / "shoe.toml"))))),
        {}};
    if (name == "double_load") one.load_N = 2 * 9.80665 * *card.numbers[foot::mass];
    out.emplace(name, std::move(one));
  }
  return out;
}

/// The case in a position: balanced, with findings; or a reason and none.
findings::Findings stand_case(const Case& one, Position position) {
  StandOptions options;
  options.position = position;
  options.load_N = one.load_N;
  const Stance stance = need(stand(one.foot, one.shoe, options));
  const findings::Findings found = findings::assess(stance);
  CHECK(found.converged == stance.rest().converged);
  if (!stance.rest().converged) {
    CHECK_FALSE(stance.rest().reason.empty());
    CHECK_FALSE(found.load_share);
    return found;
  }
  check_residuals(stance.rest());
  CHECK(stance.rest().give_residual <= 1e-4);
  CHECK(stance.rest().q.allFinite());
  if (found.load_share) CHECK(found.load_share->sum() == Approx(100).margin(0.1));
  return found;
}

double wall(const findings::Findings& f) { return f.load_share->wall_normal + f.load_share->wall_friction; }

}  // namespace

TEST_CASE("hard cases on full pointe") {
  std::map<std::string, findings::Findings> found;
  for (const auto& [name, one] : cases()) {
    CAPTURE(name);
    found[name] = stand_case(one, Position::full_pointe_one);
    INFO(found[name].reason);
    CHECK(found[name].converged);
  }
  REQUIRE(found.size() >= 19);
  // Common practice, no source: what each case is known for. The plain shoes are those the cases were made from.
  StandOptions on_one;
  on_one.position = Position::full_pointe_one;
  const auto plain = [&](const char* shoe) { return stood(sample_foot(), make_shoe(shoe), on_one).findings; };
  const findings::Findings parallel = plain("parallel"), tapered = plain("tapered");
  CHECK(wall(found["very_wide_box"]) < wall(parallel));
  CHECK(wall(found["far_too_narrow_box"]) > wall(tapered));
  CHECK(found["no_friction"].load_share->wall_friction == Approx(0).margin(1e-9));
  CHECK(*found["no_friction"].depth_mm > *tapered.depth_mm);
  CHECK(found["much_friction"].load_share->wall_friction > tapered.load_share->wall_friction);
  CHECK(*found["soaked_box"].wall_give_mm > *tapered.wall_give_mm);
  CHECK(*found["double_load"].peak_kPa > *tapered.peak_kPa);
  CHECK(found["second_toe_longer"].toes[1].load_share > parallel.toes[1].load_share);
  CHECK(*found["no_wings"].wing_cover_medial_mm < *parallel.wing_cover_medial_mm);
  CHECK_FALSE(found["no_heel_tension"].break_point.held);
}

TEST_CASE("hard cases in every position", "[.][long][cases]") {
  int balanced = 0, all = 0;
  for (const auto& [name, one] : cases())
    for (int p = 0; p < static_cast<int>(position_names().size()); ++p) {
      const auto position = static_cast<Position>(p);
      CAPTURE(name, stance::name(position));
      const auto started = std::chrono::steady_clock::now();
      const findings::Findings found = stand_case(one, position);
      const double seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - started).count();
      ++all;
      balanced += found.converged ? 1 : 0;
      if (!found.converged)
        fmt::print("result: {}, {}: no balance: {} ({:.0f} s)\n", name, stance::name(position), found.reason, seconds);
      else if (seconds > 20)
        fmt::print("result: {}, {}: balances after {:.0f} s\n", name, stance::name(position), seconds);
    }
  fmt::print("result: {} of {} stands of the hard cases balance\n", balanced, all);
  CHECK(balanced >= 0.95 * all);
}
