// JSON in and out over nlohmann::json.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/io/json.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <optional>

#include "aplomb/io/files.h"

namespace aplomb::io {

Json number_or_null(std::optional<double> value) {
  if (!value || !std::isfinite(*value)) return nullptr;
  return *value;
}

std::string to_text(const Json& json) { return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n"; }

Result<Json> read_json(const std::filesystem::path& file, const FileFormat& format, std::string_view field) {
  const auto text = read_file(file, field, max_json_bytes);
  if (!text) return tl::unexpected(text.error());
  return parse_json(*text, file.string(), format);
}

Result<Json> parse_json(std::string_view text, const std::string& file_name, const FileFormat& format) {
  Json json;
  try {
    json = Json::parse(text);
  } catch (const Json::parse_error& error) {
    const auto end = text.begin() + static_cast<std::ptrdiff_t>(std::min<std::size_t>(error.byte, text.size()));
    return fail({.file = file_name,
                 .line = 1 + static_cast<int>(std::count(text.begin(), end, '\n')),
                 .message = "not valid JSON",
                 .remedy = "check that the file is whole; make it anew with the program"});
  }
  if (!json.is_object())
    return fail({.file = file_name, .message = "holds no JSON object", .remedy = "check that it is the right file"});

  std::optional<std::string> name;
  std::optional<double> version;
  if (const auto found = json.find("format"); found != json.end())
    name = found->is_string() ? found->get<std::string>() : found->dump();
  if (const auto found = json.find("format_version"); found != json.end())
    version = found->is_number() ? found->get<double>() : std::nan("");
  if (auto fault = check_format(format, name, version)) {
    fault->file = file_name;
    return fail(*fault);
  }
  for (const KeyRename& rename : format.renames) {
    if (version.value_or(format.version) > rename.until_version) continue;
    if (const auto old = json.find(rename.from); old != json.end()) {
      json[rename.to] = *old;
      json.erase(rename.from);
    }
  }
  return json;
}

Result<void> write_json(const std::string& target, const Json& json) {
  const std::string text = to_text(json);
  if (target != "-") return write_file(target, text);
  if (std::fwrite(text.data(), 1, text.size(), stdout) == text.size() && std::fflush(stdout) == 0) return {};
  return fail({.kind = ErrorKind::cannot_write,
               .field = "--json",
               .message = "standard output cannot be written",
               .remedy = "check where it is sent"});
}

}  // namespace aplomb::io
