// A foot from whatever the user names: card, foot file or scan.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <string_view>

#include "aplomb/foot/foot_file.h"
#include "aplomb/scan/fit_scan.h"

namespace aplomb::scan {

/// read_scan() and fit_scan() with template and prior from `data_folder`/foot. `field` as in read_scan().
io::Result<ScanFit> load_scan(const std::filesystem::path& file, const std::filesystem::path& data_folder,
                              const ScanOptions& options, const io::Progress& progress, std::string_view field = {});

/// foot::load_foot() of a card or a foot file; of a scan the foot in it, with side, unit and load as `of_scan` says,
/// else as found; FitOptions::mass_kg counts of it too. Where side or unit cannot be told, the remedy is to make a foot
/// file first.
io::Result<foot::Foot> load_foot(const std::filesystem::path& file, const std::filesystem::path& data_folder,
                                 const foot::FitOptions& options, const io::Progress& progress,
                                 const ScanOptions& of_scan = {});

}  // namespace aplomb::scan
