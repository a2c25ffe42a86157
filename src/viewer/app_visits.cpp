// A visit that was opened: both feet, the shoe she has now, and her layers in every shoe.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "app.h"

namespace aplomb::viewer {

void App::watch_visit() {
  const auto& source = screen_.document.subject.visit;
  if (visit_ == source) return;
  visit_ = source;
  screen_.visit.reset();
  if (!source) return;
  auto visit = shop::parse_visit(source->text, source->file);
  if (visit)
    screen_.visit = std::make_shared<const shop::Visit>(std::move(*visit));
  else
    say(visit.error());
}

void App::put_visit(OpenedVisit opened) {
  Subject subject = screen_.document.subject;
  // The left foot in the left view, as they stand before the fitter's own eyes when she looks down at hers.
  const auto named = [&](std::size_t i) { return opened.feet[i] || opened.scans[i]; };
  const bool both = named(0) && named(1), any = named(0) || named(1);
  std::array<foot::Side, 2> sides{foot::Side::left, foot::Side::right};
  if (!both && any) sides.fill(named(0) ? foot::Side::left : foot::Side::right);
  if (!any)
    for (std::size_t seat = 0; seat < 2; ++seat)
      if (const Solved* shown = screen_.shown(static_cast<int>(seat)); shown != nullptr && shown->foot)
        sides[seat] = shown->foot->side;
  auto pair = with_layers(opened.shoe ? *opened.shoe : subject.seat[0].shoe, opened.visit.layers, sides);
  if (!pair) return say(pair.error());
  if (any) {
    subject.side_by_side = both;
    screen_.active_seat = 0;
    for (std::size_t seat = 0; seat < 2; ++seat) {
      subject.seat[seat].load_N.reset();  // of whoever was here before
      subject.seat[seat].constants = subject.seat[0].constants;
      const std::size_t which = both ? seat : named(0) ? 0 : 1;
      if (opened.feet[which]) subject.seat[seat].foot = *opened.feet[which];
      if (!opened.scans[which] || (!both && seat == 1)) continue;
      ScanWish wish{*opened.scans[which], static_cast<int>(seat), {}};
      wish.options.side = sides[seat];
      start_scan(std::move(wish));
    }
  }
  for (std::size_t seat = 0; seat < 2; ++seat) subject.seat[seat].shoe = pair->kept.shoe[seat];
  for (const std::string& words : opened.told) say(words);
  subject.visit = opened.source;
  subject.trying.clear();
  screen_.tab = 1;
  screen_.show_findings = true;
  screen_.show_shelf = false;  // what is to be said of her is read first
  screen_.document.subject = std::move(subject);
  keep_pair(std::move(*pair));
  watch_visit();
}

void App::lay_hers(int seat) {
  watch_visit();
  if (!screen_.visit) return;
  const auto place = static_cast<std::size_t>(seat);
  const Solved* shown = screen_.shown(seat);
  const foot::Side side = shown != nullptr && shown->foot ? shown->foot->side : foot::Side::right;
  Source& shoe = screen_.document.subject.seat[place].shoe;
  auto pair = with_layers(shoe, screen_.visit->layers, {side, side});
  if (!pair) return say(pair.error());
  shoe = pair->kept.shoe[place];
  keep_pair(std::move(*pair));
}

}  // namespace aplomb::viewer
