// Options that every command takes, and the early look at where it is to write.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/io/files.h"
#include "commands.h"

namespace aplomb::app {

void add_common(CLI::App& command, CommonOptions& common) {
  const std::string group = "Common";
  command.add_option("--seed", common.seed, "Seed of anything random")->group(group)->capture_default_str();
  command.add_option("--threads", common.threads, "Threads at most; 0: one for each core. Results do not depend on it")
      ->group(group)
      ->check(CLI::Range(0, 1024));
  command.add_option("--data", common.data, "Folder of the program's own data")->group(group)->type_name("FOLDER");
  command.add_option("--accept-unlikely", common.accept_unlikely, "Card key whose unlikely value is meant")
      ->group(group)
      ->type_name("NAME")
      ->allow_extra_args(false);
  command.add_flag("-v,--verbose", common.verbosity, "Say more on standard error; twice: everything")->group(group);
}

io::Result<void> check_outputs(const std::vector<std::string>& files) {
  for (const std::string& file : files) {
    if (file.empty() || file == "-") continue;
    const auto temporary = io::temporary_beside(file);
    if (!temporary) return tl::unexpected(temporary.error());
    io::discard_file(*temporary);
  }
  return {};
}

}  // namespace aplomb::app
