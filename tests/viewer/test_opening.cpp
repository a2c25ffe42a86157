// One handler for every file: what it is, or one line that says what is wrong and what to do.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <fstream>

#include "../temporary_folder.h"
#include "aplomb/shop/stock.h"
#include "viewer/opening.h"
#include "viewer/solve_job.h"

using namespace aplomb;
using namespace aplomb::viewer;

namespace {

const std::filesystem::path meshes = std::filesystem::path(APLOMB_SOURCE_DIR) / "meshes";

io::Error refused(const std::filesystem::path& file) {
  const auto opened = open_file(file);
  REQUIRE_FALSE(opened);
  CHECK_FALSE(opened.error().message.empty());
  CHECK_FALSE(opened.error().remedy.empty());
  return opened.error();
}

}  // namespace

TEST_CASE("files are told apart by what they say they are", "[opening]") {
  const scratch::Folder folder;
  std::filesystem::copy_file(meshes / "shoes/tapered.toml", folder.path / "no ending of its kind.txt");
  CHECK(std::holds_alternative<OpenedFoot>(open_file(meshes / "feet/sample.toml").value()));
  CHECK(std::holds_alternative<OpenedShoe>(open_file(folder.path / "no ending of its kind.txt").value()));
}

TEST_CASE("broken files are refused in one line", "[opening]") {
  const scratch::Folder folder;
  const auto write = [&](const char* name, const std::string& text) {
    std::ofstream(folder.path / name, std::ios::binary) << text;
    return folder.path / name;
  };
  CHECK(refused(folder.path / "not there.toml").file.ends_with("not there.toml"));
  refused(folder.path);
  refused(write("empty.toml", ""));
  refused(write("noise.toml", std::string("\0\1\2\377 noise", 10)));
  // A stock by its rows; its designs are read when it is compared.
  const auto stock = open_file(meshes / "stock/sample.csv");
  REQUIRE(stock);
  CHECK(std::holds_alternative<OpenedStock>(*stock));
  CHECK(open_file(write("stock.toml", "format = \"aplomb-stock\"\nformat_version = 1\n")));
  const auto visit = open_file(meshes / "stock/sample_visit.toml");
  REQUIRE(visit);
  CHECK(std::holds_alternative<OpenedVisit>(*visit));
  CHECK(refused(write("visit.toml", "format = \"aplomb-visit\"\nformat_version = 1\nage = 12\n")).line == 3);
  // Whatever the command line takes: a byte-order mark, remarks and empty lines before the head.
  const std::string head = "label,design,length_mm,breadth_mm,shank,pairs\n", row = "a,tapered,240,90,,1\n";
  for (const std::string& before : {std::string("\xef\xbb\xbf"), std::string("# spring\n"), std::string("\r\n\n"),
                                    std::string("# spring\n\n\xef\xbb\xbf")}) {
    const auto file = write("exported.csv", before + head + row);
    REQUIRE(shop::read_stock(file, meshes / "shoes"));
    const auto opened = open_file(file);
    REQUIRE(opened);
    CHECK(std::holds_alternative<OpenedStock>(*opened));
  }
  // What is no stock is told by its line, in the words of the command line.
  for (const auto& [text, line] : {std::pair{std::string("name,price\na,1\n"), 1},
                                   {"# prices\n\nname,price\na,1\n", 3},
                                   {head + row + "b,tapered,240\n", 3}}) {
    const auto file = write("table.csv", text);
    const io::Error error = refused(file);
    CHECK(error.line == line);
    CHECK(io::to_line(error) == io::to_line(shop::read_stock(file, meshes / "shoes").error()));
  }
  CHECK(is_scan("her scan.PLY"));  // not for open_file(): see test_scan_job.cpp
  CHECK_FALSE(is_scan("her card.toml"));
  const io::Error shoe = refused(
      write("shoe.toml", "format = \"aplomb-shoe\"\nformat_version = 1\nname = \"x\"\ninner_length_mm = 9999\n"));
  CHECK(shoe.field == "inner_length_mm");
  CHECK(shoe.line == 4);
  CHECK(refused(write("other.toml", "format = \"recipe\"\n")).message.find("recipe") != std::string::npos);
  CHECK(refused(write("session.json", "{\"format\": \"aplomb-session\", \"format_version\": 1}"))
            .file.ends_with("session.json"));
}

TEST_CASE("changed numbers are checked as the file's are", "[opening]") {
  const auto opened = open_file(meshes / "shoes/tapered.toml");
  REQUIRE(opened);
  Source source = std::get<OpenedShoe>(*opened).source;
  source.changes["ball_breadth_mm"] = 90;
  const auto changed = parameters_of(source);
  REQUIRE(changed);
  CHECK(changed->ball_breadth_mm == 90);
  source.changes["platform_breadth_mm"] = 78;
  source.changes["ball_breadth_mm"] = 80;  // with its rounded edge broader than the ball
  const auto contradiction = parameters_of(source);
  REQUIRE_FALSE(contradiction);
  CHECK(contradiction.error().field == "platform_breadth_mm");
}
