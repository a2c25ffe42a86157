// Text in columns for a terminal.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

namespace aplomb::report {

/// Columns of text: code points, which is right for the Latin letters and signs used here.
std::size_t width(const std::string& text);

/// Padded with blanks to that many columns.
std::string left(const std::string& text, std::size_t columns);
std::string right(const std::string& text, std::size_t columns);

/// The title and a line of dashes under it.
std::string underline(const std::string& title);

/// Words of `text` in lines of at most `columns`, the second and later lines indented like the first word.
std::string wrapped(const std::string& bullet, const std::string& text, std::size_t columns);

}  // namespace aplomb::report
