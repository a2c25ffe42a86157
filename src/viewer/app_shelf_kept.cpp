// What a session keeps of a shelf and of the pair that is on, and what it brings back of it.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "app.h"

namespace aplomb::viewer {

void App::keep_shelf() {
  Document& document = screen_.document;
  document.shelf.reset();
  if (const auto& shelf = screen_.shelf)
    document.shelf =
        KeptShelf{shelf->file.string(), shelf->answer ? first_of(*shelf->answer) : shelf->before, screen_.show_shelf};
  const KeptPair* pair = pair_to_keep(pairs_, document.subject);
  if (pair == nullptr)
    document.pair.reset();
  else if (document.pair != *pair)
    document.pair = *pair;
}

void App::bring_back_shelf() {
  const auto& kept = screen_.document.shelf;
  if (!kept) return;  // a stock that is open stays open
  // Comparing takes both cores for minutes, and what she came for is in the view: so it waits for a hand.
  if (shelf_) shelf_->cancel();
  shelf_waiting_.reset();
  screen_.shelf = ShelfShown{};
  screen_.shelf->file = kept->stock;
  screen_.shelf->name = screen_.shelf->file.filename().string();
  screen_.shelf->before = kept->first;
  screen_.shelf->cancelled = screen_.shelf->kept = true;
  screen_.show_shelf = kept->shown;
}

}  // namespace aplomb::viewer
