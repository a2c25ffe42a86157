// The line over the view: from where, and what is shown.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "panels.h"

namespace aplomb::viewer {

namespace {

struct ViewWord {
  StandardView view;
  const char *id, *word, *hover;
};
constexpr ViewWord views[] = {{StandardView::front, "view.front", "Front", "From the front. 1"},
                              {StandardView::inner_side, "view.inner", "Inner", "From the inner side. 2"},
                              {StandardView::outer_side, "view.outer", "Outer", "From the outer side. 3"},
                              {StandardView::under, "view.under", "Under", "From under the platform. 4"},
                              {StandardView::above, "view.above", "Above", "From above. 5"}};

/// A button that goes through choices; true when it was pressed.
template <class Enum>
void cycle(Ui& ui, const char* id, const char* const* words, int count, const char* hover, Enum& value) {
  if (ui.button(id, words[static_cast<int>(value)], hover))
    value = static_cast<Enum>((static_cast<int>(value) + 1) % count);
}

}  // namespace

void look_bar(Ui& ui, Screen& screen) {
  Look& look = screen.document.look;
  bool first = true;
  for (const ViewWord& word : views) {
    if (!first) ui.flow(word.word);
    first = false;
    if (ui.button(word.id, word.word, word.hover)) {
      look_from(look.orbit, word.view);
      screen.asked.frame_all = true;
    }
  }
  ui.flow("Frame");
  if (ui.button("view.frame", "Frame", "Everything in the picture. F")) screen.asked.frame_all = true;
  ui.flow("Skin: difference", 2 * ui.theme.unit);
  constexpr const char* skins[] = {"Skin: pressure", "Skin: gap", "Skin: crowding", "Skin: difference"};
  cycle(
      ui, "look.skin", skins, 4,
      "What the colours on the skin say: pressure; gap to the box and how deep it is pressed; pressed by the next toe; "
      "difference of pressures to the other view, or to before the last change. P",
      look.skin);
  ui.flow("Box: clear");
  constexpr const char* boxes[] = {"Box: clear", "Box: cut", "Box: off"};
  cycle(ui, "look.box", boxes, 3, "Box see-through, cut away toward you, or hidden. X", look.box);
  ui.flow("Slice: across");
  constexpr const char* slices[] = {"Slice: off", "Slice: across", "Slice: along"};
  cycle(ui, "look.slice", slices, 3, "A cut with true outlines and a ruler; [ and ] move it. S", look.slice);
  ui.flow("Bones", 2 * ui.theme.unit);
  ui.toggle("look.bones", "Bones", "Bones as solved, under see-through skin; their thickness is only drawn. B",
            look.bones);
  ui.flow("Upper");
  ui.toggle("look.upper", "Upper", "The fabric of the upper.", look.upper);
  ui.flow("Sole");
  ui.toggle("look.sole", "Sole", "Sole and shank.", look.sole);
  ui.flow("Marks");
  ui.toggle("look.marks", "Marks", "Load line, centre of pressure, plumb line, break and arch. M", look.marks);
  ui.flow("Lines");
  ui.toggle("look.lines", "Lines", "Lines of equal pressure on the skin, to tell places apart; no limits of safety.",
            look.lines);
  ui.flow("Inches");
  ui.toggle("look.inches", "Inches", "Lengths in inches, else in millimetres. I", look.inches);
  ui.flow("Letter paper");
  ui.toggle("look.letter", "Letter paper", "Every page on Letter paper, else on A4. Kept for the next time.",
            screen.letter_paper);
}

}  // namespace aplomb::viewer
