// A scan that does not tell its side, in the program behind the window: asked, answered with the mouse.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <fstream>

#include "aplomb/foot/template.h"
#include "app_program.h"
#include "viewer/library.h"
#include "viewer/session.h"

using namespace aplomb;
using namespace aplomb::viewer;
using test::Program;
namespace fs = std::filesystem;

namespace {

/// A foot and its mirror image in one: as much of a right foot as of a left one.
fs::path either_foot(const fs::path& folder) {
  const Library library = source_data::need(load_library(source_data::meshes(), {}, "test"));
  const fs::path file = folder / "either.xyz";
  std::ofstream out(file);
  for (const auto& p : library.model->mean.skin.vertices_F)
    for (const double side : {1.0, -1.0}) out << p.x() << ' ' << side * p.y() << ' ' << p.z() << '\n';
  return file;
}

}  // namespace

TEST_CASE("which foot a scan is of is asked, and a press of a button answers", "[scan_job]") {
  Program program;
  const Source before = program.seat(0).foot;
  const fs::path file = either_foot(program.folder.path);
  const auto asked = [&] {
    program.until([&] { return !program.screen().messages.empty(); });
    CHECK(program.says("either.xyz: cannot tell the side"));
    CHECK(program.seat(0).foot == before);
    program.frame();
    CHECK(program.words("scan.left") == "It is her left foot");
    CHECK(program.words("scan.right") == "It is her right foot");
    CHECK(program.words("scan.unit.mm").empty());
  };
  REQUIRE(program.app().drop(file));
  asked();
  program.click("message.close");  // left unanswered, nothing changes
  program.settle();
  CHECK(program.seat(0).foot == before);
  CHECK(program.words("scan.left").empty());

  for (const char* side : {"left", "right"}) {
    REQUIRE(program.app().drop(file));
    asked();
    program.click(std::string("scan.") + side);
    CHECK(program.words("scan.left").empty());  // asked no more
    program.until([&] { return program.seat(0).foot != before; });
    CHECK(program.seat(0).foot.file == file.string());
    program.settle();
    REQUIRE(program.screen().shown(0));
    REQUIRE(program.screen().shown(0)->foot);
    CHECK((program.screen().shown(0)->foot->side == foot::Side::left) == (side == std::string("left")));
    program.ask([](Asked& what) { what.undo = true; });
    CHECK(program.seat(0).foot == before);
    program.screen().messages.clear();
  }
}

TEST_CASE("a session that is opened leaves the scans of before, and what was asked about them", "[scan_job]") {
  Program program;
  const fs::path scan = either_foot(program.folder.path), session = program.folder.path / "session.json";
  REQUIRE(write_session(program.screen().document, session));
  const Source before = program.seat(0).foot;
  const auto forgotten = [&] {
    REQUIRE(program.app().drop(session));
    program.settle();
    program.frame();
    CHECK(program.seat(0).foot == before);
    CHECK(program.words("scan.left").empty());
    CHECK_FALSE(program.says("either.xyz"));
  };
  REQUIRE(program.app().drop(scan));  // it is being fitted, and one more waits
  REQUIRE(program.app().drop(scan));
  program.frame();
  forgotten();
  REQUIRE(program.app().drop(scan));  // asked about
  program.until([&] { return program.says("either.xyz: cannot tell the side"); });
  forgotten();
}

TEST_CASE("a scan for the second view brings that back when it was put away", "[scan_job]") {
  Program program;
  const fs::path scan = either_foot(program.folder.path);
  Subject& subject = program.screen().document.subject;
  const Source before = program.seat(0).foot;
  subject.side_by_side = true;
  program.screen().active_seat = 1;
  program.settle();
  REQUIRE(program.app().drop(scan));
  program.until([&] { return program.says("cannot tell the side"); });
  subject.side_by_side = false;
  program.screen().active_seat = 0;
  program.frame();
  program.click("scan.right");
  program.until([&] { return program.says("a right foot"); });
  CHECK(subject.side_by_side);
  CHECK(program.seat(0).foot == before);
  CHECK(program.seat(1).foot.file == scan.string());
}
