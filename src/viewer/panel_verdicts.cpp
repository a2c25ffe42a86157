// What the rules of the house say of what is solved.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "panels.h"
#include "words.h"

namespace aplomb::viewer {

namespace {

constexpr const char* grade_words[] = {"Good", "Change", "Not this shoe as it is"};
constexpr Mark grade_marks[] = {Mark::good, Mark::change, Mark::unsuitable};

void list(Ui& ui, const std::string& id, const SeatView& seat) {
  for (const Verdict& verdict : seat.verdicts) {
    const auto grade = static_cast<std::size_t>(verdict.grade);
    ui.judged(id + verdict.rule, grade_marks[grade], fmt::format("{}: {}", grade_words[grade], verdict.cause),
              verdict.of_rule()
                  ? fmt::format("{}.\nThe rule is \"{}\" in rules.toml; a house may set its own thresholds.",
                                capital(verdict.why), verdict.rule)
                  : capital(verdict.why) + ".");
  }
  const bool whole = seat.judged == seat.to_judge;
  if (seat.verdicts.empty() && whole)
    ui.judged(id + "none", Mark::good, "Nothing to fault by the rules.");
  else if (!whole)
    ui.words(id + "waiting", fmt::format("{} of {} positions looked at", seat.judged, seat.to_judge), ui.theme.small,
             ink::quiet);
}

}  // namespace

void verdicts(Ui& ui, const Screen& screen) {
  if (!screen.rules) return;
  ui.title("By the rules of the house");
  if (!screen.document.subject.side_by_side) return list(ui, "verdict.", screen.seats[0]);
  ui.words("", "First view: " + side_words(screen.seats[0]), ui.theme.small, ink::quiet);
  list(ui, "verdict.", screen.seats[0]);
  ui.words("", "Second view: " + side_words(screen.seats[1]), ui.theme.small, ink::quiet);
  list(ui, "verdict.1.", screen.seats[1]);
}

}  // namespace aplomb::viewer
