// Autosaves: whose they are, who may have them, and when they go.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/state_folder.h"

#include <unistd.h>

#include <catch2/catch.hpp>
#include <fstream>

#include "state_home.h"

using namespace aplomb;
using namespace aplomb::viewer;
namespace fs = std::filesystem;

namespace {

KeptSession session(double crown_mm) {
  KeptSession kept;
  kept.document.subject.seat[0].shoe.changes["crown_height_mm"] = crown_mm;
  kept.file = "/a shop/fitting.json", kept.hash = "0123456789abcdef";
  return kept;
}

}  // namespace

TEST_CASE("a session is offered once its program is gone, to one program, whole", "[state_folder]") {
  const test::StateHome home;
  StateFolder other;
  {
    StateFolder crashed;
    REQUIRE(crashed.keep(session(41)));
    REQUIRE(crashed.keep(session(42)));
    CHECK_FALSE(other.left_behind());  // it still runs
  }
  const auto found = other.left_behind();
  REQUIRE(found);
  CHECK(other.left_behind() == found);
  CHECK_FALSE(StateFolder().left_behind());
  const auto recovered = other.recover(*found);
  REQUIRE(recovered);
  CHECK(recovered->document == session(42).document);
  CHECK(recovered->file == session(0).file);
  CHECK(recovered->hash == session(0).hash);
}

TEST_CASE("what was recovered stays until it is kept anew", "[state_folder]") {
  const test::StateHome home;
  { REQUIRE(StateFolder().keep(session(41))); }
  {
    StateFolder second;
    REQUIRE(second.recover(second.left_behind().value()));
    CHECK(home.autosaves() == 1);  // and then its power goes off
  }
  StateFolder third;
  const fs::path left = third.left_behind().value();
  REQUIRE(third.recover(left));
  REQUIRE(third.keep(session(41)));
  CHECK_FALSE(fs::exists(left));
  CHECK(home.autosaves() == 1);
  third.forget_own();
  CHECK(home.autosaves() == 0);
}

TEST_CASE("an autosave that cannot be read stays where it is", "[state_folder]") {
  const test::StateHome home;
  StateFolder folder;
  const fs::path torn = home.folder.path / "aplomb/autosave-torn.json";
  std::ofstream(torn) << "{\"format\": \"aplomb-ses";
  REQUIRE(folder.left_behind() == torn);
  const auto recovered = folder.recover(torn);
  REQUIRE_FALSE(recovered);
  CHECK(recovered.error().file == torn.string());
  REQUIRE(folder.keep(session(41)));
  folder.forget_own();
  CHECK(fs::exists(torn));
  folder.forget(torn);
  CHECK_FALSE(fs::exists(torn));
}

TEST_CASE("a process number that comes round again hides and deletes nothing", "[state_folder]") {
  const test::StateHome home;
  fs::create_directories(home.folder.path / "aplomb");
  // As the program before this one was called, and as this one is.
  const fs::path left = home.folder.path / "aplomb" / ("autosave-" + std::to_string(::getpid()) + ".json");
  std::ofstream(left) << "{}";
  StateFolder folder;
  folder.forget_own();
  CHECK(fs::exists(left));
  CHECK(folder.left_behind() == left);
}
