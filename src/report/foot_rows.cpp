// Numbers of a foot in words. Every word about a number is here, so that table and sheet cannot disagree.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/report/foot_rows.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <iterator>

#include "aplomb/foot/numbers.h"
#include "aplomb/report/rows.h"
#include "columns.h"
#include "quantity.h"

namespace aplomb::report {

namespace {

const char* const dimension_names[] = {"Foot length",      "Ball length",      "Foot breadth",  "Heel breadth",
                                       "Ball girth",       "Heel-ankle girth", "Ankle girth",   "Ankle breadth",
                                       "Malleolus height", "Arch height",      "Instep height", "Hallux angle"};

static_assert(std::size(dimension_names) == foot::toe_length);

/// The order in which a fitter takes them: caliper, tape, heights, then each toe, then what is not the standing foot.
struct Group {
  std::string title;
  std::vector<int> numbers;
};

std::vector<Group> groups() {
  using namespace foot;
  std::vector<Group> all = {{"Lengths and breadths",
                             {foot_length, ball_length, foot_breadth, heel_breadth, bimalleolar_breadth, hallux_angle}},
                            {"Tape", {ball_girth, heel_ankle_girth, ankle_girth}},
                            {"Heights", {lateral_malleolus_height, arch_height, instep_height}}};
  for (int toe = 0; toe < toe_count; ++toe) {
    std::string title = std::string(toe_names[toe]) + " toe";
    if (toe == 0) title = toe_names[toe];
    title[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(title[0])));
    all.push_back({title, {toe_length + toe, toe_breadth + toe, toe_height + toe, toe_lift + toe, toe_bend + toe}});
  }
  all.push_back({"Without weight, movement, body", {breadth_relaxed, breadth_squeezed, plantarflexion, mass, age}});
  return all;
}

/// What is surprising, in words; empty when nothing is.
std::string remark_on(const foot::Surprise& surprise, const std::string& unit) {
  if (std::abs(surprise.sds()) < unusual_sds) return {};
  return fmt::format(
      "unusual: {:.1f} SD {} the {:.1f} {} that her other numbers make likely; measure again if in doubt",
      std::abs(surprise.sds()), surprise.sds() > 0 ? "above" : "below", surprise.expected, unit);
}

}  // namespace

std::string FootRow::with_band() const {
  return band.empty() ? fmt::format("{} {}", value, unit) : fmt::format("{} \u00b1 {} {}", value, band, unit);
}

std::string number_name(int number) {
  if (number < foot::toe_length) return dimension_names[number];
  switch (number) {
    case foot::breadth_relaxed:
      return "Relaxed breadth";
    case foot::breadth_squeezed:
      return "Squeezed breadth";
    case foot::plantarflexion:
      return "Pointing range";
    case foot::mass:
      return "Body mass";
    case foot::age:
      return "Age";
    default:
      break;
  }
  constexpr const char* const what[] = {"length", "breadth", "height", "bend", "lift"};
  std::string toe = foot::toe_names[(number - foot::toe_length) % foot::toe_count];
  toe[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(toe[0])));
  return fmt::format("{}, {}", toe, what[(number - foot::toe_length) / foot::toe_count]);
}

std::string number_unit(int number) {
  const std::string& key = foot::number_table()[number].key;
  return key.substr(key.rfind('_') + 1);
}

std::vector<FootSection> foot_sections(const foot::Foot& foot, const std::vector<foot::Surprise>& surprises) {
  std::vector<FootSection> sections;
  for (const Group& group : groups()) {
    FootSection section{group.title, {}};
    for (const int number : group.numbers) {
      const std::string& key = foot::number_table()[number].key;
      const auto found = foot.measurements.find(key);
      if (found == foot.measurements.end()) continue;
      const foot::Measurement& measurement = found->second;
      const Quantity plain{1, ""};
      FootRow row{.number = number,
                  .key = key,
                  .name = number_name(number),
                  .value = text(measurement.value, plain),
                  .unit = number_unit(number),
                  .band = measurement.sd > 0 ? text(half_band_sds * measurement.sd, plain) : "",
                  .source = measurement.source,
                  .against_card = "",
                  .remark = ""};
      if (const auto residual = foot.residual.find(key); residual != foot.residual.end())
        row.against_card = text(residual->second, {1, "", true});
      for (const foot::Surprise& surprise : surprises)
        if (surprise.number == number) row.remark = remark_on(surprise, row.unit);
      section.rows.push_back(std::move(row));
    }
    if (!section.rows.empty()) sections.push_back(std::move(section));
  }
  return sections;
}

std::string foot_heading(const foot::Foot& foot) {
  return fmt::format("{} foot", foot.side == foot::Side::left ? "LEFT" : "RIGHT");
}

std::string sources_counted(const std::vector<FootSection>& sections) {
  std::vector<std::pair<std::string, int>> counts;
  for (const FootSection& section : sections) {
    for (const FootRow& row : section.rows) {
      const auto found =
          std::find_if(counts.begin(), counts.end(), [&](const auto& c) { return c.first == row.source; });
      if (found == counts.end())
        counts.emplace_back(row.source, 1);
      else
        ++found->second;
    }
  }
  std::string words;
  for (const auto& [source, count] : counts)
    words += fmt::format("{}{}{} from the {}", words.empty() ? "" : ", ", count,
                         words.empty() ? (count == 1 ? " number" : " numbers") : "", source);
  return words;
}

std::vector<std::string> foot_notes(const foot::Foot& foot, const foot::Prior& prior, foot::Load load) {
  std::vector<std::string> notes = {"Prior: " + foot::prior_words(prior)};
  const double mean = prior.mean[foot::foot_length],
               sd = std::sqrt(prior.covariance(foot::foot_length, foot::foot_length));
  if (std::abs(foot.length_mm - mean) > unusual_sds * sd)
    notes.push_back(
        fmt::format("This foot is {} than nearly all feet of the survey ({:.0f} to {:.0f} mm): what is estimated keeps "
                    "the proportions of its {} feet.",
                    foot.length_mm < mean ? "shorter" : "longer", mean - unusual_sds * sd, mean + unusual_sds * sd,
                    foot.length_mm < mean ? "shortest" : "longest"));
  if (load != foot::Load::standing)
    notes.push_back(
        fmt::format("The numbers are those of the foot {}, as it was measured; a drawing of it standing shows "
                    "it under half her weight.",
                    load == foot::Load::none ? "without weight" : "under all her weight"));
  return notes;
}

std::string foot_table(const std::string& heading, const std::vector<FootSection>& sections,
                       const std::vector<std::string>& notes) {
  constexpr std::size_t most = 110, name = 19, key = 27, value = 7, unit = 5, band = 6, source = 6, rest = 10;
  std::string out = underline(heading);
  out += fmt::format("  {}; \u00b1 is half of the band that holds 90 of 100 (5 to 95 %)\n", sources_counted(sections));
  const auto line = [&](const FootRow& row) {
    std::string words = fmt::format("  {}  {}  {} {}{}  {}{}", left(row.name, name), left(row.key, key),
                                    right(row.value, value), left(row.unit, unit), right(row.band, band),
                                    left(row.source, source), right(row.against_card, rest));
    words.erase(words.find_last_not_of(' ') + 1);
    return words + "\n";
  };
  out += "\n" + line({.number = 0,
                      .key = "key on the card",
                      .name = "number",
                      .value = "value",
                      .unit = "",
                      .band = "\u00b1",
                      .source = "from",
                      .against_card = "fit - card",
                      .remark = ""});
  for (const FootSection& section : sections) {
    out += fmt::format("\n{}\n", section.title);
    for (const FootRow& row : section.rows) {
      out += line(row);
      if (!row.remark.empty()) out += wrapped("    ! ", row.remark, most);
    }
  }
  out += fmt::format("\n{}", underline("What to know"));
  for (const std::string& note : notes) out += wrapped("  - ", note, most);
  out += fmt::format("\n{}", underline("Cautions"));
  for (const std::string& caution : cautions()) out += wrapped("  - ", caution, most);
  return out;
}

}  // namespace aplomb::report
