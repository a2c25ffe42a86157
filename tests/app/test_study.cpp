// aplomb study as a process: refusals, cancelling, and what it leaves behind.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>

#include "program.h"

using namespace aplomb::test;
using Catch::Contains;

TEST_CASE("A study that cannot be made is refused in one line, and nothing is written", "[app]") {
  const Workplace work;
  work.write("card.toml", work.read(source("meshes/feet/sample.toml")));
  const auto refusal = [&](std::vector<std::string> words, int exit_code = 2) {
    if (exit_code == 2) words.insert(words.begin(), {"--csv", "a.csv"});
    words.insert(words.begin(), "study");
    const Outcome outcome = work.run(words);
    CAPTURE(outcome.err);
    CHECK(outcome.exit_code == exit_code);
    CHECK(outcome.out.empty());
    CHECK(outcome.error_lines() == 1);
    CHECK(work.names() == std::vector<std::string>{"card.toml"});
    return outcome.err;
  };
  for (const char* count : {"0", "-1", "100001"}) CHECK_THAT(refusal({"--feet", count}), Contains("1 to 100000"));
  for (const char* count : {"x", "1.5", "99999999999"}) CHECK_THAT(refusal({"--feet", count}), Contains("--feet"));
  CHECK_THAT(refusal({"--threads", "-1"}), Contains("--threads"));
  CHECK_THAT(refusal({"--seed", "-1"}), Contains("below 0"));
  CHECK_THAT(refusal({"--shoe", "card.toml"}), Contains("aplomb-shoe"));
  CHECK_THAT(refusal({"--shoe", "none.toml"}), Contains("none.toml"));
  CHECK_THAT(refusal({"--position", "roll-dwn"}), Contains("did you mean roll-down?"));
  CHECK_THAT(refusal({"--fits", source("meshes/shoes/tapered.toml")}), Contains("aplomb-card"));
  CHECK_THAT(refusal({"--constants", "card.toml"}), Contains("aplomb-constants"));
  CHECK_THAT(refusal({"--csv", "no/folder/b.csv"}, 5), Contains("no/folder/b.csv"));
}

TEST_CASE("An interrupted study says so and leaves no file", "[app]") {
  const Workplace work;
  const Outcome outcome = work.run({"study", "--feet", "300", "--csv", "a.csv"}, 1500);
  CHECK(outcome.exit_code == 130);
  CHECK(outcome.out.empty());
  CHECK(outcome.error_lines() == 1);
  CHECK_THAT(outcome.err, Contains("1800 stands"));
  CHECK(work.names().empty());
}

TEST_CASE("A study writes one row for each stand, and its seed matters", "[app]") {
  const Workplace work;
  const auto study = [&](const std::string& seed) {
    const Outcome outcome =
        work.run({"study", "--feet", "1", "--seed", seed, "--shoe", source("meshes/shoes/parallel.toml"), "--position",
                  "full-pointe-two", "--csv", "a.csv"});
    INFO(outcome.err);
    CHECK(outcome.exit_code == 0);
    CHECK_THAT(outcome.out, Contains("full-pointe-two") && Contains("of 1 stands"));
    const std::string csv = work.read("a.csv");
    CHECK(std::count(csv.begin(), csv.end(), '\n') == 2);
    CHECK(csv.starts_with("format,format_version,"));
    CHECK(work.names() == std::vector<std::string>{"a.csv"});
    // The row up to the reason; times differ from run to run.
    const std::size_t row = csv.find('\n') + 1;
    return csv.substr(row, csv.find(",full-pointe-two,") - row);
  };
  const std::string first = study("1");
  CHECK(study("1") == first);
  CHECK(study("2") != first);
}
