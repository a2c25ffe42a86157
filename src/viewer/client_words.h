// What is found, as one says it to a dancer and her parents.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "aplomb/findings/findings.h"

namespace aplomb::viewer {

/// Three sentences without trade words; the last one says what this is not. Pre: converged.
std::vector<std::string> client_sentences(const findings::Findings& findings);

}  // namespace aplomb::viewer
