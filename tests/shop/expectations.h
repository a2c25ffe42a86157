// What a fitter is expected to say of the twelve feet (expectations.csv), and whether advice says it.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <fstream>
#include <iterator>
#include <sstream>
#include <string>
#include <vector>

#include "aplomb/shop/advise.h"
#include "feet.h"

namespace aplomb::shop::test {

struct Expectation {
  std::string name;
  std::vector<std::string> changes;  ///< at least one of them among the first two offers
};

/// Name and expected changes of one row; a word that is no change fails the test.
inline Expectation expectation_in(const std::string& row) {
  const std::size_t first = row.find("\",") + 2;
  std::istringstream words(row.substr(first, row.find(',', first) - first));
  Expectation one{row.substr(0, row.find(',')), {std::istream_iterator<std::string>(words), {}}};
  for (const std::string& word : one.changes)
    if (change_named(word) == nullptr) FAIL("\"" << word << "\" expected of " << one.name << " is no change");
  if (one.changes.empty()) FAIL("nothing is expected of " << one.name);
  return one;
}

inline std::vector<Expectation> expectations() {
  std::ifstream file(source_data::project() / "tests/shop/expectations.csv");
  std::vector<Expectation> all;
  std::string row;
  std::getline(file, row);
  while (std::getline(file, row)) all.push_back(expectation_in(row));
  return all;
}

inline Expectation expected_of(const std::string& name) {
  for (const Expectation& one : expectations())
    if (one.name == name) return one;
  FAIL("no expectation for " << name);
  return {};
}

inline bool meets(const Expectation& expected, const Offer& offer) {
  return std::find(expected.changes.begin(), expected.changes.end(), offer.attempt.change) != expected.changes.end();
}

inline std::string told(const Advice& advice) {
  std::string text = fmt::format("{:.2f} points; raised:", advice.cost);
  for (const Raised& one : advice.raised) text += fmt::format(" {} at {:.3g},", one.rule->id, one.value);
  text.back() = ';';
  text += " offered:";
  for (const Offer& offer : advice.offers)
    text += fmt::format(" {} {:g} ({:.2f} points left),", offer.attempt.change, offer.attempt.by, offer.cost_after);
  text.back() = ';';
  text += " declined:";
  for (const Declined& one : advice.declined)
    text += fmt::format(" {} {:g} ({}),", one.attempt.change, one.attempt.by, one.reason);
  text.pop_back();
  return text;
}

/// An expected change is among the first two offers, and every offer takes points off.
inline void check_offers(const Expectation& expected, const Advice& given) {
  INFO(told(given));
  const auto second = given.offers.begin() + static_cast<std::ptrdiff_t>(std::min<std::size_t>(2, given.offers.size()));
  CHECK(std::any_of(given.offers.begin(), second, [&](const Offer& o) { return meets(expected, o); }));
  for (const Offer& offer : given.offers) {
    CHECK(offer.cost_after < offer.cost_before);
    CHECK(!offer.rule.empty());
  }
}

/// An expected change was tried, and declined for what it spoils.
inline void check_declined(const Expectation& expected, const Advice& given, const std::string& spoilt) {
  INFO(told(given));
  CHECK(std::any_of(given.declined.begin(), given.declined.end(), [&](const Declined& one) {
    return std::find(expected.changes.begin(), expected.changes.end(), one.attempt.change) != expected.changes.end() &&
           one.reason.find(spoilt) != std::string::npos;
  }));
}

/// None of the expected changes is offered to a foot for which it would be wrong.
inline void check_not_offered(const Expectation& expected, const Advice& other) {
  INFO(told(other));
  for (const Offer& offer : other.offers) {
    CAPTURE(offer.attempt.change);
    CHECK_FALSE(meets(expected, offer));
  }
}

inline Advice advice_for(Memory& memory, const std::string& name, const std::string& card,
                         const AdviseOptions& options) {
  const auto present = need(shoe::read_shoe(case_file(name, "shoe.toml")));
  return need(advise(wearer_of(case_file(name, card)), present, house_rules(), memory, options));
}

}  // namespace aplomb::shop::test
