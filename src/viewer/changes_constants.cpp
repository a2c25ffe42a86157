// Changed constants.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "changes_parts.h"

namespace aplomb::viewer {

double* constant_of(stance::Constants& constants, std::string_view key) {
  for (const stance::ConstantField& field : stance::constant_fields())
    if (key == field.key) return &(constants.*field.member);
  constexpr std::string_view rays = "ray_flexion_Nm.";
  if (key.size() == rays.size() + 1 && key.starts_with(rays) && key.back() >= '1' && key.back() <= '5')
    return &constants.ray_flexion_Nm[key.back() - '1'];
  return nullptr;
}

io::Range constant_range(std::string_view key) {
  for (const stance::ConstantField& field : stance::constant_fields())
    if (key == field.key) return {field.min, field.max};
  return {1, 2000};  // a ray; stance::check() has the last word
}

io::Result<void> apply(const Changes& numbers, stance::Constants& constants) {
  for (const auto& [key, value] : numbers) {
    double* number = constant_of(constants, key);
    if (number == nullptr) return no_such(key);
    if (auto done = put(*number, key, value, constant_range(key)); !done) return done;
  }
  return stance::check(constants);
}

}  // namespace aplomb::viewer
