// What the study tests share: the data of the source tree.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <catch2/catch.hpp>
#include <string>

#include "aplomb/foot/template.h"
#include "aplomb/study/population.h"

namespace aplomb::study::test {

template <class T>
T need(io::Result<T> result) {
  if (!result) FAIL(io::to_line(result.error()));
  return std::move(*result);
}

inline std::string meshes(const std::string& below) { return std::string(APLOMB_SOURCE_DIR) + "/meshes/" + below; }

inline const foot::ShapeModel& model() {
  static const foot::ShapeModel model = foot::make_shape_model(need(foot::load_template(meshes("foot"))));
  return model;
}

inline const foot::Prior& prior() {
  static const foot::Prior prior = need(foot::read_prior(meshes("foot/prior.json")));
  return prior;
}

inline shoe::ShoeParameters sample_shoe(const std::string& name) {
  return need(shoe::read_shoe(meshes("shoes/" + name + ".toml")));
}

}  // namespace aplomb::study::test
