// aplomb compare as a process: whole answers, pages, refusals, cancelling and going on.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>

#include "../report/schema.h"
#include "program.h"

using namespace aplomb::test;
using Catch::Contains;
using nlohmann::json;

namespace {

const std::string head = "label,design,length_mm,breadth_mm,shank,pairs\n";
const std::string three = head + "one,tapered,240,90,2.0,1\ntwo,parallel,240,90,2.0,2\nlong,parallel,260,96,2.0,1\n";

/// Rules that need no second of solving: by measure and on the box.
const std::string quick_rules =
    "format = \"aplomb-rules\"\nformat_version = 1\n"
    "[[rule]]\nid = \"long\"\nfinding = \"spare_length_mm\"\nposition = \"measure\"\nop = \">\"\nvalue = 1\nunit = "
    "\"mm\"\n"
    "step = 1\ngrade = \"unsuitable\"\ncause = \"too long\"\ntry = [{ change = \"shorter\", by = 5 }]\n"
    "[[rule]]\nid = \"bags\"\nfinding = \"heel_slack_mm\"\nposition = \"on-box\"\nop = \">\"\nvalue = 9\nunit = "
    "\"mm\"\n"
    "step = 3\ngrade = \"change\"\ncause = \"cloth bags at the heel\"\ntry = [{ change = \"heel_shaping\", by = 8 }]\n";

std::vector<std::string> compare(std::vector<std::string> more) {
  std::vector<std::string> words = {"compare", "--rules", "r.toml", "--stock", "s.csv"};
  words.insert(words.end(), more.begin(), more.end());
  return words;
}
const std::vector<std::string> feet = {"--left", source("meshes/feet/sample_left.toml"), "--right",
                                       source("meshes/feet/sample.toml")};
std::vector<std::string> with_feet(std::vector<std::string> more) {
  more.insert(more.end(), feet.begin(), feet.end());
  return compare(more);
}

json lasting(json answer) {
  answer.erase("first_ranking_ms");
  answer.erase("total_ms");
  return answer;
}

/// A shop's folder with rules and three rows of stock.
struct Shop : Workplace {
  Shop() {
    write("r.toml", quick_rules);
    write("s.csv", three);
  }
};

}  // namespace

TEST_CASE("Two feet against three shoes: table, JSON by its schema, pages on A4 and Letter", "[app]") {
  const Shop shop;
  const Outcome a4 = shop.run(with_feet({"-v", "--json", "a.json", "--client", "c.pdf", "--workshop", "w.pdf"}));
  INFO(a4.err);
  REQUIRE(a4.exit_code == 0);
  CHECK_THAT(a4.out, Contains("The nearest is two (parallel, 240/90") && Contains("What to try") &&
                         Contains("never a clearance"));
  // Meanwhile what leads is said, and that it is provisional.
  CHECK_THAT(a4.err,
             Contains("First ranking after") && Contains("provisional, by measure and on the box, without weight: "));
  const json answer = json::parse(shop.read("a.json"));
  CHECK(answer["first_ranking"].size() == 3);
  CHECK(answer["ranking"][0]["left_at"].is_null());
  CHECK(answer["ranking"][2]["complete"] == true);  // three shoes are all among the few of the first round
  CHECK(aplomb::report::test::schema_fault("comparison.schema.json", answer) == "");
  CHECK(answer["difference"]["larger"] == "right");
  CHECK(answer["ranking"].size() == 3);
  CHECK(answer["ranking"][2]["label"] == "long");  // twenty millimetres too long
  // Every offer was solved, names its rule and threshold, and takes points off.
  int tucks = 0;
  for (const json& foot : answer["advice"])
    for (const json& offer : foot["offers"]) {
      CHECK(offer["points_after"] < offer["points_before"]);
      CHECK(offer["threshold"] == (offer["rule"] == "bags" ? 9 : 1));
      if (offer["rule"] != "bags") continue;
      ++tucks;
      // 8 mm of cloth are 4 mm of fold, common practice; the foot moves a little too.
      CHECK(offer["before"].get<double>() - offer["after"].get<double>() == Approx(4).margin(0.5));
    }
  CHECK(tucks >= 1);
  CHECK(shop.names() == std::vector<std::string>{"a.json", "c.pdf", "r.toml", "s.csv", "w.pdf"});

  // Pages: A4 is 210 x 297 mm (ISO 216), Letter 8.5 x 11 in, in points of 1/72 in.
  CHECK_THAT(shop.read("c.pdf"), Contains("/MediaBox [ 0 0 595.27"));
  CHECK_THAT(shop.read("w.pdf"), Contains("841.88"));
  const Outcome letter = shop.run(with_feet({"--no-advice", "--paper", "letter", "--workshop", "l.pdf"}));
  CHECK(letter.exit_code == 0);
  CHECK_THAT(shop.read("l.pdf"), Contains("/MediaBox [ 0 0 612 792 ]"));

  // The same with one thread and from a visit.
  shop.write("v.toml", "format = \"aplomb-visit\"\nformat_version = 1\nage_years = 12\nleft = \"" + feet[1] +
                           "\"\nright = \"" + feet[3] + "\"\n[readiness]\nfree_of_pain = false\n");
  const Outcome again = shop.run(with_feet({"--json", "b.json", "--threads", "1"}));
  REQUIRE(again.exit_code == 0);
  CHECK(lasting(json::parse(shop.read("b.json"))) == lasting(answer));
  const Outcome visit = shop.run(compare({"--visit", "v.toml", "--json", "v.json"}));
  REQUIRE(visit.exit_code == 0);
  const json seen = json::parse(shop.read("v.json"));
  CHECK(aplomb::report::test::schema_fault("comparison.schema.json", seen) == "");
  CHECK(seen["ranking"][0]["label"] == answer["ranking"][0]["label"]);
  CHECK_THAT(seen["cautions"].dump(), Contains("no pointe work until a clinician") && Contains("no room to grow") &&
                                          Contains("Age alone decides nothing"));
}

TEST_CASE("The body mass of a visit counts before the card's, and is told where the two differ", "[app]") {
  const Shop shop;
  shop.write("r.toml",
             "format = \"aplomb-rules\"\nformat_version = 1\n[[rule]]\nid = \"sinks\"\nfinding = \"sink_mm\"\n"
             "position = \"full-pointe-two\"\nop = \">\"\nvalue = 1\nunit = \"mm\"\nstep = 3\ngrade = \"change\"\n"
             "cause = \"she sinks\"\n");
  shop.write("s.csv", head + "one,tapered,240,90,2.0,1\n");
  const auto with_mass = [&](const std::string& mass) {
    shop.write("v.toml", "format = \"aplomb-visit\"\nformat_version = 1\nmass_kg = " + mass + "\n");
    return shop.run(with_feet({"--visit", "v.toml", "--no-advice", "--json", "a.json"}));
  };
  const auto points = [&] { return json::parse(shop.read("a.json"))["ranking"][0]["points"].get<double>(); };
  const Outcome same = with_mass("52");
  REQUIRE(same.exit_code == 0);
  CHECK(same.err.empty());
  const double before = points();
  const Outcome heavier = with_mass("90");
  REQUIRE(heavier.exit_code == 0);
  CHECK_THAT(heavier.err, Contains("Body mass: 90 kg as the visit says, not 52 kg as sample_left.toml does."));
  CHECK_THAT(heavier.err, Contains("not 52 kg as sample.toml does."));
  CHECK(points() > before + 1);  // she sinks more
}

TEST_CASE("A comparison that cannot be made is refused in one line, and nothing is written", "[app]") {
  const Shop shop;
  shop.write("visit.toml", "format = \"aplomb-visit\"\nformat_version = 1\nage_years = 12\ndance_years = 20\n");
  shop.write("wears.toml", "format = \"aplomb-visit\"\nformat_version = 1\n[padding.toe]\nthickness_mm = 1\n");
  shop.write("double.csv", head + "one,tapered,240,90,2.0,1\none,tapered,240,90,2.0,1\n");
  shop.write("none.csv", head + "one,tapered,240,90,2.0,0\n");
  shop.write("bad.toml",
             "format = \"aplomb-rules\"\nformat_version = 1\n[[rule]]\nid = \"a\"\nfinding = \"deepth_mm\"\n");
  const std::vector<std::string> before = shop.names();
  const auto refusal = [&](std::vector<std::string> words, int exit_code = 2) {
    if (exit_code == 2) words.insert(words.end(), {"--json", "a.json", "--client", "c.pdf"});
    const Outcome outcome = shop.run(words);
    CAPTURE(outcome.err);
    CHECK(outcome.exit_code == exit_code);
    CHECK(outcome.out.empty());
    CHECK(outcome.error_lines() == 1);
    CHECK(shop.names() == before);
    return outcome.err;
  };
  const auto stock = [&](const std::string& file) {
    std::vector<std::string> words = {"compare", "--rules", "r.toml", "--stock", file};
    words.insert(words.end(), feet.begin(), feet.end());
    return words;
  };
  CHECK_THAT(refusal(compare({})), Contains("--left: is missing"));
  CHECK_THAT(refusal(compare({"--left", feet[3], "--right", feet[1]})), Contains("side") && Contains("exchange"));
  CHECK_THAT(refusal(stock("double.csv")), Contains("double.csv:3: label"));
  CHECK_THAT(refusal(stock("none.csv")), Contains("no row of the stock has a pair left"));
  CHECK_THAT(refusal(stock("no.csv")), Contains("no.csv"));
  CHECK_THAT(refusal({"compare", "--rules", "bad.toml", "--stock", "s.csv"}), Contains("bad.toml"));
  CHECK_THAT(refusal(with_feet({"--visit", "visit.toml"})), Contains("visit.toml:4: dance_years"));
  CHECK_THAT(refusal(with_feet({"--visit", "wears.toml"})), Contains("did you mean toes?"));
  CHECK_THAT(refusal(with_feet({"--top", "0"})), Contains("--top"));
  CHECK_THAT(refusal(with_feet({"--paper", "a5"})), Contains("a5"));
  CHECK_THAT(refusal(with_feet({"--resume", "r.toml"})), Contains("r.toml"));
  CHECK_THAT(refusal(with_feet({"--workshop", "no/folder/w.pdf"}), 5), Contains("no/folder"));
}

TEST_CASE("An output that would write over anything that is read is refused before anything is solved", "[app]") {
  const Shop shop;
  for (const auto& [name, from] : {std::pair{"l.toml", feet[1]}, {"r_foot.toml", feet[3]}})
    std::filesystem::copy_file(from, shop.path() / name);
  for (const char* name : {"own.toml", "now.toml"})
    std::filesystem::copy_file(source("meshes/shoes/tapered.toml"), shop.path() / name);
  std::filesystem::copy_file(source("meshes/constants.toml"), shop.path() / "k.toml");
  shop.write("s.csv", head + "one,own,240,90,2.0,1\n");
  shop.write("v.toml",
             "format = \"aplomb-visit\"\nformat_version = 1\nleft = \"l.toml\"\nright = \"r_foot.toml\"\n[present]\n"
             "shoe = \"now.toml\"\n");
  std::filesystem::create_symlink("own.toml", shop.path() / "other_name.pdf");
  std::filesystem::create_hard_link(shop.path() / "l.toml", shop.path() / "linked.toml");
  const std::vector<std::string> before = shop.names();
  const auto refused = [&](const std::string& option, const std::string& output) {
    const std::string was = shop.read(output);
    const Outcome outcome =
        shop.run(compare({"--visit", "v.toml", "--constants", "k.toml", "--no-advice", option, output}));
    CAPTURE(option, output, outcome.err);
    CHECK(outcome.exit_code == 2);
    CHECK(outcome.out.empty());
    CHECK(outcome.error_lines() == 1);
    CHECK_THAT(outcome.err, Contains(output + ": ") && Contains("is an input and would be written over"));
    CHECK(shop.read(output) == was);
    CHECK(shop.names() == before);
  };
  for (const char* input : {"k.toml", "l.toml", "r_foot.toml", "now.toml", "own.toml", "v.toml", "s.csv", "r.toml"})
    refused("--json", input);
  refused("--client", "other_name.pdf");
  refused("--workshop", "own.toml");
  refused("--resume", "linked.toml");
  refused("--json", "./../" + shop.path().filename().string() + "/now.toml");
}

TEST_CASE("A file that a visit names and that is not there is told with the visit's line", "[app]") {
  const Shop shop;
  const std::string visit = "format = \"aplomb-visit\"\nformat_version = 1\n";
  for (const auto& [more, says] :
       {std::pair{"left = \"gone.toml\"\n", "v.toml:3: left: \"gone.toml\" is not there"},
        {"mass_kg = 52\nright = \"gone.toml\"\n", "v.toml:4: right: \"gone.toml\" is not there"},
        {"[present]\nshoe = \"gone.toml\"\n", "v.toml:4: present.shoe: \"gone.toml\" is not there"}}) {
    shop.write("v.toml", visit + more);
    const Outcome outcome = shop.run(compare({"--visit", "v.toml"}));
    CAPTURE(outcome.err);
    CHECK(outcome.exit_code == 2);
    CHECK(outcome.error_lines() == 1);
    CHECK_THAT(outcome.err, Contains(says));
  }
  // One that is named on the line counts in its place.
  shop.write("v.toml", visit + "left = \"gone.toml\"\n");
  CHECK(shop.run(with_feet({"--visit", "v.toml", "--no-advice"})).exit_code == 0);
}

TEST_CASE("Answers are kept by the foot, not by the file that it comes from", "[app]") {
  const Shop shop;
  shop.write("again.toml", "# the same foot\n" + shop.read(feet[1]));
  const auto run = [&](const std::string& left, const std::string& json_file) {
    const Outcome outcome = shop.run(
        compare({"--left", left, "--right", feet[3], "--no-advice", "--resume", "answers", "--json", json_file}));
    REQUIRE(outcome.exit_code == 0);
    return json::parse(shop.read(json_file));
  };
  const json first = run(feet[1], "a.json"), again = run("again.toml", "b.json");
  CHECK(first["inputs"]["left_hash"] == again["inputs"]["left_hash"]);
  CHECK(first["inputs"]["left_hash"] != first["inputs"]["right_hash"]);
  std::istringstream rows(shop.read("answers"));
  std::string row;
  int kept = 0;
  for (std::getline(rows, row); std::getline(rows, row);) ++kept;
  CHECK(kept == 6);  // two feet in three shoes on the box, none solved twice
  // Another left foot takes none of them.
  shop.write("other.toml",
             "format = \"aplomb-card\"\nformat_version = 1\nside = \"left\"\nfoot_length_mm = 241\n"
             "foot_breadth_mm = 91\nmass_kg = 52\n");
  CHECK(run("other.toml", "c.json")["inputs"]["left_hash"] != first["inputs"]["left_hash"]);
}

TEST_CASE("A page that cannot be drawn takes neither table nor JSON with it", "[app]") {
  const Shop shop;
  // Data as installed, but without what pictures are drawn with.
  std::filesystem::create_directories(shop.path() / "place/data");
  for (const auto& entry : std::filesystem::directory_iterator(source("meshes")))
    std::filesystem::create_symlink(entry.path(), shop.path() / "place/data" / entry.path().filename());
  const Outcome outcome =
      shop.run(with_feet({"--no-advice", "--data", "place/data", "--client", "c.pdf", "--json", "a.json"}));
  CAPTURE(outcome.err);
  CHECK(outcome.exit_code != 0);
  CHECK(outcome.error_lines() == 1);
  CHECK_THAT(outcome.out, Contains("The nearest is ") && Contains("Cautions"));
  CHECK(json::parse(shop.read("a.json"))["ranking"].size() == 3);
  CHECK(shop.names() == std::vector<std::string>{"a.json", "place", "r.toml", "s.csv"});
}

TEST_CASE("An interrupted comparison leaves its answers, and goes on from them", "[app]") {
  const Shop shop;
  // The house's own rules, so that there is enough to solve.
  std::vector<std::string> words = {"compare",  "--stock", "s.csv",  "--no-advice",
                                    "--resume", "answers", "--json", "a.json"};
  words.insert(words.end(), feet.begin(), feet.end());
  const auto kept_lines = [&shop] {
    const std::string kept = std::filesystem::exists(shop.path() / "answers") ? shop.read("answers") : "";
    return std::count(kept.begin(), kept.end(), '\n');
  };
  const Outcome stopped = shop.run_until(words, [&] { return kept_lines() >= 2; });
  INFO(stopped.err);
  CHECK(stopped.exit_code == 130);
  CHECK(stopped.error_lines() == 1);
  CHECK_THAT(stopped.err, Contains("--resume"));
  CHECK(shop.names() == std::vector<std::string>{"answers", "r.toml", "s.csv"});
  const std::string kept = shop.read("answers");
  const auto lines = std::count(kept.begin(), kept.end(), '\n');
  CHECK(lines >= 2);
  const std::size_t whole_lines = kept.rfind('\n') + 1;
  REQUIRE(shop.run(with_feet({"--no-advice", "--resume", "answers", "--json", "b.json"})).exit_code == 0);
  CHECK(json::parse(shop.read("b.json"))["ranking"].size() == 3);
  // What was kept stays, and nothing that it holds was solved again: the first answers on the box are there from
  // before.
  const std::string more = shop.read("answers");
  CHECK(more.substr(0, whole_lines) == kept.substr(0, whole_lines));
  CHECK_THAT(kept, Contains("/on-box\""));
  std::set<std::string> keys;
  std::istringstream rows(more);
  std::string row;
  for (std::getline(rows, row); std::getline(rows, row);) CHECK(keys.insert(json::parse(row)["key"]).second);
}
