// Who she is, and what is to be said of her before any shoe is.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "panels.h"

namespace aplomb::viewer {

void visit_words(Ui& ui, const Screen& screen) {
  const shop::Visit visit = screen.visit ? *screen.visit : shop::Visit{};
  const auto& solved = screen.seats[0].solved;
  const auto own = own_cautions(visit, solved && solved->foot ? solved->foot->age_years : std::nullopt);
  if (screen.visit)
    ui.title("Visit: " + (visit.client.empty() ? "no name" : visit.client));
  else if (!own.empty())
    ui.title("Her age");
  int number = 0;
  for (const std::string& caution : own)
    ui.words("visit.caution." + std::to_string(++number), caution, ui.theme.body, ink::text,
             ImGui::GetContentRegionAvail().x);
}

}  // namespace aplomb::viewer
