// Fitting pages: one sheet of either paper, its words as text, the same bits twice, told in black and white; more
// sheets where one does not hold it.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdio>
#include <cstdlib>
#include <sstream>

#include "../temporary_folder.h"
#include "aplomb/io/files.h"
#include "aplomb/report/fitting_page.h"
#include "scene.h"

namespace fs = std::filesystem;
using namespace aplomb;
using namespace aplomb::report;
using Catch::Contains;

namespace {

const fs::path shaders = fs::path(APLOMB_SOURCE_DIR) / "shaders";

FittingPage sample_page() {
  FittingPage page;
  page.title = "Pointe shoes for an invented dancer";
  page.subtitle = "in plain words";
  page.date = "2026-11-27";
  page.version = "0";
  page.parts = {{"Which pair", {"Try this pair first."}, {}},
                {"Dimensions", {}, {"", {"", "left", "right"}, {{"inner length", "236.0", "237.0"}}}}};
  return page;
}

std::string ask(const std::string& command) {
  FILE* pipe = ::popen(command.c_str(), "r");
  std::string text;
  for (int c = std::fgetc(pipe); c != EOF; c = std::fgetc(pipe)) text += static_cast<char>(c);
  ::pclose(pipe);
  return text;
}

bool installed(const char* program) {
  return std::system((std::string("command -v ") + program + " > /dev/null").c_str()) == 0;
}

}  // namespace

TEST_CASE("A fitting page is one sheet of A4 or Letter, the same bits twice", "[fitting_page]") {
  const scratch::Folder folder;
  const fs::path file = folder.path / "p.pdf", again = folder.path / "q.pdf";
  REQUIRE(write_fitting_page(sample_page(), Paper::a4, file, shaders));
  REQUIRE(write_fitting_page(sample_page(), Paper::a4, again, shaders));
  const std::string bytes = *io::read_file(file);
  CHECK(bytes == *io::read_file(again));
  // ISO 216: 210 x 297 mm; a point is 1/72 in.
  CHECK_THAT(bytes, Contains("/MediaBox [ 0 0 595.27") && Contains("841.88"));
  REQUIRE(write_fitting_page(sample_page(), Paper::letter, file, shaders));
  CHECK_THAT(*io::read_file(file), Contains("/MediaBox [ 0 0 612 792 ]"));
  if (!installed("pdftotext")) return;
  const std::string words = ask("pdftotext -layout '" + file.string() + "' -");
  CHECK_THAT(words, Contains("Try this pair first.") && Contains("inner length") && Contains("236.0") &&
                        Contains("2026-11-27"));
  CHECK(std::count(words.begin(), words.end(), '\f') == 1);
}

TEST_CASE("A fitting page without colour says the same: nothing but ink, grey and hairlines is in its words",
          "[fitting_page]") {
  if (!installed("pdftoppm")) return;
  const scratch::Folder folder;
  const fs::path file = folder.path / "p.pdf";
  REQUIRE(write_fitting_page(sample_page(), Paper::a4, file, shaders));
  const std::string ppm = ask("pdftoppm -r 50 '" + file.string() + "'");
  REQUIRE(ppm.substr(0, 2) == "P6");
  std::size_t dark = 0, coloured = 0;
  for (std::size_t i = ppm.find("255\n") + 4; i + 2 < ppm.size(); i += 3) {
    const auto level = [&](std::size_t k) { return static_cast<int>(static_cast<unsigned char>(ppm[i + k])); };
    const int most = std::max({level(0), level(1), level(2)}), least = std::min({level(0), level(1), level(2)});
    if (most < 128) ++dark;
    if (most - least > 20) ++coloured;
  }
  CHECK(dark > 200);
  CHECK(coloured == 0);
}

TEST_CASE("A table's columns are as broad as their words need: few words do not crowd the many", "[fitting_page]") {
  if (!installed("pdftotext")) return;
  const scratch::Folder folder;
  const fs::path file = folder.path / "p.pdf";
  FittingPage page = sample_page();
  const std::string why(120, 'i'), what = "the heel slack becomes less by a few millimetres on one foot and on both";
  std::string reason;
  for (int k = 0; k < 20; ++k) reason += "reason ";
  const std::vector<std::string> row{"1", "pad", "both", reason, what};
  page.parts = {{"What to alter", {}, {"", {"", "change", "foot", "because", "before and after"}, {18, row}}}};
  REQUIRE(write_fitting_page(page, Paper::a4, file, shaders));
  // Evenly shared they would take two sheets.
  const std::string words = ask("pdftotext -layout '" + file.string() + "' -");
  CHECK(std::count(words.begin(), words.end(), '\f') == 1);
  // A word that no sheet is broad enough for takes nothing from the others.
  page.parts[0].grid.rows = {{"1", "pad", "both", why + why, what}};
  REQUIRE(write_fitting_page(page, Paper::a4, file, shaders));
  CHECK_THAT(ask("pdftotext -layout '" + file.string() + "' -"), Contains("pad") && Contains("both"));
}

TEST_CASE("A fitting page carries one picture, and a date that is one", "[fitting_page]") {
  const scratch::Folder folder;
  const fs::path file = folder.path / "p.pdf";
  const findings::Scene scene = test::sample_scene();
  FittingPage page = sample_page();
  REQUIRE(write_fitting_page(page, Paper::letter, file, shaders));
  const std::size_t without = io::read_file(file)->size();
  page.scene = &scene;
  page.caption = "from the inner side";
  REQUIRE(write_fitting_page(page, Paper::letter, file, shaders));
  CHECK(io::read_file(file)->size() > without + 5000);
  fs::remove(file);
  page.date = "27.11.";
  CHECK_FALSE(write_fitting_page(page, Paper::letter, file, shaders));
  CHECK(folder.files() == 0);
}

TEST_CASE("What one sheet does not hold goes on, every word of it once, on numbered sheets", "[fitting_page]") {
  if (!installed("pdftotext")) return;
  const scratch::Folder folder;
  const fs::path file = folder.path / "p.pdf";
  FittingPage page = sample_page();
  for (int i = 0; i < 60; ++i)
    page.parts[0].lines.push_back(fmt::format("finding-{} said at some length to whoever cuts and sews the shoe", i));
  Grid& grid = page.parts[1].grid;
  for (int i = 0; i < 90; ++i)
    grid.rows.push_back({fmt::format("row-{}", i), "a change that wraps or not", "what it does"});
  for (const Paper paper : {Paper::a4, Paper::letter}) {
    REQUIRE(write_fitting_page(page, paper, file, shaders));
    const std::string words = ask("pdftotext -layout '" + file.string() + "' -");
    const auto sheets = std::count(words.begin(), words.end(), '\f');
    CHECK(sheets >= 3);
    CHECK_THAT(words,
               Contains(fmt::format("sheet 1 of {}", sheets)) && Contains(fmt::format("sheet {0} of {0}", sheets)));
    const auto times = [&](const std::string& what) {
      int count = 0;
      for (std::size_t at = words.find(what); at != std::string::npos; at = words.find(what, at + 1)) ++count;
      return count;
    };
    for (int i = 0; i < 60; ++i) CHECK(times(fmt::format("finding-{} ", i)) == 1);
    for (int i = 0; i < 90; ++i) CHECK(times(fmt::format("row-{} ", i)) == 1);
    CHECK(times("left ") >= 2);  // the head of a grid again where it goes on
    // Nothing runs off a sheet: the lowest word ends above the margin.
    const double height = paper == Paper::a4 ? 841.89 : 792;
    std::istringstream boxes(
        ask("pdftotext -bbox '" + file.string() + "' - | sed -n 's/.*yMax=\"\\([0-9.]*\\)\".*/\\1/p'"));
    double lowest = 0;
    for (double y = 0; boxes >> y;) lowest = std::max(lowest, y);
    CHECK(lowest > 0.8 * height);
    CHECK(lowest < height - 25);
  }
}

TEST_CASE("Letters stay readable: the picture gives way first, then sheets are added", "[fitting_page]") {
  if (!installed("pdftotext")) return;
  const scratch::Folder folder;
  const fs::path file = folder.path / "p.pdf";
  const findings::Scene scene = test::sample_scene();
  FittingPage page = sample_page();
  page.scene = &scene;
  page.caption = "caption";
  const auto heights = [&](const char* word) {
    REQUIRE(write_fitting_page(page, Paper::a4, file, shaders));
    std::istringstream lines(ask("pdftotext -bbox '" + file.string() + "' -"));
    std::vector<std::pair<double, double>> found;  // top, height
    for (std::string line; std::getline(lines, line);) {
      if (line.find(fmt::format(">{}<", word)) == std::string::npos) continue;
      const double top = std::stod(line.substr(line.find("yMin=\"") + 6));
      found.emplace_back(top, std::stod(line.substr(line.find("yMax=\"") + 6)) - top);
    }
    return found;
  };
  page.parts[0].lines = {"measured"};
  const auto [short_caption, none] = heights("caption").at(0);
  const double full = heights("measured").at(0).second;
  for (int i = 0; i < 20; ++i) page.parts[0].lines.emplace_back("one more thing to say");
  CHECK(heights("measured").at(0).second == Approx(full).epsilon(0.01));  // letters as large as ever
  CHECK(heights("caption").at(0).first < short_caption - 30);             // under a picture that is not so high
  for (int i = 0; i < 200; ++i) page.parts[0].lines.emplace_back("one more thing to say");
  CHECK(heights("measured").at(0).second > full * 8.9 / 10.5);
  CHECK(ask("pdftotext '" + file.string() + "' - | grep -c 'more thing'") == "220\n");
}
