// What solving is put together from; solve_job.cpp does.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "solve_job.h"

namespace aplomb::viewer {

/// Frames of a stance that converged, and the scale of their colours; an error where one cannot be drawn.
void add_frames(const stance::Stance& stance, Solved& out);

/// Pages and pictures say what a file alone did not give.
std::string name_with_changes(const Source& source);
std::string hash_with_changes(const Source& source);

}  // namespace aplomb::viewer
