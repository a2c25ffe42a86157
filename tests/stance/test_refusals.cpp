// What stand() refuses, and that a solve can be stopped.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <atomic>
#include <chrono>
#include <cmath>
#include <limits>

#include "stands.h"

using namespace aplomb;
using namespace aplomb::stance;
using namespace aplomb::stance::test;
using shoe::ShoeParameters;

namespace {

/// The Error of a stand that must not be solved.
io::Error refused(const FootPtr& foot, const ShoePtr& shoe, const StandOptions& options = {}) {
  const auto stance = stand(foot, shoe, options);
  if (stance) FAIL("was not refused");
  CHECK(stance.error().kind == io::ErrorKind::bad_input);
  CHECK_FALSE(stance.error().message.empty());
  CHECK_FALSE(stance.error().remedy.empty());
  return stance.error();
}

const ShoePtr& shoe_cut(shoe::Cut cut) {
  static const ShoePtr straight = make_shoe("tapered"),
                       right = make_shoe("tapered", [](ShoeParameters&p) { p.cut = shoe::Cut::right; }),
                       left = make_shoe("tapered", [](ShoeParameters&p) { p.cut = shoe::Cut::left; });
  return cut == shoe::Cut::straight ? straight : cut == shoe::Cut::right ? right : left;
}

FootPtr changed(const std::function<void(foot::Foot&)>& change) {
  foot::Foot foot = *sample_foot();
  change(foot);
  return std::make_shared<const foot::Foot>(std::move(foot));
}

}  // namespace

TEST_CASE("A stand that makes no sense is refused with the field to change") {
  const ShoePtr& shoe = shoe_cut(shoe::Cut::straight);
  StandOptions options;

  SECTION("neither mass nor load") {
    const FootPtr weightless = changed([](foot::Foot& foot) { foot.mass_kg.reset(); });
    CHECK(refused(weightless, shoe).field == "mass_kg");
  }
  SECTION("loads that cannot stand") {
    for (const double load : {0.0, -255.0, 10001.0, std::numeric_limits<double>::infinity(), std::nan("")}) {
      CAPTURE(load);
      options.load_N = load;
      CHECK(refused(sample_foot(), shoe, options).field == "--load");
    }
  }
  SECTION("the other foot's shoe") {
    const FootPtr left_foot = changed([](foot::Foot& foot) { foot.side = foot::Side::left; });
    CHECK(refused(sample_foot(), shoe_cut(shoe::Cut::left)).field == "cut");
    const io::Error error = refused(left_foot, shoe_cut(shoe::Cut::right));
    CHECK(error.field == "cut");
    CHECK(error.message == "a right shoe on a left foot");
  }
  SECTION("an ankle past her range") {
    // The talocrural joint gives 70 % of the pointing (Russell 2011): 0.7 x 85 = 59.5 deg.
    options.ankle_command_deg = 59.6;
    const io::Error error = refused(sample_foot(), shoe, options);
    CHECK(error.field == "ankle command");
    CHECK_THAT(error.message, Catch::Contains("59.6") && Catch::Contains("59.5 deg"));
    for (const double command : {-200.0, std::nan(""), std::numeric_limits<double>::infinity()}) {
      CAPTURE(command);
      options.ankle_command_deg = command;
      CHECK(refused(sample_foot(), shoe, options).field == "ankle command");
    }
  }
  SECTION("friction and leans that are none") {
    for (const double friction : {-0.1, 1.6, std::nan("")}) {
      CAPTURE(friction);
      StandOptions rubbed;
      rubbed.friction = friction;
      CHECK(refused(sample_foot(), shoe, rubbed).field == "friction");
    }
    for (const double lean : {-50.0, 90.0, std::nan("")}) {
      CAPTURE(lean);
      StandOptions forward, medial;
      forward.tibia_forward_deg = medial.tibia_medial_deg = lean;
      CHECK(refused(sample_foot(), shoe, forward).field == "tibia forward");
      CHECK(refused(sample_foot(), shoe, medial).field == "tibia medial");
    }
  }
  SECTION("constants out of their range") {
    for (const ConstantField& field : constant_fields())
      for (const double value : {field.min - 1, field.max + 1, std::nan("")}) {
        CAPTURE(field.key, value);
        StandOptions odd;
        odd.constants.*field.member = value;
        CHECK(refused(sample_foot(), shoe, odd).field == field.key);
      }
    options.constants.ray_flexion_Nm[3] = 0;
    CHECK(refused(sample_foot(), shoe, options).field == "ray_flexion_Nm");
  }
}

TEST_CASE("A solve stops when asked to") {
  const ShoePtr& shoe = shoe_cut(shoe::Cut::straight);
  std::atomic<bool> cancel{false};
  SECTION("before it begins") { cancel = true; }
  SECTION("on its way") {}
  io::Progress progress;
  progress.cancel = &cancel;
  progress.report = [&](double fraction, std::string_view) {
    if (fraction > 0.3) cancel = true;
  };
  const auto stance = stand(sample_foot(), shoe, {}, progress);
  REQUIRE_FALSE(stance);
  CHECK(stance.error().kind == io::ErrorKind::cancelled);
}
