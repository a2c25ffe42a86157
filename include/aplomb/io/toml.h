// Strict reading of TOML files that people write: every key is asked for by name, what nobody asked for is refused.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <limits>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "aplomb/io/error.h"
#include "aplomb/io/format.h"

namespace aplomb::io {

/// Inclusive range of a number, in the unit of its key's suffix.
struct Range {
  double min = -std::numeric_limits<double>::max();
  double max = std::numeric_limits<double>::max();
};

/// One table of a TOML file. The first thing that is wrong is kept, with file and line, and told by finish(), so a
/// reader is a plain list of questions; after a refusal the questions answer with harmless values (0, "", nothing).
///
///     auto reader = TomlReader::open(path, {.name = "aplomb-card", .version = 1}, "--foot");
///     if (!reader) return tl::unexpected(reader.error());
///     card.foot_length_mm = reader->number("foot_length_mm", {120, 330});
///     card.mass_kg = reader->optional_number("mass_kg", {15, 200});
///     if (auto toes = reader->table("toes")) ...
///     if (auto done = reader->finish(); !done) return tl::unexpected(done.error());
///
/// Copies share one document. Order in which faults are told: wrong values, then unknown keys (with the nearest known
/// name), then missing keys, so that a misspelt required key is told as a misspelling.
class TomlReader {
 public:
  /// `field` names the option that brought the path, for errors about the file itself.
  /// Errors (bad_input): see read_file(); not TOML or not UTF-8; another format; a newer format_version.
  static Result<TomlReader> open(const std::filesystem::path& file, const FileFormat& format,
                                 std::string_view field = {});
  /// The same for text already in memory; `file_name` only for errors.
  static Result<TomlReader> parse(std::string_view text, const std::string& file_name, const FileFormat& format);

  /// Required number (integers count); NaN and infinity are refused, and values outside `range`, with a guess at the
  /// unit that was meant where the key ends in _mm or _deg.
  double number(std::string_view key, Range range = {});
  std::optional<double> optional_number(std::string_view key, Range range = {});
  double number_or(std::string_view key, double fallback, Range range = {});

  std::string string(std::string_view key);
  std::optional<std::string> optional_string(std::string_view key);

  bool boolean_or(std::string_view key, bool fallback);

  /// Index into `names` of the text under `key`; others are refused with the nearest name. Required.
  int choice(std::string_view key, const std::vector<std::string>& names);
  /// As choice(), but `fallback` (an index) when the key is missing.
  int choice_or(std::string_view key, const std::vector<std::string>& names, int fallback);

  /// Array of numbers, each within `range`; nothing when the key is missing. `count` > 0 demands that many.
  std::optional<std::vector<double>> optional_numbers(std::string_view key, Range range = {}, int count = 0);

  /// Sub-table; nothing when the key is missing.
  std::optional<TomlReader> table(std::string_view key);
  /// Array of tables ([[key]]); empty when the key is missing.
  std::vector<TomlReader> tables(std::string_view key);

  bool has(std::string_view key) const;
  /// Lets a key stand, with all that is in it: another part reads it.
  void leave(std::string_view key);
  /// Line of the key, which may be dotted ("padding.toes"), or of the innermost table there is on its way.
  int line(std::string_view key) const;
  /// Refuses the file on behalf of `key`, for checks across keys. Kept only if nothing was refused before.
  void refuse(std::string_view key, std::string message, std::string remedy);
  /// True once anything was refused: skip arithmetic on the harmless values.
  bool refused() const;

  /// Ask after the last question, on any reader of the document. Errors (bad_input): the first fault.
  Result<void> finish() const;

  const std::string& file_name() const;
  /// content_hash() of the text.
  const std::string& hash() const;

 private:
  struct Document;
  struct Node;
  TomlReader(std::shared_ptr<Document> document, std::shared_ptr<Node> node);

  std::shared_ptr<Document> document_;
  std::shared_ptr<Node> node_;
};

/// Checks `value` against `range`; nothing when inside. `key`'s suffix gives the unit. For readers of other formats
/// too.
std::optional<Error> check_range(std::string_view key, double value, Range range);

/// The name in `known` that `word` was most likely meant to be, or empty: least edit distance, at most a third (rounded
/// up) of its length.
std::string nearest_name(std::string_view word, const std::vector<std::string>& known);

}  // namespace aplomb::io
