// The user's one line, and the exit codes.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "aplomb/io/error.h"

using namespace aplomb::io;

TEST_CASE("One line with the parts that are known", "[io]") {
  CHECK(to_line({.file = "a.toml", .line = 3, .field = "side", .message = "is missing", .remedy = "add it"}) ==
        "a.toml:3: side: is missing; add it");
  CHECK(to_line({.file = "a.toml", .message = "is a directory"}) == "a.toml: is a directory");
  CHECK(to_line({.field = "--load", .message = "is 0 N", .remedy = "give more"}) == "--load: is 0 N; give more");
  CHECK(to_line({.file = "a\nb", .message = "x\x1b[2Jy"}) == "a b: x [2Jy");
}

TEST_CASE("Exit codes", "[io]") {
  CHECK(exit_code(ErrorKind::bad_input) == 2);
  CHECK(exit_code(ErrorKind::decision_needed) == 3);
  CHECK(exit_code(ErrorKind::not_converged) == 4);
  CHECK(exit_code(ErrorKind::cannot_write) == 5);
  CHECK(exit_code(ErrorKind::cancelled) == 130);
}
