// Foot files (.foot.json), and loading a foot from whatever the user names.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <optional>
#include <string_view>

#include "aplomb/foot/fit.h"
#include "aplomb/foot/foot.h"
#include "aplomb/io/error.h"
#include "aplomb/io/json.h"

namespace aplomb::foot {

inline constexpr int foot_file_version = 1;

/// {format "aplomb-foot", format_version, side, template_hash, shape[], covariance[][], measurements{name: {value, sd,
/// source}}, residual{}}. Holds no geometry: the template and these make the same bits again. Mass and age are
/// measurements.
io::Json foot_json(const Foot& foot);

/// The foot that a foot file describes. Errors (bad_input): see io::read_json(); another template; numbers out of
/// range; a shape or covariance of the wrong size.
io::Result<Foot> read_foot_file(const std::filesystem::path& file, const Foot& mean);

/// Writes foot_json(). Errors: cannot_write.
io::Result<void> write_foot_file(const Foot& foot, const std::filesystem::path& file);

/// Body mass as the text of a card or a foot file says it; nothing where it does not, or cannot be read, of which
/// reading the foot tells.
std::optional<double> mass_in(std::string_view text);

/// A card (.toml) or a foot file (.json), with template and prior from `data_folder`/foot (see io::data_folder()).
/// FitOptions::mass_kg counts before what either says.
/// Errors: those of reading and fitting; bad_input for any other kind of file.
io::Result<Foot> load_foot(const std::filesystem::path& file, const std::filesystem::path& data_folder,
                           const FitOptions& options = {});

}  // namespace aplomb::foot
