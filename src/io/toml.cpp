// Strict TOML reading over toml++: remembers which keys were asked for and the first fault, with its line.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/io/toml.h"

#include <fmt/format.h>
#include <toml++/toml.h>

#include <algorithm>
#include <cmath>
#include <deque>
#include <numbers>

#include "aplomb/io/files.h"

namespace aplomb::io {

/// One table that a reader was handed out for.
struct TomlReader::Node {
  const toml::table* table = nullptr;
  std::string path;                ///< "toes.hallux." before its keys; empty for the root
  std::vector<std::string> asked;  ///< keys asked for, in order
};

struct TomlReader::Document {
  toml::table root;
  std::string file_name, hash;
  std::vector<std::shared_ptr<Node>> opened;
  std::optional<Error> wrong, missing;  ///< first of each kind
};

namespace {

int line_of(const toml::node& node) { return static_cast<int>(node.source().begin.line); }

std::string kind_of(const toml::node& node) {
  switch (node.type()) {
    case toml::node_type::string:
      return "a text";
    case toml::node_type::integer:
    case toml::node_type::floating_point:
      return "a number";
    case toml::node_type::boolean:
      return "true or false";
    case toml::node_type::array:
      return "a list";
    case toml::node_type::table:
      return "a table";
    default:
      return "a date or time";
  }
}

std::string joined(const std::vector<std::string>& names) {
  std::string text;
  for (const auto& name : names) text += (text.empty() ? "\"" : ", \"") + name + "\"";
  return text;
}

bool ends_with_unit(std::string_view key, std::string_view unit) { return key.ends_with(unit); }

/// Number with the fewest digits that reads back the same to six figures, for messages.
std::string shown(double value) { return fmt::format("{:.6g}", value); }

/// A unit that was probably meant, and the value in the unit that the key asks for.
struct UnitGuess {
  std::string unit;
  double value = 0;
};

std::optional<UnitGuess> guess_unit(std::string_view key, double value, Range range) {
  struct Unit {
    const char* name;
    double scale;
  };
  std::vector<Unit> units;
  if (ends_with_unit(key, "_mm"))
    units = {{"cm", 10}, {"inches", 25.4}, {"m", 1000}};
  else if (ends_with_unit(key, "_deg"))
    units = {{"radians", 180 / std::numbers::pi}};
  else if (ends_with_unit(key, "_kg"))
    units = {{"grams", 1e-3}};
  else
    return std::nullopt;
  // Of the units that bring the value into the range, the one that brings it nearest the middle (in ratio).
  std::optional<UnitGuess> best;
  double best_distance = 0;
  const double middle = range.min > 0 ? std::sqrt(range.min * range.max) : range.max / 2;
  for (const Unit& unit : units) {
    const double scaled = value * unit.scale;
    if (scaled < range.min || scaled > range.max || scaled <= 0 || middle <= 0) continue;
    const double distance = std::abs(std::log(scaled / middle));
    if (!best || distance < best_distance) best = UnitGuess{unit.name, scaled}, best_distance = distance;
  }
  return best;
}

std::string unit_of(std::string_view key) {
  for (const char* unit : {"mm", "deg", "kg", "N", "MPa", "GPa", "kPa", "hours", "years", "percent"})
    if (key.ends_with(std::string("_") + unit)) return std::string(" ") + unit;
  return "";
}

}  // namespace

std::optional<Error> check_range(std::string_view key, double value, Range range) {
  const std::string unit = unit_of(key);
  Error error{.field = std::string(key)};
  if (!std::isfinite(value)) {
    error.message = fmt::format("{} is not a number that can be measured", std::isnan(value) ? "nan" : "infinity");
    error.remedy = "write the measured value or leave the key out";
    return error;
  }
  if (value >= range.min && value <= range.max) return std::nullopt;
  if (const auto guess = guess_unit(key, value, range)) {
    error.message = fmt::format("{} looks like {}", shown(value), guess->unit);
    error.remedy = fmt::format("write {}", fmt::format("{:.4g}", guess->value));
    return error;
  }
  error.message =
      value < range.min
          ? fmt::format("{}{} is less than the least possible, {}{}", shown(value), unit, shown(range.min), unit)
          : fmt::format("{}{} is more than the most possible, {}{}", shown(value), unit, shown(range.max), unit);
  error.remedy = "check the value and its unit";
  return error;
}

std::string nearest_name(std::string_view word, const std::vector<std::string>& known) {
  std::string best;
  std::size_t best_distance = 0;
  for (const std::string& name : known) {
    // Levenshtein distance, one row at a time.
    std::vector<std::size_t> row(name.size() + 1);
    for (std::size_t j = 0; j <= name.size(); ++j) row[j] = j;
    for (std::size_t i = 1; i <= word.size(); ++i) {
      std::size_t diagonal = row[0];
      row[0] = i;
      for (std::size_t j = 1; j <= name.size(); ++j) {
        const std::size_t replaced = diagonal + (word[i - 1] == name[j - 1] ? 0 : 1);
        diagonal = row[j];
        row[j] = std::min({row[j] + 1, row[j - 1] + 1, replaced});
      }
    }
    const std::size_t distance = row[name.size()];
    if (distance > (name.size() + 2) / 3) continue;
    if (best.empty() || distance < best_distance) best = name, best_distance = distance;
  }
  return best;
}

TomlReader::TomlReader(std::shared_ptr<Document> document, std::shared_ptr<Node> node)
    : document_(std::move(document)), node_(std::move(node)) {}

Result<TomlReader> TomlReader::open(const std::filesystem::path& file, const FileFormat& format,
                                    std::string_view field) {
  const auto text = read_file(file, field);
  if (!text) return tl::unexpected(text.error());
  return parse(*text, file.string(), format);
}

Result<TomlReader> TomlReader::parse(std::string_view text, const std::string& file_name, const FileFormat& format) {
  auto document = std::make_shared<Document>();
  document->file_name = file_name;
  document->hash = content_hash(text);
  try {
    document->root = toml::parse(text, file_name);
  } catch (const toml::parse_error& error) {
    return fail({.file = file_name,
                 .line = static_cast<int>(error.source().begin.line),
                 .message = fmt::format("not valid TOML: {}", error.description()),
                 .remedy = "correct this line"});
  }
  if (document->root.empty())
    return fail({.file = file_name, .line = 1, .message = "holds no keys", .remedy = "check that it was saved"});

  auto root = std::make_shared<Node>();
  root->table = &document->root;
  document->opened.push_back(root);
  TomlReader reader(document, root);

  // Format and version come first: a fault in them explains every later one.
  const auto name = reader.optional_string("format");
  const auto version = reader.optional_number("format_version");
  if (const auto fault = check_format(format, name, version))
    reader.refuse(fault->field, fault->message, fault->remedy);
  if (reader.refused()) return tl::unexpected(*document->wrong);

  for (const KeyRename& rename : format.renames) {
    if (version.value_or(format.version) > rename.until_version) continue;
    if (const auto old = document->root.find(rename.from); old != document->root.end()) {
      document->root.insert(rename.to, std::move(old->second));
      document->root.erase(rename.from);
    }
  }
  return reader;
}

namespace {

/// The node under `key`, noting that the key is known.
const toml::node* ask(const toml::table& table, std::vector<std::string>& asked, std::string_view key) {
  if (std::find(asked.begin(), asked.end(), key) == asked.end()) asked.emplace_back(key);
  return table.get(key);
}

std::optional<double> as_number(const toml::node& node) {
  // value_exact: a boolean is no number.
  if (const auto* integer = node.as_integer()) return static_cast<double>(integer->get());
  if (const auto* real = node.as_floating_point()) return real->get();
  return std::nullopt;
}

}  // namespace

std::optional<double> TomlReader::optional_number(std::string_view key, Range range) {
  const toml::node* node = ask(*node_->table, node_->asked, key);
  if (node == nullptr) return std::nullopt;
  const auto value = as_number(*node);
  if (!value) {
    refuse(key, fmt::format("is {}, not a number", kind_of(*node)), "write a number without quotes or unit");
    return std::nullopt;
  }
  if (const auto error = check_range(key, *value, range)) {
    refuse(key, error->message, error->remedy);
    return std::nullopt;
  }
  return value;
}

namespace {

Error missing_key(const std::string& file, int line, const std::string& field) {
  return {.file = file, .line = line, .field = field, .message = "is missing", .remedy = "add this key"};
}

}  // namespace

double TomlReader::number(std::string_view key, Range range) {
  if (!has(key) && !document_->missing)
    document_->missing = missing_key(document_->file_name, line(key), node_->path + std::string(key));
  return optional_number(key, range).value_or(0);
}

double TomlReader::number_or(std::string_view key, double fallback, Range range) {
  return optional_number(key, range).value_or(fallback);
}

std::optional<std::string> TomlReader::optional_string(std::string_view key) {
  const toml::node* node = ask(*node_->table, node_->asked, key);
  if (node == nullptr) return std::nullopt;
  if (const auto* text = node->as_string()) return text->get();
  refuse(key, fmt::format("is {}, not a text", kind_of(*node)), "write it in double quotes");
  return std::nullopt;
}

std::string TomlReader::string(std::string_view key) {
  if (!has(key) && !document_->missing)
    document_->missing = missing_key(document_->file_name, line(key), node_->path + std::string(key));
  return optional_string(key).value_or("");
}

bool TomlReader::boolean_or(std::string_view key, bool fallback) {
  const toml::node* node = ask(*node_->table, node_->asked, key);
  if (node == nullptr) return fallback;
  if (const auto* value = node->as_boolean()) return value->get();
  refuse(key, fmt::format("is {}, not true or false", kind_of(*node)), "write true or false without quotes");
  return fallback;
}

int TomlReader::choice_or(std::string_view key, const std::vector<std::string>& names, int fallback) {
  const auto text = optional_string(key);
  if (!text) return fallback;
  const auto found = std::find(names.begin(), names.end(), *text);
  if (found != names.end()) return static_cast<int>(found - names.begin());
  const std::string nearest = nearest_name(*text, names);
  refuse(key, fmt::format("\"{}\" is not one of {}", *text, joined(names)),
         nearest.empty() ? "write one of these" : fmt::format("did you mean \"{}\"?", nearest));
  return fallback;
}

int TomlReader::choice(std::string_view key, const std::vector<std::string>& names) {
  if (!has(key) && !document_->missing)
    document_->missing = missing_key(document_->file_name, line(key), node_->path + std::string(key));
  return choice_or(key, names, 0);
}

std::optional<std::vector<double>> TomlReader::optional_numbers(std::string_view key, Range range, int count) {
  const toml::node* node = ask(*node_->table, node_->asked, key);
  if (node == nullptr) return std::nullopt;
  const toml::array* array = node->as_array();
  if (array == nullptr) {
    refuse(key, fmt::format("is {}, not a list", kind_of(*node)), "write numbers in brackets, like [1, 2]");
    return std::nullopt;
  }
  if (count > 0 && array->size() != static_cast<std::size_t>(count)) {
    refuse(key, fmt::format("has {} numbers, not {}", array->size(), count), fmt::format("write {} numbers", count));
    return std::nullopt;
  }
  std::vector<double> values;
  for (const toml::node& element : *array) {
    const auto value = as_number(element);
    if (!value) {
      refuse(key, fmt::format("holds {}, not only numbers", kind_of(element)), "write numbers without quotes");
      return std::nullopt;
    }
    if (const auto error = check_range(key, *value, range)) {
      refuse(key, error->message, error->remedy);
      return std::nullopt;
    }
    values.push_back(*value);
  }
  return values;
}

std::optional<TomlReader> TomlReader::table(std::string_view key) {
  const toml::node* node = ask(*node_->table, node_->asked, key);
  if (node == nullptr) return std::nullopt;
  const toml::table* table = node->as_table();
  if (table == nullptr) {
    refuse(key, fmt::format("is {}, not a table", kind_of(*node)),
           fmt::format("write [{}{}] on a line of its own", node_->path, key));
    return std::nullopt;
  }
  auto child = std::make_shared<Node>();
  child->table = table;
  child->path = fmt::format("{}{}.", node_->path, key);
  document_->opened.push_back(child);
  return TomlReader(document_, child);
}

std::vector<TomlReader> TomlReader::tables(std::string_view key) {
  const toml::node* node = ask(*node_->table, node_->asked, key);
  if (node == nullptr) return {};
  const toml::array* array = node->as_array();
  std::vector<TomlReader> readers;
  if (array != nullptr) {
    for (const toml::node& element : *array) {
      const toml::table* table = element.as_table();
      if (table == nullptr) break;
      auto child = std::make_shared<Node>();
      child->table = table;
      child->path = fmt::format("{}{}[{}].", node_->path, key, readers.size() + 1);
      document_->opened.push_back(child);
      readers.push_back(TomlReader(document_, child));
    }
  }
  if (array == nullptr || readers.size() != array->size())
    refuse(key, "is not a list of tables",
           fmt::format("write [[{}{}]] on a line of its own before each", node_->path, key));
  return readers;
}

bool TomlReader::has(std::string_view key) const { return node_->table->contains(key); }

void TomlReader::leave(std::string_view key) { ask(*node_->table, node_->asked, key); }

int TomlReader::line(std::string_view key) const {
  const toml::table* table = node_->table;
  for (std::string_view left = key;;) {
    const std::size_t dot = left.find('.');
    const toml::node* node = table->get(left.substr(0, dot));
    if (node == nullptr) return std::max(1, line_of(*table));
    if (dot == std::string_view::npos || !node->is_table()) return line_of(*node);
    table = node->as_table();
    left.remove_prefix(dot + 1);
  }
}

void TomlReader::refuse(std::string_view key, std::string message, std::string remedy) {
  if (document_->wrong) return;
  document_->wrong = Error{.file = document_->file_name,
                           .line = line(key),
                           .field = node_->path + std::string(key),
                           .message = std::move(message),
                           .remedy = std::move(remedy)};
}

bool TomlReader::refused() const { return document_->wrong || document_->missing; }

Result<void> TomlReader::finish() const {
  if (document_->wrong) return fail(*document_->wrong);
  for (const auto& node : document_->opened) {
    for (const auto& [key, value] : *node->table) {
      if (std::find(node->asked.begin(), node->asked.end(), key.str()) != node->asked.end()) continue;
      // Suggest only names that are still free: a second foot_length_mm is nobody's intention.
      std::vector<std::string> free;
      for (const std::string& name : node->asked)
        if (!node->table->contains(name)) free.push_back(name);
      const std::string nearest = nearest_name(key.str(), free);
      return fail({.file = document_->file_name,
                   .line = static_cast<int>(key.source().begin.line),
                   .field = node->path + std::string(key.str()),
                   .message = "is not a key of this table",
                   .remedy = nearest.empty() ? "remove it" : fmt::format("did you mean {}?", nearest)});
    }
  }
  if (document_->missing) return fail(*document_->missing);
  return {};
}

const std::string& TomlReader::file_name() const { return document_->file_name; }
const std::string& TomlReader::hash() const { return document_->hash; }

}  // namespace aplomb::io
