// One beside the other in the window: positions played, two shoes compared, what helps tried, page and picture written.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>
#include <fstream>
#include <set>

#include "desk_state.h"

using namespace aplomb;
using namespace aplomb::test;
using nlohmann::json;

namespace {

std::string first_bytes(const std::filesystem::path& file, std::size_t count) {
  std::ifstream in(file, std::ios::binary);
  std::string bytes(count, '\0');
  in.read(bytes.data(), static_cast<std::streamsize>(count));
  return bytes;
}

}  // namespace

TEST_CASE("positions are played, two shoes compared, picture and page written", "[window]") {
  test::Desk desk(1280, 800);
  if (skipped(desk)) return;
  REQUIRE(desk.start({"--position", "parallel"}));
  REQUIRE(desk.wait(answered));
  std::set<std::string> seen;
  desk.click("play");
  CHECK(desk.wait([](const json& s) { return selected(s, "play"); }));
  REQUIRE(desk.wait([&](const json& s) {
    if (answered(s)) seen.insert(s["position"].get<std::string>());
    return s["position"] == "on-box" && answered(s);
  }));
  CHECK(seen.contains("demi-plie"));
  desk.click_at(desk.item("view.0")["rect"][0].get<int>() + 40, desk.item("view.0")["rect"][1].get<int>() + 200);
  desk.key("space");
  CHECK(desk.wait([](const json& s) { return !selected(s, "play"); }));

  desk.click("position.on-box");
  REQUIRE(desk.wait([](const json& s) { return s["position"] == "on-box" && answered(s); }));
  // Nothing was changed: no difference is claimed.
  desk.key("p"), desk.key("p"), desk.key("p");
  REQUIRE(desk.wait([](const json& s) {
    const json* words = find(s, "view.0.state");
    return words != nullptr && (*words)["text"].get<std::string>().starts_with("Nothing to compare with");
  }));
  CHECK(find(desk.state(), "bar") == nullptr);
  desk.keep("window_no_difference");
  desk.key("d");
  REQUIRE(desk.wait([](const json& s) { return s["seats"].size() == 2 && answered(s); }));
  CHECK(depth(desk.state(), 0) == depth(desk.state(), 1));
  CHECK(selected(desk.state(), "seat.1"));
  const json left = desk.item("view.0"), right = desk.item("view.1");
  desk.drag("shoe.crown_height_mm", 0.5, 0.5, -15, 0);
  REQUIRE(desk.wait([](const json& s) { return answered(s) && selected(s, "shoe.crown_height_mm"); }));
  CHECK(depth(desk.state(), 0) != depth(desk.state(), 1));
  REQUIRE(desk.wait([](const json& s) {
    const json* bar = find(s, "bar");
    return bar != nullptr && (*bar)["text"] == "kPa more (+) or less (-)";
  }));
  desk.keep("window_side_by_side");
  // One camera: what turns the right view turns the left one.
  const test::Pixels still = desk.pixels();
  desk.drag("view.1", 0.3, 0.5, 80, 0);
  const auto turned = [&](const json& view) {
    return desk.pixels().differing(still, view["rect"][0], view["rect"][1], view["rect"][2], view["rect"][3]);
  };
  CHECK(turned(left) > 3000);
  CHECK(turned(right) > 3000);

  desk.key("ctrl+e");
  REQUIRE(desk.wait([](const json& s) { return says(s, "Written: "); }));
  const auto stem = (desk.folder() / "sample-tapered-on-box").string();
  CHECK(first_bytes(stem + ".png", 4) == "\x89PNG");
  CHECK(first_bytes(stem + ".pdf", 5) == "%PDF-");
  desk.keep("window_exported");

  // The client's page: three sentences on the screen, and on paper.
  desk.key("c");
  REQUIRE(desk.wait([](const json& s) { return find(s, "client.3") != nullptr; }));
  CHECK(find(desk.state(), "client.4") == nullptr);
  CHECK((*find(desk.state(), "bar"))["text"] == "darker: pressed more");  // not the difference that was looked at
  desk.click("client.page");
  REQUIRE(desk.wait([](const json& s) { return says(s, "-client.pdf"); }));
  CHECK(first_bytes(stem + "-client.pdf", 5) == "%PDF-");
  desk.keep("window_client");
  CHECK(desk.quit() == 0);
}

TEST_CASE("what helps is solved, tried beside the shoe as it is, and kept", "[window]") {
  test::Desk desk(1280, 800);
  if (skipped(desk)) return;
  REQUIRE(desk.start({"--position", "on-box"}));
  REQUIRE(desk.wait(answered));
  REQUIRE(desk.wait([](const json& s) { return find(s, "verdict.heel_bags") != nullptr; }));
  const double slack = std::stod(desk.item("finding.heel_slack_mm")["text"].get<std::string>());
  desk.click("advice");
  REQUIRE(desk.wait([](const json& s) { return find(s, "offer.1.try") != nullptr; }, 400));
  desk.keep("window_advice");
  const std::string promised = desk.item("offer.1.does")["text"];
  desk.click("offer.1.try");
  REQUIRE(desk.wait([](const json& s) { return s["seats"].size() == 2 && answered(s); }));
  const std::string both = desk.item("finding.heel_slack_mm")["text"];  // "+15.3 mm | +11.3 mm"
  CHECK(std::stod(both) == slack);
  const double tried = std::stod(both.substr(both.find('|') + 1));
  CHECK(tried < slack - 1);
  INFO(promised << " and " << both);
  CHECK(promised.find("becomes " + both.substr(both.find('|') + 3, 4)) != std::string::npos);  // without its sign
  desk.click("try.map");
  REQUIRE(desk.wait([](const json& s) { return selected(s, "try.map"); }));
  desk.keep("window_try");
  desk.click("try.keep");
  const auto titled = [](const std::string& words) {
    return [words](const json& s) { return answered(s) && (*find(s, "title"))["text"] == words; };
  };
  REQUIRE(desk.wait(titled("sample  in  tapered (1 changed)")));
  CHECK(desk.state()["seats"].size() == 1);
  CHECK(std::stod(desk.item("finding.heel_slack_mm")["text"].get<std::string>()) == tried);
  desk.key("ctrl+z");
  REQUIRE(desk.wait([](const json& s) { return s["seats"].size() == 2; }));
  desk.key("ctrl+z");
  CHECK(desk.wait(titled("sample  in  tapered")));
  CHECK(desk.quit() == 0);
}
