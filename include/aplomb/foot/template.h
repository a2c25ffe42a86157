// Reading and writing the template: the mean foot, standing, 240 mm long, that every fit starts from.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>

#include "aplomb/foot/foot.h"
#include "aplomb/io/error.h"

namespace aplomb::foot {

/// The one version of the template's files that this program writes; a newer one is refused.
inline constexpr int template_format_version = 2;

/// Foot length of the template, mm.
inline constexpr double template_length_mm = 240.0;

/// Reads `template.json` and `template.bin` from `folder` (meshes/foot). Frame F, mm, degrees; side right; mass, age
/// and measurements unset; shape and covariance empty; template_hash is the content hash stored in the file and checked
/// here. Everything is checked: counts, indices, weights (>= 0, sum 1 to 1e-12), thickness > 0, contact areas > 0,
/// joint ranges (min <= 0 <= max), unit axes, finite numbers. Errors (bad_input): missing, truncated or changed files,
/// a newer format_version, anything out of those bounds.
io::Result<Foot> load_template(const std::filesystem::path& folder);

/// Writes both files into `folder`, byte for byte the same for the same foot. Errors: cannot_write.
io::Result<void> write_template(const Foot& foot, const std::filesystem::path& folder);

/// Content hash (io/files.h) of what write_template() stores: equal hashes, equal templates.
std::string template_hash(const Foot& foot);

/// What is wrong with the foot's arrays, by the bounds of load_template(); empty when nothing is.
std::string template_fault(const Foot& foot);

}  // namespace aplomb::foot
