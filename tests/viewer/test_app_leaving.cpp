// What is not saved is not dropped unasked, whatever would take its place; and no file is written over unasked.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <fstream>

#include "aplomb/io/files.h"
#include "app_program.h"
#include "state_home.h"
#include "viewer/session.h"

using namespace aplomb;
using namespace aplomb::viewer;
using test::Program;
namespace fs = std::filesystem;

namespace {

constexpr const char* crown = "crown_height_mm";

void change(Program& program, double crown_mm = 41.5) {
  program.seat(0).shoe.changes[crown] = crown_mm;
  program.settle();
  REQUIRE(program.screen().unsaved);
}

bool is_changed(Program& program) { return program.seat(0).shoe.changes.contains(crown); }

void quit(Program& program) {
  program.ask_once([](Asked& asked) { asked.quit = true; });
  program.frame();
}

/// A session of the sample as it stands, in a file.
fs::path session_in(Program& program, const std::string& name) {
  const fs::path file = program.folder.path / name;
  REQUIRE(write_session(program.screen().document, file));
  return file;
}

std::string text_of(const fs::path& file) { return io::read_file(file, {}, io::max_json_bytes).value(); }

void save_to(Program& program, const fs::path& file) {
  program.ask_once([&](Asked& asked) { asked.save_to = file; });
  program.frame();
}

}  // namespace

TEST_CASE("leaving asks where something is not saved: stay, leave, or save first", "[leaving]") {
  Program program;
  change(program);
  quit(program);
  CHECK_FALSE(program.app().closing());
  CHECK(program.words("leaving.words") == "This session is not saved.");
  program.click("leaving.stay");
  CHECK(program.words("leaving.words").empty());
  CHECK_FALSE(program.app().closing());
  CHECK(is_changed(program));

  SECTION("without saving") {
    program.app().ask_to_close();  // the window's own button
    program.frame();
    CHECK_FALSE(program.app().closing());
    program.click("leaving.unsaved");
    CHECK(program.app().closing());
  }
  SECTION("saved to its file") {
    quit(program);
    program.click("leaving.save");
    CHECK(program.app().closing());
    CHECK(read_session(program.screen().session_file).value().subject == program.screen().document.subject);
  }
  SECTION("saved under a name that is asked for") {
    program.screen().session_file.clear();
    quit(program);
    program.click("leaving.save");
    CHECK_FALSE(program.app().closing());
    REQUIRE(program.words("files.title") == "Save the session");
    save_to(program, program.folder.path / "named.json");
    CHECK(program.app().closing());
    CHECK(fs::exists(program.folder.path / "named.json"));
  }
  SECTION("no name after all: she stays") {
    program.screen().session_file.clear();
    quit(program);
    program.click("leaving.save");
    program.click("files.cancel");
    program.frame();
    CHECK_FALSE(program.app().closing());
    CHECK(program.words("leaving.words").empty());
    CHECK(is_changed(program));
  }
}

TEST_CASE("what was only looked at is left unasked", "[leaving]") {
  Program program;
  program.app().set_position(stance::Position::parallel);
  program.screen().document.look.orbit.turn_deg += 20;
  program.settle();
  quit(program);
  CHECK(program.app().closing());
}

TEST_CASE("a session takes the place of one that is not saved only when that is said", "[leaving]") {
  Program program;
  const fs::path file = session_in(program, "other.json");
  change(program);
  REQUIRE(program.app().drop(file));
  program.frame();
  CHECK(program.words("leaving.words") == "This session is not saved. other.json takes its place.");
  CHECK(is_changed(program));
  program.click("leaving.stay");
  CHECK(is_changed(program));
  REQUIRE(program.app().drop(file));
  program.frame();
  program.click("leaving.unsaved");
  CHECK_FALSE(is_changed(program));
  CHECK(program.screen().session_file == file.string());
  CHECK_FALSE(program.screen().unsaved);
  // Saved, it goes unasked.
  REQUIRE(program.app().drop(file));
  program.frame();
  CHECK(program.words("leaving.words").empty());
}

TEST_CASE("a file that is there is written over only when asked again, and never where it is no session", "[leaving]") {
  Program program;
  const fs::path other = session_in(program, "other.json"), card = program.folder.path / "card.toml";
  std::ofstream(card) << "format = \"aplomb-card\"\n";
  const std::string before = text_of(other);
  change(program);
  program.ask_once([](Asked& asked) { asked.save_as = true; });
  REQUIRE(program.screen().files);
  program.screen().files->focus_name = false;  // a field that is typed in would hold on to its own text
  program.frame();
  CHECK(program.words("files.title") == "Save the session");
  CHECK(program.words("files.name") == "none.json");
  program.screen().files->name = "other.json";
  save_to(program, other);
  CHECK(program.words("files.told") == "other.json is there already. Save again to write over it.");
  CHECK(text_of(other) == before);
  for (int again = 0; again < 2; ++again) {
    program.screen().files->name = "card.toml";
    save_to(program, card);
    CHECK(program.words("files.told") == "card.toml is there already and is no session: choose another name.");
    CHECK(text_of(card) == "format = \"aplomb-card\"\n");
  }
  program.screen().files->name = "other.json";
  save_to(program, other);
  CHECK(text_of(other) == before);  // another name was told of in between
  save_to(program, other);
  CHECK(program.says("Saved: "));
  CHECK_FALSE(program.screen().files);
  CHECK(read_session(other).value().subject == program.screen().document.subject);
}

TEST_CASE("Ctrl+S held does not go over what another window wrote, and with Shift it asks for a name", "[leaving]") {
  Program program;
  program.ask_once([](Asked& asked) { asked.save = true; });
  program.frame();
  const fs::path file = program.screen().session_file;
  REQUIRE(fs::exists(file));
  std::ofstream(file, std::ios::app) << "\n";
  const std::string theirs = text_of(file);
  change(program);
  ImGuiIO& io = ImGui::GetIO();
  io.KeyCtrl = io.KeysDown['S'] = true;
  for (int i = 0; i < 90; ++i) program.frame();  // a second and a half
  io.KeysDown['S'] = false;
  program.frame();
  CHECK(program.says("changed by another window"));
  CHECK(text_of(file) == theirs);
  io.KeyShift = true;
  program.press('S');
  io.KeyCtrl = io.KeyShift = false;
  program.frame();
  CHECK(program.words("files.title") == "Save the session");
  CHECK(text_of(file) == theirs);
}

TEST_CASE("the folder that it was started in may be gone", "[leaving]") {
  Program program;
  program.screen().session_file.clear();
  const fs::path here = fs::current_path(), gone = program.folder.path / "gone";
  fs::create_directory(gone);
  fs::current_path(gone);
  fs::remove(gone);
  program.frame();
  program.ask_once([](Asked& asked) { asked.open = true; });
  program.frame();
  fs::current_path(here);
  CHECK(program.words("folder") == "/");
  CHECK(program.words("folder.complaint").empty());
}

TEST_CASE("files that are named from where it was started are found from anywhere", "[leaving]") {
  Program program;
  session_in(program, "fitting.json");
  fs::copy_file(source_data::meshes() / "feet/sample_left.toml", program.folder.path / "left.toml");
  const fs::path here = fs::current_path();
  fs::current_path(program.folder.path);
  REQUIRE(program.app().open("fitting.json"));
  REQUIRE(program.app().open("left.toml"));
  const auto none = program.app().open("nowhere.toml");
  fs::current_path(here);
  CHECK(program.screen().session_file == (program.folder.path / "fitting.json").string());
  CHECK(program.seat(0).foot.file == (program.folder.path / "left.toml").string());
  REQUIRE_FALSE(none);
  CHECK(none.error().file == "nowhere.toml");  // as it was named
  program.ask_once([](Asked& asked) { asked.open = true; });
  program.frame();
  CHECK(program.words("folder") == program.folder.path.string());
  CHECK_FALSE(program.words("entry.fitting.json").empty());
}

TEST_CASE("a program that is broken off is brought back, and knows what its session file was", "[leaving]") {
  const test::StateHome home;
  const scratch::Folder folder;
  const fs::path file = folder.path / "fitting.json";
  {
    Program program({true, false});
    program.screen().session_file = file.string();
    program.ask_once([](Asked& asked) { asked.save = true; });
    REQUIRE(program.says("Saved: "));
    change(program);
    program.app().break_off();
    CHECK(program.app().closing());
  }
  std::ofstream(file, std::ios::app) << "\n";  // another window
  const std::string theirs = text_of(file);
  Program program({true, false});
  program.frame();
  REQUIRE_FALSE(program.words("recovery.words").empty());
  change(program, 39);
  program.click("recover");
  CHECK(program.words("leaving.words") == "This session is not saved. The last session takes its place.");
  program.click("leaving.unsaved");
  CHECK(program.seat(0).shoe.changes.at(crown) == 41.5);
  CHECK(program.screen().session_file == file.string());
  CHECK(program.screen().unsaved);
  program.ask_once([](Asked& asked) { asked.save = true; });
  program.frame();
  CHECK(program.says("changed by another window"));
  CHECK(text_of(file) == theirs);
  // Once it is kept anew, what was left behind is gone.
  program.until([&] { return home.autosaves() == 1; });
  program.ask_once([](Asked& asked) { asked.save = true; });
  program.frame();
  quit(program);
  CHECK(program.app().closing());
  CHECK(home.autosaves() == 0);
}

TEST_CASE("an autosave that failed is tried again", "[leaving]") {
  const test::StateHome home;
  std::ofstream(home.folder.path / "aplomb") << "in the way of the folder";
  Program program({true, false});
  change(program);
  program.until([&] { return program.says("lost in a crash"); });
  fs::remove(home.folder.path / "aplomb");
  fs::create_directory(home.folder.path / "aplomb");
  program.until([&] { return home.autosaves() == 1; }, 20);
}

TEST_CASE("a page that was exported before is not lost to the next one", "[leaving]") {
  Program program;
  const auto export_once = [&] {
    program.screen().messages.clear();
    program.ask_once([](Asked& asked) { asked.export_all = true; });
    program.until([&] { return program.says("Written: "); });
  };
  const auto exists = [&](const char* name) { return std::filesystem::exists(program.folder.path / name); };
  export_once();
  REQUIRE(exists("sample-tapered-on-box.pdf"));
  const auto first = io::read_file(program.folder.path / "sample-tapered-on-box.pdf", "first");
  CHECK_FALSE(exists("sample-tapered-on-box-2.pdf"));
  program.seat(0).shoe.changes["ball_breadth_mm"] = 86;
  program.settle();
  export_once();
  CHECK(exists("sample-tapered-on-box-2.png"));
  CHECK(exists("sample-tapered-on-box-2.pdf"));
  CHECK(io::read_file(program.folder.path / "sample-tapered-on-box.pdf", "first").value() == first.value());
}
