// Words are made in millimetres everywhere; what is shown is turned into inches at the last moment, so that no finding,
// rule or hint can be left behind.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "lengths.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <cstdlib>

#include "widgets.h"

namespace aplomb::viewer {

namespace {

constexpr double mm_per_inch = 25.4;

bool digit(char c) { return std::isdigit(static_cast<unsigned char>(c)) != 0; }
bool letter(char c) {
  return std::isalpha(static_cast<unsigned char>(c)) != 0 || static_cast<unsigned char>(c) >= 0x80;
}

/// Where the number that ends at `end` begins, its sign included; `end` where there is none.
std::size_t number_before(std::string_view words, std::size_t end) {
  std::size_t at = end;
  while (at > 0 && (digit(words[at - 1]) || (words[at - 1] == '.' && at < end))) --at;
  if (at == end || words[at] == '.') return end;
  if (at > 0 && (words[at - 1] == '+' || words[at - 1] == '-') && (at == 1 || !digit(words[at - 2]))) --at;
  if (at > 0 && letter(words[at - 1])) return end;  // a name with a number in it
  return at;
}

std::string inches_of(std::string_view number) {
  const std::size_t point = number.find('.');
  const int decimals = point == std::string_view::npos ? 2 : static_cast<int>(number.size() - point - 1) + 2;
  const bool sign = number.front() == '+' || number.front() == '-';
  return shown_number(std::strtod(std::string(number).c_str(), nullptr) / mm_per_inch, std::min(decimals, 4), sign);
}

/// What stands between two numbers of one unit.
constexpr std::array<std::string_view, 7> between = {" becomes ", " to ", " and ", " or ", " .. ", " x ", " \u2013 "};

}  // namespace

std::string length_words(double mm, bool inches) {
  return inches ? shown_number(mm / mm_per_inch, 3) + " in" : shown_number(mm, 1) + " mm";
}

std::string in_units(const std::string& value, bool inches) {
  if (!inches || !value.ends_with(" mm")) return value;
  const double mm = std::strtod(value.c_str(), nullptr);
  return shown_number(mm / mm_per_inch, 3, value.starts_with('+') || value.starts_with('-')) + " in";
}

std::string with_inches(std::string_view words) {
  constexpr std::string_view unit = " mm";
  std::string out;
  std::size_t told = 0;  // of `words`
  for (std::size_t at = words.find(unit); at != std::string_view::npos; at = words.find(unit, at + 1)) {
    const std::size_t after = at + unit.size();
    if (after < words.size() && (letter(words[after]) || digit(words[after]) || words[after] == '^')) continue;
    std::size_t end = at, begin = number_before(words, end);
    if (begin == end || begin < told) continue;
    std::string turned = inches_of(words.substr(begin, end - begin)) + " in";
    for (bool more = true; more;) {
      more = false;
      for (const std::string_view link : between) {
        if (!words.substr(told, begin - told).ends_with(link)) continue;
        end = begin - link.size();
        const std::size_t first = number_before(words, end);
        if (first == end || first < told) continue;
        turned = inches_of(words.substr(first, end - first)) + std::string(link) + turned;
        begin = first;
        more = true;
        break;
      }
    }
    out += words.substr(told, begin - told);
    out += turned;
    told = after;
  }
  return out + std::string(words.substr(told));
}

}  // namespace aplomb::viewer
