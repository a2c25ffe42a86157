// Visits: what is read and refused, what is said whatever fits, and traits named from numbers.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>
#include <algorithm>
#include <catch2/catch.hpp>

#include "../temporary_folder.h"
#include "aplomb/shop/visit.h"
#include "feet.h"

using namespace aplomb;
using namespace aplomb::shop;
using namespace aplomb::shop::test;
using Catch::Contains;

namespace {

io::Result<Visit> read(const std::string& text) {
  const scratch::Folder folder;
  REQUIRE(io::write_file(folder.path / "v.toml", "format = \"aplomb-visit\"\nformat_version = 1\n" + text));
  return read_visit(folder.path / "v.toml");
}

std::string said(const Visit& visit) {
  std::string all;
  for (const std::string& line : cautions_of(visit)) all += line + "\n";
  return all;
}

std::string trait(const std::string& card, const std::string& name) {
  for (const Trait& one : traits_of(*foot_of(card)))
    if (one.name == name) return one.words;
  return {};
}

}  // namespace

TEST_CASE("Whatever a visit says, it is never a clearance, and who decides is named", "[visit]") {
  for (const char* text :
       {"", "age_years = 30\n", "age_years = 11\n",
        "[readiness]\nteacher_agrees = true\nseen_by_clinician = true\nfree_of_pain = true\n"
        "several_years_of_training = true\ntwo_classes_a_week = true\nholds_single_leg_rises = true\n"}) {
    const std::string words = said(need(read(text)));
    CHECK_THAT(words,
               Contains("never a clearance") && Contains("teacher") && Contains("clinician") && Contains("numbness"));
    CHECK(words.find("cleared") == std::string::npos);
  }
  const std::string child = said(need(read("age_years = 12\n[readiness]\nfree_of_pain = false\n")));
  CHECK_THAT(child, Contains("Age alone decides nothing") && Contains("no room to grow") && Contains("She has pain"));
  CHECK(said(need(read("age_years = 20\n"))).find("grow") == std::string::npos);
  CHECK_THAT(said(need(read("measured = \"evening\"\n"))), Contains("in the morning"));
  CHECK_THAT(said(need(read("[present]\nhurts = \"left heel\"\n"))),
             Contains("left heel") && Contains("clinician to judge"));
}

TEST_CASE("A body mass that differs from the card's is told, and which of them counts", "[visit]") {
  const Visit visit = need(read("mass_kg = 60.5\n"));
  CHECK(mass_words(visit, "cards/hers.toml", 52) ==
        "Body mass: 60.5 kg as the visit says, not 52 kg as hers.toml does.");
  CHECK(mass_words(visit, "hers.toml", 60.5).empty());
  CHECK(mass_words(visit, "hers.toml", std::nullopt).empty());
  CHECK(mass_words(need(read("")), "hers.toml", 52).empty());
}

TEST_CASE("Years and hours of dance are told, and caution where training was not asked about", "[visit]") {
  const Visit visit = need(read("age_years = 12\ndance_years = 1\nhours_per_week = 1.5\n"));
  CHECK(facts_of(visit) == std::vector<std::string>{"12 years old", "1 year of dance", "1.5 hours of dance a week"});
  CHECK_THAT(said(visit), Contains("Little training for this load (1 year of dance, 1.5 hours a week): teacher and "
                                   "dance-medicine clinician decide; age alone decides nothing."));
  const auto little = [](const std::string& text) {
    return said(need(read(text))).find("Little training") != std::string::npos;
  };
  CHECK_FALSE(little("dance_years = 4\nhours_per_week = 6\n"));
  CHECK_FALSE(little("age_years = 10\n"));  // age alone decides nothing
  CHECK(little("dance_years = 4\nhours_per_week = 2\n"));
  // An answer counts before the facts, either way.
  const std::string facts = "dance_years = 1\nhours_per_week = 1\n[readiness]\n";
  CHECK_FALSE(little(facts + "several_years_of_training = false\ntwo_classes_a_week = true\n"));
  CHECK_THAT(said(need(read(facts + "two_classes_a_week = true\n"))), Contains("(1 year of dance)"));
}

TEST_CASE("Questions that stay unanswered are told, and what makes cautions come first", "[visit]") {
  CHECK(not_asked(need(read(""))).size() == readiness_questions().size());
  CHECK(not_asked(Visit{}).size() == readiness_questions().size());
  const Visit some = need(read("[readiness]\nteacher_agrees = true\nfree_of_pain = true\n"));
  const auto open = not_asked(some);
  CHECK(open.size() == readiness_questions().size() - 2);
  CHECK(std::find(open.begin(), open.end(), "Is she free of pain in foot, ankle and shin?") == open.end());
  CHECK_FALSE(stops(some));
  CHECK(stops(need(read("[readiness]\nholds_single_leg_rises = false\n"))));
  CHECK(stops(need(read("[present]\nhurts = \"left heel\"\n"))));
}

TEST_CASE("What she says and how she is called are one line of plain text", "[visit]") {
  for (const auto& [text, place, says] : std::vector<std::tuple<std::string, std::string, std::string>>{
           {"client = \"a\\nb\"\n", ":3: client", "control character (0x0a)"},
           {"client = \"" + std::string(81, 'x') + "\"\n", ":3: client", "81 characters"},
           {"client = \"\xff\"\n", ":3: client", "is not UTF-8"},
           {"[present]\nhurts = \"" + std::string(241, 'x') + "\"\n", ":4: present.hurts", "241 characters"},
           {"left = \"a\\u0000\"\n", ":3: left", "0x00"}}) {
    const auto visit = read(text);
    CAPTURE(text);
    REQUIRE_FALSE(visit);
    CHECK_THAT(io::to_line(visit.error()), Contains(place) && Contains(says));
  }
  const Visit lines = need(read("left = \"l.toml\"\nright = \"r.toml\"\n[present]\nshoe = \"s.toml\"\n"));
  CHECK(lines.left_line == 3);
  CHECK(lines.right_line == 4);
  CHECK(lines.present_line == 6);
}

TEST_CASE("What she wears is on the shoe in every solve", "[visit]") {
  const Visit visit =
      need(read("[tights]\nthickness_mm = 0.4\n[padding.toe_tips]\nthickness_mm = 3\nmodulus_MPa = 0.2\n"));
  Wearer wearer{right_sample().foot, "x", visit.layers};
  const auto shoe = need(shoe::read_shoe(source_data::shoe_file("tapered")));
  const auto dressed = worn(shoe, wearer);
  CHECK(dressed.layers.tights.thickness_mm == 0.4);
  CHECK(dressed.layers.padding[static_cast<int>(shoe::PadRegion::toe_tips)].modulus_MPa == 0.2);
  CHECK(shoe_hash(dressed) != shoe_hash(shoe));
  // Half packed: tights fore and aft, and the tips.
  const double taken =
      measure(*wearer.foot, shoe).at("spare_length_mm") - measure(*wearer.foot, dressed).at("spare_length_mm");
  CHECK(taken == Approx(0.4 + 1.5));
}

TEST_CASE("A visit that cannot be is refused with its line", "[visit]") {
  for (const auto& [text, place, says] : std::vector<std::tuple<std::string, std::string, std::string>>{
           {"age_yeers = 12\n", ":3: age_yeers", "age_years"},
           {"age_years = 12\ndance_years = 13\n", ":4: dance_years", "exchanged"},
           {"mass_kg = 52000\n", ":3: mass_kg", "grams"},
           {"[readiness]\nfree_of_pain = \"yes\"\n", ":4: readiness.free_of_pain", "true or false"},
           {"[padding.toe]\nthickness_mm = 1\n", "padding.toe", "did you mean"},
           {"[tights]\nthickness_mm = 40\n", ":4: tights.thickness_mm", "more than the most"}}) {
    const auto visit = read(text);
    CAPTURE(text);
    REQUIRE_FALSE(visit);
    CHECK_THAT(io::to_line(visit.error()), Contains(place) && Contains(says));
  }
}

TEST_CASE("Toe pattern, hand squeeze, arch and toe lift are named from the numbers", "[visit]") {
  const auto card = [](const char* name, const char* file) { return case_file(name, file).string(); };
  CHECK_THAT(trait(card("long_second_toe", "foot.toml"), "toe pattern"), Contains("Greek"));
  CHECK_THAT(trait(card("long_second_toe", "otherwise.toml"), "toe pattern"), Contains("Egyptian"));
  // 2 mm or less off the relaxed breadth, 5 mm or more: common practice, no source.
  CHECK_THAT(trait(card("very_compressible", "foot.toml"), "hand squeeze"), Catch::StartsWith("very compressible"));
  CHECK_THAT(trait(card("very_compressible", "otherwise.toml"), "hand squeeze"), Catch::StartsWith("not compressible"));
  CHECK_THAT(trait(card("stiff_low_arch", "foot.toml"), "arch"), Catch::StartsWith("low"));
  CHECK_THAT(trait(card("strong_high_arch", "foot.toml"), "arch"), Contains("she points 100 deg"));
  CHECK_THAT(trait(card("riding_little_toe", "foot.toml"), "toe lift"), Contains("little toe 9 mm"));
  CHECK_THAT(trait(card("riding_little_toe", "otherwise.toml"), "toe lift"), Contains("lie on the floor"));
  // What no card gives is not told as if it had been measured.
  const std::string sample = (source_data::meshes() / "feet/sample.toml").string();
  for (const char* guessed : {"toe pattern", "hand squeeze", "arch"})
    CHECK_THAT(trait(sample, guessed), Contains("(usual, not measured)"));
  CHECK_THAT(trait(sample, "arch"), Catch::EndsWith("she points 85 deg"));
  CHECK_THAT(trait(card("very_compressible", "foot.toml"), "hand squeeze"), !Contains("not measured"));
}
