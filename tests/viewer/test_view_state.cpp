// What is said where there is no map: in the view, among the findings, in the status line.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <imgui.h>

#include <catch2/catch.hpp>
#include <functional>
#include <memory>
#include <string>

#include "viewer/panels.h"
#include "viewer/view_parts.h"

using namespace aplomb;
using namespace aplomb::viewer;

namespace {

/// One frame of a window with what `fill` puts there; what stood in it is kept.
class Sheet {
 public:
  Sheet() {
    ImGui::CreateContext();
    ImGuiIO& io = ImGui::GetIO();
    io.IniFilename = nullptr;
    io.DisplaySize = {900, 600};
    for (int key = 0; key < ImGuiKey_COUNT; ++key) io.KeyMap[key] = -1;
    std::string complaint;
    theme_ = make_theme(1, complaint);
  }
  ~Sheet() { ImGui::DestroyContext(); }
  Sheet(const Sheet&) = delete;
  Sheet& operator=(const Sheet&) = delete;

  void draw(const std::function<void(Ui&)>& fill) {
    record_.clear();
    Ui ui(theme_, record_, false);
    ImGui::NewFrame();
    ImGui::SetNextWindowSize({900, 600});
    ImGui::Begin("sheet");
    fill(ui);
    ImGui::End();
    ImGui::Render();
  }
  std::string words(const std::string& id) const {
    for (const ScreenItem& item : record_.items)
      if (item.id == id) return item.text;
    return "";
  }
  bool anything(const std::string& begins) const {
    for (const ScreenItem& item : record_.items)
      if (item.id.starts_with(begins)) return true;
    return false;
  }

 private:
  Theme theme_;
  ScreenRecord record_;
};

/// A screen whose first seat has this answer to its numbers as they stand.
Screen screen_of(const std::shared_ptr<const Solved>& solved) {
  Screen screen;
  SeatView& seat = screen.seats[0];
  seat.solved = solved;
  seat.current = true;
  seat.told = std::shared_ptr<const findings::Findings>(solved, &solved->findings);
  return screen;
}

std::string in_view(Sheet& sheet, const Screen& screen) {
  sheet.draw([&](Ui& ui) { say_state(ui, *ImGui::GetWindowDrawList(), screen, screen.seats[0], {0, 0, 600, 400}, 0); });
  return sheet.words("view.0.state");
}

}  // namespace

TEST_CASE("what is not converged is said in the view, among the findings and in the status line, with the reason",
          "[view_state]") {
  Sheet sheet;
  auto solved = std::make_shared<Solved>();
  solved->findings.converged = false;
  solved->findings.reason = "the toes find no balance";
  Screen screen = screen_of(solved);
  CHECK(in_view(sheet, screen) == "Not converged, so no map: the toes find no balance");
  sheet.draw([&](Ui& ui) { findings_panel(ui, screen); });
  CHECK(sheet.words("findings.not_converged") == "Not converged: the toes find no balance. No findings and no map.");
  CHECK_FALSE(sheet.anything("finding."));
  sheet.draw([&](Ui& ui) { status_panel(ui, screen); });
  CHECK(sheet.words("status") == "not converged");
}

TEST_CASE("what cannot be solved, and what is not yet, is said in the view", "[view_state]") {
  Sheet sheet;
  auto solved = std::make_shared<Solved>();
  solved->error = io::Error{.kind = io::ErrorKind::bad_input,
                            .file = "some/folder/shoe.toml",
                            .field = "crown_height_mm",
                            .message = "is lower than the platform",
                            .remedy = "measure it again"};
  Screen screen = screen_of(solved);
  CHECK(in_view(sheet, screen) == "shoe.toml: crown_height_mm: is lower than the platform; measure it again");
  screen.seats[0].current = false;
  CHECK(in_view(sheet, screen) == "Finding where the foot comes to rest");
  screen.cancelled = true;
  CHECK(in_view(sheet, screen) == "Not solved");
}
