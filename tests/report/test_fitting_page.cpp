// Fitting pages: one sheet of either paper, its words as text, the same bits twice, told in black and white, refused
// where they do not fit.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdio>
#include <cstdlib>

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

TEST_CASE("A fitting page carries one picture, and says when there is too much to say", "[fitting_page]") {
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
  for (int i = 0; i < 400; ++i) page.parts[0].lines.push_back("one more thing to say at some length to the client");
  const auto full = write_fitting_page(page, Paper::letter, file, shaders);
  REQUIRE_FALSE(full);
  CHECK_THAT(full.error().message, Contains("more to say than one page holds"));
  page = sample_page();
  page.date = "27.11.";
  CHECK_FALSE(write_fitting_page(page, Paper::letter, file, shaders));
  CHECK(folder.files() == 0);
}
