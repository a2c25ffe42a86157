// Words and rows of the two pages. Every number comes from the comparison or from the shoe as it is worn.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/shop/pages.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>

#include "aplomb/shoe/sizes.h"
#include "figures.h"

namespace aplomb::shop {

namespace {

/// The pair of feet by side, with what the comparison says of each.
struct Side {
  const char* name;
  const Wearer* bare;
  Wearer worn;            ///< with the padding of the smaller foot
  std::size_t index = 0;  ///< 0 the larger foot, 1 the smaller
};

std::vector<Side> sides_of(const Telling& t) {
  std::vector<Side> sides;
  for (const bool right : {false, true}) {
    const Wearer& bare = right ? t.inputs->right : t.inputs->left;
    Side side{right ? "right" : "left", &bare, bare, right == t.comparison->difference.right_is_larger ? 0U : 1U};
    if (side.index == 1) side.worn.layers = t.comparison->smaller_layers;
    sides.push_back(std::move(side));
  }
  return sides;
}

const StockItem& best_item(const Telling& t) {
  return t.inputs->stock.items[static_cast<std::size_t>(t.comparison->pairs.ranking.front().item)];
}

const Advice* advice_of(const Telling& t, const Side& side) {
  return side.index < t.comparison->advice.size() ? &t.comparison->advice[side.index] : nullptr;
}

std::string client_name(const Telling& t) {
  return t.visit != nullptr && !t.visit->client.empty() ? t.visit->client : "the dancer";
}

std::string mm(double value) { return figure(value, 1); }

std::string measured(const foot::Foot& foot, const char* key) {
  const auto found = foot.measurements.find(key);
  return found == foot.measurements.end() ? "-" : mm(found->second.value);
}

std::vector<std::string> choice(const Telling& t, const char* first) {
  const Comparison& c = *t.comparison;
  std::vector<std::string> lines = {headline(t, first) + "."};
  const char* larger = c.difference.right_is_larger ? "right" : "left";
  const char* smaller = c.difference.right_is_larger ? "left" : "right";
  if (!c.difference.even)
    lines.push_back(
        fmt::format("Feet are seldom alike: the {} foot is the larger, so the shoe is fitted to it and the {} "
                    "one is padded.",
                    larger, smaller));
  for (std::string& line : ties_and_split(t)) lines.push_back(std::move(line));
  return lines;
}

/// What is said of one foot or of both, each thing once.
class OfFeet {
 public:
  void add(const std::string& words, const char* side) {
    for (auto& [known, of] : said_)
      if (known == words && of != side) {
        of = "Both feet";
        return;
      }
    said_.emplace_back(words, side);
  }
  std::vector<std::string> lines() const {
    std::vector<std::string> lines;
    for (const auto& [words, of] : said_)
      lines.push_back(fmt::format("{}: {}.", of == "left" ? "Left foot" : of == "right" ? "Right foot" : of, words));
    return lines;
  }

 private:
  std::vector<std::pair<std::string, std::string>> said_;
};

/// What is seen in that shoe, in the rules' plain words.
std::vector<std::string> what_is_seen(const Telling& t) {
  OfFeet seen;
  const auto& answers = t.comparison->pairs.ranking.front().answers;
  for (const Side& side : sides_of(t)) {
    if (side.index >= answers.size()) continue;
    const auto all = raised(t.inputs->rules, answers[side.index]);
    for (std::size_t i = 0; i < std::min<std::size_t>(2, all.size()); ++i)
      seen.add(fmt::format("{} - {}", grade_names[static_cast<int>(all[i].rule->grade)], all[i].rule->cause),
               side.name);
  }
  const auto lines = seen.lines();
  return lines.empty() ? std::vector<std::string>{"Nothing to fault was found in this pair."} : lines;
}

/// One amount for each kind of change, the one that helped most; a pair is ordered in one size, by the larger foot.
std::vector<std::string> what_helps(const Telling& t) {
  if (t.comparison->advice.empty()) return {"No changes were tried."};
  OfFeet helps;
  std::vector<Side> sides = sides_of(t);
  std::sort(sides.begin(), sides.end(), [](const Side& a, const Side& b) { return a.index < b.index; });
  std::map<std::string, Try> of_pair;
  for (const Side& side : sides) {
    const Advice* advice = advice_of(t, side);
    if (advice == nullptr) continue;
    std::vector<std::string> kinds;
    for (const Offer& offer : advice->offers) {
      if (kinds.size() == 2) break;
      if (std::find(kinds.begin(), kinds.end(), offer.attempt.change) != kinds.end()) continue;
      const Change* change = change_named(offer.attempt.change);
      if (change != nullptr && change->reach <= Reach::order &&
          of_pair.emplace(offer.attempt.change, offer.attempt).first->second != offer.attempt)
        continue;
      kinds.push_back(offer.attempt.change);
      helps.add(words(offer.attempt), side.name);
    }
  }
  const auto lines = helps.lines();
  return lines.empty() ? std::vector<std::string>{"No change is needed, or none that was tried helps."} : lines;
}

report::PagePart feet(const Telling& t) {
  report::PagePart part{"Feet, standing, mm", {}, {"", {"", "left", "right"}, {}}};
  const foot::Foot &left = *t.inputs->left.foot, &right = *t.inputs->right.foot;
  const auto row = [&](const char* name, const std::string& l, const std::string& r) {
    part.grid.rows.push_back({name, l, r});
  };
  row("foot length", mm(left.length_mm), mm(right.length_mm));
  row("foot breadth", mm(left.breadth_mm), mm(right.breadth_mm));
  row("breadth, no weight, squeezed by hand", mm(left.breadth_squeezed_mm), mm(right.breadth_squeezed_mm));
  for (const auto& [name, key] : {std::pair{"ball girth", "ball_girth_mm"},
                                  {"heel breadth", "heel_breadth_mm"},
                                  {"heel-ankle girth", "heel_ankle_girth_mm"},
                                  {"arch height", "arch_height_mm"}})
    row(name, measured(left, key), measured(right, key));
  const auto size = [](const foot::Foot& foot) {
    return shoe::designation(shoe::mondopoint_size(foot.length_mm, foot.breadth_mm));
  };
  row("Mondopoint size", size(left), size(right));
  const auto l = traits_of(left), r = traits_of(right);
  for (std::size_t i = 0; i < l.size(); ++i) row(l[i].name.c_str(), l[i].words, r[i].words);
  return part;
}

std::string dimension(const shoe::ShoeParameters& p, double shoe::ShoeParameters::*member, int decimals) {
  return figure(p.*member, decimals);
}

struct Dimension {
  const char* name;
  double shoe::ShoeParameters::*member;
  int decimals;
};

const std::vector<Dimension>& box_dimensions() {
  using P = shoe::ShoeParameters;
  static const std::vector<Dimension> all = {{"inner length", &P::inner_length_mm, 1},
                                             {"inner ball breadth", &P::ball_breadth_mm, 1},
                                             {"platform breadth", &P::platform_breadth_mm, 1},
                                             {"platform height", &P::platform_height_mm, 1},
                                             {"crown", &P::crown_height_mm, 1},
                                             {"medial wing", &P::wing_medial_mm, 1},
                                             {"lateral wing", &P::wing_lateral_mm, 1},
                                             {"vamp length", &P::vamp_length_mm, 1},
                                             {"back seam", &P::back_seam_height_mm, 1},
                                             {"heel seat breadth", &P::heel_seat_breadth_mm, 1},
                                             {"shank length", &P::shank_length_mm, 0},
                                             {"shank stiffness, N m\u00b2", &P::shank_EI_Nm2, 3}};
  return all;
}

/// Each foot's shoe as it stands on the shelf, and with the first change that is ordered rather than done at the bench.
report::PagePart order(const Telling& t) {
  report::PagePart part{"Shoe and order sheet, mm inside", {}, {"", {"", "on the shelf"}, {}}};
  std::vector<shoe::ShoeParameters> ordered;
  std::vector<std::string> why;
  const auto sides = sides_of(t);
  for (const Side& side : sides) {
    const shoe::ShoeParameters shelf = worn(best_item(t).shoe, side.worn);
    shoe::ShoeParameters to_order = shelf;
    std::string said = "as on the shelf";
    if (const Advice* advice = advice_of(t, side))
      for (const Offer& offer : advice->offers) {
        if (change_named(offer.attempt.change)->reach > Reach::order) continue;
        if (const auto changed = altered(shelf, offer.attempt, side.bare->foot->side)) {
          to_order = *changed;
          said = words(offer.attempt);
          break;
        }
      }
    part.grid.columns.push_back(fmt::format("order, {}", side.name));
    ordered.push_back(to_order);
    why.push_back(fmt::format("{}: {}", side.name, said));
  }
  for (const Dimension& d : box_dimensions()) {
    std::vector<std::string> row = {d.name, dimension(best_item(t).shoe, d.member, d.decimals)};
    for (const shoe::ShoeParameters& p : ordered) {
      const std::string text = dimension(p, d.member, d.decimals);
      row.push_back(text == row[1] ? text : text + "  (changed)");
    }
    part.grid.rows.push_back(std::move(row));
  }
  part.lines = {fmt::format("{}: {}; {} on the shelf", best_item(t).label, item_words(best_item(t)),
                            counted(best_item(t).pairs, "pair")),
                fmt::format("To order: {}; {}. Each change was solved alone.", why[0], why[1])};
  return part;
}

report::PagePart alterations(const Telling& t) {
  report::PagePart part{"Alterations, each solved again by itself",
                        {},
                        {"", {"change", "foot", "because", "before and after; limit"}, {}}};
  for (const Side& side : sides_of(t))
    if (const Advice* advice = advice_of(t, side))
      for (const Offer& offer : advice->offers) {
        const std::string change = words(offer.attempt);
        part.grid.rows.push_back({change, side.name, because(offer), before_and_after(offer)});
      }
  if (part.grid.rows.empty())
    part.lines.emplace_back(t.comparison->advice.empty() ? "not tried" : "none that was tried helps");
  return part;
}

report::PagePart ribbons(const Telling& t) {
  report::PagePart part{"Ribbons, elastics and what is laid in", {}, {"", {"", "left", "right"}, {}}};
  using P = shoe::ShoeParameters;
  std::vector<shoe::ShoeParameters> shoes;
  for (const Side& side : sides_of(t)) {
    shoe::ShoeParameters p = worn(best_item(t).shoe, side.worn);
    if (const Advice* advice = advice_of(t, side))
      for (const Offer& offer : advice->offers) {
        if (change_named(offer.attempt.change)->reach != Reach::fitting) continue;
        if (const auto changed = altered(p, offer.attempt, side.bare->foot->side)) p = *changed;
        break;
      }
    shoes.push_back(std::move(p));
  }
  for (const Dimension& d :
       {Dimension{"ribbon and elastic, mm from the heel along the sole", &P::ribbon_from_heel_mm, 0},
        Dimension{"ribbon and elastic, N", &P::elastic_N, 0}, Dimension{"drawstring, N", &P::drawstring_N, 0}})
    part.grid.rows.push_back(
        {d.name, dimension(shoes[0], d.member, d.decimals), dimension(shoes[1], d.member, d.decimals)});
  const auto layers = [](const shoe::ShoeParameters& p) {
    return fmt::format("{}", fmt::join(layer_words(p.layers), "; "));
  };
  part.grid.rows.push_back({"laid in", layers(shoes[0]), layers(shoes[1])});
  return part;
}

report::PagePart pressure(const Telling& t) {
  report::PagePart part{"Peak pressure on the skin, kPa, shown and not graded", {}, {"", {"", "left", "right"}, {}}};
  const auto cell = [](const std::string& kPa) { return kPa.empty() ? std::string("-") : kPa; };
  for (const PeakRow& row : peaks_of(t))
    part.grid.rows.push_back({row.position, cell(row.left_kPa), cell(row.right_kPa)});
  if (part.grid.rows.empty()) part.lines.emplace_back("not solved");
  return part;
}

/// What was found on each foot, with the evidence.
report::PagePart found(const Telling& t) {
  report::PagePart part{"What was found", {}};
  const Standing& best = t.comparison->pairs.ranking.front();
  for (const Side& side : sides_of(t))
    if (side.index < best.answers.size())
      for (const std::string& line : reasons(t.inputs->rules, best.answers[side.index]))
        part.lines.push_back(fmt::format("{}: {}", side.name, line));
  if (part.lines.empty()) part.lines.emplace_back("nothing to fault");
  return part;
}

report::FittingPage page_of(const Telling& t, std::string title, std::string subtitle) {
  report::FittingPage page;
  page.title = std::move(title);
  page.subtitle = std::move(subtitle);
  page.date = t.date;
  page.version = t.version;
  return page;
}

}  // namespace

report::FittingPage client_page(const Telling& t) {
  report::FittingPage page =
      page_of(t, fmt::format("Pointe shoes for {}", client_name(t)),
              "What was found at the fitting, in plain words. Take it home and show it to the teacher.");
  const report::PagePart cautions{"Cautions", cautions_of(t)};
  const bool first = t.visit != nullptr && stops(*t.visit);
  if (first) page.parts.push_back(cautions);
  page.parts.push_back({"Which pair", choice(t, "Try this pair first")});
  page.parts.push_back({"What was seen in it", what_is_seen(t)});
  page.parts.push_back({"What helps, to be tried on the foot", what_helps(t)});
  page.parts.push_back(
      {"Care",
       {"Let the shoes dry for a day between classes; damp shoes are soft and hold less.",
        "Come back when they feel soft under the arch, when toes begin to hurt, or after three months.",
        "Bring the tights and padding that are worn in class: they were counted in."}});
  if (!first) page.parts.push_back(cautions);
  return page;
}

report::FittingPage workshop_page(const Telling& t) {
  report::FittingPage page = page_of(
      t, fmt::format("Workshop: {}", best_item(t).label),
      fmt::format("for {}; lengths in mm; numbers are estimates of a model, checked on the foot before anything is cut",
                  client_name(t)));
  page.parts.push_back({"Which pair", choice(t, "Bring out first")});
  page.parts.push_back(feet(t));
  page.parts.push_back(order(t));
  page.parts.push_back(alterations(t));
  page.parts.push_back(ribbons(t));
  page.parts.push_back(found(t));
  page.parts.push_back(pressure(t));
  if (!t.comparison->lacks.empty()) {
    report::PagePart part{"What the shelf lacks", {}};
    for (const Lack& lack : t.comparison->lacks) part.lines.push_back(lack.words);
    page.parts.push_back(std::move(part));
  }
  page.parts.push_back({"The visit", visit_lines(t)});
  page.parts.push_back({"Cautions", cautions_of(t)});
  return page;
}

}  // namespace aplomb::shop
