// The shelf in the program behind the window, frame by frame, without a display: its answer holds for the feet and the
// shoe that are shown, and for no others.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <imgui.h>

#include <catch2/catch.hpp>
#include <chrono>
#include <thread>

#include "../temporary_folder.h"
#include "aplomb/io/files.h"
#include "quick_data.h"
#include "viewer/app.h"
#include "viewer/changes.h"
#include "viewer/export.h"

using namespace aplomb;
using namespace aplomb::viewer;
using source_data::need;
namespace fs = std::filesystem;

namespace {

constexpr int escape = 256;  // as GLFW numbers it

/// The program with a window's frames and nobody's hands.
class Program {
 public:
  Program() : data_(test::quick_data(folder.path)) {
    ImGui::CreateContext();
    ImGuiIO& io = ImGui::GetIO();
    io.IniFilename = nullptr;
    io.DisplaySize = {1280, 800};
    io.DeltaTime = 1.0f / 60;
    for (int key = 0; key < ImGuiKey_COUNT; ++key) io.KeyMap[key] = -1;
    app_ = std::make_unique<App>(need(load_library(data_, {}, "test")), AppOptions{false, false}, [] {});
    REQUIRE(app_->open_sample());
    app_->set_position(stance::Position::on_box);
    app_->set_theme(1);
    screen().session_file = (folder.path / "none.json").string();  // pages go beside it
    until([&] { return app_->settled(); });
  }
  Program(const Program&) = delete;
  Program& operator=(const Program&) = delete;
  ~Program() {
    app_.reset();
    ImGui::DestroyContext();
  }

  Screen& screen() { return app_->screen(); }
  App& app() { return *app_; }
  Choice& seat(std::size_t number) { return screen().document.subject.seat[number]; }
  fs::path stock() const { return data_ / "stock/sample.csv"; }

  void frame() {
    ImGui::NewFrame();
    app_->frame();
    ImGui::Render();
  }
  template <class Enough>
  void until(Enough enough, double seconds = 120) {
    const auto start = std::chrono::steady_clock::now();
    do {
      frame();
      std::this_thread::sleep_for(std::chrono::milliseconds(2));
    } while (!enough() && std::chrono::steady_clock::now() - start < std::chrono::duration<double>(seconds));
    REQUIRE(enough());
  }
  void settle() {
    frame();
    until([&] { return app_->settled(); });
  }
  std::shared_ptr<const ShelfAnswer> compare() {
    REQUIRE(app_->drop(stock()));
    settle();
    for (const Message& message : screen().messages) UNSCOPED_INFO(message.text);
    REQUIRE(screen().shelf);
    REQUIRE(screen().shelf->answer);
    return screen().shelf->answer;
  }
  void ask(const std::function<void(Asked&)>& what) {
    ask_once(what);
    settle();
  }
  void ask_once(const std::function<void(Asked&)>& what) {
    what(screen().asked);
    frame();
  }
  void put_on(int item) {
    ask([&](Asked& asked) { asked.put_on = item; });
  }
  void press(int key) {
    ImGui::GetIO().KeysDown[key] = true;
    frame();
    ImGui::GetIO().KeysDown[key] = false;
    frame();
  }
  bool says(const std::string& words) {
    for (const Message& message : screen().messages)
      if (message.text.find(words) != std::string::npos) return true;
    return false;
  }
  /// What a shelf's row says, as the tests of the window see it.
  std::string words(const std::string& id) {
    for (const auto& item : app_->record().items)
      if (item.id == id) return item.text;
    return "";
  }
  bool page_is_there(const std::string& name) {
    until([&] { return says("Written: "); });
    return fs::exists(folder.path / name);
  }

  const scratch::Folder folder;

 private:
  fs::path data_;
  std::unique_ptr<App> app_;
};

int best(const ShelfAnswer& answer) { return answer.comparison.pairs.ranking.front().item; }

double length_mm(const Source& shoe) { return need(parameters_of(shoe)).inner_length_mm; }

/// By numbers: layers that differ would be a change.
std::size_t differing(const shoe::Layers& a, const shoe::Layers& b) {
  shoe::ShoeParameters one, other;
  one.layers = a, other.layers = b;
  return changes_between(one, other).first.size();
}

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
  program.screen().trying = "a lower crown";
  program.seat(1).shoe.changes["crown_height_mm"] = 30;
  program.settle();
  program.put_on(best(*answer));
  CHECK(program.screen().trying.empty());
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
  program.seat(0).shoe.changes["tights.thickness_mm"] = 0.7;
  program.seat(1) = program.seat(0);
  program.screen().document.subject.side_by_side = true;
  program.screen().active_seat = 1;
  REQUIRE(program.app().drop(source_data::meshes() / "feet/sample_left.toml"));
  const auto first = program.compare();
  REQUIRE_FALSE(first->mirrored);
  REQUIRE_FALSE(first->comparison.difference.even);
  CHECK(first->inputs.right.layers.tights.thickness_mm == 0.7);
  REQUIRE(differing(first->comparison.smaller_layers, first->inputs.left.layers) > 0);
  CHECK(program.words("shelf.wears.1").rfind("Left foot wears ", 0) == 0);
  program.put_on(best(*first));
  CHECK(differing(need(parameters_of(program.seat(1).shoe)).layers, first->comparison.smaller_layers) == 0);

  const auto second = program.compare();
  CHECK(differing(second->inputs.left.layers, first->inputs.left.layers) == 0);
  CHECK(differing(second->inputs.right.layers, first->inputs.right.layers) == 0);
  CHECK(differing(second->comparison.smaller_layers, first->comparison.smaller_layers) == 0);
  CHECK(program.screen().shelf->put_on == best(*first));  // and is on still

  // A number changed since, or another stack in the same shoe, makes the padding no more hers.
  program.seat(1).shoe.changes["crown_height_mm"] = need(parameters_of(program.seat(1).shoe)).crown_height_mm + 1;
  const auto third = program.compare();
  CHECK(differing(third->inputs.left.layers, first->inputs.left.layers) == 0);
  CHECK(program.screen().shelf->put_on == -1);
  // A pad that hands laid in is hers.
  program.seat(1).shoe.changes["padding.toe_tips.thickness_mm"] = 5;
  const auto fourth = program.compare();
  CHECK(differing(fourth->inputs.left.layers, first->inputs.left.layers) > 0);
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

TEST_CASE("a page's file is named after foot and pair, and stays in its folder", "[shelf]") {
  ShelfAnswer answer;
  answer.feet.sources = {{"/home/her folder/anna_right.foot.json", "{}"}};
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
  screen.picked = Pick{};
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
