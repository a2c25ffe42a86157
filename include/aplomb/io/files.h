// Whole-file reading, all-or-nothing writing, and content hashes.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <filesystem>
#include <string>
#include <string_view>

#include "aplomb/io/error.h"

namespace aplomb::io {

/// Largest file a person writes (cards, shoes) that is read at all.
inline constexpr std::size_t max_text_bytes = std::size_t{4} << 20;

/// Reads a regular file whole. `field` names in the Error the option that brought the path, e.g. "--foot"; may be
/// empty. Errors (bad_input): missing, a directory or other non-file, unreadable, empty, larger than `max_bytes`.
Result<std::string> read_file(const std::filesystem::path& file, std::string_view field = {},
                              std::size_t max_bytes = max_text_bytes);

/// Writes `content` to a temporary file in the folder of `file`, flushes it to the disk and renames it over `file`.
/// On failure nothing is left behind and `file` is as it was. Errors: cannot_write.
Result<void> write_file(const std::filesystem::path& file, std::string_view content);

/// For libraries that write to a path of their own: a fresh name beside `file`, to be handed to commit_file() or
/// discard_file(). Errors (cannot_write): the folder is missing, `file` is a directory, device or pipe.
Result<std::filesystem::path> temporary_beside(const std::filesystem::path& file);
/// Flushes `temporary` and renames it over `file`; removes it on failure. Errors: cannot_write.
Result<void> commit_file(const std::filesystem::path& temporary, const std::filesystem::path& file);
void discard_file(const std::filesystem::path& temporary);

/// FNV-1a, 64 bits, as 16 lower-case hex digits: tells whether two inputs were the same, no defence against forgery.
/// Source: Fowler, Noll, Vo, IETF draft-eastlake-fnv.
std::string content_hash(std::string_view content);

}  // namespace aplomb::io
