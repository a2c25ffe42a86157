// The program: command line in, one line and an exit code when something is wrong.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>
#include <glog/logging.h>

#include <algorithm>
#include <cstdio>
#include <exception>
#include <new>

#include "aplomb/io/terminal.h"
#include "aplomb/io/toml.h"
#include "commands.h"

using namespace aplomb;

namespace {

int refuse(const io::Error& error) {
  io::clear_progress();
  fmt::print(stderr, "{}\n", io::to_line(error));
  return io::exit_code(error.kind);
}

/// The names of a command's long options, for "did you mean".
std::vector<std::string> option_names(const CLI::App& command) {
  std::vector<std::string> names;
  for (const CLI::Option* option : command.get_options())
    for (const std::string& name : option->get_lnames()) names.push_back("--" + name);
  return names;
}

/// An option whose value the parser could not use: "Could not convert: --load = 255N" in the program's own words.
io::Error told_of_value(const std::string& what, const std::string& remedy) {
  const std::string start = "Could not convert: ";
  const std::size_t equals = what.find(" = ");
  if (!what.starts_with(start) || equals == std::string::npos) return {.message = what, .remedy = remedy};
  return {.field = what.substr(start.size(), equals - start.size()),
          .message = fmt::format("\"{}\" is not a number", what.substr(equals + 3)),
          .remedy = "write a number without unit"};
}

/// What the parser refused, in the program's own words.
int refuse_line(const CLI::App& program, const std::string& what, int argc, char** argv) {
  std::vector<std::string> commands;
  for (const CLI::App* command : program.get_subcommands({})) commands.push_back(command->get_name());
  const auto chosen = program.get_subcommands();
  io::Error error{.message = what, .remedy = "see aplomb --help"};
  if (chosen.empty() && argc > 1 && argv[1][0] != '-') {
    const std::string nearest = io::nearest_name(argv[1], commands);
    error = {.field = argv[1],
             .message = fmt::format("is no command (there are {})", fmt::join(commands, ", ")),
             .remedy = nearest.empty() ? "see aplomb --help" : fmt::format("did you mean {}?", nearest)};
  } else if (!chosen.empty()) {
    error = told_of_value(what, fmt::format("see aplomb {} --help", chosen.front()->get_name()));
    const std::vector<std::string> known = option_names(*chosen.front());
    for (int i = 2; i < argc; ++i) {
      const std::string option = std::string(argv[i]).substr(0, std::string(argv[i]).find('='));
      if (!option.starts_with("--") || std::find(known.begin(), known.end(), option) != known.end()) continue;
      error = {.field = option, .message = "is no option of this command", .remedy = error.remedy};
      if (const std::string nearest = io::nearest_name(option, known); !nearest.empty())
        error.remedy = fmt::format("did you mean {}?", nearest);
      break;
    }
  }
  return refuse(error);
}

int run(int argc, char** argv) {
  CLI::App program("Aplomb: where a foot comes to rest inside a pointe shoe.", "aplomb");
  program.set_version_flag("--version", APLOMB_VERSION);
  program.require_subcommand(1);
  program.failure_message(CLI::FailureMessage::simple);
  app::CommonOptions common;
  std::vector<std::pair<CLI::App*, app::Run>> commands;
  const auto add = [&](app::Run (*adder)(CLI::App&, app::CommonOptions&)) {
    app::Run command = adder(program, common);
    commands.emplace_back(program.get_subcommands({}).back(), std::move(command));
  };
  add(app::add_foot);
  add(app::add_stand);
  add(app::add_compare);
  add(app::add_study);
#ifdef APLOMB_HAS_VIEWER
  add(app::add_view);
#endif

  try {
    program.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    if (error.get_exit_code() == 0) return program.exit(error);  // --help, --version
    return refuse_line(program, error.what(), argc, argv);
  }

  io::start_log(common.verbosity);
  FLAGS_minloglevel = google::GLOG_FATAL;  // the fit's solver would write lines of its own; its failures come as Errors
  const io::Progress progress = io::terminal_progress(io::cancel_on_interrupt());
  for (const auto& [command, run_command] : commands) {
    if (!command->parsed()) continue;
    if (const auto done = run_command(progress); !done) return refuse(done.error());
  }
  io::clear_progress();
  return 0;
}

}  // namespace

int main(int argc, char** argv) {
  try {
    return run(argc, argv);
  } catch (const std::bad_alloc&) {
    return refuse({.message = "there is not enough memory", .remedy = "close other programs"});
  } catch (const std::exception& error) {
    // Every library edge turns its exceptions into Errors; what arrives here is a fault of this program.
    return refuse({.message = fmt::format("the program failed: {}", error.what()),
                   .remedy = "please report it with the files given"});
  }
}
