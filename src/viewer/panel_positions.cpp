// The positions as a strip: step through, play; the heights of a way up or down as a slider.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include "aplomb/report/rows.h"
#include "panels.h"

namespace aplomb::viewer {

namespace {

struct StripWord {
  const char* position;
  const char* word;
};
constexpr StripWord strip[] = {
    {"parallel", "Flat"},           {"demi-plie", "Demi-pli\u00e9"},         {"on-box", "On the box"},
    {"demi-pointe", "Demi-pointe"}, {"full-pointe-two", "Pointe, two feet"}, {"full-pointe-one", "Pointe, one foot"},
    {"roll-down", "Roll-down"}};

const char* known_words(Known known) {
  switch (known) {
    case Known::not_yet:
      return "not solved yet";
    case Known::solving:
      return "solving";
    case Known::solved:
      return "solved";
    case Known::not_converged:
      return "not converged";
    case Known::refused:
      return "cannot be solved with these numbers";
  }
  return "";
}

/// A mark under a position: dot solved, ring not yet, half ring solving, cross not converged.
void draw_known(const Theme& theme, Known known, bool selected) {
  const ImVec2 low = ImGui::GetItemRectMin(), high = ImGui::GetItemRectMax();
  const ImVec2 at{high.x - theme.px(13), 0.5f * (low.y + high.y)};
  const float r = theme.px(4);
  ImDrawList& draw = *ImGui::GetWindowDrawList();
  // On the dark ground of the position that is shown, all marks are white: their shapes tell.
  const auto shade = [selected](ImU32 colour) { return selected ? ink::white : colour; };
  if (known == Known::solved) draw.AddCircleFilled(at, r, shade(IM_COL32(46, 105, 84, 255)));
  if (known == Known::not_yet) draw.AddCircle(at, r, shade(ink::quiet), 0, 1.2f);
  if (known == Known::solving) {
    draw.PathArcTo(at, r, 0, 4.2f);
    draw.PathStroke(shade(ink::mark), 0, 2);
  }
  if (known == Known::not_converged || known == Known::refused) {
    draw.AddLine({at.x - r, at.y - r}, {at.x + r, at.y + r}, shade(ink::alarm), 2);
    draw.AddLine({at.x - r, at.y + r}, {at.x + r, at.y - r}, shade(ink::alarm), 2);
  }
}

void heights(Ui& ui, Screen& screen) {
  const Solved* solved = screen.shown(0);
  if (solved == nullptr || !solved->shown()) return;
  if (solved->frames.size() < 2) {
    if (solved->position != stance::Position::demi_pointe) return;
    // While a number is dragged the way is not made; its row stays, or the view would jump.
    ImGui::Dummy({0, ImGui::GetFrameHeight()});
    ImGui::SameLine();
    return ui.words("step.none", "The way up is shown when the number is let go.", ui.theme.small, ink::quiet);
  }
  int step = static_cast<int>(solved->at(screen.document.look.step));
  const int last = static_cast<int>(solved->frames.size()) - 1;
  ImGui::SetNextItemWidth(std::min(ui.theme.px(360), ImGui::GetContentRegionAvail().x));
  ImGui::PushStyleVar(ImGuiStyleVar_FrameBorderSize, 1);
  if (ImGui::SliderInt("##step", &step, 0, last, "", ImGuiSliderFlags_AlwaysClamp)) screen.document.look.step = step;
  ImGui::PopStyleVar();
  const std::string& title = solved->frames[static_cast<std::size_t>(step)].title;
  ui.note_last({.id = "step", .kind = "slider", .text = title, .value = static_cast<double>(step)});
  ui.explain(solved->position == stance::Position::roll_down ? "Heel heights on the way down, each as solved."
                                                             : "Heel heights on the way up, each as solved.");
  ImGui::SameLine();
  ui.words("step.title", title, ui.theme.small, ink::quiet);
}

}  // namespace

void positions_panel(Ui& ui, Screen& screen) {
  Subject& subject = screen.document.subject;
  if (ui.button("play", screen.playing ? "Stop" : "Play", "Steps through the positions, each as solved. Space",
                {.selected = screen.playing, .width = ui.theme.px(64)}))
    toggle_playing(screen);
  for (const StripWord& word : strip) {
    const stance::Position position = *stance::position_named(word.position);
    const Known known = screen.seats[0].known[static_cast<std::size_t>(position)];
    const std::string label = std::string(word.word) + "     ";  // room for the mark
    ui.flow(label);
    if (ui.button(std::string("position.") + word.position, label,
                  report::position_words(word.position) + ": " + known_words(known),
                  {.selected = subject.position == position})) {
      subject.position = position;
      screen.document.look.step.reset();
    }
    draw_known(ui.theme, known, subject.position == position);
  }
  heights(ui, screen);
}

}  // namespace aplomb::viewer
