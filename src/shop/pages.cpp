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
  if (found == foot.measurements.end()) return "-";
  return mm(found->second.value) + (found->second.source == "prior" ? " (usual, not measured)" : "");
}

/// For somebody who has never made a shoe.
std::string plain(std::string words) {
  for (const auto& [term, said] : {std::pair<std::string_view, std::string_view>{"hallux", "big toe"},
                                   {"medial wing", "inner wing"},
                                   {"lateral wing", "outer wing"}})
    for (std::size_t at = words.find(term); at != std::string::npos; at = words.find(term, at + said.size()))
      words.replace(at, term.size(), said);
  return words.substr(0, words.find(" (taper"));
}

std::vector<std::string> choice(const Telling& t, const char* first) {
  const Comparison& c = *t.comparison;
  std::vector<std::string> lines = {headline(t, first) + "."};
  const char* larger = c.difference.right_is_larger ? "right" : "left";
  const char* smaller = c.difference.right_is_larger ? "left" : "right";
  if (!c.difference.even)
    lines.push_back(fmt::format(
        "Feet are seldom alike: the {} foot is the larger, so the {} one is padded, and both count.", larger, smaller));
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
    for (const std::string& line : failures(answers[side.index])) seen.add(line, side.name);
    const auto all = raised(t.inputs->rules, answers[side.index]);
    for (std::size_t i = 0; i < std::min<std::size_t>(2, all.size()); ++i)
      seen.add(fmt::format("{} - {}", grade_names[static_cast<int>(all[i].rule->grade)], plain(all[i].rule->cause)),
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
      helps.add(fmt::format("{}, because {}", plain(words(offer.attempt)), plain(offer.cause)), side.name);
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
  row("breadth, no weight, squeezed by hand", measured(left, "foot_breadth_squeezed_mm"),
      measured(right, "foot_breadth_squeezed_mm"));
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
                                             {"taper of the box, 0 to 1", &P::plan_taper, 2},
                                             {"medial wing", &P::wing_medial_mm, 1},
                                             {"lateral wing", &P::wing_lateral_mm, 1},
                                             {"vamp length", &P::vamp_length_mm, 1},
                                             {"back seam", &P::back_seam_height_mm, 1},
                                             {"heel seat breadth", &P::heel_seat_breadth_mm, 1},
                                             {"shank length", &P::shank_length_mm, 0},
                                             {"shank stiffness, N m\u00b2", &P::shank_EI_Nm2, 3}};
  return all;
}

const Offer* first_order(const Telling& t, const Side& side) {
  const Advice* advice = advice_of(t, side);
  if (advice == nullptr) return nullptr;
  const auto found = std::find_if(advice->offers.begin(), advice->offers.end(), [](const Offer& offer) {
    return change_named(offer.attempt.change)->reach <= Reach::order;
  });
  return found == advice->offers.end() ? nullptr : &*found;
}

bool is_size(const Offer* offer) {
  return offer != nullptr && change_named(offer->attempt.change)->reach == Reach::size;
}

/// What each foot's shoe is ordered with: the first change that is ordered rather than done at the bench. A pair is of
/// one size, the larger foot's, which is solved for the foot that asks for it.
std::map<std::string, const Offer*> orders(const Telling& t) {
  std::vector<Side> sides = sides_of(t);
  std::sort(sides.begin(), sides.end(), [](const Side& a, const Side& b) { return a.index < b.index; });
  std::map<std::string, const Offer*> of;
  for (const Side& side : sides) of[side.name] = first_order(t, side);
  const Offer* size = is_size(of[sides[0].name]) ? of[sides[0].name] : nullptr;
  if (size == nullptr && is_size(of[sides[1].name])) size = of[sides[1].name];
  if (size != nullptr)
    for (auto& [side, offer] : of) offer = size;
  return of;
}

/// Each foot's shoe as it stands on the shelf and as it is to be ordered.
report::PagePart order(const Telling& t) {
  report::PagePart part{"Shoe and order sheet, mm inside", {}, {"", {"", "on the shelf"}, {}}};
  const StockItem& item = best_item(t);
  std::vector<shoe::ShoeParameters> ordered;
  std::vector<std::string> why;
  const auto of = orders(t);
  for (const Side& side : sides_of(t)) {
    shoe::ShoeParameters to_order = worn(item.shoe, side.worn);
    std::string said = "as on the shelf";
    if (const Offer* offer = of.at(side.name))
      if (const auto changed = altered(to_order, offer->attempt, side.bare->foot->side)) {
        to_order = *changed;
        said = words(offer->attempt);
      }
    part.grid.columns.push_back(fmt::format("order, {}", side.name));
    ordered.push_back(to_order);
    why.push_back(fmt::format("{}: {}", side.name, said));
  }
  const auto row = [&](const char* name, const auto& text_of) {
    std::vector<std::string> cells = {name, text_of(item.shoe)};
    for (const shoe::ShoeParameters& p : ordered) {
      const std::string text = text_of(p);
      cells.push_back(text == cells[1] ? text : text + "  (changed)");
    }
    part.grid.rows.push_back(std::move(cells));
  };
  for (const Dimension& d : box_dimensions())
    row(d.name, [&](const shoe::ShoeParameters& p) { return dimension(p, d.member, d.decimals); });
  if (item.shank_mm > 0)  // told by its thickness on the shelf
    row("shank thickness", [](const shoe::ShoeParameters& p) { return mm(shoe::shank_thickness_mm(p.shank_EI_Nm2)); });
  row("cut", [](const shoe::ShoeParameters& p) -> std::string {
    return p.cut == shoe::Cut::straight ? "straight" : p.cut == shoe::Cut::right ? "right" : "left";
  });
  part.lines = {fmt::format("{}: {}; {} on the shelf", item.label, item_words(item), counted(item.pairs, "pair")),
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
  struct Laid {
    shoe::ShoeParameters now, proposed;
  };
  std::vector<Laid> shoes;
  for (const Side& side : sides_of(t)) {
    Laid laid{worn(best_item(t).shoe, side.worn), {}};
    laid.proposed = laid.now;
    if (const Advice* advice = advice_of(t, side))
      for (const Offer& offer : advice->offers) {
        if (change_named(offer.attempt.change)->reach != Reach::fitting) continue;
        if (const auto changed = altered(laid.now, offer.attempt, side.bare->foot->side)) laid.proposed = *changed;
        break;
      }
    shoes.push_back(std::move(laid));
  }
  const auto both = [](const std::string& now, const std::string& proposed) {
    const std::string is = now.empty() ? "nothing" : now;
    return now == proposed ? is : fmt::format("{} (proposed: {})", is, proposed);
  };
  for (const Dimension& d :
       {Dimension{"ribbon and elastic, mm from the heel along the sole", &P::ribbon_from_heel_mm, 0},
        Dimension{"ribbon and elastic, N", &P::elastic_N, 0}, Dimension{"drawstring, N", &P::drawstring_N, 0}}) {
    std::vector<std::string> row = {d.name};
    for (const Laid& laid : shoes)
      row.push_back(both(dimension(laid.now, d.member, d.decimals), dimension(laid.proposed, d.member, d.decimals)));
    part.grid.rows.push_back(std::move(row));
  }
  const auto layers = [](const shoe::ShoeParameters& p) {
    return fmt::format("{}", fmt::join(layer_words(p.layers), "; "));
  };
  part.grid.rows.push_back({"laid in", both(layers(shoes[0].now), layers(shoes[0].proposed)),
                            both(layers(shoes[1].now), layers(shoes[1].proposed))});
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
