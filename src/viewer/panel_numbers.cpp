// Every number, with unit, range and where it comes from: shoe, foot, constants.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <filesystem>

#include "number_rows.h"
#include "panels.h"

namespace aplomb::viewer {

void numbers_panel(Ui& ui, Screen& screen) {
  const Subject& subject = screen.document.subject;
  if (subject.side_by_side) {
    for (int seat = 0; seat < 2; ++seat) {
      if (seat > 0) ImGui::SameLine();
      const std::string side = side_words(screen.seats[static_cast<std::size_t>(seat)]);
      const std::string label = std::string(seat == 0 ? "First" : "Second") + (side.empty() ? " view" : ": " + side);
      if (ui.button(fmt::format("seat.{}", seat), label, "Whose numbers are shown; files that are opened go there.",
                    {.selected = screen.active_seat == seat}))
        screen.active_seat = seat;
    }
  }
  if (ui.button("tab.shoe", "Shoe", "The numbers of the shoe.", {.selected = screen.tab == 0})) screen.tab = 0;
  ImGui::SameLine();
  if (ui.button("tab.foot", "Foot", "The numbers of the foot.", {.selected = screen.tab == 1})) screen.tab = 1;
  ImGui::SameLine();
  if (ui.button("tab.constants", "Constants", "What is taken of every body: tissue, joints, hold. Many are guesses.",
                {.selected = screen.tab == 2}))
    screen.tab = 2;
  const Source& source = screen.tab == 0 ? screen.choice().shoe : screen.choice().foot;
  if (screen.tab < 2) {
    ui.words("source.file", std::filesystem::path(source.file).filename().string(), ui.theme.small, ink::quiet);
    ui.explain(source.file);
  }
  const ImVec2 at = ImGui::GetCursorScreenPos(), room = ImGui::GetContentRegionAvail();
  ui.note({.id = "numbers_panel", .kind = "panel", .x = at.x, .y = at.y, .w = room.x, .h = room.y});
  constexpr const char* lists[] = {"numbers.shoe", "numbers.foot", "numbers.constants"};  // each scrolls by itself
  ImGui::BeginChild(lists[screen.tab], {0, 0}, false,
                    ImGuiWindowFlags_AlwaysVerticalScrollbar | ImGuiWindowFlags_NavFlattened);
  if (screen.tab == 0)
    shoe_numbers(ui, screen);
  else if (screen.tab == 1)
    foot_numbers(ui, screen);
  else
    constant_numbers(ui, screen);
  ImGui::EndChild();
}

}  // namespace aplomb::viewer
