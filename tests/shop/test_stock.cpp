// The shelf: what is read, and every fault in one line with its place.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>
#include <catch2/catch.hpp>

#include "../source_data.h"
#include "../temporary_folder.h"
#include "aplomb/io/files.h"
#include "aplomb/shoe/sizes.h"
#include "aplomb/shop/stock.h"

using namespace aplomb;
using namespace aplomb::shop;
using Catch::Contains;
using source_data::need;

namespace {

const std::string head = "label,design,length_mm,breadth_mm,shank,pairs\n";

io::Result<Stock> read(const std::string& text, const std::string& name = "s.csv") {
  const scratch::Folder folder;
  const auto file = folder.path / name;
  REQUIRE(io::write_file(file, text));
  return read_stock(file, source_data::meshes() / "shoes");
}

const std::string toml_head = "format = \"aplomb-stock\"\nformat_version = 1\n";

std::string toml_item(const std::string& label, const std::string& more = "") {
  return toml_head + "[[item]]\nlabel = " + label +
         "\ndesign = \"tapered\"\nlength_mm = 240\nbreadth_mm = 90\npairs = 1\n" + more;
}

/// The one line that refuses it.
std::string refusal(const std::string& text, const std::string& name) {
  const auto stock = read(text, name);
  REQUIRE_FALSE(stock);
  const std::string line = io::to_line(stock.error());
  CHECK(line.find('\n') == std::string::npos);
  CHECK(io::exit_code(stock.error().kind) == 2);
  return line;
}

}  // namespace

TEST_CASE("A shelf reads the same from TOML and CSV, graded by Mondopoint size", "[stock]") {
  const Stock csv = need(read(head + "a,tapered,245,93,1.8,2\n\"b, c\",parallel,240,90,,0\n"));
  const Stock toml = need(read(
      "format = \"aplomb-stock\"\nformat_version = 1\nshop = \"invented\"\n"
      "[[item]]\nlabel = \"a\"\ndesign = \"tapered\"\nlength_mm = 245\nbreadth_mm = 93\nshank_mm = 1.8\npairs = 2\n"
      "[[item]]\nlabel = \"b, c\"\ndesign = \"parallel\"\nlength_mm = 240\nbreadth_mm = 90\npairs = 0\n",
      "s.toml"));
  REQUIRE(csv.items.size() == 2);
  REQUIRE(toml.items.size() == 2);
  for (std::size_t i = 0; i < 2; ++i) {
    CHECK(csv.items[i].label == toml.items[i].label);
    for (const shoe::NumberField& field : shoe::number_fields())
      CHECK(csv.items[i].shoe.*field.member == toml.items[i].shoe.*field.member);
  }
  // A design fits a foot of 240/90 as written; other sizes are in proportion.
  const auto base = need(shoe::read_shoe(source_data::shoe_file("tapered")));
  CHECK(csv.items[0].shoe.inner_length_mm == Approx(base.inner_length_mm * 245 / 240));
  CHECK(csv.items[0].shoe.ball_breadth_mm == Approx(base.ball_breadth_mm * 93 / 90));
  CHECK(csv.items[0].shoe.shank_EI_Nm2 == Approx(0.10 * 0.729));  // 1.8 / 2.0 by the cube
  CHECK(need(read_stock(source_data::meshes() / "stock/sample.csv", source_data::meshes() / "shoes")).items.size() ==
        12);
}

TEST_CASE("A fault on the shelf is told in one line with its row", "[stock]") {
  struct Bad {
    std::string text, place, says;
  };
  const std::string good = "a,tapered,240,90,2.0,1\n";
  std::string many = head;
  for (int i = 0; i < 100000; ++i) many += fmt::format("row {},tapered,240,90,2.0,1\n", i);
  const std::vector<Bad> bad = {
      {head + good + "a,parallel,240,90,2.0,1\n", ":3: label", "already on line 2"},
      {head + good + "b,nowhere,240,90,2.0,1\n", ":3: design", "nowhere.toml"},
      {head + "a,tapered,240,30,2.0,1\n", ":2: breadth_mm", "less than the least"},
      {head + "a,tapered,240,60,2.0,1\n", ":2: breadth_mm", "no foot 240 mm long is 60 mm broad"},
      {head + "a,tapered,242,90,2.0,1\n", ":2: length_mm", "write 240"},
      {head + "a,tapered,24,90,2.0,1\n", ":2: length_mm", "looks like cm"},
      {head + "a,tapered,240,90,9,1\n", ":2: shank", "more than the most"},
      {head + "a,tapered,240,90,2.0,1.5\n", ":2: pairs", "whole"},
      {head + "a,tapered,240,90,2.0,-1\n", ":2: pairs", "less than the least"},
      {head + "a,tapered,240,90,2.0\n", ":2: label", "5 cells, not 6"},
      {head + "a,tapered,x,90,2.0,1\n", ":2: length_mm", "not a number"},
      {head + ",tapered,240,90,2.0,1\n", ":2: label", "is missing"},
      {head + "\"a,tapered,240,90,2.0,1\n", ":2: label", "not closed"},
      {"label,length\n", ":1: ", "name the columns"},
      {head, ":1: item", "nothing on the shelf"},
      {many, ":5002: label", "more than 5000 rows"},
  };
  for (const Bad& one : bad) {
    CAPTURE(one.says);
    CHECK_THAT(refusal(one.text, "s.csv"), Contains("s.csv" + one.place) && Contains(one.says));
  }
}

TEST_CASE("A label is one line of plain text, in CSV and in TOML", "[stock]") {
  struct Bad {
    std::string label, toml, says;
  };
  // In TOML control characters can be written as such, and a byte that is no UTF-8 is told before anything is read.
  const std::string eighty(80, 'x'), accents = "\xc3\xa9\xf0\x9f\xa9\xb0";
  for (const Bad& one : std::vector<Bad>{{"a\xff", "\"a\xff\"", "is not UTF-8"},
                                         {"a\xc0\xaf", "\"a\xc0\xaf\"", "is not UTF-8"},          // overlong
                                         {"a\xed\xa0\x80", "\"a\xed\xa0\x80\"", "is not UTF-8"},  // a surrogate
                                         {"a\x1b[2J", "\"a\\u001b[2J\"", "control character (0x1b)"},
                                         {"a\x7f", "\"a\\u007f\"", "control character (0x7f)"},
                                         {eighty + "y", "\"" + eighty + "y\"", "81 characters, more than 80"}}) {
    CAPTURE(one.says);
    CHECK_THAT(refusal(head + "b,tapered,240,90,,1\n" + one.label + ",tapered,240,90,,1\n", "s.csv"),
               Contains("s.csv:3: label: ") && Contains(one.says));
    CHECK_THAT(refusal(toml_item(one.toml), "s.toml"),
               Contains("s.toml:4: ") && Contains("label: ") && Contains(one.says));
  }
  CHECK_THAT(refusal(toml_head + "shop = \"a\\nb\"\n", "s.toml"), Contains("s.toml:3: shop: ") && Contains("0x0a"));
  CHECK_THAT(refusal(head + "a,tap\x01,240,90,,1\n", "s.csv"), Contains("s.csv:2: design: ") && Contains("0x01"));
  // Characters are counted, not bytes.
  const std::string longest = std::string(78, 'x') + accents;
  CHECK(need(read(head + longest + ",tapered,240,90,,1\n")).items[0].label == longest);
  CHECK(need(read(toml_item("\"" + longest + "\""), "s.toml")).items[0].label == longest);
}

TEST_CASE("The shank is named with or without its unit, and the kind of file by its ending in any case", "[stock]") {
  const auto shank = [](const std::string& text, const std::string& name) {
    return need(read(text, name)).items[0].shank_mm;
  };
  CHECK(shank(toml_item("\"a\"", "shank = 1.8\n"), "s.toml") == 1.8);
  CHECK(shank(toml_item("\"a\"", "shank_mm = 1.8\n"), "s.TOML") == 1.8);
  CHECK(shank(head + "a,tapered,240,90,1.8,1\n", "S.CSV") == 1.8);
  CHECK(shank("label,design,length_mm,breadth_mm,shank_mm,pairs\na,tapered,240,90,1.8,1\n", "s.Csv") == 1.8);
  CHECK_THAT(refusal(toml_item("\"a\"", "shank = 1.8\nshank_mm = 1.8\n"), "s.toml"),
             Contains("s.toml:9: ") && Contains("shank: is given twice"));
  CHECK_THAT(refusal(head + "a,tapered,240,90,1.8,1\n", "s.txt"), Contains("--stock: is neither .toml nor .csv"));
}

TEST_CASE("A shelf without rows and a design without its file say where", "[stock]") {
  CHECK_THAT(refusal("", "s.csv"), Contains("s.csv:1: --stock: the file is empty"));
  CHECK_THAT(refusal("", "s.toml"), Contains("s.toml:1: --stock: the file is empty"));
  const std::string gone =
      refusal(toml_head +
                  "[[design]]\nname = \"own\"\nfile = \"shoes/gone.toml\"\n[[item]]\nlabel = \"a\"\ndesign = "
                  "\"own\"\nlength_mm = 240\nbreadth_mm = 90\npairs = 1\n",
              "s.toml");
  // With its ending or without, a design is the same file.
  const Stock both = need(read(head + "a,tapered,240,90,,1\nb,tapered.toml,240,90,,1\n"));
  CHECK(both.items[0].file == both.items[1].file);
  for (const char* design : {"nowhere", "nowhere.toml"})
    CHECK_THAT(refusal(head + fmt::format("a,{},240,90,,1\n", design), "s.csv"),
               Contains("put nowhere.toml beside the stock file"));
  CHECK_THAT(gone, Contains("s.toml:4: file: ") && Contains("shoes/gone.toml\" is not there") &&
                       Contains("correct the file that design \"own\" names"));
}

TEST_CASE("CSV as spreadsheets write it: byte order mark, quoted head, CRLF, remarks above, labels that begin with #",
          "[stock]") {
  const Stock stock = need(read(
      "\xef\xbb\xbf# counted on Monday\r\n\"label\",\"design\",\"length_mm\",\"breadth_mm\",\"shank\",\"pairs\"\r\n"
      "#1042,tapered,240,90,2.0,1\r\n\r\n\"b, \"\"c\"\"\",tapered,240,90,,1\r\n"));
  REQUIRE(stock.items.size() == 2);
  CHECK(stock.items[0].label == "#1042");
  CHECK(stock.items[1].label == "b, \"c\"");
  CHECK(need(read("\xef\xbb\xbf" + head + "a,tapered,240,90,,1\n")).items.size() == 1);
  // Not dropped: a remark among the rows is told.
  CHECK_THAT(refusal(head + "a,tapered,240,90,,1\n# the rest is in the cellar\n", "s.csv"),
             Contains("s.csv:3: label: the row has 1 cells"));
  struct Bad {
    std::string row, says;
  };
  for (const Bad& one : std::vector<Bad>{{"a,tapered,240,90,\"2,0\",1", "shank: \"2,0\" is not a number"},
                                         {"a,tapered,240,90,2,0,1", "the row has 7 cells"},
                                         {"a,tapered,nan,90,,1", "length_mm: "},
                                         {"a,tapered,1e300,90,,1", "length_mm: "},
                                         {"a,tapered,240,inf,,1", "breadth_mm: "},
                                         {"a,tapered,240,90,,-1", "pairs: "},
                                         {"\"a\nb\",tapered,240,90,,1", "a double quote that is not closed"}}) {
    CAPTURE(one.row);
    CHECK_THAT(refusal(head + one.row + "\n", "s.csv"), Contains("s.csv:2: ") && Contains(one.says));
  }
}

TEST_CASE("Too many rows are told with the row, in TOML as in CSV", "[stock]") {
  std::string toml = toml_head, csv = head;
  for (int i = 0; i < 100000; ++i) {
    toml += fmt::format("[[item]]\nlabel=\"{}\"\ndesign=\"tapered\"\nlength_mm=240\nbreadth_mm=90\npairs=1\n", i);
    csv += fmt::format("{},tapered,240,90,,1\n", i);
  }
  const std::string says = fmt::format("there are more than {} rows", most_items);
  CHECK_THAT(refusal(toml, "s.toml"), Contains("label: ") && Contains(says));
  CHECK_THAT(refusal(csv, "s.csv"), Contains("label: ") && Contains(says));
}
