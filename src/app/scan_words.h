// What was found about a scan, in words and as JSON.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "aplomb/io/json.h"
#include "aplomb/report/foot_picture.h"
#include "aplomb/scan/fit_scan.h"

namespace aplomb::app {

/// One note to a thing that was found, beside foot_notes().
std::vector<std::string> scan_notes(const scan::Found& found);

/// The table "scan" of `foot --json`; see meshes/schema/foot.schema.json.
io::Json scan_json(const scan::Found& found);

/// How the scan lies over the fitted skin, for the picture.
report::Residuals residuals_of(const scan::ScanFit& fit);

}  // namespace aplomb::app
