// Texts that people write into stock and visits and that are printed as they are: one line, and not a long one
// (internal).
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "aplomb/io/error.h"
#include "aplomb/io/toml.h"

namespace aplomb::shop {

/// Characters at most: of a label or a name, of what she says in her own words, of a path.
inline constexpr std::size_t most_label = 80, most_said = 240, most_path = 1000;

/// What keeps `text` from being printed as one line, message and remedy only: no UTF-8, control characters, too long.
std::optional<io::Error> text_fault(std::string_view text, std::size_t most = most_label);

/// The key's text, empty when it is missing; refused where text_fault() finds one.
std::string plain_text(io::TomlReader& reader, std::string_view key, std::size_t most = most_label);
/// The same of a key that must be there.
std::string required_text(io::TomlReader& reader, std::string_view key, std::size_t most = most_label);

/// Of a whole TOML file: the first line that is no UTF-8, with the key that it begins with as field.
std::optional<io::Error> not_utf8(std::string_view text, const std::string& file);

}  // namespace aplomb::shop
