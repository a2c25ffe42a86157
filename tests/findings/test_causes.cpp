// Each finding follows its own cause: whole stands of the sample foot in the tapered sample shoe, one thing changed.
//
// A move counts when it is five times what the answer itself is worth: the change of the finding when the load is
// brought on in twice as many steps and balanced a hundred times closer. Directions are mechanics (a free body, a
// longer part covers more) unless marked "common practice, no source".
// SPDX-License-Identifier: GPL-3.0-or-later
#include <map>
#include <vector>

#include "../stance/stands.h"

using namespace aplomb;
using namespace aplomb::findings;
using namespace aplomb::stance;
using namespace aplomb::stance::test;
using shoe::ShoeParameters;

namespace {

/// One stand: what differs from the sample.
struct Setup {
  std::function<void(foot::Card&)> card;
  std::function<void(ShoeParameters&)> shoe;
  std::function<void(StandOptions&)> stand;
};

Setup card(int number, double value) {
  return {[=](foot::Card& c) { c.numbers[number] = value; }, {}, {}};
}
Setup shoe_number(double ShoeParameters::*member, double value) {
  return {{}, [=](ShoeParameters& p) { p.*member = value; }, {}};
}
Setup options(std::function<void(StandOptions&)> change) { return {{}, {}, std::move(change)}; }

Findings findings_of(const Setup& setup) {
  StandOptions stand;
  if (setup.stand) setup.stand(stand);
  const FootPtr foot = setup.card ? make_foot(setup.card) : sample_foot();
  return stood(foot, make_shoe("tapered", setup.shoe), stand).findings;
}

using Read = std::function<Number(const Findings&)>;

/// A finding and where it goes when its cause grows.
struct Move {
  const char* what;
  Read read;
  int sign;
};

Read share(double LoadShare::*part) {
  return [part](const Findings& f) { return (*f.load_share).*part; };
}
Read toe(int k, Number ToeFindings::*number) {
  return [=](const Findings& f) { return f.toes[k].*number; };
}

/// What a finding is worth: the sample's own, and on a finer path.
double doubt(const Read& read) {
  static const Findings coarse = findings_of({}), fine = findings_of(options([](StandOptions&o) {
                                                    o.solve.load_steps *= 2;
                                                    o.solve.residual_tolerance /= 100;
                                                  }));
  return std::abs(*read(coarse) - *read(fine));
}

void check_moves(const Setup& low, const Setup& high, const std::vector<Move>& moves) {
  const Findings before = findings_of(low), after = findings_of(high);
  for (const Move& move : moves) {
    REQUIRE((move.read(before) && move.read(after)));
    const double from = *move.read(before), to = *move.read(after), worth = doubt(move.read);
    CAPTURE(move.what, from, to, worth);
    CHECK(move.sign * (to - from) > 5 * worth + 1e-6);
  }
}

}  // namespace

TEST_CASE("What the shank and the hold of the heel change") {
  SECTION("a stiffer shank carries more, and pushes the foot back from its arch") {
    check_moves(shoe_number(&ShoeParameters::shank_EI_Nm2, 0.05), shoe_number(&ShoeParameters::shank_EI_Nm2, 0.15),
                {{"shank and heel", share(&LoadShare::shank_heel), 1},
                 {"ankle fore and aft", [](const Findings& f) { return f.plumb.fore_aft_mm; }, 1},
                 {"pointing used", &Findings::plantarflexion_used_deg, 1},
                 {"pointing left", &Findings::plantarflexion_left_deg, -1},
                 {"ankle moment", &Findings::ankle_moment_Nm, -1},
                 {"break", [](const Findings& f) { return f.break_point.back_offset_mm; }, 1}});
  }
  SECTION("more heel tension lays the shank closer") {
    const auto pull = [](double drawstring_N, double elastic_N) {
      return Setup{{}, [=](ShoeParameters& p) { p.drawstring_N = drawstring_N, p.elastic_N = elastic_N; }, {}};
    };
    check_moves(pull(8, 12), pull(24, 36),
                {{"shank and heel", share(&LoadShare::shank_heel), 1},
                 {"break", [](const Findings& f) { return f.break_point.back_offset_mm; }, -1},
                 {"break width", [](const Findings& f) { return f.break_point.width_mm; }, 1}});
    // Nothing holds the shank against the arch: the break is "none".
    const Findings loose = findings_of(pull(0, 0));
    CHECK_FALSE(loose.break_point.held);
    CHECK_FALSE(loose.break_point.back_offset_mm);
  }
}

TEST_CASE("What the box changes") {
  SECTION("longer wings and vamp cover more") {
    const auto ends = [](double wings_mm, double vamp_mm) {
      return Setup{
          {},
          [=](ShoeParameters& p) { p.wing_medial_mm = p.wing_lateral_mm = wings_mm, p.vamp_length_mm = vamp_mm; },
          {}};
    };
    check_moves(ends(60, 50), ends(72, 60),
                {{"wing, medial", &Findings::wing_cover_medial_mm, 1},
                 {"wing, lateral", &Findings::wing_cover_lateral_mm, 1},
                 {"vamp, second toe", [](const Findings& f) { return f.vamp_cover_toe_mm[1]; }, 1}});
  }
  // Not the gaps above the toes: with the vamp off the whole foot leans back against the dorsal wall.
  SECTION("a higher crown leaves room above the joints and takes the vamp off") {
    check_moves(shoe_number(&ShoeParameters::crown_height_mm, 39), shoe_number(&ShoeParameters::crown_height_mm, 46),
                {{"crown gap, hallux", [](const Findings& f) { return f.crown_gap_mm[0]; }, 1},
                 {"crown gap, third", [](const Findings& f) { return f.crown_gap_mm[2]; }, 1},
                 {"vamp", share(&LoadShare::vamp), -1},
                 {"loaded skin", &Findings::contact_area_mm2, -1}});
  }
  // Not sink itself: she slides less from a seat that is lower already, and her toes, which carry more, give more.
  SECTION("a wider box squeezes less and lets her down to the platform") {
    const auto wider = [](double by_mm) {
      return Setup{{}, [=](ShoeParameters& p) { p.ball_breadth_mm += by_mm, p.platform_breadth_mm += by_mm; }, {}};
    };
    check_moves(wider(-3), wider(3),
                {{"crowding", &Findings::crowding_index, -1},
                 {"little toe's squeeze", toe(4, &ToeFindings::squeeze_mm), -1},
                 {"depth", &Findings::depth_mm, 1},
                 {"platform", share(&LoadShare::platform), 1},
                 {"wall, pressing", share(&LoadShare::wall_normal), -1},
                 {"tip clearance, seated", &Findings::tip_clearance_seated_mm, -1},
                 {"slide", &Findings::slide_mm, -1},
                 {"tissue", &Findings::tissue_mm, 1},
                 {"curl", &Findings::curl_mm, 1}});
  }
  SECTION("rougher lining carries more") {
    const auto lining = [](double friction) { return options([=](StandOptions& o) { o.friction = friction; }); };
    check_moves(lining(0.2), lining(0.5),
                {{"wall, friction", share(&LoadShare::wall_friction), 1},
                 {"platform", share(&LoadShare::platform), -1},
                 {"depth", &Findings::depth_mm, -1},
                 {"sink", &Findings::sink_mm, -1},
                 {"peak", &Findings::peak_kPa, -1}});
  }
}

TEST_CASE("What the length of the shoe changes") {
  // The shank keeps its place at the heel; the part before it grows or shrinks.
  const auto longer = [](double by_mm) {
    return Setup{{}, [=](ShoeParameters& p) { p.inner_length_mm += by_mm, p.shank_length_mm += by_mm; }, {}};
  };
  const Findings sample = findings_of({}), tight = findings_of(longer(-17));
  // 238 mm of foot go into 237 mm of shoe with toes pressed, and not into 220.
  CHECK(sample.goes_in);
  CHECK_FALSE(tight.goes_in);
  // The upper is too short for the heel and takes it off the shank.
  check_moves(longer(-17), longer(0),
              {{"shank and heel", share(&LoadShare::shank_heel), 1},
               {"tip clearance, seated", &Findings::tip_clearance_seated_mm, 1}});
}

TEST_CASE("What the dancer changes") {
  SECTION("a heavier dancer goes deeper and presses harder") {
    check_moves(card(foot::mass, 42), card(foot::mass, 60),
                {{"load", [](const Findings& f) { return Number(f.load_N); }, 1},
                 {"depth", &Findings::depth_mm, 1},
                 {"tissue", &Findings::tissue_mm, 1},
                 {"peak", &Findings::peak_kPa, 1},
                 {"loaded skin", &Findings::contact_area_mm2, 1},
                 {"shank and heel, percent", share(&LoadShare::shank_heel), -1}});
  }
  SECTION("toes held with more tone bend less") {
    const auto tone = [](double factor) { return options([=](StandOptions& o) { o.constants.tone_factor = factor; }); };
    check_moves(tone(0.5), tone(1.5), {{"hallux's bend", toe(0, &ToeFindings::bend_deg), -1}});
  }
  SECTION("a longer second toe carries more") {
    check_moves(
        card(foot::toe_length + 1, 50), card(foot::toe_length + 1, 60),
        {{"second toe", toe(1, &ToeFindings::load_share), 1}, {"hallux", toe(0, &ToeFindings::load_share), -1}});
  }
  SECTION("an ankle that points less has less left, and at its end stands behind the platform's centre") {
    const Read cop = [](const Findings& f) { return Number(f.plumb.cop_fore_aft_mm); };
    const Read margin = [](const Findings& f) { return f.plumb.margin_mm; };
    check_moves(card(foot::plantarflexion, 82), card(foot::plantarflexion, 92),
                {{"pointing left", &Findings::plantarflexion_left_deg, 1}});
    // Dorsal is +, the sole side -: with 72 deg she cannot bring her weight over the centre.
    check_moves(card(foot::plantarflexion, 72), card(foot::plantarflexion, 85),
                {{"centre of pressure", cop, 1}, {"margin", margin, 1}});
    const Stance stiff =
        need(stand(make_foot([](foot::Card& c) { c.numbers[foot::plantarflexion] = 72; }), make_shoe("tapered"), {}));
    CHECK(stiff.hold.at_limit);
    CHECK(stiff.hold.ankle_command_deg == Approx(stiff.hold.ankle_range_deg).margin(1e-6));
    CHECK(stiff.hold.ankle_range_deg == Approx(0.7 * 72));  // talocrural share: Russell 2011
  }
  SECTION("a leg that leans carries its ankle along") {
    const auto lean = [](double forward_deg, double medial_deg) {
      return options([=](StandOptions& o) { o.tibia_forward_deg = forward_deg, o.tibia_medial_deg = medial_deg; });
    };
    // On two feet nothing steers sideways: the ankle end goes with the leg, and the load under it.
    check_moves(lean(0, -3), lean(0, 3),
                {{"ankle to the side", [](const Findings& f) { return f.plumb.medial_mm; }, 1},
                 {"centre of pressure to the side", [](const Findings& f) { return Number(f.plumb.cop_medial_mm); }, 1},
                 {"side roll", &Findings::side_roll_deg, 1}});
    // The ankle joint gives what the leg does not: each degree the shin leans forward is a degree less to point.
    check_moves(lean(-4, 0), lean(4, 0), {{"pointing left", &Findings::plantarflexion_left_deg, 1}});
  }
  SECTION("a leg that resists turning stays nearer to where it was lined up") {
    const auto turned_rad = [](double stiffness_Nm, double& twist_deg) {
      StandOptions o;
      o.constants.leg_spin_Nm = stiffness_Nm;
      const Stood stand = stood(sample_foot(), make_shoe("tapered"), o);
      twist_deg = *stand.findings.twist_deg;
      for (const contact::JointSpring& spring : stand.stance.problem->springs)
        if (spring.dof == FootUnknowns::spin) return stand.stance.rest().q[FootUnknowns::spin] - spring.passive_rest;
      FAIL("no spring holds the leg's turn");
      return 0.0;
    };
    double twist_loose_deg = 0, twist_stiff_deg = 0;
    const double loose = turned_rad(1, twist_loose_deg), stiff = turned_rad(20, twist_stiff_deg);
    CAPTURE(loose, stiff, twist_loose_deg, twist_stiff_deg);
    CHECK(std::abs(stiff) < 0.7 * std::abs(loose));
    // The twist of the foot follows the leg: about +z the top of the foot turns medial, which is told as negative.
    CHECK((twist_stiff_deg - twist_loose_deg) * (stiff - loose) < 0);
    CHECK(std::abs(twist_stiff_deg - twist_loose_deg) > 0.3);
  }
}

TEST_CASE("Two feet are not one foot at half the load") {
  // The same load in the same shoe. On two feet the frontal balance is left to the other foot; alone she steers her
  // subtalar joint until the load passes over the platform's centre.
  static const Findings two = findings_of({}), one = findings_of(options([](StandOptions&o) {
                                                 o.position = Position::full_pointe_one;
                                                 o.load_N = 52 * 9.80665 / 2;
                                               }));
  REQUIRE(one.load_N == Approx(two.load_N).epsilon(1e-12));
  // Fore and aft they are the same task.
  CHECK(std::abs(two.plumb.cop_fore_aft_mm) < 0.5);
  CHECK(std::abs(one.plumb.cop_fore_aft_mm) < 0.5);
  // Sideways: on two feet the load stays under the hallux, some 11 mm medial; alone it is brought over the centre,
  // and the ankle goes lateral and rolls out for it.
  CHECK(two.plumb.cop_medial_mm > 5);
  CHECK(std::abs(one.plumb.cop_medial_mm) < 0.5);
  CHECK(*one.plumb.medial_mm < *two.plumb.medial_mm - 5);
  CHECK(*one.side_roll_deg < *two.side_roll_deg - 1);
  // With it the load leaves the hallux for its neighbours, and its peak falls.
  CHECK(*one.toes[0].load_share < *two.toes[0].load_share - 5);
  CHECK(*one.toes[1].load_share > *two.toes[1].load_share + 1);
  CHECK(*one.peak_kPa < *two.peak_kPa - 50);
  // What does not apply on pointe is said of neither.
  for (const Findings* f : {&two, &one}) {
    CHECK_FALSE(f->heel_slack_mm);
    CHECK_FALSE(f->toe_room_mm);
  }
}

TEST_CASE("The friction band closes without friction") {
  const auto cycled = [](double friction) {
    return options([=](StandOptions& o) { o.friction = friction, o.solve.settle = true; });
  };
  const auto widest = [](const Findings& f, const std::string& key) {
    REQUIRE(f.friction_band);
    for (const Findings::Band& band : *f.friction_band)
      if (band.key == key) return std::abs(band.path - band.settled);
    FAIL("no " << key);
    return 0.0;
  };
  const Findings smooth = findings_of(cycled(0)), rough = findings_of(cycled(0.35));
  for (const char* key : {"depth_mm", "sink_mm", "load_share.platform", "peak_kPa"}) {
    CAPTURE(key);
    // Without friction the load's past is forgotten: both answers are one balance.
    CHECK(widest(smooth, key) < 0.02 * widest(rough, key) + 1e-3);
  }
  // What friction leaves of the load's past in this foot and shoe is about a tenth of a percent: far above the 1e-3
  // that the smooth one is allowed.
  CHECK(widest(rough, "load_share.platform") > 50 * 1e-3);
}
