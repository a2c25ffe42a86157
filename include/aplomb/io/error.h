// One error type for everything that can be wrong with an input, a file or a run.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <tl/expected.hpp>
#include <utility>

namespace aplomb::io {

/// What went wrong, in the order of the program's exit codes.
enum class ErrorKind {
  bad_input,        ///< exit 2: a file, key, value or option is wrong
  decision_needed,  ///< exit 3: the remedy names the option that makes the decision
  not_converged,    ///< exit 4: the solver says why
  cannot_write,     ///< exit 5: an output could not be written
  cancelled         ///< exit 130: stopped by the user
};

/// One refusal. Printed by to_line() as `file:line: field: what is wrong; what to do`.
struct Error {
  ErrorKind kind = ErrorKind::bad_input;
  std::string file{};     ///< path as the user gave it; empty when no file is involved
  int line = 0;           ///< 1-based; 0 when unknown
  std::string field{};    ///< key, option or part that is wrong; may be empty
  std::string message{};  ///< what is wrong, with the value and its unit
  std::string remedy{};   ///< what to do about it
};

/// The error as the one line the user sees (no newline).
std::string to_line(const Error& error);

/// Exit code of the program for this error: 2, 3, 4, 5 or 130.
int exit_code(ErrorKind kind);

/// A value or an Error. Exceptions stop at library edges and become an Error here.
template <class T>
using Result = tl::expected<T, Error>;

/// Shorthand: `return io::fail({.field = "side", .message = ..., .remedy = ...});`
inline tl::unexpected<Error> fail(Error error) { return tl::unexpected<Error>(std::move(error)); }

}  // namespace aplomb::io
