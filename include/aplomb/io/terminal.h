// What the person at the terminal sees besides the answer: log, progress; and what her Ctrl-C does.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/io/progress.h"

namespace aplomb::io {

/// Sends spdlog's default logger to standard error: warnings only (0), information (1), all (2 and more).
void start_log(int verbosity);

/// From now on the first interrupt (SIGINT) sets the returned flag, which lives as long as the program; a second one
/// ends the program at once.
const std::atomic<bool>* cancel_on_interrupt();

/// Progress that redraws one line on standard error, ten times a second at most, and only when that is a terminal.
Progress terminal_progress(const std::atomic<bool>* cancel);
/// Clears that line, so that what follows starts at the left. Harmless when there is none.
void clear_progress();

}  // namespace aplomb::io
