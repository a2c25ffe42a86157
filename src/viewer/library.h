// The program's own data, read once: template, shape model, prior, constants, shaders, fonts.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "aplomb/bands/ranges.h"
#include "aplomb/foot/prior.h"
#include "aplomb/foot/shape.h"
#include "aplomb/io/error.h"
#include "aplomb/shop/rules.h"
#include "aplomb/stance/constants.h"

namespace aplomb::viewer {

struct Library {
  std::filesystem::path data, shaders;
  std::shared_ptr<const foot::ShapeModel> model;
  std::shared_ptr<const foot::Prior> prior;
  stance::Constants constants;
  std::vector<bands::GuessRange> ranges;              ///< how far guesses among the constants may be off
  std::map<std::string, std::string> constant_notes;  ///< what meshes/constants.toml says of each: "[G] 0.3-0.8"
  std::shared_ptr<const shop::Rules> rules;           ///< null where rules.toml cannot be read
  std::string rules_complaint;                        ///< why
  std::string version;
};

/// Reads the template and the prior; takes most of a second. Errors: as the readers.
io::Result<Library> load_library(const std::filesystem::path& data, const stance::Constants& constants,
                                 const std::string& version);

}  // namespace aplomb::viewer
