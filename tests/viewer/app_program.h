// The program behind the window, frame by frame, without a display and without hands.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <imgui.h>

#include <catch2/catch.hpp>
#include <chrono>
#include <functional>
#include <memory>
#include <string>
#include <thread>

#include "../temporary_folder.h"
#include "patience.h"
#include "quick_data.h"
#include "viewer/app.h"
#include "viewer/changes.h"

namespace aplomb::test {

/// The program with a window's frames and nobody's hands.
class Program {
 public:
  explicit Program(const viewer::AppOptions& options = {false, false}) : data_(test::quick_data(folder.path)) {
    ImGui::CreateContext();
    ImGuiIO& io = ImGui::GetIO();
    io.IniFilename = nullptr;
    io.DisplaySize = {1280, 800};
    io.DeltaTime = 1.0f / 60;
    for (int key = 0; key < ImGuiKey_COUNT; ++key) io.KeyMap[key] = -1;
    app_ = std::make_unique<viewer::App>(source_data::need(viewer::load_library(data_, {}, "test")), options,
                                         std::function<void()>{});  // its threads at the full priority
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

  viewer::Screen& screen() { return app_->screen(); }
  viewer::App& app() { return *app_; }
  viewer::Choice& seat(std::size_t number) { return screen().document.subject.seat[number]; }
  std::filesystem::path stock() const { return data_ / "stock/sample.csv"; }

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
    } while (!enough() && std::chrono::steady_clock::now() - start < std::chrono::duration<double>(patience * seconds));
    REQUIRE(enough());
  }
  void settle() {
    frame();
    until([&] { return app_->settled(); });
  }
  std::shared_ptr<const viewer::ShelfAnswer> compare() { return compare(stock()); }
  std::shared_ptr<const viewer::ShelfAnswer> compare(const std::filesystem::path& file) {
    REQUIRE(app_->drop(file));
    settle();
    for (const viewer::Message& message : screen().messages) UNSCOPED_INFO(message.text);
    REQUIRE(screen().shelf);
    REQUIRE(screen().shelf->answer);
    return screen().shelf->answer;
  }
  void ask(const std::function<void(viewer::Asked&)>& what) {
    ask_once(what);
    settle();
  }
  void ask_once(const std::function<void(viewer::Asked&)>& what) {
    what(screen().asked);
    frame();
  }
  void put_on(int item) {
    ask([&](viewer::Asked& asked) { asked.put_on = item; });
  }
  void press(int key) {
    ImGui::GetIO().KeysDown[key] = true;
    frame();
    ImGui::GetIO().KeysDown[key] = false;
    frame();
  }
  /// The mouse to the middle of a widget, and its button down and up.
  void click(const std::string& id) {
    ImGuiIO& io = ImGui::GetIO();
    frame(), frame();  // a card is measured before it stands where it stays
    for (const auto& item : app_->record().items)
      if (item.id == id)
        io.MousePos = {static_cast<float>(item.x + 0.5 * item.w), static_cast<float>(item.y + 0.5 * item.h)};
    frame();
    io.MouseDown[0] = true;
    frame();
    io.MouseDown[0] = false;
    frame();
    frame();  // what was asked for is done after its frame
  }
  bool says(const std::string& words) {
    for (const viewer::Message& message : screen().messages)
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
    return std::filesystem::exists(folder.path / name);
  }

  const scratch::Folder folder;

 private:
  std::filesystem::path data_;
  std::unique_ptr<viewer::App> app_;
};

/// By numbers: layers that differ would be a change.
inline std::size_t differing(const shoe::Layers& a, const shoe::Layers& b) {
  shoe::ShoeParameters one, other;
  one.layers = a, other.layers = b;
  return viewer::changes_between(one, other).first.size();
}

}  // namespace aplomb::test
