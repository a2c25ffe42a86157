// The sample foot and a sample shoe, read once per program.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>

#include "../source_data.h"
#include "aplomb/foot/fit.h"
#include "aplomb/shoe/shoe.h"

namespace aplomb::bands::test {

using source_data::need;

inline std::shared_ptr<const foot::Foot> card_foot() {
  static const auto foot = std::make_shared<const foot::Foot>(
      need(foot::fit_card(need(foot::read_card(source_data::meshes() / "feet" / "sample.toml")), source_data::model(),
                          source_data::prior())));
  return foot;
}

inline std::shared_ptr<const shoe::Shoe> sample_shoe() {
  static const auto shoe = std::make_shared<const shoe::Shoe>(
      need(shoe::make_shoe(need(shoe::read_shoe(source_data::shoe_file("tapered"))))));
  return shoe;
}

}  // namespace aplomb::bands::test
