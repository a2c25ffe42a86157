// A stock that was opened: compared once the feet are there, with the feet that are there.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "aplomb/io/files.h"
#include "app.h"
#include "changes.h"

namespace aplomb::viewer {

namespace {

shop::Wearer wearer_of(const Solved& solved, const Choice& choice, const stance::Constants& constants,
                       const std::vector<PairOn>& pairs) {
  // Tights and padding of the shoe that is shown are what she wears; not what a shoe off the shelf was put on with.
  const shoe::Layers shown = solved.parameters ? solved.parameters->layers : shoe::Layers{};
  return {solved.foot, io::content_hash(choice_key({choice.foot, {}}) + stance::constants_hash(constants)),
          layers_of_hers(pairs, choice.shoe, shown)};
}

/// The same foot on the other side.
shop::Wearer mirrored(const shop::Wearer& wearer) {
  auto other = std::make_shared<foot::Foot>(*wearer.foot);
  other->side = wearer.foot->side == foot::Side::right ? foot::Side::left : foot::Side::right;
  return {std::move(other), wearer.key + " mirrored", wearer.layers};
}

}  // namespace

void App::open_shelf(const std::filesystem::path& file) {
  if (shelf_) shelf_->cancel();  // it ends within a step of its solver; nothing waits for it here
  shelf_waiting_ = file;
  screen_.shelf = ShelfShown{};
  screen_.shelf->name = file.filename().string();
  std::error_code code;
  screen_.shelf->file = std::filesystem::absolute(file, code);
  screen_.shelf->so_far.what = "waiting for the feet";
  screen_.show_shelf = screen_.show_findings = true;
  if (options_.keeps_state) {
    state_.add_recent(file);
    screen_.recent = state_.recent();
  }
}

void App::start_shelf() {
  if (!shelf_waiting_ || shelf_) return;
  const auto give_up = [&](const char* why) {
    shelf_waiting_.reset();
    screen_.shelf.reset();
    screen_.show_shelf = false;
    say(why, true);
  };
  if (!screen_.rules) return give_up("Without rules no shelf can be compared.");
  const Subject& subject = screen_.document.subject;
  std::vector<shop::Wearer> feet;
  stance::Constants constants = library_.constants;
  if (const auto applied = apply(subject.seat[0].constants, constants); !applied)
    return give_up("The shelf needs constants that can be used.");
  for (int i = 0; i < subject.seats(); ++i) {
    const SeatView& seat = screen_.seats[static_cast<std::size_t>(i)];
    if (!seat.current || !seat.solved) return;
    if (!seat.solved->foot)
      return give_up("The shelf needs a foot and a shoe that can be made: put them right, then open it again.");
    feet.push_back(wearer_of(*seat.solved, subject.seat[static_cast<std::size_t>(i)], constants, pairs_));
  }
  if (!feet[0].foot->mass_kg)
    return give_up("The shelf needs her weight: set Body mass under Foot, then open the stock again.");
  const bool both = feet.size() == 2 && feet[0].foot->side != feet[1].foot->side;
  if (both && !feet[1].foot->mass_kg) {
    auto heavy = std::make_shared<foot::Foot>(*feet[1].foot);
    heavy->mass_kg = feet[0].foot->mass_kg;
    feet[1].foot = std::move(heavy);
    feet[1].key += fmt::format(" {}", *feet[0].foot->mass_kg);
  }
  const shop::Wearer other = both ? feet[1] : mirrored(feet[0]);
  const bool first_is_right = feet[0].foot->side == foot::Side::right;
  ShelfFeet shown = feet_on(subject);
  for (std::size_t i = 0; i < shown.sources.size(); ++i) shown.sides.push_back(feet[i].foot->side);
  const std::string basis = stance::constants_hash(constants);
  if (!shelf_memory_ || shelf_basis_ != basis) {
    shelf_memory_ = std::make_shared<ShelfMemory>(constants, basis);
    shelf_basis_ = basis;
  }
  shelf_ = std::make_unique<ShelfJob>(
      ShelfWish{*shelf_waiting_, first_is_right ? other : feet[0], first_is_right ? feet[0] : other, !both,
                std::move(shown), library_.rules, library_.data / "shoes", shelf_memory_},
      wake_);
  shelf_waiting_.reset();
}

void App::take_shelf() {
  start_shelf();
  watch_shelf();
  if (!shelf_) return;
  if (!shelf_->ended()) {
    if (screen_.shelf && !screen_.shelf->kept) screen_.shelf->so_far = shelf_->so_far();
    return;
  }
  auto made = shelf_->take();
  shelf_.reset();
  // Another was opened meanwhile, and may have been left too; or a session came with one of its own.
  if (shelf_waiting_ || !screen_.shelf || screen_.shelf->kept) return;
  if (made) {
    const auto answer = std::make_shared<const ShelfAnswer>(std::move(*made));
    screen_.shelf->answer = answer;
    // The same shelf again: a pair that is on is on still, where it would be put on the same.
    const Subject& subject = screen_.document.subject;
    const PairOn* on = pair_on(pairs_, subject);
    const auto items = static_cast<int>(answer->inputs.stock.items.size());
    if (on != nullptr && on->kept.stock_hash == answer->inputs.stock.hash && on->kept.item >= 0 &&
        on->kept.item < items && same_feet(answer->feet, subject))
      if (auto pair = pair_for(answer, on->kept.item, subject)) pairs_.push_back(std::move(*pair));
    watch_shelf();
  } else if (made.error().kind == io::ErrorKind::cancelled) {
    screen_.shelf->cancelled = true;
  } else {
    screen_.shelf.reset();
    screen_.show_shelf = false;
    say(made.error());
  }
}

void App::watch_shelf() {
  if (!screen_.shelf || !screen_.shelf->answer) return;
  const Subject& subject = screen_.document.subject;
  const PairOn* on = pair_on(pairs_, subject);
  screen_.shelf->other_feet = !same_feet(screen_.shelf->answer->feet, subject);
  const bool its = on != nullptr && !screen_.shelf->other_feet && on->of.lock() == screen_.shelf->answer;
  screen_.shelf->put_on = its ? on->kept.item : -1;
}

void App::do_shelf(const Asked& asked) {
  if (asked.cancel_shelf) {
    if (shelf_) shelf_->cancel();
    if (shelf_waiting_) shelf_waiting_.reset(), screen_.shelf.reset(), screen_.show_shelf = false;
  }
  if (!screen_.shelf) return;
  if (asked.resume_shelf && (screen_.shelf->cancelled || screen_.shelf->answer)) {
    const ShelfShown before = *screen_.shelf;  // what is shown is made anew
    open_shelf(before.file);
    screen_.shelf->before = before.answer ? first_of(*before.answer) : before.before;
  }
  if (!screen_.shelf->answer || (!asked.put_on && !asked.page)) return;
  watch_shelf();  // hands may have changed the feet in this frame
  if (screen_.shelf->other_feet) return say(other_feet, true);
  if (asked.put_on) put_on(*asked.put_on);
  if (asked.page) write_page(*asked.page);
}

}  // namespace aplomb::viewer
