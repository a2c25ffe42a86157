// The page: one A4 sheet with the words on it, the same bits twice, refused where it cannot be made.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>
#include <cstdio>
#include <iostream>

#include "aplomb/io/files.h"
#include "aplomb/report/pdf.h"
#include "aplomb/report/rows.h"
#include "drawing.h"
#include "sample.h"
#include "scene.h"

namespace fs = std::filesystem;
using namespace aplomb;
using namespace aplomb::report;
using namespace aplomb::report::test;
using aplomb::scratch::Folder;

namespace {

const ReportOptions options{.picture = {.shader_folder = fs::path(APLOMB_SOURCE_DIR) / "shaders"},
                            .date = "2026-11-25"};

/// What a program of poppler-utils prints about the file; nothing when it is not installed.
std::optional<std::string> ask(const std::string& program, const fs::path& file, const std::string& after = "") {
  if (std::system(("command -v " + program + " > /dev/null").c_str()) != 0) return std::nullopt;
  FILE* pipe = ::popen((program + " '" + file.string() + "' " + after).c_str(), "r");
  std::string text;
  for (int c = std::fgetc(pipe); c != EOF; c = std::fgetc(pipe)) text += static_cast<char>(c);
  ::pclose(pipe);
  return text;
}

/// Words with single spaces, so that lines may break anywhere.
std::string flat(const std::string& text) {
  std::string out;
  for (const char c : text) {
    const bool space = c == ' ' || c == '\n' || c == '\f';
    if (space && (out.empty() || out.back() == ' ')) continue;
    out += space ? ' ' : c;
  }
  return out;
}

}  // namespace

TEST_CASE("One A4 page with every word of the display rows", "[report][pdf]") {
  if (!graphics()) return;
  const Folder folder;
  const fs::path file = folder.path / "r.pdf";
  REQUIRE(write_report(sample_scene(), sample_findings(), file, options));
  const auto info = ask("pdfinfo", file), text = ask("pdftotext", file, "-");
  if (!info || !text) {
    std::cout << "skipped: poppler-utils is not installed\n";
    return;
  }
  CHECK(info->find("Pages:           1\n") != std::string::npos);
  CHECK(info->find("(A4)") != std::string::npos);
  CHECK(info->find("Title:           RIGHT foot, full pointe on two feet") != std::string::npos);
  const std::string words = flat(*text);
  const auto has = [&](const std::string& wanted) {
    CAPTURE(wanted);
    CHECK(words.find(wanted) != std::string::npos);
  };
  for (const Section& section : sections(sample_findings())) {
    has(section.title);
    for (const Row& row : section.rows) has(row.value);
  }
  for (const std::string& caution : cautions()) has(caution);
  for (const std::string& limit : sample_findings().limits) has(limit);
  for (const char* wanted :
       {"RIGHT", "2026-11-25", "sample.toml in tapered.toml", "255 N", "310 to 355 kPa as friction settles",
        "0123456789abcdef", "bb00112233445566", "aplomb 0.1.0", "Pressure on the skin, kPa", "little"})
    has(wanted);
}

TEST_CASE("However much there is to say, it stays one page", "[report][pdf]") {
  if (!graphics()) return;
  const Folder folder;
  findings::Findings f = sample_findings();
  f.foot_name = std::string(300, 'x') + ".toml";
  for (int i = 0; i < 4; ++i)
    f.advice.push_back("Try a shoe that is one breadth wider and has a deeper box, and look at the sink again.");
  for (int i = 0; i < 6; ++i)
    f.limits.push_back("One more thing that the numbers do not tell, said in a sentence of middling length.");
  for (int i = 0; i < 9; ++i) f.regions.push_back({"dorsum", 120, 60, 900});
  f.goes_in = false;
  f.heel_slack_mm = 4;
  ReportOptions on_paper = options;
  on_paper.paper = GENERATE(Paper::a4, Paper::letter);
  REQUIRE(write_report(sample_scene(), f, folder.path / "r.pdf", on_paper));
  const auto info = ask("pdfinfo", folder.path / "r.pdf"), text = ask("pdftotext", folder.path / "r.pdf", "-");
  if (!info || !text) {
    std::cout << "skipped: poppler-utils is not installed\n";
    return;
  }
  CHECK(info->find("Pages:           1\n") != std::string::npos);
  CHECK(info->find(on_paper.paper == Paper::a4 ? "(A4)" : "(letter)") != std::string::npos);
  CHECK(flat(*text).find("pain behind the ankle") != std::string::npos);
  CHECK(flat(*text).find("DOES NOT GO IN") != std::string::npos);
  CHECK(flat(*text).find("one breadth wider") != std::string::npos);
}

TEST_CASE("The same page twice has the same bits, and picture and page can share one rendering", "[report][pdf]") {
  if (!graphics()) return;
  const Folder folder;
  REQUIRE(write_report(sample_scene(), sample_findings(), folder.path / "a.pdf", options));
  REQUIRE(write_sheets(sample_scene(), sample_findings(), folder.path / "p.png", folder.path / "b.pdf", options));
  REQUIRE(write_picture(sample_scene(), sample_findings(), folder.path / "q.png", options.picture));
  CHECK(*io::read_file(folder.path / "a.pdf") == *io::read_file(folder.path / "b.pdf"));
  CHECK(*io::read_file(folder.path / "p.png") == *io::read_file(folder.path / "q.png"));
  ReportOptions undated = options;
  undated.date.clear();
  REQUIRE(write_report(sample_scene(), sample_findings(), folder.path / "c.pdf", undated));
  CHECK(io::read_file(folder.path / "c.pdf")->find("CreationDate") == std::string::npos);
  CHECK(folder.files() == 5);
}

TEST_CASE("Pages that cannot be made are refused, with nothing left behind", "[report][pdf]") {
  if (!graphics()) return;
  const Folder folder;
  findings::Findings f = sample_findings();
  CHECK_FALSE(write_report(sample_scene(), stopped_findings(), folder.path / "r.pdf", options));
  f.plumb.margin_mm = std::nan("");
  CHECK_FALSE(write_report(sample_scene(), f, folder.path / "r.pdf", options));
  ReportOptions wrong = options;
  wrong.date = "25.11.2026";
  CHECK_FALSE(write_report(sample_scene(), sample_findings(), folder.path / "r.pdf", wrong));
  CHECK(folder.files() == 0);
  const auto nowhere = write_report(sample_scene(), sample_findings(), folder.path / "none" / "r.pdf", options);
  REQUIRE_FALSE(nowhere);
  CHECK(nowhere.error().kind == io::ErrorKind::cannot_write);
}
