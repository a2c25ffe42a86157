// The sample feet and the twelve of tests/shop/feet, read once per program.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <unistd.h>

#include <algorithm>
#include <cstdlib>
#include <map>
#include <memory>
#include <string>

#include "../source_data.h"
#include "aplomb/foot/fit.h"
#include "aplomb/io/files.h"
#include "aplomb/shoe/parameters.h"
#include "aplomb/shop/search.h"

namespace aplomb::shop::test {

using source_data::need;

inline FootPtr foot_of(const std::filesystem::path& card) {
  static std::map<std::string, FootPtr> known;
  FootPtr& foot = known[card.string()];
  if (!foot)
    foot = std::make_shared<const foot::Foot>(
        need(foot::fit_card(need(foot::read_card(card)), source_data::model(), source_data::prior())));
  return foot;
}

inline std::filesystem::path case_file(const std::string& name, const std::string& file) {
  return source_data::project() / "tests/shop/feet" / name / file;
}

inline Wearer wearer_of(const std::filesystem::path& card) { return {foot_of(card), card.string(), {}}; }
/// The card's foot with every number one percent up or down, or by its caliper's SD where that is less; length against
/// the rest.
inline Wearer off_by_calipers(const std::filesystem::path& file, double sign) {
  foot::Card card = need(foot::read_card(file));
  for (int number = 0; number < foot::dimension_count; ++number)
    if (auto& value = card.numbers[static_cast<std::size_t>(number)]) {
      const double sd = foot::number_table()[static_cast<std::size_t>(number)].caliper_sd;
      *value += sign * (number == foot::foot_length ? 1 : -1) * std::min(0.01 * *value, sd);
    }
  return {std::make_shared<const foot::Foot>(need(foot::fit_card(card, source_data::model(), source_data::prior()))),
          file.string() + (sign > 0 ? " up" : " down"),
          {}};
}

inline Wearer right_sample() { return wearer_of(source_data::meshes() / "feet/sample.toml"); }
inline Wearer left_sample() { return wearer_of(source_data::meshes() / "feet/sample_left.toml"); }
inline const Rules& house_rules() {
  static const Rules rules = need(read_rules(source_data::meshes() / "rules.toml"));
  return rules;
}

/// Answers of a long run are kept in $APLOMB_SHELF, if that is set, so that it can be stopped and go on.
inline bool keep(Memory& memory, const char* name) {
  const char* folder = std::getenv("APLOMB_SHELF");
  if (folder != nullptr) REQUIRE(memory.keep_in((std::filesystem::path(folder) / name).string()));
  return folder != nullptr;
}

/// Shoes of the three sample designs: every length, breadth and shank, `count` at most.
inline std::vector<StockItem> shelf(const std::vector<int>& lengths, const std::vector<int>& breadths,
                                    const std::vector<double>& shanks, std::size_t count) {
  std::string csv = "label,design,length_mm,breadth_mm,shank,pairs\n";
  std::size_t made = 0;
  for (const int length : lengths)
    for (const int breadth : breadths)
      for (const double shank : shanks)
        for (const char* design : {"tapered", "parallel", "deep_box"})
          if (made++ < count)
            csv += std::string(design) + "-" + std::to_string(made) + "," + design + "," + std::to_string(length) +
                   "," + std::to_string(breadth) + "," + std::to_string(shank) + ",1\n";
  const auto file = std::filesystem::temp_directory_path() / ("aplomb_shelf_" + std::to_string(::getpid()) + ".csv");
  REQUIRE(io::write_file(file, csv));
  std::vector<StockItem> items = need(read_stock(file, source_data::meshes() / "shoes")).items;
  std::filesystem::remove(file);
  return items;
}

}  // namespace aplomb::shop::test
