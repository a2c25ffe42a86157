// A scan that is being fitted, and what a scan does not tell.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "card.h"

namespace aplomb::viewer {

void scan_card(Ui& ui, Screen& screen, const ViewRect& rect, float width) {
  const ScanShown& scan = *screen.scan;
  begin_card("scan", {rect.x + 0.5f * rect.w, rect.y + from_top(ui, rect)}, {0.5f, 0}, false);
  ui.words("scan.words", fmt::format("Finding the foot in {}", scan.name), ui.theme.strong, ink::text, width);
  ui.progress(scan.fraction, std::min(width, ui.theme.px(320)));
  ui.words("scan.progress", fmt::format("{:.0f} %: {}", 100 * scan.fraction, scan.what), ui.theme.small, ink::quiet);
  if (ui.button("scan.cancel", "Cancel", "Leaves the scan; nothing changes. Esc")) screen.asked.cancel_scan = true;
  end_card();
}

/// What a scan does not tell: asked, never guessed.
void scan_question(Ui& ui, Screen& screen, const ScanQuestion& asked) {
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

}  // namespace aplomb::viewer
