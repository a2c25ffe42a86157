// Ways up and down in the program behind the window: demi-pointe and its rise, state by state.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "app_program.h"
#include "viewer/export.h"

using namespace aplomb;
using namespace aplomb::viewer;
using test::Program;

TEST_CASE("demi-pointe is shown risen, and its rise is played from flat through every state that was solved", "[way]") {
  Program program;
  program.app().set_position(stance::Position::demi_pointe);
  program.settle();
  const auto solved = program.screen().seats[0].solved;
  REQUIRE(solved);
  REQUIRE(solved->frames.size() == 9);
  REQUIRE(solved->heights.size() == 9);
  const auto& step = program.screen().document.look.step;
  CHECK_FALSE(step);
  CHECK(program.screen().seats[0].frame(step).get() == &solved->frames.back());
  const std::string risen = solved->frames.back().title, flat = solved->frames.front().title;
  CHECK(program.words("step") == risen);
  CHECK(program.words("height.0") == risen.substr(5));  // without "heel "
  for (std::size_t i = 1; i < solved->frames.size(); ++i) {
    const auto &before = solved->frames[i - 1].scene, &after = solved->frames[i].scene;
    CHECK((after.ankle_centre - before.ankle_centre).norm() > 1);
    CHECK(after.pressure_kPa != before.pressure_kPa);
  }

  program.click("play");
  CHECK(program.screen().playing);
  CHECK(step == 0);
  program.frame();
  CHECK(program.words("step") == flat);
  std::vector<std::string> seen;
  program.until([&] {
    const std::string now = program.words("step");
    if (!now.empty() && (seen.empty() || seen.back() != now)) seen.push_back(now);
    return program.screen().document.subject.position != stance::Position::demi_pointe;
  });
  REQUIRE(seen.size() == 9);
  for (std::size_t i = 0; i < seen.size(); ++i) CHECK(seen[i] == solved->frames[i].title);
}

TEST_CASE("the client's page prints the state that is shown, from where it is seen", "[way]") {
  Program program;
  program.app().set_position(stance::Position::demi_pointe);
  program.settle();
  ClientExport what{program.screen().seats[0].solved};
  const auto& frames = what.solved->frames;
  CHECK(client_page(what).scene == &frames.back().scene);
  what.step = 2;
  look_from(what.orbit, StandardView::under);
  const report::FittingPage page = client_page(what);
  CHECK(page.scene == &frames[2].scene);
  CHECK(page.subtitle.ends_with(frames[2].title));
  REQUIRE(page.camera);
  CHECK(page.camera->forward_S.z() > 0.99);  // upward
}
