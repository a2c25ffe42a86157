// Told apart by the format key, not by the name: people rename files. Only a CSV has no such key.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "opening.h"

#include <fmt/format.h>

#include <algorithm>
#include <regex>

#include "aplomb/io/files.h"
#include "aplomb/scan/raw_scan.h"
#include "session.h"
#include "shop/stock_rows.h"
#include "solve_job.h"

namespace aplomb::viewer {

namespace {

/// "aplomb-shoe" of `format = "aplomb-shoe"` or `"format": "aplomb-session"`; empty when there is none.
std::string format_of(const std::string& text) {
  std::smatch found;
  const std::string head = text.substr(0, 4000);
  static const std::regex key("(^|[\\n,{])\\s*\"?format\"?\\s*[=:]\\s*\"([^\"\\n]*)\"");
  return std::regex_search(head, found, key) ? found[2].str() : std::string();
}

io::Error unknown_kind(const std::filesystem::path& file, const std::string& format) {
  return {.file = file.string(),
          .field = "format",
          .message = format.empty() ? "this file does not say what it is" : fmt::format("\"{}\" is not known", format),
          .remedy =
              "open a scan, a card, a shoe or a visit (.toml), a foot file (.foot.json), a session (.json) or a stock "
              "(.toml, .csv)"};
}

}  // namespace

std::filesystem::path whole_path(const std::filesystem::path& file) {
  std::error_code code;
  const std::filesystem::path whole = std::filesystem::absolute(file, code).lexically_normal();
  return code ? file : whole;
}

bool is_scan(const std::filesystem::path& file) { return scan::is_scan_name(file); }

io::Result<Opened> open_file(const std::filesystem::path& file) {
  const auto text = io::read_file(file, {}, io::max_json_bytes);
  if (!text) return tl::unexpected(text.error());
  const std::string format = format_of(*text);
  const Source source{file.string(), *text};
  if (format == "aplomb-session") {
    auto document = parse_session(*text, file.string());
    if (!document) return tl::unexpected(document.error());
    return OpenedSession{std::move(*document), file};
  }
  if (format == "aplomb-shoe") {
    if (const auto checked = parameters_of(source); !checked) return tl::unexpected(checked.error());
    return OpenedShoe{source};
  }
  if (format == "aplomb-card") {
    if (const auto checked = card_of(source); !checked) return tl::unexpected(checked.error());
    return OpenedFoot{source};
  }
  // As shop::read_stock() tells them apart; what is no table of a stock is told by its line.
  if (shop::ends_in(file, ".csv")) {
    if (const auto rows = shop::read_stock_csv(file); !rows) return tl::unexpected(rows.error());
    return OpenedStock{file};
  }
  if (format == "aplomb-stock") return OpenedStock{file};
  if (format == "aplomb-visit") {
    auto visit = read_visit_files(source);
    if (!visit) return tl::unexpected(visit.error());
    return std::move(*visit);
  }
  if (format == "aplomb-foot") return OpenedFoot{source};
  return io::fail(unknown_kind(file, format));
}

}  // namespace aplomb::viewer
