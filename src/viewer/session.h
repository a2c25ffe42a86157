// The session file (JSON, format "aplomb-session"): a document, whole, with the texts of its files in it.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <string>

#include "aplomb/io/error.h"
#include "aplomb/io/json.h"
#include "document.h"

namespace aplomb::viewer {

inline constexpr int session_format_version = 2;

io::Json session_json(const Document& document);
/// Errors (bad_input): not such a file, a newer one, a key missing or of the wrong kind, a view that no eye can have.
io::Result<Document> parse_session(std::string_view text, const std::string& file_name);
io::Result<Document> read_session(const std::filesystem::path& file);
/// Written whole or not at all. Errors: cannot_write.
io::Result<void> write_session(const Document& document, const std::filesystem::path& file);

}  // namespace aplomb::viewer
