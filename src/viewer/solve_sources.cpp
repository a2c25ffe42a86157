// A file with the changes beside it, read as its numbers, and named as such.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "aplomb/io/files.h"
#include "changes.h"
#include "solve_parts.h"

namespace aplomb::viewer {

io::Result<foot::Card> card_of(const Source& source) {
  auto card = foot::parse_card(source.text, source.file);
  if (!card || source.changes.empty()) return card;
  for (const auto& [key, value] : source.changes) {
    const auto number = foot::find_number(key);
    if (!number) continue;
    if (auto error = io::check_range(key, value, foot::number_table()[*number].range)) return tl::unexpected(*error);
    card->numbers[*number] = value;
  }
  if (const auto found = foot::contradiction_in(*card))
    return tl::unexpected(foot::card_error(*card, found->number, found->message, found->remedy));
  return card;
}

io::Result<shoe::ShoeParameters> parameters_of(const Source& source) {
  auto parameters = shoe::parse_shoe(source.text, source.file);
  if (!parameters || source.changed() == 0) return parameters;
  const auto in_file = [&](io::Error error) {
    error.file = source.file;
    return io::fail(error);
  };
  if (const auto applied = apply(source.changes, source.words, *parameters); !applied) return in_file(applied.error());
  if (const auto checked = shoe::check(*parameters); !checked) return in_file(checked.error());
  return parameters;
}

std::string name_with_changes(const Source& source) {
  if (source.changed() == 0) return source.file;
  return fmt::format("{} with {} number{} changed", source.file, source.changed(), source.changed() == 1 ? "" : "s");
}

std::string hash_with_changes(const Source& source) {
  std::string text = source.text;
  for (const auto& [key, value] : source.changes) text += fmt::format("\n{} = {}", key, value);
  for (const auto& [key, word] : source.words) text += fmt::format("\n{} = {}", key, word);
  return io::content_hash(text);
}

}  // namespace aplomb::viewer
