// Undo and redo as people know them.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "viewer/history.h"

using namespace aplomb::viewer;

namespace {

Subject with_breadth(double breadth_mm) {
  Subject subject;
  subject.seat[0].shoe.changes["ball_breadth_mm"] = breadth_mm;
  return subject;
}

}  // namespace

TEST_CASE("undo goes back change by change, redo forward, a new change cuts off what was undone", "[history]") {
  History history;
  history.note(Subject());
  CHECK_FALSE(history.can_undo());
  history.note(with_breadth(85));
  history.note(with_breadth(85));  // the same again is no change
  history.note(with_breadth(86));
  REQUIRE(history.can_undo());
  CHECK(history.undo() == with_breadth(85));
  CHECK(history.undo() == Subject());
  CHECK_FALSE(history.can_undo());
  CHECK(history.redo() == with_breadth(85));
  CHECK(history.can_redo());
  history.note(with_breadth(80));
  CHECK_FALSE(history.can_redo());
}

TEST_CASE("before a choice comes the last one that was another, whatever the position was", "[history]") {
  const Choice as_opened = Subject().seat[0], broad = with_breadth(85).seat[0], broader = with_breadth(86).seat[0];
  History history;
  CHECK_FALSE(history.before(as_opened));
  history.note(Subject());
  CHECK_FALSE(history.before(as_opened));
  CHECK(history.before(broad) == as_opened);  // not noted yet: it is being dragged
  history.note(with_breadth(85));
  CHECK(history.before(broad) == as_opened);
  Subject stepped = with_breadth(85);
  stepped.position = aplomb::stance::Position::on_box;
  history.note(stepped);
  CHECK(history.before(broad) == as_opened);
  CHECK(history.before(broader) == broad);
  history.undo(), history.undo();
  CHECK_FALSE(history.before(as_opened));
}
