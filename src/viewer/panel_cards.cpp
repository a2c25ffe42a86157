// Small cards over the view: messages, and what was picked.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "lengths.h"
#include "panels.h"

namespace aplomb::viewer {

namespace {

constexpr ImGuiWindowFlags card_flags = ImGuiWindowFlags_NoTitleBar | ImGuiWindowFlags_NoResize |
                                        ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoSavedSettings |
                                        ImGuiWindowFlags_AlwaysAutoResize | ImGuiWindowFlags_NoFocusOnAppearing;

void begin_card(const char* name, const ImVec2& at, const ImVec2& pivot, bool problem) {
  ImGui::SetNextWindowPos(at, ImGuiCond_Always, pivot);
  ImGui::PushStyleColor(ImGuiCol_WindowBg, problem ? ink::soft_alarm : ink::paper);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowBorderSize, 1);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowRounding, 6);
  ImGui::Begin(name, nullptr, card_flags);
}

void end_card() {
  ImGui::End();
  ImGui::PopStyleVar(2);
  ImGui::PopStyleColor();
}

/// Cards stand over the view; where panels leave nothing of it, over all of the window: what is asked must be seen.
ViewRect room_for_cards(const Ui& ui, const ViewRect& view) {
  if (view.w >= ui.theme.px(240) && view.h >= ui.theme.px(200)) return view;
  const ImVec2 size = ImGui::GetIO().DisplaySize;
  return {0, 0, size.x, size.y};
}

float from_top(const Ui& ui, const ViewRect& rect) { return std::min(ui.theme.px(90), 0.2f * rect.h); }

/// What a scan does not tell: asked, never guessed.
void question(Ui& ui, Screen& screen, const ScanQuestion& asked) {
  const auto answer = [&](const std::string& id, const std::string& label, const auto& say) {
    if (!ui.button(id, label, "Fits the scan again as you say.")) return;
    ScanWish wish = asked.wish;
    say(wish.options);
    screen.asked.scan = std::move(wish);
  };
  if (asked.of_side) {
    answer("scan.left", "It is her left foot", [](auto& options) { options.side = foot::Side::left; });
    ImGui::SameLine();
    answer("scan.right", "It is her right foot", [](auto& options) { options.side = foot::Side::right; });
  } else {
    for (int unit = 0; unit < 4; ++unit) {
      if (unit > 0) ImGui::SameLine();
      const std::string name = scan::unit_names[unit];
      answer("scan.unit." + name, "In " + name,
             [unit](auto& options) { options.unit = static_cast<scan::Unit>(unit); });
    }
  }
}

void scan_card(Ui& ui, Screen& screen, const ViewRect& rect, float width) {
  const ScanShown& scan = *screen.scan;
  begin_card("scan", {rect.x + 0.5f * rect.w, rect.y + from_top(ui, rect)}, {0.5f, 0}, false);
  ui.words("scan.words", fmt::format("Finding the foot in {}", scan.name), ui.theme.strong, ink::text, width);
  ui.progress(scan.fraction, std::min(width, ui.theme.px(320)));
  ui.words("scan.progress", fmt::format("{:.0f} %: {}", 100 * scan.fraction, scan.what), ui.theme.small, ink::quiet);
  if (ui.button("scan.cancel", "Cancel", "Leaves the scan; nothing changes. Esc")) screen.asked.cancel_scan = true;
  end_card();
}

/// What is not saved would be dropped.
void leaving_card(Ui& ui, Screen& screen, const ViewRect& rect, float width) {
  const Leaving& leaving = *screen.leaving;
  const bool quits = leaving.way == Leaving::Way::quit;
  const std::string in_its_place =
      leaving.way == Leaving::Way::session ? leaving.session.filename().string() : std::string("The last session");
  begin_card("leaving", {rect.x + 0.5f * rect.w, rect.y + from_top(ui, rect)}, {0.5f, 0}, false);
  ui.words("leaving.words",
           quits ? "This session is not saved." : "This session is not saved. " + in_its_place + " takes its place.",
           ui.theme.strong, ink::text, width);
  if (ui.button("leaving.save", "Save", "Saves it first.", {.strong = true})) screen.asked.save_and_leave = true;
  if (width > ui.theme.px(300)) ImGui::SameLine();
  if (ui.button("leaving.unsaved", quits ? "Quit without saving" : "Go on without saving", "What was changed is lost."))
    screen.asked.leave_unsaved = true;
  if (width > ui.theme.px(300)) ImGui::SameLine();
  if (ui.button("leaving.stay", "Stay", "Back to where you were. Esc")) screen.asked.stay = true;
  end_card();
}

}  // namespace

void message_cards(Ui& ui, Screen& screen, const ViewRect& view) {
  const ViewRect rect = room_for_cards(ui, view);
  const float width = std::min(ui.theme.px(420), rect.w - 4 * ui.theme.unit);
  if (screen.scan) scan_card(ui, screen, rect, width);
  if (screen.leaving) {
    if (!screen.leaving->saving) leaving_card(ui, screen, rect, width);
  } else if (screen.recovery) {
    begin_card("recovery", {rect.x + 0.5f * rect.w, rect.y + from_top(ui, rect)}, {0.5f, 0}, false);
    ui.words("recovery.words", "The last session was not closed. Bring it back?", ui.theme.strong, ink::text, width);
    if (ui.button("recover", "Bring it back", "Shows it as it was when last kept.", {.strong = true}))
      screen.asked.recover = true;
    ImGui::SameLine();
    if (ui.button("forget", "Leave it", "Forgets it.")) screen.asked.forget_recovery = true;
    end_card();
  }
  if (screen.messages.empty()) return;
  const Message message = screen.messages.back();
  begin_card("message", {rect.x + 0.5f * rect.w, rect.y + rect.h - ui.theme.px(24)}, {0.5f, 1}, message.problem);
  ui.words("message", message.text, ui.theme.body, message.problem ? ink::alarm : ink::text, width);
  if (message.accept) {
    if (ui.button("accept", "It is meant so", "Takes the number as it is, though few feet have it.", {.strong = true}))
      screen.asked.accept = *message.accept;
    ImGui::SameLine();
  }
  if (message.question) question(ui, screen, *message.question);
  if (ui.button("message.close", "Close", "Esc") && !screen.messages.empty()) screen.messages.pop_back();
  end_card();
}

void picked_card(Ui& ui, Screen& screen, const ViewRect& rect) {
  if (!screen.picked) return;
  const Pick& pick = screen.picked->what;
  const bool inches = screen.document.look.inches;
  begin_card("picked", {rect.x + ui.theme.px(16), rect.y + rect.h - ui.theme.px(56)}, {0, 1}, false);
  ui.words("picked.region", pick.region, ui.theme.strong);
  ui.words("picked.pressure", fmt::format("pressure {:.0f} kPa", pick.pressure_kPa), ui.theme.body);
  const std::string gap = pick.gap_mm >= findings::beyond_gap_mm - 0.05 ? "no box near"
                          : pick.gap_mm < 0 ? "pressed in by " + length_words(-pick.gap_mm, inches) + " at the box"
                                            : length_words(pick.gap_mm, inches) + " clear of the box";
  ui.words("picked.gap", gap, ui.theme.body);
  if (pick.crowding_mm > 0.05)
    ui.words("picked.crowding", "pressed " + length_words(pick.crowding_mm, inches) + " by the next toe",
             ui.theme.body);
  ui.words("picked.bone", "over: " + pick.bone, ui.theme.body);
  end_card();
}

}  // namespace aplomb::viewer
