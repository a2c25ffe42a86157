// The shelf in the window: a stock opened through the file panel, ranked with reasons, a pair put on, a page written.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <fstream>
#include <regex>

#include "../source_data.h"
#include "aplomb/shop/stock.h"
#include "desk_state.h"
#include "quick_data.h"

using namespace aplomb;
using namespace aplomb::test;
using nlohmann::json;
namespace fs = std::filesystem;

TEST_CASE("a shelf is opened, ranked with reasons, its first pair put on, its workshop page written", "[window]") {
  test::Desk desk(1280, 800);
  if (skipped(desk)) return;
  const fs::path data = test::quick_data(desk.folder());
  REQUIRE(desk.start({"--data", data.string(), "--position", "on-box"}));
  REQUIRE(desk.wait(answered));
  CHECK(find(desk.state(), "shelf") == nullptr);  // no stock, no button
  desk.key("ctrl+o");
  REQUIRE(desk.wait([](const json& s) { return find(s, "files.name") != nullptr; }));
  desk.click("files.name");
  desk.type((data / "stock" / "sample.csv").string());
  desk.key("Return");
  REQUIRE(desk.wait([](const json& s) { return find(s, "shelf.1") != nullptr && find(s, "shelf.1.size") != nullptr; },
                    120));
  const json ranked = desk.state();
  CHECK(ranked["shelf"]["running"] == false);
  CHECK(ranked["shelf"]["first"].size() == 3);
  CHECK(find(ranked, "shelf.1.size")->at("text").get<std::string>().ends_with(" points"));
  CHECK(find(ranked, "shelf.feet")->at("text").get<std::string>().find("mirror image") != std::string::npos);
  CHECK(find(ranked, "shelf.8") != nullptr);
  // Fewer points stand further up.
  const auto points = [&](const std::string& id) {
    std::smatch found;
    const std::string text = find(ranked, id)->at("text").get<std::string>();
    REQUIRE(std::regex_search(text, found, std::regex("([0-9.]+) points")));
    return std::stod(found[1]);
  };
  CHECK(points("shelf.1.size") <= points("shelf.2.size"));
  desk.keep("window_shelf");

  // The first pair on the foot, and taken off again.
  const std::string words = find(ranked, "shelf.1")->at("text").get<std::string>();
  const auto stock = source_data::need(shop::read_stock(data / "stock/sample.csv", data / "shoes"));
  const auto row = std::find_if(stock.items.begin(), stock.items.end(),
                                [&](const auto& item) { return words.ends_with("   " + item.label); });
  REQUIRE(row != stock.items.end());
  const auto number = [&](const char* key) { return desk.item(key)["value"].get<double>(); };
  const double length_mm = number("shoe.inner_length_mm"), breadth_mm = number("shoe.ball_breadth_mm");
  const auto on = [](const json& s) { return s["shelf"]["put_on"].get<int>() >= 0; };
  const auto button = [](const json& s) { return find(s, "shelf.1.put_on")->at("text").get<std::string>(); };
  CHECK(button(ranked) == "Put on");
  desk.click("shelf.1.put_on");
  REQUIRE(desk.wait([&](const json& s) { return answered(s) && on(s) && button(s) == "Is on"; }));
  CHECK(desk.item("title")["text"].get<std::string>().find("sample  in  " + row->design) == 0);
  CHECK(number("shoe.inner_length_mm") == Approx(row->shoe.inner_length_mm).epsilon(1e-9));
  CHECK(number("shoe.ball_breadth_mm") == Approx(row->shoe.ball_breadth_mm).epsilon(1e-9));
  desk.keep("window_shelf_put_on");
  desk.key("ctrl+z");
  REQUIRE(desk.wait([&](const json& s) { return answered(s) && !on(s) && button(s) == "Put on"; }));
  CHECK(number("shoe.inner_length_mm") == length_mm);
  CHECK(number("shoe.ball_breadth_mm") == breadth_mm);
  desk.key("ctrl+y");
  REQUIRE(desk.wait([&](const json& s) { return answered(s) && on(s) && button(s) == "Is on"; }));

  // Its page for the workshop.
  desk.click("shelf.workshop");
  REQUIRE(desk.wait([](const json& s) { return says(s, "-workshop.pdf"); }));
  bool written = false;
  for (const auto& entry : fs::directory_iterator(desk.folder()))
    if (entry.path().string().ends_with("-workshop.pdf")) {
      std::ifstream in(entry.path(), std::ios::binary);
      std::string head(5, '\0');
      in.read(head.data(), 5);
      written = head == "%PDF-";
    }
  CHECK(written);

  // Another foot: neither put on nor printed.
  desk.click("tab.foot");
  REQUIRE(desk.wait([](const json& s) { return find(s, "foot.foot_length_mm") != nullptr; }));
  desk.drag("foot.foot_length_mm", 0.5, 0.5, 20, 0);
  REQUIRE(desk.wait([](const json& s) { return answered(s) && find(s, "shelf.other_feet") != nullptr; }));
  CHECK(desk.item("shelf.1.put_on")["text"] == "Put on");
  desk.click("shelf.client");
  CHECK(desk.wait([](const json& s) { return says(s, "Of the feet as they were; compare the stock again"); }));
  desk.keep("window_shelf_other_feet");
  desk.key("ctrl+z");
  CHECK(desk.wait([](const json& s) { return answered(s) && find(s, "shelf.other_feet") == nullptr; }));

  // The findings come back, and the shelf again by its key.
  desk.click("shelf.back");
  REQUIRE(
      desk.wait([](const json& s) { return find(s, "findings.title") != nullptr && find(s, "shelf.1") == nullptr; }));
  desk.key("k");
  CHECK(desk.wait([](const json& s) { return find(s, "shelf.1") != nullptr; }));
}

TEST_CASE("a shelf that takes long is cancelled, goes on, and a broken one is told in a line", "[.][long][window]") {
  test::Desk desk(1280, 800);
  if (skipped(desk)) return;
  const std::string stock = (source_data::meshes() / "stock/sample.csv").string();
  REQUIRE(desk.start({"--position", "on-box", "--drop", stock}));
  // The house's own rules: something leads soon, and is called provisional.
  REQUIRE(desk.wait([](const json& s) { return find(s, "shelf.first.1") != nullptr; }, 120));
  CHECK(desk.state()["shelf"]["running"] == true);
  desk.keep("window_shelf_running");
  desk.click("shelf.cancel");
  REQUIRE(desk.wait([](const json& s) { return find(s, "shelf.resume") != nullptr; }));
  desk.click("shelf.resume");
  REQUIRE(desk.wait([](const json& s) { return find(s, "shelf.1") != nullptr; }, 600));
  desk.keep("window_shelf_whole");

  const fs::path broken = desk.folder() / "broken.csv";
  std::ofstream(broken) << "label,design,length_mm,breadth_mm,shank,pairs\na,nowhere,240,90,,1\n";
  desk.key("ctrl+o");
  REQUIRE(desk.wait([](const json& s) { return find(s, "files.name") != nullptr; }));
  desk.click("files.name");
  desk.type(broken.string());
  desk.key("Return");
  CHECK(desk.wait([](const json& s) { return says(s, "broken.csv:2: design"); }));
}
