// From a solved stance to findings and to the picture's scene.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/findings/findings.h"
#include "aplomb/stance/stand.h"

namespace aplomb::findings {

/// All findings of a stance. Names and hashes of files are the caller's to fill. Not converged: evidence only, no
/// findings but that a foot far longer than the shoe, or with a toe outside the box, does not go in.
Findings assess(const stance::Stance& stance);

/// Height by height of a way up or down. Pre: all converged, on the sole or coming down to it.
std::vector<HeightFinding> find_heights(const std::vector<stance::Stance>& heights);

/// A number under its key in the JSON (dotted, toes by their place in the list).
struct NamedNumber {
  std::string key;
  Number value;
};

/// All single numbers of the findings, in the same order whatever applies.
std::vector<NamedNumber> named_numbers(const Findings& findings);
/// Those of every height of a roll-down, height by height; none in other positions.
std::vector<NamedNumber> named_heights(const Findings& findings);

/// The numbers of two states of one foot side by side, under their keys in the JSON (dotted, toes by their place in the
/// list); only those that both have.
std::vector<Findings::Band> friction_band(const Findings& path, const Findings& settled);

/// What a picture needs; mirrored for a left foot. Pre: converged.
Scene make_scene(const stance::Stance& stance);

/// Printed beside every result.
const std::vector<std::string>& limits();

}  // namespace aplomb::findings
