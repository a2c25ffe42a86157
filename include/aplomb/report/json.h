// `stand --json`: the findings as a document of format "aplomb-stand" (meshes/schema/stand.schema.json).
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "aplomb/findings/findings.h"
#include "aplomb/io/error.h"
#include "aplomb/io/json.h"

namespace aplomb::report {

inline constexpr int stand_format_version = 1;

/// Keys in the order of the schema; null for what does not apply. Not converged: inputs, evidence and limits only, no
/// findings. Pre: check_finite() passes (a NaN would be written as null).
io::Json to_json(const findings::Findings& findings);

/// Errors (not_converged): a number is not finite; `field` is its JSON key. Everything in this part that writes asks
/// first.
io::Result<void> check_finite(const findings::Findings& findings);

/// Checks, then writes to `target` ("-": standard output). Errors: check_finite(), cannot_write.
io::Result<void> write_json(const std::string& target, const findings::Findings& findings);

}  // namespace aplomb::report
