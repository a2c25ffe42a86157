// Choices as JSON, and their keys.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "choice.h"

#include <filesystem>

#include "aplomb/io/files.h"

namespace aplomb::viewer {

io::Json to_json(const Source& source) {
  io::Json json = {{"file", source.file}, {"text", source.text}, {"changes", io::Json::object()}};
  for (const auto& [key, value] : source.changes) json["changes"][key] = value;
  for (const auto& [key, word] : source.words) json["changes"][key] = word;
  if (!source.accepted.empty()) json["accepted"] = source.accepted;
  return json;
}

Source source_from(const io::Json& json) {
  Source source{json.at("file").get<std::string>(), json.at("text").get<std::string>()};
  for (const auto& [key, value] : json.at("changes").items()) {
    if (value.is_string())
      source.words[key] = value.get<std::string>();
    else
      source.changes[key] = value.get<double>();
  }
  if (json.contains("accepted")) source.accepted = json.at("accepted").get<std::vector<std::string>>();
  return source;
}

std::string Source::name() const {
  std::string stem = std::filesystem::path(file).stem().string();
  if (stem.ends_with(".foot")) stem.resize(stem.size() - 5);
  return stem;
}

bool Source::is_card() const {
  const std::size_t first = text.find_first_not_of(" \t\r\n");  // a foot file is JSON, a scan's foot too
  return first == std::string::npos || text[first] != '{';
}

io::Json to_json(const Choice& choice) {
  io::Json json = {{"foot", to_json(choice.foot)}, {"shoe", to_json(choice.shoe)}};
  if (choice.load_N) json["load_N"] = *choice.load_N;
  for (const auto& [key, value] : choice.constants) json["constants"][key] = value;
  return json;
}

Choice choice_from(const io::Json& json) {
  Choice choice{source_from(json.at("foot")), source_from(json.at("shoe"))};
  if (json.contains("load_N")) choice.load_N = json.at("load_N").get<double>();
  if (json.contains("constants"))
    for (const auto& [key, value] : json.at("constants").items()) choice.constants[key] = value.get<double>();
  return choice;
}

std::string choice_key(const Choice& choice) { return io::content_hash(io::to_text(to_json(choice))); }

}  // namespace aplomb::viewer
