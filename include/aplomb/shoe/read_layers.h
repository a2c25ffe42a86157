// Soft layers of a shoe file or of what a dancer wears: tables [tights], [padding.REGION], [spacer.FIRST_SECOND] and
// [tape.TOE], each with thickness_mm and, if wanted, modulus_MPa.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/io/toml.h"
#include "aplomb/shoe/parameters.h"

namespace aplomb::shoe {

void read_layers(io::TomlReader& reader, Layers& layers);

/// Padding that leaves no room is refused by name.
io::Result<void> check_layers(const ShoeParameters& parameters);

}  // namespace aplomb::shoe
