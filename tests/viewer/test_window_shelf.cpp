// The shelf in the window: a stock opened through the file panel, ranked with reasons, a pair put on, a page written.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <fstream>
#include <iostream>
#include <regex>

#include "../source_data.h"
#include "desk.h"

using namespace aplomb;
using nlohmann::json;
namespace fs = std::filesystem;

namespace {

const json* find(const json& s, const std::string& id) {
  if (s.contains("items"))
    for (const json& one : s["items"])
      if (one["id"] == id) return &one;
  return nullptr;
}

bool answered(const json& s) {
  if (!s.contains("seats") || s["dragging"] == true) return false;
  for (const json& seat : s["seats"])
    if (!seat.value("current", false) || seat.value("care", "") != "full") return false;
  return true;
}

/// The program's data, with only those of the house's rules that take a tenth of a second.
fs::path quick_data(const fs::path& folder) {
  const fs::path data = folder / "data";
  fs::create_directory(data);
  for (const auto& entry : fs::directory_iterator(source_data::meshes()))
    if (entry.path().filename() != "rules.toml") fs::create_symlink(entry.path(), data / entry.path().filename());
  fs::create_symlink(source_data::project() / "shaders", data / "shaders");
  std::ifstream in(source_data::meshes() / "rules.toml");
  const std::string text{std::istreambuf_iterator<char>(in), {}};
  std::ofstream out(data / "rules.toml");
  out << "format = \"aplomb-rules\"\nformat_version = 1\n";
  const std::string mark = "[[rule]]";
  for (std::size_t at = text.find(mark); at != std::string::npos;) {
    const std::size_t next = text.find(mark, at + 1);
    const std::string rule = text.substr(at, next == std::string::npos ? next : next - at);
    if (std::regex_search(rule, std::regex("\nposition = \"(measure|on-box)\""))) out << rule;
    at = next;
  }
  return data;
}

}  // namespace

TEST_CASE("a shelf is opened, ranked with reasons, its first pair put on, its workshop page written", "[window]") {
  test::Desk desk(1280, 800);
  if (!desk.ready()) {
    std::cout << "skipped: Xvfb or xdotool is not installed\n";
    return;
  }
  const fs::path data = quick_data(desk.folder());
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
  const std::string label = find(ranked, "shelf.1")->at("text").get<std::string>();
  desk.click("shelf.1.put_on");
  REQUIRE(desk.wait([](const json& s) { return answered(s) && s["shelf"]["put_on"].get<int>() >= 0; }));
  const std::string size = find(ranked, "shelf.1.size")->at("text").get<std::string>();
  const std::string design = size.substr(0, size.find(','));
  CHECK(desk.item("title")["text"].get<std::string>().find("sample  in  " + design) == 0);
  desk.keep("window_shelf_put_on");

  // Its page for the workshop.
  desk.click("shelf.workshop");
  REQUIRE(desk.wait([](const json& s) {
    for (const json& message : s["messages"])
      if (message.get<std::string>().find("-workshop.pdf") != std::string::npos) return true;
    return false;
  }));
  bool written = false;
  for (const auto& entry : fs::directory_iterator(desk.folder()))
    if (entry.path().string().ends_with("-workshop.pdf")) {
      std::ifstream in(entry.path(), std::ios::binary);
      std::string head(5, '\0');
      in.read(head.data(), 5);
      written = head == "%PDF-";
    }
  CHECK(written);

  // The findings come back, and the shelf again by its key.
  desk.click("shelf.back");
  REQUIRE(
      desk.wait([](const json& s) { return find(s, "findings.title") != nullptr && find(s, "shelf.1") == nullptr; }));
  desk.key("k");
  CHECK(desk.wait([](const json& s) { return find(s, "shelf.1") != nullptr; }));
}

TEST_CASE("a shelf that takes long is cancelled, goes on, and a broken one is told in a line", "[.][long][window]") {
  test::Desk desk(1280, 800);
  if (!desk.ready()) {
    std::cout << "skipped: Xvfb or xdotool is not installed\n";
    return;
  }
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
  CHECK(desk.wait([](const json& s) {
    for (const json& message : s["messages"])
      if (message.get<std::string>().find("broken.csv:2: design") != std::string::npos) return true;
    return false;
  }));
}
