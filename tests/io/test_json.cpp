// JSON out reads back the same; JSON in is checked for what it says it is.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <clocale>
#include <cmath>
#include <limits>

#include "aplomb/io/json.h"

using namespace aplomb::io;

namespace {

const FileFormat foot{.name = "aplomb-foot", .version = 2, .renames = {{1, "hash", "template_hash"}}};

std::string refusal(const std::string& text) {
  const auto json = parse_json(text, "f.json", foot);
  return json ? "accepted" : to_line(json.error());
}

}  // namespace

TEST_CASE("Numbers round-trip and absence is null", "[io][json]") {
  Json json;
  json["second"] = 0.1 + 0.2;
  json["first"] = std::numeric_limits<double>::denorm_min();
  json["none"] = number_or_null(std::nullopt);
  json["nan"] = number_or_null(std::nan(""));
  const std::string text = to_text(json);
  CHECK(text.find("second") < text.find("first"));
  CHECK(text.back() == '\n');
  const Json back = Json::parse(text);
  CHECK(back["second"].get<double>() == 0.1 + 0.2);
  CHECK(back["first"].get<double>() == std::numeric_limits<double>::denorm_min());
  CHECK(back["none"].is_null());
  CHECK(back["nan"].is_null());
  CHECK_NOTHROW(Json::parse(to_text(Json{{"file", "\xff.toml"}})));
}

TEST_CASE("Files say what they are", "[io][json]") {
  CHECK(parse_json(R"({"format": "aplomb-foot", "format_version": 2})", "f", foot));
  CHECK(refusal(R"({"format": "aplomb-card"})") ==
        "f.json: format: this file is of format \"aplomb-card\"; give a file of format \"aplomb-foot\"");
  CHECK(refusal(R"({"format_version": 3})") ==
        "f.json: format_version: 3 is newer than 2, the newest this program knows; use a newer version of the program");
  CHECK(refusal(R"({"format_version": "2"})") ==
        "f.json: format_version: nan is not a whole number from 1 up; write 2");
  CHECK(refusal("[1, 2]") == "f.json: holds no JSON object; check that it is the right file");
  CHECK(refusal("{\n\"a\": 1,\n\"b\": [1, 2") ==
        "f.json:3: not valid JSON; check that the file is whole; make it anew with the program");
  CHECK(refusal(std::string(200000, '[')).find("not valid JSON") != std::string::npos);
  CHECK(parse_json(R"({"format_version": 1, "hash": "x"})", "f", foot).value()["template_hash"] == "x");
}

TEST_CASE("What a reader does not find becomes an Error", "[io][json]") {
  const Json json = Json::parse(R"({"shape": "none"})");
  CHECK_FALSE(guard_json("f.json", [&] { return json.at("shape").get<std::vector<double>>(); }));
  CHECK_FALSE(guard_json("f.json", [&] { return json.at("covariance").get<std::vector<double>>(); }));
  CHECK(guard_json("f.json", [&] { return json.at("shape").get<std::string>(); }).value() == "none");
}
