// A stock that was opened: compared once the feet are there, its pairs put on, its pages written.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "aplomb/io/files.h"
#include "app.h"
#include "changes.h"
#include "export.h"

namespace aplomb::viewer {

namespace {

shop::Wearer wearer_of(const Solved& solved, const Source& source, const stance::Constants& constants) {
  // Tights and padding of the shoe that is shown are what she wears.
  return {solved.foot, io::content_hash(choice_key({source, {}}) + stance::constants_hash(constants)),
          solved.parameters ? solved.parameters->layers : shoe::Layers{}};
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
      return give_up("The shelf needs feet that can be made: put the foot right, then open it again.");
    feet.push_back(wearer_of(*seat.solved, subject.seat[static_cast<std::size_t>(i)].foot, constants));
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
  const std::string basis = stance::constants_hash(constants);
  if (!shelf_memory_ || shelf_basis_ != basis) {
    shelf_memory_ = std::make_shared<ShelfMemory>(constants, basis);
    shelf_basis_ = basis;
  }
  shelf_ = std::make_unique<ShelfJob>(
      ShelfWish{*shelf_waiting_, first_is_right ? other : feet[0], first_is_right ? feet[0] : other, !both,
                library_.rules, library_.data / "shoes", shelf_memory_},
      wake_);
  shelf_waiting_.reset();
}

void App::take_shelf() {
  start_shelf();
  if (!shelf_) return;
  if (!screen_.shelf) screen_.shelf = ShelfShown{};
  if (!shelf_->ended()) {
    screen_.shelf->so_far = shelf_->so_far();
    return;
  }
  auto made = shelf_->take();
  const std::filesystem::path file = shelf_->wish().stock;
  shelf_.reset();
  if (shelf_waiting_) return;  // another was opened meanwhile
  if (made) {
    screen_.shelf->answer = std::make_shared<const ShelfAnswer>(std::move(*made));
  } else if (made.error().kind == io::ErrorKind::cancelled) {
    screen_.shelf->cancelled = true;
    screen_.shelf->file = file;
  } else {
    screen_.shelf.reset();
    screen_.show_shelf = false;
    say(made.error());
  }
}

void App::put_on(int item) {
  const auto& answer = screen_.shelf->answer;
  const shop::StockItem& row = answer->inputs.stock.items[static_cast<std::size_t>(item)];
  const auto text = io::read_file(row.file, {}, io::max_json_bytes);
  if (!text) return say(text.error());
  const auto design = shoe::parse_shoe(*text, row.file);
  if (!design) return say(design.error());
  Subject& subject = screen_.document.subject;
  const shop::SizeDifference& sizes = answer->comparison.difference;
  for (int i = 0; i < subject.seats(); ++i) {
    const SeatView& seat = screen_.seats[static_cast<std::size_t>(i)];
    const foot::Side side = seat.solved && seat.solved->foot ? seat.solved->foot->side : foot::Side::right;
    shop::Wearer wearer = side == foot::Side::right ? answer->inputs.right : answer->inputs.left;
    if (!answer->mirrored && (side == foot::Side::right) != sizes.right_is_larger)
      wearer.layers = answer->comparison.smaller_layers;
    Source source{row.file, *text};
    std::tie(source.changes, source.words) = changes_between(*design, shop::worn(row.shoe, wearer));
    subject.seat[static_cast<std::size_t>(i)].shoe = std::move(source);
  }
  if (!subject.side_by_side) subject.seat[1] = subject.seat[0];
  screen_.shelf->put_on = item;
  screen_.tab = 0;
}

void App::do_shelf(const Asked& asked) {
  if (asked.cancel_shelf) {
    if (shelf_) shelf_->cancel();
    if (shelf_waiting_) shelf_waiting_.reset(), screen_.shelf.reset(), screen_.show_shelf = false;
  }
  if (!screen_.shelf) return;
  if (asked.resume_shelf && screen_.shelf->cancelled) {
    const std::filesystem::path again = screen_.shelf->file;  // what is shown is made anew
    open_shelf(again);
  }
  if (!screen_.shelf->answer) return;
  if (asked.put_on) put_on(*asked.put_on);
  if (!asked.page) return;
  if (exporting_.valid()) return say("A page is being made.");
  const std::filesystem::path folder = screen_.session_file.empty()
                                           ? std::filesystem::current_path()
                                           : std::filesystem::path(screen_.session_file).parent_path();
  const auto& answer = screen_.shelf->answer;
  const int best = answer->comparison.pairs.ranking.front().item;
  // The client's page has a picture where the pair stands in the view.
  const auto& shown = screen_.seats[0].solved;
  const bool pictured = screen_.shelf->put_on == best && shown && screen_.seats[0].current && shown->shown();
  const Subject& subject = screen_.document.subject;
  exporting_ =
      start_shelf_export({answer, *asked.page, pictured ? shown : nullptr, subject.seat[0].foot.file,
                          subject.seat[1].foot.file, library_.version},
                         folder / answer->inputs.stock.items[static_cast<std::size_t>(best)].label, library_.shaders);
}

}  // namespace aplomb::viewer
