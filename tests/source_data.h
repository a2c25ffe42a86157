// The data of the source tree, for tests of any part: folders, foot template and its model, prior.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <catch2/catch.hpp>
#include <filesystem>

#include "aplomb/foot/prior.h"
#include "aplomb/foot/shape.h"
#include "aplomb/foot/template.h"

namespace aplomb::source_data {

/// The value, or the test fails with the error's line.
template <class T>
T need(io::Result<T> result) {
  if (!result) FAIL(io::to_line(result.error()));
  return std::move(*result);
}

inline std::filesystem::path project() { return APLOMB_SOURCE_DIR; }
inline std::filesystem::path meshes() { return std::filesystem::path(APLOMB_SOURCE_DIR) / "meshes"; }
inline std::filesystem::path shoe_file(const std::string& name) { return meshes() / "shoes" / (name + ".toml"); }

inline const foot::ShapeModel& model() {
  static const foot::ShapeModel model = foot::make_shape_model(need(foot::load_template(meshes() / "foot")));
  return model;
}

inline const foot::Prior& prior() {
  static const foot::Prior prior = need(foot::read_prior(meshes() / "foot" / "prior.json"));
  return prior;
}

}  // namespace aplomb::source_data
