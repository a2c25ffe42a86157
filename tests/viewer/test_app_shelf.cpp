// The shelf in the program behind the window, frame by frame, without a display: its answer holds for the feet and the
// shoe that are shown, and for no others.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cstdlib>
#include <fstream>
#include <thread>

#include "aplomb/io/files.h"
#include "app_program.h"
#include "viewer/changes.h"
#include "viewer/export.h"
#include "viewer/session.h"

using namespace aplomb;
using namespace aplomb::viewer;
using source_data::need;
using test::Program;
namespace fs = std::filesystem;

namespace {

constexpr int escape = 256;  // as GLFW numbers it

/// The sample's left foot beside its right one.
void open_both_in_tights(Program& program) {
  program.seat(0).shoe.changes["tights.thickness_mm"] = 0.7;
  program.seat(1) = program.seat(0);
  program.screen().document.subject.side_by_side = true;
  program.screen().active_seat = 1;
  REQUIRE(program.app().drop(source_data::meshes() / "feet/sample_left.toml"));
}

int best(const ShelfAnswer& answer) { return answer.comparison.pairs.ranking.front().item; }

double length_mm(const Source& shoe) { return need(parameters_of(shoe)).inner_length_mm; }

}  // namespace

TEST_CASE("a pair is on while its numbers stand, and no longer", "[shelf]") {
  Program program;
  const auto answer = program.compare();
  const shop::StockItem& item = answer->inputs.stock.items[static_cast<std::size_t>(best(*answer))];
  const Source before = program.seat(0).shoe;
  program.put_on(best(*answer));
  CHECK(program.screen().shelf->put_on == best(*answer));
  CHECK(program.words("shelf.1.put_on") == "Is on");
  CHECK(length_mm(program.seat(0).shoe) == item.shoe.inner_length_mm);

  program.ask([](Asked& asked) { asked.undo = true; });
  CHECK(program.seat(0).shoe == before);
  CHECK(program.screen().shelf->put_on == -1);
  CHECK(program.words("shelf.1.put_on") == "Put on");
  program.ask([](Asked& asked) { asked.redo = true; });
  CHECK(program.words("shelf.1.put_on") == "Is on");

  program.seat(0).shoe.changes["crown_height_mm"] = 30;
  program.settle();
  CHECK(program.words("shelf.1.put_on") == "Put on");
  program.put_on(best(*answer));
  CHECK(program.words("shelf.1.put_on") == "Is on");

  // A second shoe beside it is not the pair.
  program.screen().document.subject.side_by_side = true;
  program.seat(1).shoe = before;
  program.settle();
  CHECK(program.words("shelf.1.put_on") == "Put on");
}

TEST_CASE("a pair that is put on ends a try", "[shelf]") {
  Program program;
  const auto answer = program.compare();
  program.screen().document.subject.side_by_side = true;
  program.screen().document.subject.trying = "a lower crown";
  program.seat(1).shoe.changes["crown_height_mm"] = 30;
  program.settle();
  program.put_on(best(*answer));
  CHECK(program.screen().document.subject.trying.empty());
  CHECK_FALSE(program.screen().document.subject.side_by_side);
  CHECK(program.words("shelf.1.put_on") == "Is on");
}

TEST_CASE("an answer of other feet is neither put on nor printed", "[shelf]") {
  Program program;
  const auto answer = program.compare();
  const Source foot = program.seat(0).foot, shoe = program.seat(0).shoe;
  const auto refused = [&] {
    program.settle();
    CHECK(program.words("shelf.other_feet") == other_feet);
    program.screen().messages.clear();
    program.put_on(best(*answer));
    CHECK(program.says(other_feet));
    CHECK(program.seat(0).shoe == shoe);
    for (const ShelfPage page : {ShelfPage::client, ShelfPage::workshop}) {
      program.screen().messages.clear();
      program.ask([&](Asked& asked) { asked.page = page; });
      CHECK(program.says(other_feet));
      CHECK_FALSE(program.says("page is being made"));
    }
  };
  program.seat(0).foot.changes["foot_length_mm"] = 231;
  refused();
  program.seat(0).foot = foot;
  program.settle();
  CHECK(program.words("shelf.other_feet").empty());
  // Another foot beside it: what was taken to be a mirror image is there now.
  program.screen().document.subject.side_by_side = true;
  REQUIRE(program.app().drop(source_data::meshes() / "feet/sample_left.toml"));
  refused();
  program.screen().document.subject.side_by_side = false;
  // The constants that it was solved with.
  program.seat(0).constants["tone_factor"] = 1.2;
  refused();
  for (const auto& entry : fs::directory_iterator(program.folder.path)) CHECK(entry.path().extension() != ".pdf");
}

TEST_CASE("padding that a pair was put on with is not taken for hers", "[shelf]") {
  Program program;
  open_both_in_tights(program);
  const auto first = program.compare();
  REQUIRE_FALSE(first->mirrored);
  REQUIRE_FALSE(first->comparison.difference.even);
  CHECK(first->inputs.right.layers.tights.thickness_mm == 0.7);
  REQUIRE(test::differing(first->comparison.smaller_layers, first->inputs.left.layers) > 0);
  CHECK(program.words("shelf.wears.1").rfind("Left foot wears ", 0) == 0);
  program.put_on(best(*first));
  CHECK(test::differing(need(parameters_of(program.seat(1).shoe)).layers, first->comparison.smaller_layers) == 0);

  const auto second = program.compare();
  CHECK(test::differing(second->inputs.left.layers, first->inputs.left.layers) == 0);
  CHECK(test::differing(second->inputs.right.layers, first->inputs.right.layers) == 0);
  CHECK(test::differing(second->comparison.smaller_layers, first->comparison.smaller_layers) == 0);
  CHECK(program.screen().shelf->put_on == best(*first));  // and is on still

  // A number changed since, or another stack in the same shoe, makes the padding no more hers.
  program.seat(1).shoe.changes["crown_height_mm"] = need(parameters_of(program.seat(1).shoe)).crown_height_mm + 1;
  const auto third = program.compare();
  CHECK(test::differing(third->inputs.left.layers, first->inputs.left.layers) == 0);
  CHECK(program.screen().shelf->put_on == -1);
  // A pad that hands laid in is hers.
  program.seat(1).shoe.changes["padding.toe_tips.thickness_mm"] = 5;
  const auto fourth = program.compare();
  CHECK(test::differing(fourth->inputs.left.layers, first->inputs.left.layers) > 0);
}

TEST_CASE("a shelf comes back with its session, and is compared when somebody asks", "[shelf]") {
  const scratch::Folder kept;
  const fs::path file = kept.path / "hers.json", gone = kept.path / "gone.json";
  std::shared_ptr<const ShelfAnswer> first;
  {
    Program program;
    open_both_in_tights(program);
    first = program.compare(source_data::meshes() / "stock/sample.csv");  // outlives this run
    REQUIRE(test::differing(first->comparison.smaller_layers, first->inputs.left.layers) > 0);
    program.put_on(best(*first));
    REQUIRE(write_session(program.screen().document, file));
    Document other = program.screen().document;
    other.shelf->stock = (kept.path / "nowhere.csv").string();
    REQUIRE(write_session(other, gone));
  }
  Program program;
  REQUIRE(program.app().drop(file));
  program.settle();
  REQUIRE(program.screen().shelf);
  CHECK_FALSE(program.screen().shelf->answer);  // nothing is compared unasked
  CHECK_FALSE(program.screen().unsaved);
  CHECK(program.words("shelf.title") == "The shelf: sample.csv");
  CHECK(program.words("shelf.before.1") == first->inputs.stock.items[static_cast<std::size_t>(best(*first))].label);
  program.ask([](Asked& asked) { asked.resume_shelf = true; });
  REQUIRE(program.screen().shelf);
  const auto second = program.screen().shelf->answer;
  REQUIRE(second);
  CHECK(best(*second) == best(*first));
  CHECK(program.words("shelf.1.put_on") == "Is on");
  // What pads the smaller foot in the pair that is on is not hers in a new run either.
  CHECK(test::differing(second->inputs.left.layers, first->inputs.left.layers) == 0);
  CHECK(test::differing(second->inputs.right.layers, first->inputs.right.layers) == 0);

  // A stock that is not there any more says so, and leaves what came first to be read.
  REQUIRE(program.app().drop(gone));
  program.ask_once([](Asked& asked) { asked.leave_unsaved = true; });
  program.settle();
  CHECK(program.says("nowhere.csv is gone since"));
  CHECK(program.words("shelf.before.1") != "");
  program.screen().messages.clear();
  program.ask([](Asked& asked) { asked.resume_shelf = true; });
  CHECK(program.says("nowhere.csv"));
  CHECK_FALSE(program.screen().shelf);
}

TEST_CASE("one foot that is measured is printed as one", "[shelf]") {
  Program program;
  const std::string line = "Only one foot was measured; the other is taken to be its mirror image.";
  const auto words_of = [](const std::shared_ptr<const ShelfAnswer>& answer, ShelfPage page) {
    return shelf_page({answer, page, nullptr, "test"});
  };
  const auto answer = program.compare();
  CHECK(program.words("shelf.feet").rfind("Only one foot is open: ", 0) == 0);
  for (const ShelfPage page : {ShelfPage::client, ShelfPage::workshop}) {
    const report::FittingPage printed = words_of(answer, page);
    CHECK(printed.subtitle.ends_with(line));
    REQUIRE_FALSE(printed.parts.empty());
    REQUIRE_FALSE(printed.parts[0].lines.empty());
    CHECK(printed.parts[0].lines[0] == line);
    program.screen().messages.clear();
    program.ask_once([&](Asked& asked) { asked.page = page; });
    const shop::StockItem& item = answer->inputs.stock.items[static_cast<std::size_t>(best(*answer))];
    CHECK(
        program.page_is_there("sample-" + item.label + (page == ShelfPage::client ? "-client.pdf" : "-workshop.pdf")));
  }

  // Two right feet are two feet that are open, and one that is compared.
  program.screen().document.subject.side_by_side = true;
  program.seat(1).foot.changes["foot_length_mm"] = 236;
  const auto same_side = program.compare();
  CHECK(same_side->mirrored);
  CHECK(program.words("shelf.feet").rfind("Two right feet are open: ", 0) == 0);
  CHECK(words_of(same_side, ShelfPage::client).subtitle.ends_with(line));

  // Of both feet nothing of the kind is said.
  program.screen().active_seat = 1;
  REQUIRE(program.app().drop(source_data::meshes() / "feet/sample_left.toml"));
  const auto both = program.compare();
  CHECK_FALSE(both->mirrored);
  CHECK(program.words("shelf.feet").rfind("The right foot is the larger", 0) == 0);
  for (const ShelfPage page : {ShelfPage::client, ShelfPage::workshop}) {
    const report::FittingPage printed = words_of(both, page);
    CHECK(printed.subtitle.find("measured") == std::string::npos);
    for (const std::string& said : printed.parts[0].lines) CHECK(said != line);
  }
}

TEST_CASE("pages are on the paper that was chosen, and it is kept", "[shelf]") {
  const scratch::Folder state;
  REQUIRE(::setenv("XDG_STATE_HOME", state.path.c_str(), 1) == 0);
  const AppOptions options{.keeps_state = true, .solves_ahead = false};
  // ISO 216 and ANSI Y14.1 in points of 1/72 in.
  const std::string a4 = "/MediaBox [ 0 0 595.27", letter = "/MediaBox [ 0 0 612 792 ]";
  const auto page = [](Program& program) {
    const auto answer = program.compare();
    program.screen().messages.clear();
    program.ask_once([](Asked& asked) { asked.page = ShelfPage::workshop; });
    const std::string name = page_name(*answer) + "-workshop.pdf";
    REQUIRE(program.page_is_there(name));
    return need(io::read_file(program.folder.path / name, {}, io::max_json_bytes));
  };
  {
    Program program(options);
    CHECK(page(program).find(a4) != std::string::npos);
    program.click("look.letter");
    CHECK(program.screen().letter_paper);
    CHECK(page(program).find(letter) != std::string::npos);
    program.app().close();
  }
  {
    Program program(options);
    CHECK(program.screen().letter_paper);
    CHECK(page(program).find(letter) != std::string::npos);
    program.click("look.letter");
    program.app().close();
  }
  const fs::path kept = state.path / "aplomb/paper.json";
  REQUIRE(fs::exists(kept));
  CHECK_FALSE(StateFolder().letter_paper());
  std::ofstream(kept) << "\"papyrus";
  CHECK_FALSE(StateFolder().letter_paper());
  ::unsetenv("XDG_STATE_HOME");
}

TEST_CASE("a page's file is named after foot and pair, and stays in its folder", "[shelf]") {
  ShelfAnswer answer;
  answer.feet.sources = {{"/her folder/anna_right.foot.json", "{}"}};
  shop::StockItem item;
  for (const auto& [label, name] : {std::pair{"T-240-87", "anna_right-T-240-87"},
                                    {"240/87", "anna_right-240-87"},
                                    {"../../x", "anna_right-..-..-x"},
                                    {"/etc/x", "anna_right--etc-x"},
                                    {"..", "anna_right-.."}}) {
    item.label = label;
    answer.inputs.stock.items = {item};
    answer.comparison.pairs.ranking = {shop::Standing{}};
    CHECK(page_name(answer) == name);
    CHECK(fs::path(page_name(answer)).filename() == name);
  }
}

TEST_CASE("a second stock that waits is left without a trace", "[shelf]") {
  Program program;
  REQUIRE(program.app().drop(program.stock()));
  program.until([&] { return program.screen().shelf->so_far.fraction > 0; });
  REQUIRE_FALSE(program.screen().shelf->answer);
  REQUIRE(program.app().drop(program.stock()));
  program.ask_once([](Asked& asked) { asked.cancel_shelf = true; });
  for (int i = 0; i < 2000 && !program.app().settled(); ++i) {
    CHECK_FALSE(program.screen().shelf);
    program.frame();
    std::this_thread::sleep_for(std::chrono::milliseconds(2));
  }
  program.frame();
  CHECK(program.app().settled());
  CHECK_FALSE(program.screen().shelf);
  CHECK(program.compare());  // and may be opened again
}

TEST_CASE("Esc leaves what is nearest, and a comparison only in sight", "[shelf]") {
  Program program;
  REQUIRE(program.app().drop(program.stock()));
  program.until([&] { return program.screen().shelf->so_far.fraction > 0; });
  Screen& screen = program.screen();
  const auto runs = [&] { return screen.shelf && !screen.shelf->answer && !screen.shelf->cancelled; };
  screen.messages.push_back({"a message"});
  screen.picked = Picked{};
  screen.picked->frame = screen.seats[0].frame({});
  program.press(escape);
  CHECK(screen.messages.empty());
  CHECK(screen.picked);
  program.press(escape);
  CHECK_FALSE(screen.picked);
  // Out of sight it goes on to its end.
  screen.show_shelf = false;
  program.frame();
  REQUIRE(runs());
  program.press(escape);
  program.until([&] { return !runs(); });
  CHECK(screen.shelf->answer);
  CHECK_FALSE(screen.shelf->cancelled);
  program.seat(0).foot.changes["foot_length_mm"] = 231;  // else all of it is known
  REQUIRE(program.app().drop(program.stock()));
  program.until([&] { return screen.shelf->so_far.fraction > 0; });
  REQUIRE(runs());
  program.press(escape);
  program.until([&] { return !runs(); });
  CHECK(screen.shelf->cancelled);
}
