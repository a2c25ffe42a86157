// Fork, exec and a temporary folder: the program as a process.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "program.h"

#include <fcntl.h>
#include <linux/capability.h>
#include <signal.h>
#include <stdlib.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <fstream>
#include <iterator>

namespace aplomb::test {

namespace fs = std::filesystem;

int Outcome::error_lines() const { return static_cast<int>(std::count(err.begin(), err.end(), '\n')); }

namespace {

fs::path temporary_folder() {
  std::string name = (fs::temp_directory_path() / "aplomb.XXXXXX").string();
  return ::mkdtemp(name.data());
}

std::string content_of(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

}  // namespace

Workplace::Workplace() : path_(temporary_folder()) {}
Workplace::~Workplace() { fs::remove_all(path_); }

void Workplace::write(const std::string& name, const std::string& content) const {
  std::ofstream(path_ / name, std::ios::binary) << content;
}

std::string Workplace::read(const std::string& name) const { return content_of(path_ / name); }

std::vector<std::string> Workplace::names() const {
  std::vector<std::string> names;
  for (const auto& entry : fs::directory_iterator(path_)) names.push_back(entry.path().filename().string());
  std::sort(names.begin(), names.end());
  return names;
}

Outcome Workplace::run(const std::vector<std::string>& arguments, int interrupt_after_ms,
                       const std::string& out_file) const {
  if (interrupt_after_ms <= 0) return run_and_wait(arguments, {}, out_file);
  return run_and_wait(
      arguments, [&](int ms) { return ms >= interrupt_after_ms; }, out_file);
}

Outcome Workplace::run_until(const std::vector<std::string>& arguments, const std::function<bool()>& then) const {
  return run_and_wait(arguments, [&](int ms) { return then() || ms >= 60'000; }, {});
}

Outcome Workplace::run_and_wait(const std::vector<std::string>& arguments, const std::function<bool(int ms)>& interrupt,
                                const std::string& out_file) const {
  const fs::path logs = temporary_folder();
  std::vector<std::string> words = arguments;
  words.insert(words.begin(), APLOMB_PROGRAM);
  std::vector<char*> argv;
  for (std::string& word : words) argv.push_back(word.data());
  argv.push_back(nullptr);
  const std::string out = out_file.empty() ? (logs / "out").string() : out_file, err = logs / "err";

  const pid_t child = ::fork();
  if (child == 0) {
    // From here to exec only calls that are safe after fork.
    ::prctl(PR_CAPBSET_DROP, CAP_DAC_OVERRIDE, 0, 0, 0);
    ::prctl(PR_CAPBSET_DROP, CAP_DAC_READ_SEARCH, 0, 0, 0);
    ::dup2(::open("/dev/null", O_RDONLY), STDIN_FILENO);
    ::dup2(::open(out.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600), STDOUT_FILENO);
    ::dup2(::open(err.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600), STDERR_FILENO);
    if (::chdir(path_.c_str()) == 0) ::execv(argv[0], argv.data());
    ::_exit(127);
  }
  if (interrupt) {
    constexpr int every_ms = 10;
    for (int ms = 0; !interrupt(ms); ms += every_ms) ::usleep(every_ms * 1000);
    ::kill(child, SIGINT);
  }
  int status = 0;
  rusage used{};
  ::wait4(child, &status, 0, &used);
  Outcome outcome{.exit_code = WIFEXITED(status) ? WEXITSTATUS(status) : -1,
                  .out = out_file.empty() ? content_of(out) : "",
                  .err = content_of(err),
                  .peak_MB = static_cast<double>(used.ru_maxrss) / 1024};
  fs::remove_all(logs);
  return outcome;
}

std::string source(const std::string& below) { return std::string(APLOMB_SOURCE_DIR) + "/" + below; }

}  // namespace aplomb::test
