// Whole runs of `aplomb stand` as a user starts them: process start, reading, fit, shells, solve, outputs.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <benchmark/benchmark.h>
#include <fcntl.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <string>
#include <vector>

#include "../temporary_folder.h"

namespace {

/// Exit code of the program, run without a shell and with its output thrown away.
int run_program(std::vector<std::string> arguments) {
  arguments.insert(arguments.begin(), APLOMB_PROGRAM);
  std::vector<char*> argv;
  for (std::string& argument : arguments) argv.push_back(argument.data());
  argv.push_back(nullptr);
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_addopen(&actions, STDOUT_FILENO, "/dev/null", O_WRONLY, 0);
  pid_t child = 0;
  const int failed = ::posix_spawn(&child, APLOMB_PROGRAM, &actions, nullptr, argv.data(), environ);
  posix_spawn_file_actions_destroy(&actions);
  int status = 0;
  if (failed != 0 || ::waitpid(child, &status, 0) != child || !WIFEXITED(status)) return -1;
  return WEXITSTATUS(status);
}

std::string meshes(const std::string& below) { return std::string(APLOMB_SOURCE_DIR) + "/meshes/" + below; }

void run(benchmark::State& state, const std::vector<std::string>& arguments) {
  for (auto _ : state)
    if (run_program(arguments) != 0) state.SkipWithError("the program did not answer");
}

void stand(benchmark::State& state, const std::string& position, const std::vector<std::string>& outputs) {
  std::vector<std::string> arguments = {
      "stand", "--foot", meshes("feet/sample.toml"), "--shoe", meshes("shoes/parallel.toml"), "--position", position};
  arguments.insert(arguments.end(), outputs.begin(), outputs.end());
  run(state, arguments);
}

/// The peer: the same process, card read and fitted, nothing stood up.
void foot_only(benchmark::State& state) { run(state, {"foot", meshes("feet/sample.toml"), "--json", "-"}); }

void with_outputs(benchmark::State& state) {
  const aplomb::scratch::Folder folder;
  stand(state, "full-pointe-two",
        {"--json", "-", "--picture", (folder.path / "bench.png").string(), "--report",
         (folder.path / "bench.pdf").string()});
}

void settings(benchmark::internal::Benchmark* bench) {
  bench->Iterations(1)->Repetitions(10)->ReportAggregatesOnly()->UseRealTime()->Unit(benchmark::kMillisecond);
}

BENCHMARK(foot_only)->Name("run of aplomb foot, card to JSON")->Apply(settings);
BENCHMARK_CAPTURE(stand, two, "full-pointe-two", {"--json", "-"})
    ->Name("run of aplomb stand, two feet, to JSON")
    ->Apply(settings);
BENCHMARK_CAPTURE(stand, one, "full-pointe-one", {"--json", "-"})
    ->Name("run of aplomb stand, one foot, to JSON")
    ->Apply(settings);
BENCHMARK(with_outputs)->Name("run of aplomb stand, two feet, to JSON, picture and PDF")->Apply(settings);

}  // namespace
