// One look at what people write, before it reaches a terminal, a JSON file or a page.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "plain_text.h"

#include <fmt/format.h>

#include <algorithm>

namespace aplomb::shop {

namespace {

/// Bytes of the character that `text` begins with; 0 where they are none. RFC 3629: no overlong forms, no surrogates,
/// nothing past U+10FFFF.
std::size_t character_bytes(std::string_view text) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned>(static_cast<unsigned char>(text[i])); };
  const unsigned lead = byte(0);
  if (lead < 0x80) return 1;
  const std::size_t count = lead >= 0xc2 && lead <= 0xdf   ? 2
                            : lead >= 0xe0 && lead <= 0xef ? 3
                            : lead >= 0xf0 && lead <= 0xf4 ? 4
                                                           : 0;
  if (count == 0 || text.size() < count) return 0;
  for (std::size_t i = 1; i < count; ++i)
    if (byte(i) < 0x80 || byte(i) > 0xbf) return 0;
  const bool bad = (lead == 0xe0 && byte(1) < 0xa0) || (lead == 0xed && byte(1) > 0x9f) ||
                   (lead == 0xf0 && byte(1) < 0x90) || (lead == 0xf4 && byte(1) > 0x8f);
  return bad ? 0 : count;
}

/// Where it stops being UTF-8, or its end; counts the characters before.
std::size_t utf8_end(std::string_view text, std::size_t& characters) {
  std::size_t at = 0;
  for (characters = 0; at < text.size(); ++characters) {
    const std::size_t bytes = character_bytes(text.substr(at));
    if (bytes == 0) break;
    at += bytes;
  }
  return at;
}

io::Error no_utf8() { return {.message = "is not UTF-8", .remedy = "save the file as UTF-8"}; }

std::string checked(io::TomlReader& reader, std::string_view key, std::string text, std::size_t most) {
  if (const auto fault = text_fault(text, most)) reader.refuse(key, fault->message, fault->remedy);
  return text;
}

}  // namespace

std::optional<io::Error> text_fault(std::string_view text, std::size_t most) {
  std::size_t characters = 0;
  if (utf8_end(text, characters) < text.size()) return no_utf8();
  // Not echoed: a terminal would obey them.
  const auto control = std::find_if(text.begin(), text.end(), [](unsigned char c) { return c < 0x20 || c == 0x7f; });
  if (control != text.end())
    return io::Error{
        .message = fmt::format("holds a control character (0x{:02x})", static_cast<unsigned char>(*control)),
        .remedy = "write it as one line of plain text"};
  if (characters > most)
    return io::Error{.message = fmt::format("has {} characters, more than {}", characters, most),
                     .remedy = "write it shorter"};
  return std::nullopt;
}

std::string plain_text(io::TomlReader& reader, std::string_view key, std::size_t most) {
  return checked(reader, key, reader.optional_string(key).value_or(""), most);
}

std::string required_text(io::TomlReader& reader, std::string_view key, std::size_t most) {
  return checked(reader, key, reader.string(key), most);
}

std::optional<io::Error> not_utf8(std::string_view text, const std::string& file) {
  std::size_t characters = 0;
  const std::size_t at = utf8_end(text, characters);
  if (at == text.size()) return std::nullopt;
  const std::size_t begin = text.substr(0, at).rfind('\n') + 1;  // npos + 1 is 0
  const std::string_view line = text.substr(begin, at - begin);
  io::Error error = no_utf8();
  error.file = file;
  error.line = static_cast<int>(std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(at), '\n')) + 1;
  if (const std::size_t equals = line.find('='); equals != std::string_view::npos) {
    const std::size_t last = line.substr(0, equals).find_last_not_of(" \t"), first = line.find_first_not_of(" \t");
    if (last != std::string_view::npos) error.field = std::string(line.substr(first, last - first + 1));
  }
  return error;
}

}  // namespace aplomb::shop
