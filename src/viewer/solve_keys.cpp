// Same key, same answer.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "solve_job.h"

namespace aplomb::viewer {

std::string request_key(const std::string& choice, stance::Position position, Care care, bool band) {
  return fmt::format("{} {} {}{}", choice, stance::name(position), care == Care::quick ? "quick" : "full",
                     band ? " band" : "");
}

std::string advice_key(const std::string& choice) { return choice + " advice"; }

std::string request_key(const Request& request) {
  if (request.advice) return advice_key(choice_key(request.choice));
  return request_key(choice_key(request.choice), request.position, request.care, request.band);
}

}  // namespace aplomb::viewer
