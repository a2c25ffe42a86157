// The command line itself: help, unknown words, wrong values.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "program.h"

using namespace aplomb::test;
using Catch::Contains;

TEST_CASE("Help and version go to standard output", "[app]") {
  const Workplace work;
  for (const std::vector<std::string>& words :
       {std::vector<std::string>{"--help"}, {"foot", "--help"}, {"stand", "--help"}, {"--version"}}) {
    const Outcome outcome = work.run(words);
    CHECK(outcome.exit_code == 0);
    CHECK(outcome.err.empty());
    CHECK_FALSE(outcome.out.empty());
  }
}

TEST_CASE("What the command line does not know is one line and exit 2", "[app]") {
  const Workplace work;
  const auto refusal = [&](const std::vector<std::string>& words) {
    const Outcome outcome = work.run(words);
    CHECK(outcome.exit_code == 2);
    CHECK(outcome.out.empty());
    CHECK(outcome.error_lines() == 1);
    return outcome.err;
  };
  CHECK_THAT(refusal({}), Contains("aplomb --help"));
  const std::string view = APLOMB_HAS_VIEW ? ", view" : "";
  CHECK(refusal({"stnd"}) ==
        "stnd: is no command (there are foot, stand, compare, study" + view + "); did you mean stand?\n");
  CHECK_THAT(refusal({"dance"}), Contains("dance: is no command ("));
  CHECK(refusal({"stand", "--fot", "x"}) == "--fot: is no option of this command; did you mean --foot?\n");
  CHECK_THAT(refusal({"stand", "--foot"}), Contains("--foot"));
  CHECK_THAT(refusal({"stand", "--threads", "many"}), Contains("--threads"));
  CHECK_THAT(refusal({"foot"}), Contains("aplomb foot --help"));
}
