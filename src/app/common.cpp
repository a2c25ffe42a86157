// What several commands take and read, and the early look at where they are to write.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cstdio>
#include <ctime>

#include "aplomb/io/files.h"
#include "aplomb/io/toml.h"
#include "commands.h"

namespace aplomb::app {

void add_paper(CLI::App& command, std::string& paper, const std::string& words) {
  command.add_option("--paper", paper, words)->check(CLI::IsMember({"a4", "letter"}))->capture_default_str();
}

report::Paper paper_named(const std::string& paper) {
  return paper == "letter" ? report::Paper::letter : report::Paper::a4;
}

void add_common(CLI::App& command, CommonOptions& common) {
  const std::string group = "Common";
  // The parser would take -1 for the largest number there is.
  command.add_option("--seed", common.seed, "Seed of anything random")
      ->group(group)
      ->check([](const std::string& text) { return text.starts_with('-') ? text + " is below 0" : std::string(); })
      ->capture_default_str();
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

std::string today() {
  const std::time_t now = std::time(nullptr);
  std::tm local{};
  ::localtime_r(&now, &local);
  return fmt::format("{:04}-{:02}-{:02}", local.tm_year + 1900, local.tm_mon + 1, local.tm_mday);
}

io::Result<void> print(const std::string& text) {
  if (std::fwrite(text.data(), 1, text.size(), stdout) == text.size() && std::fflush(stdout) == 0) return {};
  return io::fail({.kind = io::ErrorKind::cannot_write,
                   .message = "standard output cannot be written",
                   .remedy = "check where it is sent"});
}

namespace {

/// Whether two names mean one file: of any that are there, else by spelling.
bool same_file(const std::string& a, const std::string& b) {
  namespace fs = std::filesystem;
  std::error_code code;
  if (fs::equivalent(a, b, code)) return true;
  const auto whole = [&code](const std::string& name) { return fs::weakly_canonical(fs::absolute(name, code), code); };
  return !whole(a).empty() && whole(a) == whole(b);
}

}  // namespace

io::Result<void> check_outputs(const std::vector<std::string>& outputs, const std::vector<std::string>& inputs) {
  for (std::size_t i = 0; i < outputs.size(); ++i) {
    const std::string& file = outputs[i];
    if (file.empty() || file == "-") continue;
    const auto is_this = [&file](const std::string& other) { return !other.empty() && same_file(other, file); };
    if (std::any_of(inputs.begin(), inputs.end(), is_this))
      return io::fail({.file = file,
                       .message = "is an input and would be written over",
                       .remedy = "choose another name for the output"});
    if (std::any_of(outputs.begin(), outputs.begin() + static_cast<std::ptrdiff_t>(i), is_this))
      return io::fail(
          {.file = file, .message = "is named for two outputs", .remedy = "give each output a name of its own"});
    const auto temporary = io::temporary_beside(file);
    if (!temporary) return tl::unexpected(temporary.error());
    io::discard_file(*temporary);
  }
  return {};
}

io::Result<stance::Position> read_position(const std::string& text) {
  const std::vector<std::string>& names = stance::position_names();
  if (const auto position = stance::position_named(text)) return *position;
  std::vector<std::string> meant;  // she wrote the beginning of these
  for (const std::string& name : names)
    if (!text.empty() && name.starts_with(text)) meant.push_back(name);
  if (meant.empty())
    if (const std::string nearest = io::nearest_name(text, names); !nearest.empty()) meant.push_back(nearest);
  return io::fail({.field = "--position",
                   .message = fmt::format("\"{}\" is no position", text),
                   .remedy = meant.empty() ? fmt::format("there are {}", fmt::join(names, ", "))
                                           : fmt::format("did you mean {}?", fmt::join(meant, " or "))});
}

io::Result<stance::Constants> constants_of(const std::filesystem::path& data_folder, const std::string& named) {
  if (!named.empty()) return stance::read_constants(named);
  const auto file = data_folder / "constants.toml";
  return std::filesystem::exists(file) ? stance::read_constants(file) : stance::Constants{};
}

io::Result<std::vector<bands::GuessRange>> ranges_of(const std::filesystem::path& data_folder,
                                                     const std::string& named) {
  const std::filesystem::path file = named.empty() ? data_folder / "constants.toml" : std::filesystem::path(named);
  if (named.empty() && !std::filesystem::exists(file)) return bands::usual_ranges();
  return bands::read_ranges(file);
}

}  // namespace aplomb::app
