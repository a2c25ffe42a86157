// Error to the user's one line and to the exit code.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/io/error.h"

#include <fmt/format.h>

namespace aplomb::io {

std::string to_line(const Error& error) {
  std::string text;
  if (!error.file.empty()) text = error.line > 0 ? fmt::format("{}:{}: ", error.file, error.line) : error.file + ": ";
  if (!error.field.empty()) text += error.field + ": ";
  text += error.message;
  if (!error.remedy.empty()) text += "; " + error.remedy;
  // File names and quoted values may hold anything; the line stays one line and moves no cursor.
  for (char& c : text)
    if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f) c = ' ';
  return text;
}

int exit_code(ErrorKind kind) {
  switch (kind) {
    case ErrorKind::bad_input:
      return 2;
    case ErrorKind::decision_needed:
      return 3;
    case ErrorKind::not_converged:
      return 4;
    case ErrorKind::cannot_write:
      return 5;
    case ErrorKind::cancelled:
      return 130;
  }
  return 2;
}

}  // namespace aplomb::io
