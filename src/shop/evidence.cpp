// A value beside its limit, as words: the same for rules, offers and what a shelf lacks.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/shop/values.h"
#include "figures.h"

namespace aplomb::shop {

ValueWords value_words(const std::string& finding, const std::string& position) {
  const ValueName* name = value_named(finding, position == by_measure);
  if (name == nullptr) return {finding, "", 1};
  return name->unit == "share" ? ValueWords{name->words, "", 2} : ValueWords{name->words, " " + name->unit, 1};
}

std::string becomes(const Offer& offer) {
  const ValueWords words = value_words(offer.finding, offer.position);
  return fmt::format("{} becomes {}{}; limit {:g}{}", figure(offer.before, words.decimals),
                     figure(offer.after, words.decimals), words.unit, offer.threshold, words.unit);
}

}  // namespace aplomb::shop
