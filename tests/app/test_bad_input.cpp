// Everything that a person can get wrong in a card, a shoe or an option: one line on standard error, nothing written.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <sys/stat.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <regex>

#include "program.h"

using namespace aplomb::test;
using Catch::Contains;
namespace fs = std::filesystem;

namespace {

const std::string good_card =
    "format = \"aplomb-card\"\nformat_version = 1\nside = \"right\"\nfoot_length_mm = 238\nfoot_breadth_mm = "
    "89\nmass_kg = 52\n";

/// `text` with its one line of `key` replaced by `line`; empty `line` removes it.
std::string with(const std::string& text, const std::string& key, const std::string& line) {
  const std::regex pattern("(^|\n)" + key + " = [^\n]*\n");
  REQUIRE(std::regex_search(text, pattern));
  return std::regex_replace(text, pattern, "$1" + (line.empty() ? "" : line + "\n"));
}

/// Standard error of a refused run of `stand` on these two files with every output asked for.
std::string refusal(const Workplace& work, const std::string& foot, const std::string& shoe,
                    std::vector<std::string> more = {}) {
  const std::vector<std::string> before = work.names();
  std::vector<std::string> words = {"stand",      "--foot",          foot,     "--shoe", shoe,
                                    "--position", "full-pointe-two", "--json", "a.json", "--picture",
                                    "a.png",      "--report",        "a.pdf"};
  words.insert(words.end(), more.begin(), more.end());
  const Outcome outcome = work.run(words);
  INFO(outcome.err);
  CHECK(outcome.exit_code == 2);
  CHECK(outcome.out.empty());
  CHECK(outcome.error_lines() == 1);
  CHECK(work.names() == before);
  return outcome.err;
}

std::string refused_card(const std::string& card) {
  const Workplace work;
  work.write("c.toml", card);
  return refusal(work, "c.toml", source("meshes/shoes/tapered.toml"));
}

std::string sample_shoe() {
  const Workplace reader;
  fs::copy(source("meshes/shoes/tapered.toml"), reader.path() / "s.toml");
  return reader.read("s.toml");
}

std::string refused_shoe(const std::string& shoe, const std::string& card = good_card) {
  const Workplace work;
  work.write("c.toml", card);
  work.write("s.toml", shoe);
  return refusal(work, "c.toml", "s.toml");
}

}  // namespace

TEST_CASE("Cards with something wrong in one key", "[app]") {
  CHECK(refused_card(with(good_card, "foot_length_mm", "")) == "c.toml:1: foot_length_mm: is missing; add this key\n");
  CHECK_THAT(refused_card(with(good_card, "side", "")), Contains(": side: is missing; "));
  CHECK(refused_card(with(good_card, "foot_length_mm", "foot_lenght_mm = 238")) ==
        "c.toml:4: foot_lenght_mm: is not a key of this table; did you mean foot_length_mm?\n");
  CHECK_THAT(refused_card(good_card + "shoe_size = 38\n"), Contains("c.toml:7: shoe_size: is not a key"));
  CHECK_THAT(refused_card(with(good_card, "foot_breadth_mm", "foot_breadth_mm = \"89\"")),
             Contains("c.toml:5: foot_breadth_mm: is a text, not a number"));
  CHECK_THAT(refused_card(with(good_card, "foot_breadth_mm", "foot_breadth_mm = true")),
             Contains("c.toml:5: foot_breadth_mm: is true or false, not a number"));
  CHECK(refused_card(with(good_card, "foot_length_mm", "foot_length_mm = 24.0")) ==
        "c.toml:4: foot_length_mm: 24 looks like cm; write 240\n");
  CHECK(refused_card(with(good_card, "mass_kg", "mass_kg = 52000")) ==
        "c.toml:6: mass_kg: 52000 looks like grams; write 52\n");
  CHECK_THAT(refused_card(with(good_card, "mass_kg", "mass_kg = nan")), Contains("c.toml:6: mass_kg: nan"));
  CHECK_THAT(refused_card(with(good_card, "foot_length_mm", "foot_length_mm = nan")),
             Contains("c.toml:4: foot_length_mm: nan"));
  CHECK_THAT(refused_card(with(good_card, "foot_length_mm", "foot_length_mm = inf")),
             Contains("c.toml:4: foot_length_mm: infinity"));
  CHECK_THAT(refused_card(with(good_card, "foot_length_mm", "foot_length_mm = -238")),
             Contains("c.toml:4: foot_length_mm: -238 mm is less"));
  CHECK_THAT(refused_card(with(good_card, "foot_length_mm", "foot_length_mm = 1e300")),
             Contains("c.toml:4: foot_length_mm: 1e+300 mm is more"));
  CHECK(refused_card(good_card + "[toes.halux]\nlength_mm = 50\n") ==
        "c.toml:7: toes.halux: is not a key of this table; did you mean hallux?\n");
  CHECK_THAT(refused_card(with(good_card, "side", "side = \"rigth\"")), Contains("did you mean \"right\"?"));
  CHECK_THAT(refused_card(with(good_card, "format_version", "format_version = 99")),
             Contains("c.toml:2: format_version: 99 is newer"));
}

TEST_CASE("Cards whose numbers contradict each other", "[app]") {
  CHECK_THAT(refused_card("side = \"right\"\nfoot_length_mm = 125\nfoot_breadth_mm = 130\nmass_kg = 30\n"),
             Contains("foot_breadth_mm"));
  CHECK_THAT(refused_card(good_card + "[toes.hallux]\nlength_mm = 240\n"), Contains("toes.hallux.length_mm"));
}

TEST_CASE("Files that are no cards", "[app]") {
  const Workplace work;
  const std::string shoe = source("meshes/shoes/tapered.toml");
  CHECK(refusal(work, "none.toml", shoe) ==
        "none.toml: --foot: there is no such file; check the spelling and the folder\n");
  work.write("empty.toml", "");
  CHECK_THAT(refusal(work, "empty.toml", shoe), Contains("the file is empty"));
  fs::create_directory(work.path() / "folder.toml");
  CHECK_THAT(refusal(work, "folder.toml", shoe), Contains("folder.toml: --foot: is a directory"));
  work.write("good.toml", good_card);
  CHECK_THAT(refusal(work, "good.toml", "folder.toml"), Contains("folder.toml: --shoe: is a directory"));
  CHECK_THAT(refusal(work, "good.toml", "empty.toml"), Contains("empty.toml: --shoe: the file is empty"));
  work.write("secret.toml", good_card);
  fs::permissions(work.path() / "secret.toml", fs::perms::none);
  CHECK_THAT(refusal(work, "secret.toml", shoe), Contains("cannot be read (Permission denied)"));
  work.write("half.toml", good_card.substr(0, 70));
  CHECK_THAT(refusal(work, "half.toml", shoe), Contains("half.toml:"));
  work.write("bytes.toml", std::string("\x89PNG\r\n\x1a\n\0\0\0\rIHDR", 16));
  CHECK_THAT(refusal(work, "bytes.toml", shoe), Contains("not valid TOML"));
  work.write("half.foot.json", "{\"format\": \"aplomb-foot\", \"side\"");
  CHECK_THAT(refusal(work, "half.foot.json", shoe), Contains("half.foot.json:1: not valid JSON"));
  work.write("other.foot.json", "{\"format\": \"aplomb-foot\", \"format_version\": 1}");
  CHECK_THAT(refusal(work, "other.foot.json", shoe), Contains("other.foot.json: "));
  CHECK_THAT(refusal(work, shoe, shoe), Contains("this file is of format \"aplomb-shoe\""));
}

TEST_CASE("Shoes that cannot be made or worn", "[app]") {
  const std::string shoe = sample_shoe();
  CHECK_THAT(refused_shoe(with(shoe, "inner_length_mm", "")), Contains("inner_length_mm: is missing"));
  CHECK_THAT(refused_shoe(shoe + "plan_tapper = 1\n"), Contains("s.toml:"));
  CHECK_THAT(refused_shoe(with(shoe, "inner_length_mm", "inner_length_mm = 23.7")),
             Contains("23.7 looks like cm; write 237"));
  CHECK_THAT(refused_shoe(with(with(shoe, "wing_medial_mm", "wing_medial_mm = 240"), "wing_lateral_mm",
                               "wing_lateral_mm = 240")),
             Contains("s.toml:") && Contains("wing_medial_mm"));
  CHECK(refused_shoe(with(shoe, "cut", "cut = \"left\"")) ==
        "s.toml:6: cut: a left shoe on a right foot; take the shoe of the pair cut for this foot, or a straight one\n");
  CHECK_THAT(refused_shoe(with(shoe, "cut", "cut = \"right\""), with(good_card, "side", "side = \"left\"")),
             Contains("s.toml:6: cut: a right shoe on a left foot"));
  CHECK_THAT(refused_shoe(with(shoe, "format_version", "format_version = 7")), Contains("format_version: 7 is newer"));
}

TEST_CASE("Options of stand that are wrong", "[app]") {
  const Workplace work;
  work.write("c.toml", with(good_card, "mass_kg", ""));
  const std::string shoe = source("meshes/shoes/tapered.toml");
  CHECK(refusal(work, "c.toml", shoe) ==
        "c.toml: mass_kg: is missing, so the load is not known; add mass_kg to the card or give --load in newtons\n");
  for (const char* load : {"0", "-255", "nan", "inf", "1e9"})
    CHECK_THAT(refusal(work, "c.toml", shoe, {"--load", load}), Contains("--load: "));
  CHECK(refusal(work, "c.toml", shoe, {"--load", "255N"}) ==
        "--load: \"255N\" is not a number; write a number without unit\n");
  CHECK_THAT(refusal(work, "c.toml", shoe, {"--load", "255", "--data", "nowhere"}), Contains("nowhere: --data: "));
  CHECK_THAT(refusal(work, "c.toml", shoe, {"--load", "255", "--accept-unlikely", "foot_lenght_mm"}),
             Contains("foot_lenght_mm"));

  const auto position = [&](const std::string& name) {
    const Outcome outcome = work.run({"stand", "--foot", "c.toml", "--shoe", shoe, "--position", name});
    CHECK(outcome.exit_code == 2);
    CHECK(outcome.error_lines() == 1);
    return outcome.err;
  };
  CHECK(position("full-point-two") == "--position: \"full-point-two\" is no position; did you mean full-pointe-two?\n");
  CHECK(position("full-pointe") ==
        "--position: \"full-pointe\" is no position; did you mean full-pointe-two or full-pointe-one?\n");
  CHECK(position("demi") == "--position: \"demi\" is no position; did you mean demi-plie or demi-pointe?\n");
  CHECK_THAT(position("handstand"), Contains("there are parallel, demi-plie, on-box"));
}

TEST_CASE("An unlikely number needs a decision, exit 3, and the line names it", "[app]") {
  const Workplace work;
  // A malleolus 78 mm high on this foot lies beyond three SD (61 +- 5 mm in ANSUR II), yet no geometry forbids it.
  work.write("c.toml", good_card + "lateral_malleolus_height_mm = 78\n");
  const Outcome asked = work.run({"foot", "c.toml", "--out", "f.foot.json"});
  CHECK(asked.exit_code == 3);
  CHECK(asked.error_lines() == 1);
  CHECK_THAT(asked.err, Contains("c.toml:7: lateral_malleolus_height_mm: ") &&
                            Contains("--accept-unlikely lateral_malleolus_height_mm"));
  CHECK(work.names() == std::vector<std::string>{"c.toml"});
  CHECK(work.run({"foot", "c.toml", "--accept-unlikely", "lateral_malleolus_height_mm"}).exit_code == 0);
}

TEST_CASE("Outputs that cannot be written are exit 5, before any work", "[app]") {
  const Workplace work;
  work.write("c.toml", good_card);
  for (const char* option : {"--json", "--picture", "--report"}) {
    const Outcome outcome = work.run({"stand", "--foot", "c.toml", "--shoe", source("meshes/shoes/tapered.toml"),
                                      "--position", "full-pointe-two", option, "no/such/folder/a.out"});
    CHECK(outcome.exit_code == 5);
    CHECK(outcome.error_lines() == 1);
    CHECK_THAT(outcome.err, Contains("no/such/folder/a.out: its folder does not exist"));
  }
  CHECK(work.names() == std::vector<std::string>{"c.toml"});
}

TEST_CASE("An output may be no input and no other output, under whatever name", "[app]") {
  const Workplace work;
  work.write("c.toml", good_card);
  work.write("s.toml", sample_shoe());
  work.write("k.toml", "format = \"aplomb-constants\"\n");
  fs::create_symlink("c.toml", work.path() / "link.toml");
  const std::vector<std::string> stand = {"stand", "--foot",     "c.toml",          "--shoe",      "s.toml", "--load",
                                          "255",   "--position", "full-pointe-two", "--constants", "k.toml"};
  const auto refusal = [&](std::vector<std::string> words, const std::vector<std::string>& more) {
    const std::vector<std::string> before = work.names();
    words.insert(words.end(), more.begin(), more.end());
    const Outcome outcome = work.run(words);
    CAPTURE(outcome.err);
    CHECK(outcome.exit_code == 2);
    CHECK(outcome.error_lines() == 1);
    CHECK(work.names() == before);
    return outcome.err;
  };
  CHECK(refusal(stand, {"--json", "c.toml"}) ==
        "c.toml: is an input and would be written over; choose another name for the output\n");
  CHECK_THAT(refusal(stand, {"--picture", "./s.toml"}), Contains("./s.toml: is an input"));
  CHECK_THAT(refusal(stand, {"--report", (work.path() / "k.toml").string()}), Contains("k.toml: is an input"));
  CHECK_THAT(refusal(stand, {"--json", "link.toml"}), Contains("link.toml: is an input"));
  CHECK(refusal(stand, {"--json", "a.out", "--picture", "./a.out"}) ==
        "./a.out: is named for two outputs; give each output a name of its own\n");
  CHECK_THAT(refusal({"foot", "c.toml"}, {"--out", "c.toml"}), Contains("c.toml: is an input"));
  CHECK_THAT(refusal({"study", "--shoe", "s.toml"}, {"--csv", "s.toml"}), Contains("s.toml: is an input"));
  CHECK(work.read("c.toml") == good_card);
  CHECK(work.read("s.toml") == sample_shoe());
}

TEST_CASE("What the window reads is not written over by its picture or its state", "[app]") {
  if (!APLOMB_HAS_VIEW) return;
  const Workplace work;
  for (const char* name : {"session.json", "drop.toml", "k.toml", "card.toml"}) work.write(name, good_card);
  fs::create_symlink("session.json", work.path() / "link.png");
  for (const char* option : {"--screenshot", "--ui-state"})
    for (const std::string input : {"session.json", "drop.toml", "k.toml", "card.toml", "link.png"}) {
      const Outcome outcome = work.run({"view", "card.toml", "--session", "session.json", "--drop", "drop.toml",
                                        "--constants", "k.toml", option, input});
      CAPTURE(option, input, outcome.err);
      CHECK(outcome.exit_code == 2);
      CHECK(outcome.error_lines() == 1);
      CHECK_THAT(outcome.err, Contains(input + ": is an input and would be written over"));
      CHECK(work.read(input) == good_card);
    }
}

TEST_CASE("An output that is a directory or a pipe is left as it is", "[app]") {
  const Workplace work;
  work.write("c.toml", good_card);
  fs::create_directory(work.path() / "folder");
  REQUIRE(::mkfifo((work.path() / "pipe").c_str(), 0600) == 0);
  for (const std::string name : {"folder", "pipe"}) {
    const Outcome outcome = work.run({"foot", "c.toml", "--json", name});
    CAPTURE(outcome.err);
    CHECK(outcome.exit_code == 5);
    CHECK(outcome.error_lines() == 1);
    CHECK(outcome.err.starts_with(name + ": is "));
  }
  CHECK(fs::is_fifo(work.path() / "pipe"));
  CHECK(work.names() == std::vector<std::string>{"c.toml", "folder", "pipe"});
}

TEST_CASE("Standard output that is full is exit 5", "[app]") {
  // /dev/full answers every write with "no space left" (Linux, full(4)).
  if (!fs::exists("/dev/full")) return;
  const Workplace work;
  work.write("c.toml", good_card);
  for (const std::vector<std::string>& words :
       {std::vector<std::string>{"foot", "c.toml"}, {"foot", "c.toml", "--json", "-"}, {"foot", "--new-card"}}) {
    const Outcome outcome = work.run(words, 0, "/dev/full");
    CAPTURE(outcome.err);
    CHECK(outcome.exit_code == 5);
    CHECK(outcome.error_lines() == 1);
    CHECK_THAT(outcome.err, Contains("standard output cannot be written; check where it is sent"));
  }
}
