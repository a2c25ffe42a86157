// A comparison for a terminal: the pair to bring out first, why, and what to alter, before any table.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <optional>

#include "aplomb/report/rows.h"
#include "aplomb/shop/tell.h"
#include "figures.h"

namespace aplomb::shop {

namespace {

constexpr std::size_t columns = 110;

/// Words in lines of at most `columns`, later lines indented.
std::string wrapped(const std::string& first, const std::string& words) {
  std::string out, line = first;
  const std::string indent(first.size(), ' ');
  std::size_t at = 0;
  bool fresh = true;
  while (at < words.size()) {
    const std::size_t end = std::min(words.find(' ', at), words.size());
    const std::string word = words.substr(at, end - at);
    if (!fresh && line.size() + 1 + word.size() > columns) {
      out += line + "\n";
      line = indent;
      fresh = true;
    }
    line += (fresh ? "" : " ") + word;
    fresh = false;
    at = end + 1;
  }
  return out + line + "\n";
}

std::string heading(const std::string& title) {
  return fmt::format("\n{}\n{}\n", title, std::string(title.size(), '-'));
}

const char* side_of(const Wearer& wearer) { return wearer.foot->side == foot::Side::right ? "right" : "left"; }

std::string foot_reasons(const Rules& rules, const Answers& answers, const char* side, std::size_t most) {
  const auto lines = reasons(rules, answers);
  if (lines.empty()) return fmt::format("  {} foot: nothing to fault\n", side);
  std::string out;
  for (std::size_t i = 0; i < std::min(most, lines.size()); ++i)
    out += wrapped(fmt::format("  {} foot: ", side), lines[i]);
  if (lines.size() > most) out += fmt::format("  {} foot: and {} more\n", side, lines.size() - most);
  return out;
}

std::string kPa(const std::string& number) { return number.empty() ? "-" : number + " kPa"; }

bool may_tie(const Comparison& c, const Standing& one) {
  return std::find(c.may_tie.begin(), c.may_tie.end(), one.item) != c.may_tie.end();
}

std::string offers_text(const Advice& advice, const char* side) {
  std::string out;
  for (const Offer& offer : advice.offers)
    out += wrapped(fmt::format("  {} foot: ", side),
                   fmt::format("{}; {}: {}", words(offer.attempt), because(offer), before_and_after(offer)));
  if (advice.offers.empty() && !advice.declined.empty())
    out += fmt::format("  {} foot: none of the changes that were solved helps and spoils nothing else\n", side);
  return out;
}

}  // namespace

std::vector<std::string> cautions_of(const Telling& telling) {
  std::optional<double> age;
  for (const Wearer* wearer : {&telling.inputs->left, &telling.inputs->right})
    if (wearer->foot && wearer->foot->age_years) age = std::min(age.value_or(1000), *wearer->foot->age_years);
  return cautions_of(telling.visit != nullptr ? *telling.visit : Visit{}, age);
}

std::string item_words(const StockItem& item) {
  // A stock may name the file or the design in it.
  const std::filesystem::path design = item.design;
  const std::string name = design.extension() == ".toml" ? design.stem().string() : item.design;
  std::string text = fmt::format("{}, {}/{}", name, item.length_mm, item.breadth_mm);
  if (item.shank_mm > 0) text += fmt::format(", shank {:.1f} mm", item.shank_mm);
  return text;
}

std::vector<std::string> layer_words(const shoe::Layers& layers) {
  std::vector<std::string> lines;
  const auto add = [&](const shoe::SoftLayer& layer, const std::string& what) {
    if (layer.thickness_mm > 0) lines.push_back(fmt::format("{:.1f} mm {}", layer.thickness_mm, what));
  };
  static const char* const pads[] = {"of padding round the toes", "of padding under the toe tips",
                                     "of padding round the ball", "of padding under the metatarsal heads",
                                     "of padding at the heel"};
  add(layers.tights, "of tights");
  for (std::size_t k = 0; k < layers.padding.size(); ++k) add(layers.padding[k], pads[k]);
  for (std::size_t k = 0; k < layers.spacer.size(); ++k)
    add(layers.spacer[k], fmt::format("of spacer between {} and {} toe", foot::toe_names[k], foot::toe_names[k + 1]));
  for (std::size_t k = 0; k < layers.tape.size(); ++k)
    add(layers.tape[k], fmt::format("of tape or cap on the {} toe", foot::toe_names[k]));
  return lines;
}

std::string place_words(const Comparison& comparison, std::size_t index) {
  if (!comparison.pairs.ranking[index].complete)
    return may_tie(comparison, comparison.pairs.ranking[index]) ? "may tie" : "-";
  const auto& tied = comparison.tied_with_best;
  const bool tie = index == 0 ? !tied.empty()
                              : std::find(tied.begin(), tied.end(), comparison.pairs.ranking[index].item) != tied.end();
  return fmt::format("{}{}", index + 1, tie ? " (tie)" : "");
}

std::string comparison_text(const Telling& t) {
  const CompareInputs& in = *t.inputs;
  const Comparison& c = *t.comparison;
  const Wearer& larger = c.difference.right_is_larger ? in.right : in.left;
  const Wearer& smaller = c.difference.right_is_larger ? in.left : in.right;
  const auto item = [&](int index) -> const StockItem& { return in.stock.items[static_cast<std::size_t>(index)]; };
  const Standing& best = c.pairs.ranking.front();

  std::string out = wrapped("", headline(t));
  for (const std::string& line : ties_and_split(t)) out += wrapped("  ", line);
  out += wrapped("  ", c.difference.words + (c.difference.even ? "" : "; the smaller is padded, and both count"));
  if (!c.difference.even)
    for (const std::string& line : layer_words(c.smaller_layers))
      out += fmt::format("  {} foot wears {}\n", side_of(smaller), line);

  out += heading("Why");
  out += foot_reasons(in.rules, best.answers[0], side_of(larger), 6);
  out += foot_reasons(in.rules, best.answers[1], side_of(smaller), 6);
  if (const auto peaks = peaks_of(t); !peaks.empty()) {
    out += heading("Peak pressure on the skin, shown and not graded");
    for (const PeakRow& row : peaks)
      out += fmt::format("  {}: left {}, right {}\n", row.position, kPa(row.left_kPa), kPa(row.right_kPa));
  }
  if (!c.advice.empty()) {
    out += heading("What to try on it, each solved again");
    out += offers_text(c.advice[0], side_of(larger)) + offers_text(c.advice[1], side_of(smaller));
  }
  if (!c.lacks.empty()) {
    out += heading("What the shelf lacks");
    for (const Lack& lack : c.lacks) out += wrapped("  ", lack.words);
  }
  if (t.present != nullptr && t.present->advice.size() == 2) {
    out += heading("The shoe she has now");
    for (int w : {0, 1}) {
      const Advice& advice = t.present->advice[static_cast<std::size_t>(w)];
      const char* side = w == 0 ? "left" : "right";
      out += foot_reasons(in.rules, advice.answers, side, 4) + offers_text(advice, side);
    }
  }

  out += heading("Ranking (points: fewer are better; words rank shoes for these feet only)");
  for (std::size_t i = 0; i < c.pairs.ranking.size() && i < static_cast<std::size_t>(std::max(t.top, 3)) + 3; ++i) {
    const Standing& one = c.pairs.ranking[i];
    const std::string rest =
        one.complete
            ? ""
            : fmt::format(", left {}", one.solved ? "after " + report::position_words(one.left_at) : "by measure");
    out += wrapped(fmt::format("  {:>8} ", place_words(c, i)),
                   fmt::format("{:<16} {:<40} {}{:.2f} points{}", item(one.item).label, item_words(item(one.item)),
                               one.complete ? "" : "at least ", one.cost, rest));
    if (i > 0 && one.complete) out += foot_reasons(in.rules, one.answers[0], side_of(larger), 1);
  }
  const auto shoes = c.pairs.ranking.size();
  out += wrapped("  ", fmt::format("{}: {} rejected by measure ({:.0f} %), {} before every position was solved; {}, "
                                   "first ranking after {:.1f} s, all after {:.1f} s",
                                   counted(shoes, "shoe"), c.pairs.never_solved,
                                   100.0 * c.pairs.never_solved / static_cast<double>(std::max<std::size_t>(1, shoes)),
                                   c.pairs.not_complete, counted(c.pairs.solves, "solve"), t.first_ranking_ms / 1000,
                                   t.total_ms / 1000));

  out += heading("Feet");
  for (const auto& [side, wearer] : {std::pair{"left", &in.left}, std::pair{"right", &in.right}})
    for (const Trait& trait : traits_of(*wearer->foot))
      out += wrapped(fmt::format("  {} {}: ", side, trait.name), trait.words);
  out += heading("The visit");
  for (const std::string& line : visit_lines(t)) out += wrapped("  ", line);
  out += heading("Cautions");
  for (const std::string& line : cautions_of(t)) out += wrapped("  ", line);
  return out;
}

}  // namespace aplomb::shop
