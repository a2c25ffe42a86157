// The commands of the program: each file adds one to the command line and runs it.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <CLI/CLI.hpp>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

#include "aplomb/bands/ranges.h"
#include "aplomb/io/error.h"
#include "aplomb/io/progress.h"
#include "aplomb/report/paper.h"
#include "aplomb/stance/constants.h"
#include "aplomb/stance/positions.h"

namespace aplomb::app {

/// What every command takes.
struct CommonOptions {
  std::uint64_t seed = 1;  ///< of anything random
  int threads = 0;         ///< 0: as many as there are cores; results do not depend on it
  std::string data;        ///< data folder; empty: looked for
  int verbosity = 0;
  std::vector<std::string> accept_unlikely;  ///< card keys whose unlikely values are meant
};

/// A command once the line was parsed.
using Run = std::function<io::Result<void>(const io::Progress&)>;

/// Adds the common options to a command.
void add_common(CLI::App& command, CommonOptions& common);

/// Adds --paper, which is "a4" or "letter".
void add_paper(CLI::App& command, std::string& paper, const std::string& words);
report::Paper paper_named(const std::string& paper);

Run add_foot(CLI::App& program, CommonOptions& common);
Run add_stand(CLI::App& program, CommonOptions& common);
Run add_compare(CLI::App& program, CommonOptions& common);
Run add_study(CLI::App& program, CommonOptions& common);
Run add_view(CLI::App& program, CommonOptions& common);

/// The position of this name. Error (bad_input): no position.
io::Result<stance::Position> read_position(const std::string& text);

/// The constants in the file `named`, else those of `data_folder`; the built-in ones when it has no constants.toml.
/// Errors: as read_constants().
io::Result<stance::Constants> constants_of(const std::filesystem::path& data_folder, const std::string& named = {});

/// Plausible ranges of the guesses, from where constants_of() takes the constants. Errors: as bands::read_ranges().
io::Result<std::vector<bands::GuessRange>> ranges_of(const std::filesystem::path& data_folder,
                                                     const std::string& named = {});

/// The day of the fitting where she stands, as 2026-11-25.
std::string today();

/// Writes to standard output. Errors: cannot_write.
io::Result<void> print(const std::string& text);

/// Refuses outputs before any work is done. Errors: cannot_write where one cannot be written, bad_input where one is
/// also an input or another output, under whatever name. Empty names and "-" (standard output) pass.
io::Result<void> check_outputs(const std::vector<std::string>& outputs, const std::vector<std::string>& inputs);

}  // namespace aplomb::app
