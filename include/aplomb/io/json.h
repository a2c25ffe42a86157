// JSON in and out: C locale, numbers that read back the same, null for what does not apply.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>

#include "aplomb/io/error.h"
#include "aplomb/io/format.h"

namespace aplomb::io {

/// Keeps keys in the order in which they were added.
using Json = nlohmann::ordered_json;

/// Largest JSON file that is read at all (a foot file with its skin offsets).
inline constexpr std::size_t max_json_bytes = std::size_t{64} << 20;

/// null when absent or not finite: JSON has no NaN.
Json number_or_null(std::optional<double> value);

/// Indented text with a final newline. Doubles are the shortest that read back the same; bytes that are no UTF-8 (from
/// file names) become U+FFFD.
std::string to_text(const Json& json);

/// Reads an object and checks its `format` and `format_version`; older versions come back under their present key
/// names. Errors (bad_input): see read_file(); not JSON (with line); not an object; another format; a newer version.
Result<Json> read_json(const std::filesystem::path& file, const FileFormat& format, std::string_view field = {});
/// The same for text already in memory.
Result<Json> parse_json(std::string_view text, const std::string& file_name, const FileFormat& format);

/// Writes to_text(json) to standard output when `target` is "-", else with write_file(). Errors: cannot_write.
Result<void> write_json(const std::string& target, const Json& json);

/// Runs `read`, which takes values out of a Json, and turns the library's exceptions (missing key, wrong type) into an
/// Error.
template <class Read>
auto guard_json(const std::string& file_name, Read&& read) -> Result<decltype(read())> {
  try {
    return read();
  } catch (const nlohmann::json::exception& error) {
    return fail({.file = file_name, .message = error.what(), .remedy = "make this file anew with the program"});
  }
}

}  // namespace aplomb::io
