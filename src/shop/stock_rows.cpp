// Stock as TOML and as CSV: the same columns, the same faults.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "stock_rows.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <charconv>
#include <cmath>
#include <optional>
#include <string_view>

#include "aplomb/io/files.h"
#include "aplomb/io/toml.h"
#include "plain_text.h"

namespace aplomb::shop {

namespace {

const io::FileFormat format{.name = "aplomb-stock", .version = 1};
constexpr io::Range length_range{120, 340}, breadth_range{40, 140}, shank_range{0.6, 5}, pairs_range{0, 10000};
constexpr std::size_t largest_stock = std::size_t{64} << 20;  // a hundred thousand rows are told of as such
constexpr const char* csv_head = "label,design,length_mm,breadth_mm,shank,pairs";
constexpr const char* csv_head_with_unit = "label,design,length_mm,breadth_mm,shank_mm,pairs";

tl::unexpected<io::Error> too_many(const std::string& file, int line) {
  return io::fail({.file = file,
                   .line = line,
                   .field = "label",
                   .message = fmt::format("there are more than {} rows", most_items),
                   .remedy = "leave out what is far from her size, or split the file"});
}

int whole(io::TomlReader& reader, const char* key, io::Range range) {
  const double value = reader.number(key, range);
  if (!reader.refused() && value != std::floor(value))
    reader.refuse(key, fmt::format("{:g} is not a whole number", value), "write whole mm or pairs");
  return static_cast<int>(value);
}

/// The head of CSV says shank, most keys of TOML say their unit: either is understood.
double shank(io::TomlReader& reader) {
  if (reader.has("shank") && reader.has("shank_mm"))
    reader.refuse("shank", "is given twice, as shank and as shank_mm", "keep one of the two");
  return reader.number_or("shank", reader.number_or("shank_mm", 0, shank_range), shank_range);
}

io::Result<std::string> read_stock_file(const std::filesystem::path& file, std::size_t most_bytes) {
  auto text = io::read_file(file, "--stock", most_bytes);
  if (text) return text;
  io::Error error = text.error();
  std::error_code none;
  if (std::filesystem::file_size(file, none) == 0 && !none) error.line = 1;  // it is empty
  return io::fail(std::move(error));
}

/// The cells of a line; double quotes hold commas. False: a quote is not closed.
bool split(std::string_view line, std::vector<std::string>& cells) {
  cells.assign(1, "");
  bool quoted = false;
  for (std::size_t i = 0; i < line.size(); ++i) {
    const char c = line[i];
    if (quoted && c == '"' && i + 1 < line.size() && line[i + 1] == '"')
      cells.back() += line[i++];
    else if (c == '"')
      quoted = !quoted;
    else if (c == ',' && !quoted)
      cells.emplace_back();
    else
      cells.back() += c;
  }
  for (std::string& cell : cells) {
    const auto first = cell.find_first_not_of(" \t");
    cell = first == std::string::npos ? "" : cell.substr(first, cell.find_last_not_of(" \t") - first + 1);
  }
  return !quoted;
}

/// One CSV row, told about with its line.
class CsvRow {
 public:
  CsvRow(const std::string& file, int line, const std::vector<std::string>& cells)
      : file_(file), line_(line), cells_(cells) {}

  std::string text(std::size_t column, const char* field) {
    if (cells_[column].empty()) refuse(field, "is missing", "fill in this cell");
    if (const auto fault = text_fault(cells_[column])) refuse(field, fault->message, fault->remedy);
    return cells_[column];
  }

  double number(std::size_t column, const char* field, io::Range range, bool only_whole) {
    const std::string& cell = cells_[column];
    double value = 0;
    const auto [end, fault] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
    if (cell.empty() || fault != std::errc() || end != cell.data() + cell.size())
      refuse(field, text_fault(cell) ? "is not a number" : fmt::format("\"{}\" is not a number", cell),
             "write a number without unit, with a point");
    else if (const auto error = io::check_range(field, value, range))
      refuse(field, error->message, error->remedy);
    else if (only_whole && value != std::floor(value))
      refuse(field, fmt::format("{:g} is not a whole number", value), "write whole mm or pairs");
    return fault_ ? 0 : value;
  }

  const std::optional<io::Error>& fault() const { return fault_; }
  void refuse(const char* field, std::string message, std::string remedy) {
    if (!fault_)
      fault_ = io::Error{
          .file = file_, .line = line_, .field = field, .message = std::move(message), .remedy = std::move(remedy)};
  }

 private:
  const std::string& file_;
  int line_;
  const std::vector<std::string>& cells_;
  std::optional<io::Error> fault_;
};

}  // namespace

bool ends_in(const std::filesystem::path& file, std::string_view ending) {
  const std::string its = file.extension().string();
  return std::equal(its.begin(), its.end(), ending.begin(), ending.end(),
                    [](unsigned char a, char b) { return std::tolower(a) == b; });
}

io::Result<StockRows> read_stock_toml(const std::filesystem::path& file) {
  const auto text = read_stock_file(file, largest_stock);
  if (!text) return tl::unexpected(text.error());
  if (const auto fault = not_utf8(*text, file.string())) return io::fail(*fault);
  auto reader = io::TomlReader::parse(*text, file.string(), format);
  if (!reader) return tl::unexpected(reader.error());
  StockRows rows;
  rows.hash = reader->hash();
  rows.shop = plain_text(*reader, "shop");
  for (io::TomlReader& one : reader->tables("design")) {
    DesignRow design;
    design.line = one.line("name");
    design.name = required_text(one, "name");
    design.file = required_text(one, "file", most_path);
    design.fits_length_mm = one.number_or("fits_length_mm", usual_fits_length_mm, length_range);
    design.fits_breadth_mm = one.number_or("fits_breadth_mm", usual_fits_breadth_mm, breadth_range);
    for (const DesignRow& other : rows.designs)
      if (other.name == design.name && !one.refused())
        one.refuse("name", fmt::format("\"{}\" is already the design on line {}", design.name, other.line),
                   "give each design a name of its own");
    rows.designs.push_back(design);
  }
  std::vector<io::TomlReader> items = reader->tables("item");
  if (items.size() > most_items) return too_many(reader->file_name(), items[most_items].line("label"));
  for (io::TomlReader& one : items) {
    StockItem item;
    item.line = one.line("label");
    item.label = required_text(one, "label");
    item.design = required_text(one, "design");
    item.length_mm = whole(one, "length_mm", length_range);
    item.breadth_mm = whole(one, "breadth_mm", breadth_range);
    item.shank_mm = shank(one);
    item.pairs = whole(one, "pairs", pairs_range);
    if (!one.refused() && item.label.empty()) one.refuse("label", "is empty", "write the shop's own name for this row");
    if (one.refused()) break;
    rows.items.push_back(std::move(item));
  }
  if (const auto done = reader->finish(); !done) return tl::unexpected(done.error());
  return rows;
}

io::Result<StockRows> read_stock_csv(const std::filesystem::path& file) {
  const auto text = read_stock_file(file, largest_stock);
  if (!text) return tl::unexpected(text.error());
  StockRows rows;
  rows.hash = io::content_hash(*text);
  const std::string name = file.string();
  std::vector<std::string> cells;
  int line = 0;
  for (std::size_t at = 0; at < text->size();) {
    const std::size_t end = std::min(text->find('\n', at), text->size());
    std::string_view row(text->data() + at, end - at);
    at = end + 1;
    ++line;
    if (row.ends_with('\r')) row.remove_suffix(1);
    if (cells.empty() && row.starts_with("\xef\xbb\xbf")) row.remove_prefix(3);
    // Remarks stand above the head; below it a label may begin with the same sign.
    if (row.empty() || (cells.empty() && row.starts_with('#'))) continue;
    if (cells.empty()) {
      const bool closed = split(row, cells);
      const std::string head = fmt::format("{}", fmt::join(cells, ","));
      if (!closed || (head != csv_head && head != csv_head_with_unit))
        return io::fail({.file = name,
                         .line = line,
                         .message = "the first row does not name the columns",
                         .remedy = fmt::format("write {}", csv_head)});
      continue;
    }
    const bool closed = split(row, cells);
    CsvRow one(name, line, cells);
    if (!closed) {
      one.refuse("label", "has a double quote that is not closed", "close it");
    } else if (cells.size() != 6) {
      one.refuse("label", fmt::format("the row has {} cells, not 6", cells.size()), fmt::format("write {}", csv_head));
    } else {
      StockItem item;
      item.line = line;
      item.label = one.text(0, "label");
      item.design = one.text(1, "design");
      item.length_mm = static_cast<int>(one.number(2, "length_mm", length_range, true));
      item.breadth_mm = static_cast<int>(one.number(3, "breadth_mm", breadth_range, true));
      if (!cells[4].empty()) item.shank_mm = one.number(4, "shank", shank_range, false);
      item.pairs = static_cast<int>(one.number(5, "pairs", pairs_range, true));
      rows.items.push_back(std::move(item));
    }
    if (one.fault()) return io::fail(*one.fault());
    if (rows.items.size() > most_items) return too_many(name, line);
  }
  return rows;
}

}  // namespace aplomb::shop
