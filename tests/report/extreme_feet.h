// Invented feet at the edges of what fitters meet, fitted from short cards: for drawings and words that must hold for
// all of them.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "../source_data.h"
#include "aplomb/foot/card.h"
#include "aplomb/foot/fit.h"

namespace aplomb::report::test {

struct NamedFoot {
  std::string name;
  foot::Foot foot;
};

/// Fits the card text; what is unlikely is meant.
inline foot::Foot fitted(const std::string& card) {
  const foot::Card read = source_data::need(foot::parse_card(card, "card.toml"));
  foot::FitOptions options;
  options.unlikely_sds = 1e9;
  return source_data::need(foot::fit_card(read, source_data::model(), source_data::prior(), options));
}

inline const std::vector<NamedFoot>& extreme_feet() {
  static const std::vector<NamedFoot> feet = [] {
    const std::string right = "side = \"right\"\n", left = "side = \"left\"\n";
    std::vector<NamedFoot> all;
    const auto add = [&](const std::string& name, const std::string& card) { all.push_back({name, fitted(card)}); };
    add("usual", right + "foot_length_mm = 238\nfoot_breadth_mm = 89\nmass_kg = 52\nage_years = 17\n");
    add("smallest", right + "foot_length_mm = 125\nfoot_breadth_mm = 52\n");
    add("child, left", left + "foot_length_mm = 180\nfoot_breadth_mm = 68\nball_length_mm = 131\n");
    add("longest", right + "foot_length_mm = 328\nfoot_breadth_mm = 118\n");
    add("broad", left + "foot_length_mm = 222\nfoot_breadth_mm = 101\nheel_breadth_mm = 55\n");
    add("narrow", right + "foot_length_mm = 268\nfoot_breadth_mm = 84\n");
    add("Greek", right +
                     "foot_length_mm = 240\nfoot_breadth_mm = 88\n[toes.hallux]\nlength_mm = 58\n[toes.second]\n"
                     "length_mm = 64\n");
    add("bunion", right + "foot_length_mm = 242\nfoot_breadth_mm = 98\nhallux_angle_deg = 36\n");
    add("hammer toe, left", left +
                                "foot_length_mm = 236\nfoot_breadth_mm = 88\n[toes.second]\nbend_deg = 40\n"
                                "[toes.little]\nlift_mm = 6\n");
    add("flat", right + "foot_length_mm = 245\nfoot_breadth_mm = 95\narch_height_mm = 26\ninstep_height_mm = 54\n");
    add("high", left +
                    "foot_length_mm = 232\nfoot_breadth_mm = 84\narch_height_mm = 58\ninstep_height_mm = 76\n"
                    "plantarflexion_deg = 104\n");
    add("points little", right + "foot_length_mm = 240\nfoot_breadth_mm = 90\nplantarflexion_deg = 55\n");
    return all;
  }();
  return feet;
}

}  // namespace aplomb::report::test
