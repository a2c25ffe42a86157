// Hands on the program: cancelling, numbers that few feet have, typing, trying, comparing, picking.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <fstream>

#include "aplomb/report/camera.h"
#include "app_program.h"

using namespace aplomb;
using namespace aplomb::viewer;
using test::Program;

namespace {

constexpr int escape = 256;

/// Begins the shown position and stops it half way.
void cancel_half_way(Program& program) {
  program.until([&] { return program.screen().work.busy; });
  program.ask_once([](Asked& asked) { asked.cancel = true; });
  program.until([&] { return !program.screen().work.busy; });
  for (int i = 0; i < 20; ++i) program.frame();
  REQUIRE_FALSE(program.screen().work.busy);
  REQUIRE_FALSE(program.screen().seats[0].current);
}

Message unlikely(Program& program) {
  for (const Message& message : program.screen().messages)
    if (message.accept) return message;
  return {};
}

}  // namespace

TEST_CASE("what was cancelled stays so until something else is asked for", "[hands]") {
  Program program;
  program.app().set_position(stance::Position::roll_down);
  cancel_half_way(program);
  SECTION("another position") {
    program.app().set_position(stance::Position::parallel);
    program.settle();
    CHECK(program.screen().seats[0].current);
  }
  SECTION("a number that nobody dragged") {
    program.app().set_position(stance::Position::on_box);
    program.seat(0).shoe.words["throat"] = "v";
    program.settle();
    CHECK(program.screen().seats[0].current);
    program.ask([](Asked& asked) { asked.undo = true; });
    CHECK(program.screen().seats[0].current);
  }
}

TEST_CASE("keys belong to a field while it is typed in", "[hands]") {
  Program program;
  program.seat(0).shoe.changes["crown_height_mm"] = 41;
  program.settle();
  ImGuiIO& io = ImGui::GetIO();
  io.KeyCtrl = true;  // a number is typed after Ctrl and a click on its slider
  program.click("shoe.inner_length_mm");
  REQUIRE(io.WantTextInput);
  program.press('Z');
  io.KeyCtrl = false;
  CHECK(program.seat(0).shoe.changes.at("crown_height_mm") == 41);
  program.screen().messages.push_back({"a message"});
  program.press(escape);
  CHECK(program.says("a message"));
}

TEST_CASE("a number that few feet have is asked about for the foot that has it", "[hands]") {
  Program program;
  Subject& subject = program.screen().document.subject;
  subject.side_by_side = true;
  program.screen().active_seat = 0;
  program.seat(1).foot.changes["heel_breadth_mm"] = 78;
  program.settle();
  REQUIRE(unlikely(program).accept);
  CHECK(unlikely(program).text.starts_with("Second view: heel_breadth_mm: "));
  CHECK(unlikely(program).accept == Unlikely{"heel_breadth_mm", 1});
  // Another number of the same foot takes the card's place, and none is asked about while it is dragged.
  program.seat(1).foot.changes["heel_breadth_mm"] = 79;
  program.settle();
  CHECK(program.screen().messages.size() == 1);
  Message open_question{"either.xyz: cannot tell the side"};
  open_question.question = ScanQuestion{};
  program.screen().messages.insert(program.screen().messages.begin(), open_question);
  program.frame();
  program.click("accept");
  program.settle();
  CHECK(program.seat(0).foot.accepted.empty());
  CHECK(program.seat(1).foot.accepted == std::vector<std::string>{"heel_breadth_mm"});
  REQUIRE(program.screen().messages.size() == 1);
  CHECK(program.screen().messages[0].question);
  REQUIRE(program.screen().shown(1));
  CHECK_FALSE(program.screen().shown(1)->error);
}

TEST_CASE("one foot in two shoes is asked about once, and meant in both", "[hands]") {
  Program program;
  program.screen().document.subject.side_by_side = true;
  program.seat(1).shoe.changes["crown_height_mm"] = 41;
  for (std::size_t seat = 0; seat < 2; ++seat) program.seat(seat).foot.changes["heel_breadth_mm"] = 78;
  program.settle();
  CHECK(program.screen().messages.size() == 1);
  program.click("accept");
  program.settle();
  CHECK(program.screen().messages.empty());
  CHECK(program.seat(0).foot.accepted.size() == 1);
  CHECK(program.seat(0).foot == program.seat(1).foot);
  // Put right instead, nothing is asked any more.
  program.seat(0).foot.changes["ball_length_mm"] = 205;
  program.settle();
  REQUIRE(unlikely(program).accept);
  program.seat(0).foot.changes.erase("ball_length_mm");
  program.settle();
  CHECK(program.screen().messages.empty());
}

TEST_CASE("undo brings a try back with its words", "[hands]") {
  Program program;
  Subject& subject = program.screen().document.subject;
  subject.side_by_side = true;
  subject.trying = "a lower crown";
  subject.seat[1].shoe.changes["crown_height_mm"] = 38;
  program.settle();
  CHECK(program.words("trying") == "Second view: a lower crown");
  program.ask([](Asked& asked) { asked.leave_try = true; });
  CHECK(program.words("trying").empty());
  program.ask([](Asked& asked) { asked.undo = true; });
  program.frame();
  CHECK(program.words("trying") == "Second view: a lower crown");
  program.ask([](Asked& asked) { asked.redo = true; });
  CHECK(program.words("trying").empty());
}

TEST_CASE("the difference is from what stood here before, in the position that is shown", "[hands]") {
  Program program;
  const SeatView& view = program.screen().seats[0];
  program.screen().document.look.skin = SkinLook::difference;
  program.settle();
  CHECK_FALSE(view.compared());  // nothing has been changed
  CHECK_FALSE(view.comes);
  const auto before = view.solved;
  program.seat(0).shoe.changes["crown_height_mm"] = 38;
  program.settle();
  CHECK(view.reference == before);
  program.app().set_position(stance::Position::parallel);
  program.settle();
  REQUIRE(view.compared());
  CHECK(view.reference->position == stance::Position::parallel);
  CHECK(view.reference->choice == before->choice);
  CHECK(view.reference->choice != view.solved->choice);
}

TEST_CASE("a place that was picked is read again from every answer", "[hands]") {
  Program program;
  const SeatView& view = program.screen().seats[0];
  const auto frame = view.frame({});
  Orbit orbit;
  look_from(orbit, StandardView::front);
  viewer::frame(orbit, frame->scene.side, report::extent_of(frame->scene), 400, 400);
  Picked spot;
  spot.position = stance::Position::on_box;
  spot.camera = camera_of(orbit, frame->scene.side, 400, 400);
  // Somewhere near the box.
  for (int place = 0; place < 6400 && !program.screen().picked; ++place) {
    spot.x_px = 5 * (place % 80), spot.y_px = 5 * (place / 80);
    const auto found = picked_again(spot, frame, stance::Position::on_box);
    if (found && found->what.gap_mm < 4 && found->what.gap_mm > 0.5) program.screen().picked = found;
  }
  REQUIRE(program.screen().picked);
  const std::string gap = [&] { return program.frame(), program.words("picked.gap"); }();
  REQUIRE_FALSE(gap.empty());
  program.seat(0).shoe.changes["crown_height_mm"] = 46;
  program.settle();
  REQUIRE(program.screen().picked);
  CHECK(program.screen().picked->frame == view.frame({}));
  CHECK(program.screen().picked->frame != frame);
  CHECK(program.words("picked.gap") != gap);
  program.app().set_position(stance::Position::parallel);
  program.settle();
  CHECK_FALSE(program.screen().picked);
}

TEST_CASE("a length on the slice goes with the slice", "[hands]") {
  Program program;
  ImGuiIO& io = ImGui::GetIO();
  Look& look = program.screen().document.look;
  look.slice = SliceAxis::across;
  program.frame(), program.frame();
  const auto measure = [&] {
    for (const auto& item : program.app().record().items)
      if (item.id == "slice.sheet")
        io.MousePos = {static_cast<float>(item.x + 0.2 * item.w), static_cast<float>(item.y + 0.5 * item.h)};
    program.frame();
    io.MouseDown[0] = true;
    program.frame();
    io.MousePos.x += 80;
    program.frame();
    io.MouseDown[0] = false;
    program.frame();
    REQUIRE_FALSE(program.words("slice.ruler").empty());
  };
  measure();
  look.slice_mm += 5;
  program.frame();
  CHECK(program.words("slice.ruler").empty());
  measure();
  look.orbit.turn_deg += 180;  // drawn the other way round
  program.frame();
  CHECK(program.words("slice.ruler").empty());
  measure();
  program.seat(0).shoe.changes["crown_height_mm"] = 44;
  program.settle();
  CHECK(program.words("slice.ruler").empty());
}

TEST_CASE("the slice is of the view whose numbers are shown", "[hands]") {
  Program program;
  program.screen().document.look.slice = SliceAxis::across;
  program.screen().document.look.slice_mm = 20;
  program.screen().document.subject.side_by_side = true;
  program.seat(1).shoe.changes["platform_breadth_mm"] = 80;  // cannot be made: nothing to cut
  program.settle();
  program.screen().active_seat = 0;
  program.frame();
  CHECK_FALSE(program.words("slice.legend").empty());
  program.screen().active_seat = 1;
  program.frame();
  CHECK(program.words("slice.legend").empty());
}

TEST_CASE("what was said stays in its order when a session is opened, and each thing is said once", "[hands]") {
  Program program;
  program.ask([](Asked& asked) { asked.save = true; });
  const std::filesystem::path file = program.folder.path / "none.json";
  REQUIRE(std::filesystem::exists(file));
  program.screen().messages = {{"z, said first"}, {"a, said last"}, {"z, said first"}};
  REQUIRE(program.app().drop(file));
  program.settle();
  std::vector<std::string> said;
  for (const Message& message : program.screen().messages) said.push_back(message.text);
  REQUIRE(said.size() >= 2);
  CHECK(said[0] == "z, said first");
  CHECK(said[1] == "a, said last");
  CHECK(std::count(said.begin(), said.end(), said[0]) == 1);
}

TEST_CASE("an answer about a scan takes its question away, not what was said since", "[hands]") {
  Program program;
  Message asks{"which unit?"};
  asks.question = ScanQuestion{};
  program.screen().messages = {asks, {"said since"}};
  program.ask_once(
      [&](Asked& asked) { asked.scan = ScanWish{.file = program.folder.path / "gone.ply", .seat = 0, .options = {}}; });
  REQUIRE(program.screen().messages.size() >= 1);
  CHECK(program.screen().messages[0].text == "said since");
  program.settle();
}

TEST_CASE("a length on the slice is laid and moved by keys too", "[hands]") {
  constexpr int key_r = 'R', right = 262, up = 265;
  Program program;
  ImGuiIO& io = ImGui::GetIO();
  const auto length_mm = [&] {
    program.frame();
    for (const auto& item : program.app().record().items)
      if (item.id == "slice.ruler") return item.value.value_or(0);
    return 0.0;
  };
  program.press(key_r);
  CHECK(length_mm() == 0);  // no slice, no length
  program.screen().document.look.slice = SliceAxis::across;
  program.frame();
  program.press(key_r);
  CHECK(length_mm() == Approx(10));
  io.KeyCtrl = true;
  program.press(right), program.press(right);
  CHECK(length_mm() == Approx(12));
  io.KeyShift = true;
  for (int k = 0; k < 5; ++k) program.press(up);
  io.KeyCtrl = io.KeyShift = false;
  CHECK(length_mm() == Approx(13));  // 12 across and 5 up
  const double turned_deg = program.screen().document.look.orbit.turn_deg;
  program.press(right);
  CHECK(length_mm() == Approx(13));
  CHECK(program.screen().document.look.orbit.turn_deg != turned_deg);
}

TEST_CASE("the client's page says in plain words why it shows nothing", "[hands]") {
  Program program;
  program.screen().document.look.client = true;
  program.frame();
  CHECK(program.words("client.none").empty());
  CHECK_FALSE(program.words("client.1").empty());
  program.seat(0).shoe.changes["platform_breadth_mm"] = 80;
  program.settle();
  CHECK(program.words("client.none").starts_with("This foot and this shoe do not go together"));
  program.seat(0).shoe.changes.clear();
  program.app().set_position(stance::Position::roll_down);
  program.frame(), program.frame();
  CHECK(program.words("client.none").starts_with("One moment"));
  cancel_half_way(program);
  CHECK(program.words("client.none") == "The foot was not let find its place.");
}

TEST_CASE("the client's page is of the view whose numbers are shown", "[hands]") {
  Program program;
  program.screen().document.subject.side_by_side = true;
  program.seat(1).shoe.changes["platform_breadth_mm"] = 80;
  program.screen().active_seat = 1;
  program.screen().document.look.client = true;
  program.settle();
  CHECK_FALSE(program.words("client.none").empty());
  program.screen().active_seat = 0;
  program.frame();
  CHECK(program.words("client.none").empty());
}
