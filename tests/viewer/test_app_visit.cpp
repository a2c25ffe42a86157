// A visit in the program behind the window, frame by frame: feet, shoe, layers and cautions come with it.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <fstream>

#include "aplomb/foot/foot_file.h"
#include "aplomb/io/files.h"
#include "app_program.h"
#include "viewer/export.h"
#include "viewer/session.h"

using namespace aplomb;
using namespace aplomb::viewer;
using source_data::need;
using test::Program;
namespace fs = std::filesystem;

namespace {

fs::path sample_visit() { return source_data::meshes() / "stock/sample_visit.toml"; }

/// The sample with another foot, line or table in it; its paths whole.
fs::path visit_with(const fs::path& folder, const std::string& what, const std::string& instead) {
  std::string text = need(io::read_file(sample_visit()));
  const auto replace = [&](const std::string& a, const std::string& b) {
    for (std::size_t at = text.find(a); at != std::string::npos; at = text.find(a, at + b.size()))
      text.replace(at, a.size(), b);
  };
  replace(what, instead);
  replace("\"../", "\"" + source_data::meshes().string() + "/");
  const fs::path file = folder / "a_visit.toml";
  std::ofstream(file) << text;
  return file;
}

std::vector<std::string> cautions_shown(Program& program) {
  std::vector<std::string> all;
  for (int i = 1; !program.words("visit.caution." + std::to_string(i)).empty(); ++i)
    all.push_back(program.words("visit.caution." + std::to_string(i)));
  return all;
}

const shoe::Layers& hers(const ShelfAnswer& answer, foot::Side side) {
  return side == foot::Side::left ? answer.inputs.left.layers : answer.inputs.right.layers;
}

}  // namespace

TEST_CASE("a visit brings both feet, the shoe she has now, what she wears, and its cautions", "[visit]") {
  Program program;
  const Subject before = program.screen().document.subject;
  REQUIRE(program.app().drop(sample_visit()));
  program.settle();
  REQUIRE(program.screen().document.subject.side_by_side);
  const foot::Side sides[] = {foot::Side::left, foot::Side::right};
  for (int seat = 0; seat < 2; ++seat) {
    const Solved* shown = program.screen().shown(seat);
    REQUIRE(shown);
    REQUIRE(shown->foot);
    CHECK(shown->foot->side == sides[seat]);
    CHECK(shown->foot->mass_kg == 52);  // as the visit says
    const Source& shoe = program.seat(static_cast<std::size_t>(seat)).shoe;
    CHECK(shoe.name() == "tapered");
    CHECK(need(parameters_of(shoe)).layers.tights.thickness_mm == 0.4);
  }
  // What its answers mean, in the words of the command line, and what she said herself.
  const std::vector<std::string> said = cautions_shown(program);
  const auto all = shop::cautions_of(need(shop::read_visit(sample_visit())));
  for (const std::string& one : said) CHECK(std::find(all.begin(), all.end(), one) != all.end());
  const auto tells = [&](const std::string& words) {
    return std::any_of(said.begin(), said.end(), [&](const auto& s) { return s.find(words) != std::string::npos; });
  };
  CHECK(tells("Nobody in dance medicine"));
  CHECK(tells("the right big toe, after class"));
  CHECK(tells("late in the day"));
  CHECK(said.size() == 3);

  program.ask([](Asked& asked) { asked.undo = true; });
  CHECK(program.screen().document.subject == before);
  CHECK(cautions_shown(program).empty());
  program.ask([](Asked& asked) { asked.redo = true; });
  CHECK(cautions_shown(program) == said);
  // And back from a session.
  const fs::path file = program.folder.path / "hers.json";
  REQUIRE(write_session(program.screen().document, file));
  program.ask([](Asked& asked) { asked.undo = true; });
  REQUIRE(program.app().drop(file));
  program.ask_once([](Asked& asked) { asked.leave_unsaved = true; });
  program.settle();
  CHECK(cautions_shown(program) == said);
}

TEST_CASE("a shelf is compared with what the visit says she wears, and its pages speak of her", "[visit]") {
  Program program;
  REQUIRE(program.app().drop(sample_visit()));
  const shop::Visit visit = need(shop::read_visit(sample_visit()));
  const auto answer = program.compare();
  CHECK_FALSE(answer->mirrored);
  for (const foot::Side side : {foot::Side::left, foot::Side::right})
    CHECK(test::differing(hers(*answer, side), visit.layers) == 0);
  CHECK(answer->inputs.left.foot->mass_kg == 52);
  const auto of_visit = [&](const std::shared_ptr<const shop::Visit>& whose) {
    std::string all;
    const report::FittingPage page = shelf_page({answer, ShelfPage::client, nullptr, "test", whose});
    all += page.title + page.subtitle;
    for (const auto& part : page.parts)
      for (const std::string& line : part.lines) all += "\n" + line;
    return all;
  };
  CHECK(of_visit(program.screen().visit).find("an invented dancer") != std::string::npos);
  CHECK(of_visit(program.screen().visit).find("Nobody in dance medicine") != std::string::npos);
  CHECK(of_visit(nullptr).find("Nobody in dance medicine") == std::string::npos);
  // The pair that is put on may be padded; what she wears is still what the visit says.
  program.ask([&](Asked& asked) { asked.put_on = answer->comparison.pairs.ranking.front().item; });
  const auto again = program.compare();
  for (const foot::Side side : {foot::Side::left, foot::Side::right})
    CHECK(test::differing(hers(*again, side), visit.layers) == 0);
}

TEST_CASE("the body mass of a visit counts before the card's, and is told where the two differ", "[visit]") {
  Program program;
  REQUIRE(program.app().drop(sample_visit()));
  program.settle();
  CHECK_FALSE(program.says("Body mass"));
  CHECK(program.seat(0).foot.changes.empty());  // her card says the same
  REQUIRE(program.app().drop(visit_with(program.folder.path, "mass_kg = 52", "mass_kg = 60")));
  program.settle();
  CHECK(program.says("60 kg as the visit says, not 52 kg as sample_left.toml does"));
  CHECK(program.says("not 52 kg as sample.toml does"));
  // As the command line makes the foot: what is heavier is usually broader too.
  const auto file = source_data::meshes() / "feet/sample_left.toml";
  const foot::Foot line = need(foot::load_foot(file, source_data::meshes(), {.mass_kg = 60}));
  const Solved* shown = program.screen().shown(0);
  REQUIRE(shown);
  REQUIRE(shown->foot);
  CHECK(shown->foot->mass_kg == 60);
  CHECK(shown->foot->shape == line.shape);
  CHECK(program.screen().shown(1)->foot->mass_kg == 60);
  // Her card again, as it may come back measured anew.
  program.screen().messages.clear();
  REQUIRE(program.app().drop(file));
  program.settle();
  CHECK(program.screen().shown(0)->foot->mass_kg == 60);
  CHECK(program.says("60 kg as the visit says"));
}

TEST_CASE("another shoe is worn as the visit says, another foot closes the visit", "[visit]") {
  Program program;
  REQUIRE(program.app().drop(sample_visit()));
  program.settle();
  REQUIRE(program.app().drop(source_data::meshes() / "shoes/parallel.toml"));
  program.settle();
  CHECK(program.seat(0).shoe.name() == "parallel");
  CHECK(need(parameters_of(program.seat(0).shoe)).layers.tights.thickness_mm == 0.4);
  // A foot of the visit, measured again, is still of it.
  REQUIRE(program.app().drop(source_data::meshes() / "feet/sample_left.toml"));
  program.settle();
  CHECK(program.screen().visit);
  CHECK(program.screen().shown(0)->foot->mass_kg == 52);
  REQUIRE(program.app().drop(source_data::meshes() / "feet/sample.toml"));
  CHECK(program.screen().visit);  // it is her right foot, if in the left view
  const fs::path other = program.folder.path / "other.toml";
  fs::copy_file(source_data::meshes() / "feet/sample_left.toml", other);
  REQUIRE(program.app().drop(other));
  program.settle();
  CHECK_FALSE(program.screen().visit);
  CHECK(cautions_shown(program).empty());
  CHECK(program.says("The visit is closed"));
  program.ask([](Asked& asked) { asked.undo = true; });
  CHECK(program.screen().visit);
}

TEST_CASE("a visit with one foot shows one, and what is wrong in it changes nothing", "[visit]") {
  Program program;
  const Subject before = program.screen().document.subject;
  const auto refused = [&](const std::string& what, const std::string& instead, const std::string& words) {
    program.screen().messages.clear();
    (void)program.app().drop(visit_with(program.folder.path, what, instead));
    CHECK(program.says(words));
    CHECK(program.screen().document.subject == before);
    CHECK_FALSE(program.screen().visit);
  };
  refused("left = \"../feet/sample_left", "left = \"../feet/sample", "side: is not left");
  refused("feet/sample_left", "feet/nobody", "nobody.toml");
  refused("feet/sample_left", "shoes/tapered", "left: is no foot");
  refused("shoe = \"../shoes/tapered", "shoe = \"../feet/sample", "shoe: is no shoe");
  refused("mass_kg = 52", "mass_kg = 5200", "mass_kg");
  refused("thickness_mm = 0.4", "thickness_mm = 14", "no room");

  REQUIRE(program.app().drop(visit_with(program.folder.path, "left = ", "# left = ")));
  program.settle();
  CHECK_FALSE(program.screen().document.subject.side_by_side);
  CHECK(program.screen().shown(0)->foot->side == foot::Side::right);
  CHECK(program.screen().visit);
}
