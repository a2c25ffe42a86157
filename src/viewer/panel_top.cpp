// The line on top: what is open, and what can be done with it.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "panels.h"

namespace aplomb::viewer {

namespace {

std::string changed_words(const Source& source) {
  return source.name() + (source.changed() == 0 ? "" : fmt::format(" ({} changed)", source.changed()));
}

std::string title_of(const Screen& screen) {
  const Subject& subject = screen.document.subject;
  std::string title = changed_words(subject.seat[0].foot) + "  in  " + changed_words(subject.seat[0].shoe);
  if (subject.side_by_side)
    title += "   |   " + changed_words(subject.seat[1].foot) + "  in  " + changed_words(subject.seat[1].shoe);
  std::size_t constants = 0;
  for (int seat = 0; seat < subject.seats(); ++seat)
    constants = std::max(constants, subject.seat[static_cast<std::size_t>(seat)].constants.size());
  if (constants > 0) title += fmt::format("   [{} constant{} changed]", constants, constants == 1 ? "" : "s");
  return title;
}

void show_title(Ui& ui, const Screen& screen) {
  ImGui::SameLine(0, 3 * ui.theme.unit);
  ImGui::AlignTextToFramePadding();
  const std::string title = title_of(screen);
  ImGui::PushFont(ui.theme.strong);
  ImGui::TextUnformatted(title.c_str());
  ImGui::PopFont();
  ui.note_last({.id = "title", .kind = "text", .text = title});
}

}  // namespace

void top_panel(Ui& ui, Screen& screen) {
  Asked& asked = screen.asked;
  if (ui.button("open", "Open",
                "A scan, a card, a foot file, a shoe, a visit, a stock or a session; or drop it on the window. Ctrl+O"))
    asked.open = true;
  ui.flow("Save *");
  if (ui.button("save", screen.unsaved ? "Save *" : "Save", "The session: everything on this screen. Ctrl+S"))
    asked.save = true;
  ui.flow("Save as");
  if (ui.button("save_as", "Save as", "The session under another name. Ctrl+Shift+S")) asked.save_as = true;
  if (screen.crowded && !screen.document.look.client) {
    using Sheet = Screen::Sheet;
    const auto sheet = [&](const char* id, const char* label, const char* hover, Sheet which) {
      ui.flow(label);
      if (ui.button(id, label, hover, {.selected = screen.sheet == which}))
        screen.sheet = screen.sheet == which ? Sheet::view : which;
    };
    sheet("sheet.numbers", "Numbers", "Shoe, foot and constants.", Sheet::numbers);
    sheet("sheet.findings", "Findings", "Findings, rules, what helps.", Sheet::findings);
    sheet("sheet.look", "View", "Positions, and what the view shows.", Sheet::look);
  }
  // On a narrow window the rest would cover half of the view.
  if (ImGui::GetIO().DisplaySize.x < ui.theme.px(560)) {
    ui.flow("More");
    if (ui.button("more", screen.show_more ? "Less" : "More", "The other things to do.")) screen.show_more ^= true;
    if (!screen.show_more) return show_title(ui, screen);
  }
  ui.flow("Export");
  if (ui.button("export", "Export", "A picture and a page to print, beside the session or in this folder. Ctrl+E"))
    asked.export_all = true;
  ui.flow("Undo", 2 * ui.theme.unit);
  if (ui.button("undo", "Undo", "Takes back the last change. Ctrl+Z", {.enabled = screen.can_undo})) asked.undo = true;
  ui.flow("Redo");
  if (ui.button("redo", "Redo", "Makes it again. Ctrl+Y", {.enabled = screen.can_redo})) asked.redo = true;
  ui.flow("Side by side", 2 * ui.theme.unit);
  Subject& subject = screen.document.subject;
  if (ui.button("side_by_side", "Side by side", "A second foot or shoe beside the first, with one camera. D",
                {.selected = subject.side_by_side})) {
    subject.side_by_side = !subject.side_by_side;
    screen.active_seat = subject.side_by_side ? 1 : 0;
  }
  if (screen.shelf) {
    ui.flow("Shelf");
    if (ui.button("shelf", "Shelf", "The stock that is open: which pair first, and why. K",
                  {.selected = screen.show_shelf}))
      screen.show_shelf = !screen.show_shelf;
  }
  ui.flow("For the client");
  Look& look = screen.document.look;
  if (ui.button("client", "For the client", "One picture and three sentences. C", {.selected = look.client}))
    look.client = !look.client;
  ui.flow("Help");
  if (ui.button("help", "Help", "Keys and words. H", {.selected = screen.show_help}))
    screen.show_help = !screen.show_help;
  show_title(ui, screen);
}

}  // namespace aplomb::viewer
