// Shoe files: what is read, what is refused and in which words; sizes and grading.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "../temporary_folder.h"
#include "aplomb/shoe/sizes.h"
#include "samples.h"

using namespace aplomb;
using namespace aplomb::shoe;

namespace {

const std::string good = R"(format = "aplomb-shoe"
format_version = 1
inner_length_mm = 238
ball_breadth_mm = 86
platform_breadth_mm = 42
platform_height_mm = 23
crown_height_mm = 42
wing_medial_mm = 70
wing_lateral_mm = 70
vamp_length_mm = 56
)";

// The good file with these lines in place of those with the same key, or added.
std::string with(const std::string& lines) {
  std::string text = good;
  std::istringstream stream(lines);
  for (std::string line; std::getline(stream, line);) {
    const std::string key = line.substr(0, line.find(' ')) + " ";
    const std::size_t at = text.find("\n" + key);
    if (at != std::string::npos)
      text.replace(at + 1, text.find('\n', at + 1) - at - 1, line);
    else if (text.starts_with(key))
      text.replace(0, text.find('\n'), line);
    else
      text += line + "\n";
  }
  return text;
}

io::Error refused(const std::string& text) {
  const auto result = parse_shoe(text, "shoe.toml");
  REQUIRE_FALSE(result);
  CHECK(result.error().kind == io::ErrorKind::bad_input);
  CHECK(result.error().file == "shoe.toml");
  CHECK_FALSE(result.error().message.empty());
  CHECK_FALSE(result.error().remedy.empty());
  return result.error();
}

}  // namespace

TEST_CASE("a short file is enough, what it leaves out follows in proportion", "[core]") {
  const auto p = parse_shoe(good, "shoe.toml");
  REQUIRE(p);
  CHECK(p->cut == Cut::straight);
  CHECK(p->ball_height_mm == Approx(0.26 * 238));
  CHECK(p->ribbon_from_heel_mm == Approx(0.27 * 238));
  CHECK(p->shank_length_mm == Approx(238 - p->sole_edge_mm));
  CHECK(p->lining_friction == 0.35);
  CHECK(make_shoe(*p));
}

TEST_CASE("the struct's own defaults make a shoe", "[core]") {
  CHECK(check(ShoeParameters{}));
  CHECK(make_shoe(ShoeParameters{}));
}

TEST_CASE("shank thickness stands for stiffness by the cube", "[core]") {
  // Common practice: 1.8 / 2.0 / 2.5 mm scale 0.73 : 1 : 1.95.
  CHECK(parse_shoe(with("shank_thickness_mm = 1.8"), "s")->shank_EI_Nm2 == Approx(0.073).epsilon(0.01));
  CHECK(parse_shoe(with("shank_thickness_mm = 2.0"), "s")->shank_EI_Nm2 == Approx(0.100).epsilon(1e-12));
  CHECK(parse_shoe(with("shank_thickness_mm = 2.5"), "s")->shank_EI_Nm2 == Approx(0.195).epsilon(0.01));
}

TEST_CASE("contradictions are refused by name", "[core]") {
  struct Case {
    std::string line, field, words;
  };
  const auto c =
      GENERATE(Case{"wing_medial_mm = 239", "wing_medial_mm", "passes the heel"},
               Case{"vamp_length_mm = 240", "vamp_length_mm", "passes the heel"},
               Case{"wing_lateral_mm = 64", "cut", "equal wings"},
               Case{"platform_breadth_mm = 79\nball_breadth_mm = 78", "platform_breadth_mm", "as broad as the ball"},
               Case{"platform_breadth_mm = 79", "platform_breadth_mm", "rounded edge"},
               Case{"crown_height_mm = 28", "crown_height_mm", "lower than the platform"},
               Case{"platform_height_mm = 30\nplatform_breadth_mm = 29", "platform_height_mm", "29 mm broad"},
               Case{"wall_thickness_mm = 6.5", "wall_thickness_mm", "thicker"},
               Case{"cap_length_mm = 57", "cap_length_mm", "past the throat"},
               Case{"ball_height_mm = 20", "ball_height_mm", "does not suit"},
               Case{"sole_edge_mm = 119.5", "sole_edge_mm", "cannot end"},
               Case{"shank_length_mm = 190", "shank_length_mm", "passes the heel"},
               Case{"break_zone_from_mm = 90\nbreak_zone_to_mm = 60", "break_zone_from_mm", "back to"},
               Case{"break_zone_softening = 0.3", "break_zone_softening", "no length"},
               Case{"shank_thickness_mm = 2\nshank_EI_Nm2 = 0.1", "shank_thickness_mm", "twice"},
               Case{"shank_fraction = 0.5\nshank_length_mm = 100", "shank_fraction", "twice"},
               Case{"cut = \"both\"", "cut", "both"},
               Case{"heel_seat_breadth_mm = 90", "heel_seat_breadth_mm", "broader than the ball"});
  CAPTURE(c.line);
  const io::Error error = refused(with(c.line));
  INFO(io::to_line(error));
  CHECK(error.field == c.field);
  CHECK(error.message.find(c.words) != std::string::npos);
  CHECK(error.line > 0);
}

TEST_CASE("left and right shoes may have unequal wings, straight ones may not", "[core]") {
  const std::string unequal = with("wing_lateral_mm = 64");
  CHECK(refused(unequal).remedy.find("set cut") != std::string::npos);
  CHECK(parse_shoe(unequal + "cut = \"left\"\n", "s")->cut == Cut::left);
  CHECK(parse_shoe(unequal + "cut = \"right\"\n", "s")->cut == Cut::right);
}

TEST_CASE("wrong keys, types and units are told with their line", "[core]") {
  const std::string cm = io::to_line(refused(with("inner_length_mm = 24")));
  INFO(cm);
  CHECK(cm.find(" cm") != std::string::npos);
  CHECK(refused(with("inner_length_mm = 24")).line == 3);
  std::string misspelling = good;
  misspelling.erase(misspelling.find("wing_medial_mm") + 6, 1);
  const io::Error misspelt = refused(misspelling);
  INFO(io::to_line(misspelt));
  CHECK(misspelt.remedy.find("wing_medial_mm") != std::string::npos);
  CHECK(refused(with("padding = 3")).field == "padding");
  CHECK(refused(with("ball_breadth_mm = \"wide\"")).field == "ball_breadth_mm");
  CHECK(refused(with("ball_breadth_mm = nan")).field == "ball_breadth_mm");
  CHECK(refused(with("ball_breadth_mm = inf")).field == "ball_breadth_mm");
  CHECK(refused(with("wear_hours = -1")).field == "wear_hours");
  CHECK(refused(with("format_version = 2")).field == "format_version");
  CHECK(refused(with("format = \"aplomb-card\"")).field == "format");
  CHECK(refused("").kind == io::ErrorKind::bad_input);
  CHECK(refused("inner_length_mm = = 3").line == 1);
  CHECK(refused(good.substr(0, good.find("vamp"))).field == "vamp_length_mm");
}

TEST_CASE("files that are not there, folders and empty files are refused", "[core]") {
  const aplomb::scratch::Folder temporary;
  const auto& folder = temporary.path;
  CHECK_FALSE(read_shoe(folder));
  CHECK_FALSE(read_shoe(folder / "no such shoe.toml"));
  const auto empty = folder / "empty.toml";
  std::ofstream(empty).close();
  CHECK_FALSE(read_shoe(empty));
}

TEST_CASE("parameters set by a program are checked as those of a file", "[core]") {
  ShoeParameters p;
  p.ball_breadth_mm = std::numeric_limits<double>::quiet_NaN();
  REQUIRE_FALSE(make_shoe(p));
  CHECK(make_shoe(p).error().field == "ball_breadth_mm");
  p = {};
  p.shank_EI_table = {{100, 0.1}, {50, 0.1}};
  REQUIRE_FALSE(make_shoe(p));
  CHECK(make_shoe(p).error().field == "shank_stiffness");
}

TEST_CASE("Mondopoint: lengths in steps of 5 mm, named by the foot (ISO 9407)", "[core]") {
  CHECK(mondopoint_size(240, 90) == MondopointSize{240, 90});
  CHECK(mondopoint_size(242.4, 89.6) == MondopointSize{240, 90});
  CHECK(mondopoint_size(242.5, 90.4) == MondopointSize{245, 90});
  CHECK(mondopoint_size(237.6, 95) == MondopointSize{240, 95});
  CHECK(designation({240, 90}) == "240/90");
}

TEST_CASE("length intervals of ISO/TS 19407 and the informal numbers of a 240 mm foot", "[core]") {
  CHECK(continental_interval_mm == Approx(6.667).epsilon(1e-4));  // 2/3 cm
  CHECK(barleycorn_interval_mm == Approx(8.467).epsilon(1e-4));   // 1/3 inch
  CHECK(continental_number(240) == Approx(38.0).margin(0.005));   // 1.5 cm + 2
  CHECK(british_number(240) == Approx(5.35).margin(0.005));       // 3 in - 23
  CHECK(continental_number(240 + continental_interval_mm) - continental_number(240) == Approx(1));
}

TEST_CASE("grading changes lengths with length and breadths with breadth, and can be undone", "[core]") {
  const ShoeParameters base = test::sample_shoe("deep_box").parameters;
  const auto longer = grade(base, base.inner_length_mm + 10, base.ball_breadth_mm);
  REQUIRE(longer);
  const double along = longer->inner_length_mm / base.inner_length_mm;
  CHECK(longer->wing_medial_mm / base.wing_medial_mm == Approx(along));
  CHECK(longer->ribbon_from_heel_mm / base.ribbon_from_heel_mm == Approx(along));
  CHECK(longer->crown_height_mm == base.crown_height_mm);
  CHECK(longer->platform_breadth_mm == base.platform_breadth_mm);
  const auto broader = grade(base, base.inner_length_mm, base.ball_breadth_mm + 6);
  REQUIRE(broader);
  CHECK(broader->vamp_length_mm == base.vamp_length_mm);
  CHECK(broader->platform_breadth_mm > base.platform_breadth_mm);
  CHECK(broader->wall_thickness_mm == base.wall_thickness_mm);
  const auto back = grade(*longer, base.inner_length_mm, base.ball_breadth_mm);
  REQUIRE(back);
  for (const NumberField& field : number_fields()) CHECK((*back).*field.member == Approx(base.*field.member));
  CHECK_FALSE(grade(base, std::numeric_limits<double>::quiet_NaN(), 86));
  CHECK_FALSE(grade(base, 24, 86));
}

TEST_CASE("a range covers every length and breadth, in steps of 5 mm (ISO 9407)", "[core]") {
  for (const char* name : {"tapered", "parallel", "deep_box"}) {
    const auto range = grade_range(test::sample_shoe(name).parameters, 205, 270, {78, 82, 86, 90, 94});
    REQUIRE(range);
    CHECK(range->size() == 14 * 5);
    CHECK(range->at(5).inner_length_mm - range->at(0).inner_length_mm == 5);
    for (const ShoeParameters& p : *range) CHECK(make_shoe(p));
  }
  CHECK_FALSE(grade_range(ShoeParameters{}, 250, 220, {86}));
}

TEST_CASE("soft layers are read by region, and refused where they leave no room", "[core]") {
  const auto p = parse_shoe(good + R"(
[tights]
thickness_mm = 0.6
[padding.toe_tips]
thickness_mm = 3
modulus_MPa = 0.2
[padding.heel]
thickness_mm = 2
[spacer.hallux_second]
thickness_mm = 6
[tape.little]
thickness_mm = 0.4
)",
                            "shoe.toml");
  REQUIRE(p);
  const auto pad = [&](PadRegion region) { return p->layers.padding[static_cast<std::size_t>(region)]; };
  CHECK(p->layers.tights.thickness_mm == 0.6);
  CHECK(p->layers.tights.modulus_MPa == Layers::tights_modulus_MPa);
  CHECK(pad(PadRegion::toe_tips).thickness_mm == 3);
  CHECK(pad(PadRegion::toe_tips).modulus_MPa == 0.2);
  CHECK(pad(PadRegion::heel).modulus_MPa == Layers::padding_modulus_MPa);
  CHECK(pad(PadRegion::toes).thickness_mm == 0);
  CHECK(p->layers.spacer[0].thickness_mm == 6);
  CHECK(p->layers.tape[4].thickness_mm == 0.4);
  CHECK(p->layers.tape[0].thickness_mm == 0);

  CHECK(refused(good + "[padding.toes]\nthickness_mm = 9\n").field == "padding.toes");
  CHECK(refused(good + "[padding.toes]\nthickness_mm = 9\n").line == 1 + std::count(good.begin(), good.end(), '\n'));
  CHECK(refused(good + "[padding.ball]\nthickness_mm = 15\n").field == "padding.ball");
  CHECK(refused(good + "[padding.toe_tips]\nthickness_mm = 19.9\n[padding.toes]\nthickness_mm = 9\n").field ==
        "padding.toes");
  CHECK(refused(good + "[padding.toe]\nthickness_mm = 2\n").remedy.find("toe") != std::string::npos);
  CHECK_THAT(refused(good + "[padding.heel]\nthickness_mm = 40\n").field, Catch::Contains("thickness_mm"));
}
