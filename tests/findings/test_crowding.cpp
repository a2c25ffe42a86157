// Crowding and overlap of toes pressed by plates: closed forms of plane geometry.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>

#include "blocks.h"
#include "slices.h"

using namespace aplomb;
using namespace aplomb::findings;
using namespace aplomb::findings::test;

namespace {

Findings crowding_of(const Blocks& blocks) {
  Findings f;
  find_crowding(blocks.posed(), f);
  return f;
}

constexpr double free_total_mm = 20 + 4 * 14;

}  // namespace

TEST_CASE("Toes that nothing presses lose no breadth and lie side by side", "[findings][crowding]") {
  const Findings f = crowding_of(Blocks(in_a_row()));
  CHECK(*f.crowding_index == 0);
  for (const ToeFindings& toe : f.toes) {
    CHECK(*toe.squeeze_mm == 0);
    CHECK(*toe.overlap_mm == Approx(0).margin(1e-12));
  }
}

TEST_CASE("Between two plates a toe loses what the plates take", "[findings][crowding]") {
  Blocks blocks(in_a_row());
  blocks.press(0, -Vec3::UnitY(), -(17 + 10 - 1.25));  // medial side, 1.25 mm in
  blocks.press(0, Vec3::UnitY(), 17 - 10 + 0.5);       // lateral side, 0.5 mm in
  blocks.press(4, Vec3::UnitY(), -42 - 7 + 0.75);      // the little toe's outer side alone
  const Findings f = crowding_of(blocks);
  CHECK(*f.toes[0].squeeze_mm == Approx(1.75).epsilon(1e-12));
  CHECK(*f.toes[1].squeeze_mm == 0);
  CHECK(*f.toes[4].squeeze_mm == Approx(0.75).epsilon(1e-12));
  CHECK(*f.crowding_index == Approx((1.75 + 0.75) / free_total_mm).epsilon(1e-12));
}

TEST_CASE("A pinch over a part of the toe counts whole", "[findings][crowding]") {
  Blocks blocks(in_a_row());
  blocks.press(2, -Vec3::UnitY(), -(-14 + 7 - 1), 21, 27);
  blocks.press(2, Vec3::UnitY(), -14 - 7 + 1, 21, 27);
  CHECK(*crowding_of(blocks).toes[2].squeeze_mm == Approx(2).epsilon(1e-12));
}

TEST_CASE("In a narrowing box the narrowest slice counts", "[findings][crowding]") {
  // Walls that close by 10 degrees each side over the last 12 mm: skin at x goes in by (x - 18) sin 10 along the wall's
  // normal, of which cos 10 lies across the toe. A slice is as broad as its broadest place, its station nearest the
  // root.
  const double angle = 10 * geometry::rad_per_deg;
  Blocks blocks(in_a_row());
  const Vec3 medial(-std::sin(angle), -std::cos(angle), 0), lateral(-std::sin(angle), std::cos(angle), 0);
  blocks.press(1, medial, medial.dot(Vec3(18, 7, 0)));
  blocks.press(1, lateral, lateral.dot(Vec3(18, -7, 0)));
  const double last_slice_x = 27.5;  // stations 27.5, 28.5, 29.5
  const double expected = 2 * (last_slice_x - 18) * std::sin(angle) * std::cos(angle);
  CHECK(*crowding_of(blocks).toes[1].squeeze_mm == Approx(expected).epsilon(1e-9));
}

TEST_CASE("Pressing from above or from the front takes no breadth", "[findings][crowding]") {
  Blocks blocks(in_a_row());
  blocks.press(0, -Vec3::UnitZ(), -(9 - 2));
  blocks.press(0, -Vec3::UnitX(), -(Blocks::toe_length_mm - 2));
  CHECK(*crowding_of(blocks).toes[0].squeeze_mm == Approx(0).margin(1e-12));
}

TEST_CASE("Two partners on one side of a point do not add up", "[findings][crowding]") {
  // Every point of the two outer halves is pushed in by 1 mm and, by another partner, by 0.5 mm.
  Blocks blocks(in_a_row());
  for (std::size_t i = 0; i < blocks.stance.problem->points.size(); ++i) {
    const double y = blocks.stance.problem->points[i].position_rest.y();
    if (y < 17 && y > -42) continue;
    for (const double depth : {1.0, 0.5}) {
      contact::ContactState touch;
      touch.point = static_cast<int>(i);
      touch.normal = Vec3(0, y > 0 ? -1 : 1, 0);
      touch.compression_mm = depth;
      blocks.state.contacts.push_back(touch);
    }
  }
  const Findings f = crowding_of(blocks);
  CHECK(*f.toes[0].squeeze_mm == Approx(1).epsilon(1e-12));
  CHECK(*f.toes[4].squeeze_mm == Approx(1).epsilon(1e-12));
}

TEST_CASE("A toe that rides up on its neighbour overlaps by the breadth it hides", "[findings][crowding]") {
  // Round toes of 7 mm that touch, their centres on a line that rises by 60 degrees: 14 (1 - cos 60) = 7 mm.
  auto toes = in_a_row();
  const double angle = 60 * geometry::rad_per_deg;
  toes[4].y = toes[3].y - 14 * std::cos(angle);
  toes[4].z = 14 * std::sin(angle);
  const Findings f = crowding_of(Blocks(toes));
  CHECK(*f.toes[4].overlap_mm == Approx(7).epsilon(1e-9));
  CHECK(*f.toes[3].overlap_mm == Approx(7).epsilon(1e-9));
  CHECK(*f.toes[2].overlap_mm == Approx(0).margin(1e-9));
  CHECK(*f.toes[4].squeeze_mm == 0);
}

TEST_CASE("Toes pressed flat against each other lie side by side, not over one another", "[findings][crowding]") {
  auto toes = in_a_row();
  toes[1].y += 3;  // 3 mm into the hallux
  Blocks blocks(toes);
  blocks.press(0, Vec3::UnitY(), 7 + 1.5);
  blocks.press(1, -Vec3::UnitY(), -(7 + 1.5));
  const Findings f = crowding_of(blocks);
  CHECK(*f.toes[0].overlap_mm == Approx(0).margin(1e-9));
  CHECK(*f.toes[0].squeeze_mm == Approx(1.5).epsilon(1e-9));
  CHECK(*f.toes[1].squeeze_mm == Approx(1.5).epsilon(1e-9));
}

TEST_CASE("Slices: the rounded end is no breadth, a scrap is no slice", "[findings][crowding]") {
  std::vector<AcrossPoint> points;
  for (int j = 0; j < 10; ++j) {
    const double y = j - 4.5;
    points.push_back({1, y, y});              // 9 mm broad, free
    points.push_back({4, y, 0.8 * y});        // loses 1.8 mm
    points.push_back({7, 0.4 * y, 0.1 * y});  // the tip: loses 2.7 of 3.6 mm
  }
  points.push_back({10, -20, -20});
  points.push_back({10, 20, 0});
  const auto slices = cut_slices(points);
  CHECK(slices.size() == 3);
  CHECK(toe_breadth(slices).free_mm == Approx(9));
  CHECK(toe_breadth(slices).squeeze_mm == Approx(1.8));
  CHECK(toe_breadth(cut_slices({})).free_mm == 0);
}
