// Strict TOML reading: every way a person's file can be wrong is one line with file, line, key and remedy.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>

#include "aplomb/io/toml.h"

using namespace aplomb::io;

namespace {

const FileFormat card{.name = "aplomb-card", .version = 2, .renames = {{1, "length_mm", "foot_length_mm"}}};

/// Reads a small card the way real readers do.
Result<double> read_card(const std::string& text) {
  auto reader = TomlReader::parse(text, "c.toml", card);
  if (!reader) return tl::unexpected(reader.error());
  const double length = reader->number("foot_length_mm", {120, 330});
  reader->optional_number("hallux_angle_deg", {-20, 60});
  reader->choice_or("side", {"left", "right"}, 0);
  if (auto toes = reader->table("toes"))
    if (auto hallux = toes->table("hallux")) hallux->optional_number("length_mm", {10, 90});
  if (auto done = reader->finish(); !done) return tl::unexpected(done.error());
  return length;
}

std::string refusal(const std::string& text) {
  const auto read = read_card(text);
  return read ? "accepted" : to_line(read.error());
}

}  // namespace

TEST_CASE("A complete table reads, integers count as numbers", "[io][toml]") {
  CHECK(read_card("foot_length_mm = 238\nside='left'\n[toes.hallux]\nlength_mm = 50.5\n").value() == 238);
  CHECK(read_card("\xEF\xBB\xBF"
                  "foot_length_mm = 238.5\r\n")
            .value() == 238.5);  // byte order mark and CRLF of some editors
}

TEST_CASE("Faults are told with line, key and remedy", "[io][toml]") {
  CHECK(refusal("side = \"left\"\n") == "c.toml:1: foot_length_mm: is missing; add this key");
  CHECK(refusal("\nfoot_lenght_mm = 238\n") ==
        "c.toml:2: foot_lenght_mm: is not a key of this table; did you mean foot_length_mm?");
  CHECK(refusal("foot_length_mm = 238\nshoe_colour = 1\n") ==
        "c.toml:2: shoe_colour: is not a key of this table; remove it");
  CHECK(refusal("foot_length_mm = \"238\"") ==
        "c.toml:1: foot_length_mm: is a text, not a number; write a number without quotes or unit");
  CHECK(refusal("foot_length_mm = true") ==
        "c.toml:1: foot_length_mm: is true or false, not a number; write a number without quotes or unit");
  CHECK(refusal("foot_length_mm = 238\nside = \"lefft\"") ==
        "c.toml:2: side: \"lefft\" is not one of \"left\", \"right\"; did you mean \"left\"?");
  CHECK(refusal("foot_length_mm = 238\n[toes.hallux]\nlenght_mm = 50") ==
        "c.toml:3: toes.hallux.lenght_mm: is not a key of this table; did you mean length_mm?");
  CHECK(refusal("foot_length_mm = 238\n[toes.halux]\nlength_mm = 50") ==
        "c.toml:2: toes.halux: is not a key of this table; did you mean hallux?");
  CHECK(refusal("foot_length_mm = 238\ntoes = 5") ==
        "c.toml:2: toes: is a number, not a table; write [toes] on a line of its own");
}

TEST_CASE("Numbers that cannot be measured are refused", "[io][toml]") {
  CHECK(refusal("foot_length_mm = nan") ==
        "c.toml:1: foot_length_mm: nan is not a number that can be measured; write the measured value or leave the key "
        "out");
  CHECK_THAT(refusal("foot_length_mm = -inf"), Catch::Contains("infinity is not a number"));
  CHECK(refusal("foot_length_mm = -238") ==
        "c.toml:1: foot_length_mm: -238 mm is less than the least possible, 120 mm; check the value and its unit");
}

TEST_CASE("The wrong unit is guessed", "[io][toml]") {
  CHECK(refusal("foot_length_mm = 24.0") == "c.toml:1: foot_length_mm: 24 looks like cm; write 240");
  CHECK(refusal("foot_length_mm = 9.4") == "c.toml:1: foot_length_mm: 9.4 looks like inches; write 238.8");
  CHECK(refusal("foot_length_mm = 0.238") == "c.toml:1: foot_length_mm: 0.238 looks like m; write 238");
  CHECK_FALSE(check_range("plantarflexion_deg", 85, {40, 120}));
  CHECK(to_line(*check_range("plantarflexion_deg", 1.48, {40, 120})) ==
        "plantarflexion_deg: 1.48 looks like radians; write 84.8");
  CHECK(to_line(*check_range("mass_kg", 52000, {15, 200})) == "mass_kg: 52000 looks like grams; write 52");
}

TEST_CASE("Format and version", "[io][toml]") {
  CHECK(read_card("format = \"aplomb-card\"\nformat_version = 2\nfoot_length_mm = 240").value() == 240);
  CHECK(refusal("format = \"aplomb-shoe\"\nfoot_length_mm = 240") ==
        "c.toml:1: format: this file is of format \"aplomb-shoe\"; give a file of format \"aplomb-card\"");
  CHECK(
      refusal("format_version = 3\nfoot_length_mm = 240") ==
      "c.toml:1: format_version: 3 is newer than 2, the newest this program knows; use a newer version of the program");
  CHECK_THAT(refusal("format_version = 1.5\nfoot_length_mm = 240"), Catch::Contains("not a whole number"));
  CHECK_THAT(refusal("format_version = 0\nfoot_length_mm = 240"), Catch::Contains("not a whole number"));
  // Version 1 called it length_mm; in version 2 that name is unknown.
  CHECK(read_card("format_version = 1\nlength_mm = 240").value() == 240);
  CHECK_THAT(refusal("format_version = 2\nlength_mm = 240"), Catch::Contains("length_mm: is not a key of this table"));
}

TEST_CASE("What is not TOML is refused with its line", "[io][toml]") {
  CHECK_THAT(refusal("foot_length_mm = 238\nside = left\n"), Catch::StartsWith("c.toml:2: not valid TOML: "));
  CHECK_THAT(refusal("foot_length_mm = 23"
                     "8\nside = \"\xff\xfe\"\n"),
             Catch::StartsWith("c.toml:2: not valid TOML: "));
  CHECK_THAT(refusal("foot_length_mm = 1\nfoot_length_mm = 2\n"), Catch::Contains("not valid TOML"));
  CHECK_THAT(refusal("# nothing but a comment\n"), Catch::Contains("holds no keys"));
  CHECK_THAT(refusal("foot_length_mm = [\n"), Catch::Contains("not valid TOML"));
  CHECK_THAT(refusal("a = " + std::string(100000, '[')), Catch::Contains("not valid TOML"));
  CHECK(refusal("foot_length_mm = 1e999\n").find('\n') == std::string::npos);
  CHECK(refusal("foot_length_mm = 1e999\n") != "accepted");
}

TEST_CASE("Lists of numbers and of tables", "[io][toml]") {
  const FileFormat any{.name = "any"};
  auto good = TomlReader::parse("ei = [1, 2.5]\n[[pad]]\nx_mm = 1\n[[pad]]\nx_mm = 2\n", "t", any).value();
  CHECK(good.optional_numbers("ei").value() == std::vector<double>{1, 2.5});
  double sum = 0;
  for (auto& pad : good.tables("pad")) sum += pad.number("x_mm");
  CHECK(sum == 3);
  CHECK(good.finish());

  auto wrong = TomlReader::parse("ei = [1, nan]\n", "t", any).value();
  wrong.optional_numbers("ei");
  CHECK_FALSE(wrong.finish());
  auto short_list = TomlReader::parse("ei = [1]\n", "t", any).value();
  short_list.optional_numbers("ei", {}, 2);
  CHECK(to_line(short_list.finish().error()) == "t:1: ei: has 1 numbers, not 2; write 2 numbers");
  auto pad = TomlReader::parse("[[pad]]\nx_mm = 1\n[[pad]]\ny_mm = 2\n", "t", any).value();
  for (auto& reader : pad.tables("pad")) reader.optional_number("x_mm");
  CHECK(to_line(pad.finish().error()) == "t:4: pad[2].y_mm: is not a key of this table; did you mean x_mm?");
}

TEST_CASE("The first refusal is kept and answers stay harmless", "[io][toml]") {
  auto reader = TomlReader::parse("a = \"x\"\nb = nan\n", "t", {.name = "any"}).value();
  CHECK(reader.number("a") == 0);
  CHECK(reader.number("b") == 0);
  CHECK(reader.refused());
  reader.refuse("b", "later", "");
  CHECK(reader.finish().error().field == "a");
}

TEST_CASE("Nearest name", "[io][toml]") {
  CHECK(nearest_name("full-point-two", {"full-pointe-two", "full-pointe-one"}) == "full-pointe-two");
  CHECK(nearest_name("xyz", {"full-pointe-two"}).empty());
  CHECK(nearest_name("", {"a"}) == "a");
  CHECK(nearest_name("anything", {}).empty());
}
