// What the benches of stands start from: the sample foot, read once, and the numbers of a sample shoe.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>
#include <stdexcept>
#include <string>

#include "aplomb/foot/foot_file.h"
#include "aplomb/shoe/shoe.h"

namespace aplomb::bench {

/// The value, or an exception with the error's line, which ends the bench.
template <class T>
T need(io::Result<T> result) {
  if (!result) throw std::runtime_error(io::to_line(result.error()));
  return std::move(*result);
}

inline std::shared_ptr<const foot::Foot> sample_foot() {
  static const auto foot = [] {
    const std::string meshes = std::string(APLOMB_SOURCE_DIR) + "/meshes/";
    return std::make_shared<const foot::Foot>(need(foot::load_foot(meshes + "feet/sample.toml", meshes)));
  }();
  return foot;
}

inline const shoe::ShoeParameters& sample_shoe() {
  static const shoe::ShoeParameters parameters =
      need(shoe::read_shoe(std::string(APLOMB_SOURCE_DIR) + "/meshes/shoes/parallel.toml"));
  return parameters;
}

}  // namespace aplomb::bench
