// Padding, underlining and wrapping of text.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "columns.h"

#include <fmt/format.h>

#include <algorithm>

namespace aplomb::report {

std::size_t width(const std::string& text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) { return (c & 0xC0) != 0x80; }));
}

std::string left(const std::string& text, std::size_t columns) {
  return text + std::string(columns - std::min(columns, width(text)), ' ');
}

std::string right(const std::string& text, std::size_t columns) {
  return std::string(columns - std::min(columns, width(text)), ' ') + text;
}

std::string underline(const std::string& title) {
  return fmt::format("{}\n{}\n", title, std::string(width(title), '-'));
}

std::string wrapped(const std::string& bullet, const std::string& text, std::size_t columns) {
  const std::string indent(width(bullet), ' ');
  std::string out = bullet, word;
  std::size_t used = width(bullet);
  const auto flush = [&] {
    if (word.empty()) return;
    if (used > indent.size() && used + 1 + width(word) > columns) {
      out += "\n" + indent;
      used = indent.size();
    }
    if (used > indent.size()) {
      out += ' ';
      ++used;
    }
    out += word;
    used += width(word);
    word.clear();
  };
  for (const char c : text) {
    if (c == ' ' || c == '\n')
      flush();
    else
      word += c;
  }
  flush();
  return out + "\n";
}

}  // namespace aplomb::report
