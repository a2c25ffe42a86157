// Does the foot go in: heads held at known heights in a shoe of known length.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "aplomb/findings/assess.h"
#include "standing_foot.h"

using namespace aplomb;
using namespace aplomb::findings;
using namespace aplomb::findings::test;
using U = stance::FootUnknowns;

namespace {

/// Seated and loaded states whose second metatarsal head stands so high over the inner platform.
struct Held {
  stance::Stance stance = unsolved_stance();
  contact::Equilibrium seat, rest;

  Held(double inner_length_mm, double seat_mm, double rest_mm, double load_N) {
    auto shoe = std::make_shared<shoe::Shoe>(*stance.shoe);
    shoe->parameters.inner_length_mm = inner_length_mm;
    stance.shoe = shoe;
    seat = at(seat_mm, 10);
    rest = at(rest_mm, load_N);
  }

  contact::Equilibrium at(double head_mm, double load_N) const {
    contact::Equilibrium state = standing_state(stance);
    const double head = pose_foot(stance, state).joint_centre_S("MTP2").z();
    state.q[U::slide_z] += stance.shoe->box.platform_z() + head_mm - head;
    state.load_N = load_N;
    return state;
  }

  double past_seat() const { return heel_past_seat_mm(pose_foot(stance, seat), pose_foot(stance, rest)); }

  bool goes_in(double shank_heel_percent = 2) const {
    Findings f;
    f.load_share = LoadShare{.platform = 100 - shank_heel_percent, .shank_heel = shank_heel_percent};
    find_goes_in(pose_foot(stance, seat), pose_foot(stance, rest), f);
    return f.goes_in;
  }
};

/// Heel to second metatarsal head of the template: 177.56 - 0.455 mm (meshes/foot/template.json).
constexpr double behind_head_mm = 177.56 - 0.454996977788511;

}  // namespace

TEST_CASE("How far the heel ends past its seat is head height plus foot behind it minus shoe", "[findings][goes_in]") {
  CHECK(Held(240, 70, 60, 150).past_seat() == Approx(60 + behind_head_mm - 240).epsilon(1e-9));
  CHECK(Held(220, 70, 60, 150).past_seat() == Approx(60 + behind_head_mm - 220).epsilon(1e-9));
  // Asked at 150 N: half way from 10 to 290 N, half way down.
  CHECK(Held(240, 70, 60, 290).past_seat() == Approx(65 + behind_head_mm - 240).epsilon(1e-9));
  // Or between the two load steps next to it: 100 N and 200 N, half way down.
  Held walked(240, 70, 50, 500);
  for (auto [load_N, head] :
       {std::pair(60.0, 69.0), std::pair(100.0, 68.0), std::pair(200.0, 56.0), std::pair(500.0, 51.0)})
    walked.stance.path.way.push_back({load_N, walked.at(head, load_N).q});
  CHECK(walked.past_seat() == Approx(62 + behind_head_mm - 240).epsilon(1e-9));
  // A child who weighs less than that is judged at what she weighs.
  CHECK(Held(240, 70, 60, 120).past_seat() == Approx(60 + behind_head_mm - 240).epsilon(1e-9));
}

TEST_CASE("A shoe too short or a box that stops the foot: does not go in", "[findings][goes_in]") {
  CHECK(Held(240, 70, 60, 150).goes_in());
  CHECK(Held(240, 90, 68, 150).goes_in());        // past by 5: the heel is pressed, but in
  CHECK_FALSE(Held(240, 90, 70, 150).goes_in());  // hung up in a narrow box
  CHECK_FALSE(Held(220, 70, 60, 150).goes_in());  // too short
  CHECK(Held(220, 70, 60, 150).goes_in(55));      // it is the heel that carries: it has arrived
}

TEST_CASE("A foot far longer than the shoe does not go in, whether or not a balance is found", "[findings][goes_in]") {
  const double length = unsolved_stance().foot->length_mm;
  Held just(length - 24, 70, 60, 150), far(length - 26, 70, 60, 150);
  for (Held* held : {&just, &far}) {
    held->stance.path.seat = held->seat;
    held->stance.path.loaded = held->rest;
    held->stance.path.loaded.reason = "no balance";
  }
  CHECK(assess(just.stance).goes_in);
  const Findings f = assess(far.stance);
  CHECK_FALSE(f.goes_in);
  CHECK_FALSE(f.converged);
  CHECK_FALSE(f.sink_mm);
  CHECK(f.reason == "the foot is far longer than the shoe");
}

TEST_CASE("A foot with a toe that stays outside the box does not go in", "[findings][goes_in]") {
  Held held(240, 70, 60, 150);
  held.stance.path.seat = held.seat;
  held.stance.path.loaded = held.rest;
  held.stance.path.loaded.reason = "the little toe stays outside the box";
  CHECK(assess(held.stance).goes_in);  // no balance, for another reason
  held.stance.toes_outside = {4};
  const Findings f = assess(held.stance);
  CHECK_FALSE(f.goes_in);
  CHECK(f.reason == "the little toe stays outside the box");
}
