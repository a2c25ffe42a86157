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
    const auto stock = read(one.text);
    CAPTURE(one.says);
    REQUIRE_FALSE(stock);
    const std::string line = io::to_line(stock.error());
    CHECK_THAT(line, Contains("s.csv" + one.place) && Contains(one.says));
    CHECK(line.find('\n') == std::string::npos);
    CHECK(io::exit_code(stock.error().kind) == 2);
  }
}
