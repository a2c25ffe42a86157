// What a band comes from, for a fitter.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "aplomb/bands/doubts.h"

namespace aplomb::bands {

namespace {

/// A source of less than this share of the variance is not worth a word, nor is a reading that takes less away.
constexpr double worth_a_word = 0.1, worth_measuring = 0.1;

/// "length of the hallux" for "toes.hallux.length_mm", "ball girth" for "ball_girth_mm".
std::string card_words(std::string key) {
  key.erase(key.rfind('_'));
  std::replace(key.begin(), key.end(), '_', ' ');
  if (!key.starts_with("toes.")) return key;
  const std::size_t dot = key.find('.', 5);
  const std::string toe = key.substr(5, dot - 5), what = key.substr(dot + 1);
  return fmt::format("{} of the {}{}", what, toe, toe == "hallux" ? "" : " toe");
}

}  // namespace

std::string source_words(const std::vector<findings::DoubtSource>& sources, const Inputs::Narrowing& narrowing) {
  std::string words;
  int named = 0;
  for (const findings::DoubtSource& source : sources) {
    if (source.total < worth_a_word || named == 3) break;
    words += fmt::format("{}{}{} ({:.0f} %)", named == 0 ? "comes mostly from " : ", ", source.words,
                         source.guess ? ", a guess" : "", 100 * source.total);
    ++named;
  }
  if (named == 0 && !sources.empty()) words = "comes from many things, none of them much";
  if (words.empty()) return words;
  if (!narrowing.key.empty() && narrowing.share >= worth_measuring) {
    words +=
        fmt::format("; measure {}{} to narrow it by {:.0f} %", card_words(narrowing.key),
                    narrowing.on_card ? " once more" : "", 100 * (1 - std::sqrt(1 - std::min(1.0, narrowing.share))));
  }
  return words;
}

}  // namespace aplomb::bands
