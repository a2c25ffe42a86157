// The 5 to 95 % bands in the program behind the window, frame by frame: asked for, on their way, stopped, and never
// beside an answer that they are not of.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cstdlib>

#include "aplomb/bands/doubts.h"
#include "app_program.h"

using namespace aplomb;
using namespace aplomb::viewer;
using test::Program;

namespace {

constexpr int escape = 256, key_u = 'U';  // as GLFW numbers them
constexpr AppOptions few_runs{.keeps_state = false, .solves_ahead = false, .doubt_runs = bands::least_runs};

const ScreenItem* item(Program& program, const std::string& id) {
  for (const ScreenItem& one : program.app().record().items)
    if (one.id == id) return &one;
  return nullptr;
}

int bands_shown(Program& program) {
  int count = 0;
  for (const ScreenItem& one : program.app().record().items) count += one.kind == "band" ? 1 : 0;
  return count;
}

bool runs(Program& program) { return program.screen().doubts && program.screen().doubts->running; }

void ask_for_bands(Program& program) {
  program.click("doubts");
  REQUIRE(program.screen().document.look.doubts);
}

void wait_for_a_run(Program& program) {
  program.until([&] { return runs(program) && program.screen().doubts->fraction > 0; });
}

}  // namespace

TEST_CASE("bands stand beside the answer that they are of, and undo brings them back", "[doubts]") {
  Program program(few_runs);
  CHECK(bands_shown(program) == 0);
  ask_for_bands(program);
  program.settle();
  REQUIRE(bands_shown(program) > 10);
  REQUIRE(item(program, "doubt.heel_slack_mm") != nullptr);
  const ScreenItem slack = *item(program, "doubt.heel_slack_mm");
  CHECK_THAT(slack.text, Catch::StartsWith("5 to 95 %  ~[") || Catch::StartsWith("5 to 95 %  ["));
  CHECK_THAT(slack.text, Catch::Contains("] mm, quantiles") || Catch::Contains("] mm, expansion"));
  CHECK(slack.unit == "mm");
  REQUIRE(slack.low);
  REQUIRE(slack.high);
  CHECK(*slack.low < *slack.high);
  // The very numbers of the command line's own steps, as shown.
  const auto& told = program.screen().seats[0].told;
  REQUIRE(told->doubts);
  CHECK(told->doubts->runs == bands::least_runs);
  for (const findings::Doubt& doubt : told->doubts->bands)
    if (doubt.key == "heel_slack_mm") {
      CHECK(std::abs(doubt.low - *slack.low) <= 0.05001);
      CHECK(std::abs(doubt.high - *slack.high) <= 0.05001);
    }
  CHECK(program.words("doubts.line.1").find("The band of ") == 0);
  CHECK(item(program, "doubt.toes.overlap") != nullptr);

  // In the unit of the number.
  program.screen().document.look.inches = true;
  program.frame();
  const ScreenItem* inches = item(program, "doubt.heel_slack_mm");
  REQUIRE(inches != nullptr);
  CHECK(inches->unit == "in");
  CHECK(std::abs(*inches->low - *slack.low / 25.4) <= 0.00051);
  program.screen().document.look.inches = false;

  // Other numbers: the bands are gone at once, and while others are found.
  program.seat(0).shoe.changes["ball_breadth_mm"] = 86;
  program.frame();
  CHECK(bands_shown(program) == 0);
  program.until([&] {
    CHECK(bands_shown(program) == 0);
    return runs(program);
  });
  program.ask_once([](Asked& asked) { asked.undo = true; });
  program.frame();
  CHECK(bands_shown(program) > 10);
  CHECK(program.words("doubt.heel_slack_mm") == slack.text);
  CHECK_FALSE(program.screen().doubts);  // nothing is found again
  program.settle();
  CHECK(program.words("doubt.heel_slack_mm") == slack.text);
  // Switched off they are hidden, and at hand when switched on again.
  program.press(key_u);
  CHECK(bands_shown(program) == 0);
  program.press(key_u);
  CHECK(program.words("doubt.heel_slack_mm") == slack.text);
  CHECK_FALSE(program.screen().doubts);
}

TEST_CASE("bands show how far they are, and are stopped by button, key and another number", "[doubts]") {
  Program program(few_runs);
  ask_for_bands(program);
  wait_for_a_run(program);
  double fraction = 0;
  int higher = 0;
  program.until([&] {
    if (!runs(program)) return true;
    const double now = program.screen().doubts->fraction;
    CHECK(now >= fraction);
    higher += now > fraction ? 1 : 0;
    fraction = now;
    return higher == 3;
  });
  CHECK(higher == 3);
  CHECK_THAT(program.words("doubts.progress"), Catch::Contains(" of 40 runs"));
  program.click("doubts.cancel");
  CHECK_FALSE(program.screen().document.look.doubts);
  program.settle();
  CHECK(bands_shown(program) == 0);
  CHECK(program.screen().messages.empty());

  ask_for_bands(program);
  wait_for_a_run(program);
  program.press(escape);
  CHECK_FALSE(program.screen().document.look.doubts);
  program.settle();
  CHECK(bands_shown(program) == 0);

  // A number that is dragged stops them; let go, they are found for the new one.
  ask_for_bands(program);
  wait_for_a_run(program);
  program.seat(0).shoe.changes["ball_breadth_mm"] = 86;
  program.frame();
  CHECK_FALSE(runs(program));
  REQUIRE(program.screen().doubts);
  CHECK(program.screen().doubts->what == "begins once the foot has come to rest");
  program.settle();
  CHECK(bands_shown(program) > 10);
}

TEST_CASE("bands wait for the shelf, and closing does not wait for bands", "[doubts]") {
  Program program(few_runs);
  REQUIRE(program.app().drop(program.stock()));
  program.until([&] { return program.screen().shelf->so_far.fraction > 0; });
  program.press(key_u);
  REQUIRE(program.screen().doubts);
  CHECK_FALSE(runs(program));
  CHECK(program.screen().doubts->what == "waits for the shelf");
  program.ask_once([](Asked& asked) { asked.cancel_shelf = true; });
  wait_for_a_run(program);
  program.app().close();
  const auto at = std::chrono::steady_clock::now();
  program.settle();
  CHECK(std::chrono::steady_clock::now() - at < test::patience * std::chrono::seconds(5));
}

TEST_CASE("a constant that is past what is plausible has no bands, and says so", "[doubts]") {
  Program program(few_runs);
  program.seat(0).constants["tone_factor"] = 2.5;
  program.settle();
  ask_for_bands(program);
  program.settle();
  CHECK(bands_shown(program) == 0);
  CHECK_THAT(program.words("doubts.error.1"), Catch::Contains("tone_factor"));
  program.ask([](Asked& asked) { asked.undo = true; });
  CHECK(item(program, "doubts.error.1") == nullptr);
  CHECK(bands_shown(program) > 10);
}
