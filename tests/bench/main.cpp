// Runs the benches and prints the median of each as a "result: " line for tests/results.md.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <benchmark/benchmark.h>
#include <fmt/format.h>
#include <unistd.h>

#include <iostream>
#include <string>
#include <vector>

namespace {

/// Three significant figures, never with an exponent.
std::string shown(double value) { return fmt::format("{:.{}f}", value, value < 10 ? 2 : value < 100 ? 1 : 0); }

/// The usual table, and one line for each median (or for the one run of a bench that is not repeated).
class ResultReporter : public benchmark::ConsoleReporter {
 public:
  ResultReporter() : ConsoleReporter(::isatty(STDOUT_FILENO) != 0 ? OO_Color : OO_None) {}
  void ReportRuns(const std::vector<Run>& runs) override {
    ConsoleReporter::ReportRuns(runs);
    for (const Run& run : runs) {
      failed_ = failed_ || run.error_occurred;
      if (run.error_occurred) continue;
      const bool repeated = run.repetitions > 1;
      if (repeated && run.aggregate_name != "median") continue;
      GetOutputStream() << fmt::format("result: {}: {} {}{}{}\n", run.run_name.function_name,
                                       shown(run.GetAdjustedRealTime()), benchmark::GetTimeUnitString(run.time_unit),
                                       repeated ? fmt::format(" (median of {})", run.repetitions) : "",
                                       run.report_label.empty() ? "" : "; " + run.report_label);
    }
  }
  bool failed() const { return failed_; }

 private:
  bool failed_ = false;
};

}  // namespace

int main(int argc, char** argv) {
  benchmark::Initialize(&argc, argv);
  if (benchmark::ReportUnrecognizedArguments(argc, argv)) return 2;
  ResultReporter reporter;
  reporter.SetOutputStream(&std::cout);
  reporter.SetErrorStream(&std::cerr);
  benchmark::RunSpecifiedBenchmarks(&reporter);
  return reporter.failed() ? 1 : 0;
}
