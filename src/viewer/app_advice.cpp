// Verdicts of what is solved, and changes tried beside the shoe as it is.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "advice.h"
#include "app.h"

namespace aplomb::viewer {

void App::judge_shown() {
  const Subject& subject = screen_.document.subject;
  screen_.advice = screen_.rules ? known(advice_key(keys_[0])) : nullptr;
  if (!screen_.rules) return;
  const std::vector<std::string> positions = library_.rules->positions();
  for (int i = 0; i < subject.seats(); ++i) {
    const auto seat = static_cast<std::size_t>(i);
    SeatView& view = screen_.seats[seat];
    std::vector<std::shared_ptr<const Solved>> solved;
    std::string of = keys_[seat];
    for (const std::string& name : positions) {
      const auto one = known(keys_[seat], *stance::position_named(name), Care::full, false);
      if (!one || one->error) continue;
      solved.push_back(one);
      of += " " + name;
    }
    view.to_judge = static_cast<int>(positions.size());
    view.judged = static_cast<int>(solved.size());
    if (of == judged_[seat]) continue;
    judged_[seat] = of;
    view.verdicts.clear();
    if (solved.empty()) continue;
    shop::Answers answers;
    const Solved& any = *solved.front();
    answers[shop::by_measure] = {true, "", true, shop::measure(*any.foot, *any.parameters)};
    for (const auto& one : solved) answers[stance::name(one->position)] = answer_of(one->findings);
    view.verdicts = judge(*library_.rules, answers);
  }
}

void App::do_tries(const Asked& asked) {
  Subject& subject = screen_.document.subject;
  if (!subject.side_by_side) subject.trying.clear();
  if (asked.attempt && screen_.advice && screen_.advice->foot) {
    const auto shoe = with_try(subject.seat[0].shoe, *asked.attempt, screen_.advice->foot->side);
    if (!shoe) return say(shoe.error());
    subject.seat[1] = subject.seat[0];
    subject.seat[1].shoe = *shoe;
    subject.side_by_side = true;
    screen_.active_seat = 1;
    screen_.tab = 0;
    subject.trying = shop::words(*asked.attempt);
  }
  if (!asked.keep_try && !asked.leave_try) return;
  if (asked.keep_try) subject.seat[0] = subject.seat[1];
  subject.seat[1] = subject.seat[0];
  subject.side_by_side = false;
  screen_.active_seat = 0;
  subject.trying.clear();
}

}  // namespace aplomb::viewer
