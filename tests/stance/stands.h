// Whole stands of the sample foot and the sample shoes, each with something changed.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <catch2/catch.hpp>
#include <functional>
#include <memory>
#include <string>

#include "../source_data.h"
#include "aplomb/findings/assess.h"
#include "aplomb/foot/fit.h"
#include "aplomb/stance/stand.h"

namespace aplomb::stance::test {

using namespace source_data;

using FootPtr = std::shared_ptr<const foot::Foot>;
using ShoePtr = std::shared_ptr<const shoe::Shoe>;

/// The foot of the sample card with `change` made to the card.
inline FootPtr make_foot(const std::function<void(foot::Card&)>& change = {}) {
  foot::Card card = need(foot::read_card(meshes() / "feet" / "sample.toml"));
  if (change) change(card);
  // Causes may lie outside what is likely.
  return std::make_shared<const foot::Foot>(
      need(foot::fit_card(card, model(), prior(), {.accept_unlikely = {}, .unlikely_sds = 100})));
}

/// A sample shoe ("tapered", "parallel", "deep_box") with `change` made to its numbers.
inline ShoePtr make_shoe(const std::string& name, const std::function<void(shoe::ShoeParameters&)>& change = {}) {
  shoe::ShoeParameters numbers = need(shoe::read_shoe(shoe_file(name)));
  if (change) change(numbers);
  return std::make_shared<const shoe::Shoe>(need(shoe::make_shoe(numbers)));
}

inline const FootPtr& sample_foot() {
  static const FootPtr foot = make_foot();
  return foot;
}

/// A stand with its findings; converged, or the test fails.
struct Stood {
  Stance stance;
  findings::Findings findings;
};

inline Stood stood(const FootPtr& foot, const ShoePtr& shoe, const StandOptions& options = {}) {
  Stood out{need(stand(foot, shoe, options)), {}};
  INFO(out.stance.rest().reason);
  REQUIRE(out.stance.rest().converged);
  out.findings = findings::assess(out.stance);
  return out;
}

/// What the solver says of a balance. Physics asks for 1e-4; it is set to 1e-8.
inline void check_residuals(const contact::Equilibrium& state) {
  CHECK(state.force_residual <= 1e-4);
  CHECK(state.moment_residual <= 1e-4);
  CHECK(state.joint_residual <= 1e-4);
  CHECK(state.rod_residual <= 1e-4);
}

}  // namespace aplomb::stance::test
