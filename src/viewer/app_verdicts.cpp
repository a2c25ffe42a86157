// Verdicts of the rules over the positions that are solved.
// SPDX-License-Identifier: GPL-3.0-or-later
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

}  // namespace aplomb::viewer
