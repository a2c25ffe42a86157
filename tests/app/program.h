// Runs the built program as a user would, in a folder of its own.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

namespace aplomb::test {

/// What a run left behind.
struct Outcome {
  int exit_code = -1;  ///< -1 when a signal ended it
  std::string out, err;
  double peak_MB = 0;  ///< most memory it held at once (or this program did when it was started)
  /// Number of newlines on standard error.
  int error_lines() const;
};

/// A temporary folder that is the program's working folder; removed at the end.
class Workplace {
 public:
  Workplace();
  ~Workplace();
  Workplace(const Workplace&) = delete;
  Workplace& operator=(const Workplace&) = delete;

  const std::filesystem::path& path() const { return path_; }
  void write(const std::string& name, const std::string& content) const;
  std::string read(const std::string& name) const;
  /// Sorted names of what lies in the folder.
  std::vector<std::string> names() const;

  /// Runs the program there, without a shell, standard input closed, standard output and error kept. The child gives up
  /// the administrator's right to read files whose permissions forbid it, so that tests see what users see.
  /// With `interrupt_after_ms` > 0 it gets SIGINT after that time; with `out` standard output goes to that file.
  Outcome run(const std::vector<std::string>& arguments, int interrupt_after_ms = 0, const std::string& out = {}) const;
  /// The same; it gets SIGINT as soon as `then`, asked again and again, is true, or after a minute.
  Outcome run_until(const std::vector<std::string>& arguments, const std::function<bool()>& then) const;

 private:
  Outcome run_and_wait(const std::vector<std::string>& arguments, const std::function<bool(int ms)>& interrupt,
                       const std::string& out) const;
  std::filesystem::path path_;
};

/// A path below the source tree.
std::string source(const std::string& below);

}  // namespace aplomb::test
