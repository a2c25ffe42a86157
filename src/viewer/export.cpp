// The sheets are those of the command line. A thread of its own, because OpenGL is current for one window system on a
// thread, and because they take a second.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "export.h"

#include <fmt/format.h>

#include <ctime>

#include "aplomb/report/pdf.h"
#include "aplomb/report/sequence.h"

namespace aplomb::viewer {

namespace {

std::string today() {
  const std::time_t now = std::time(nullptr);
  std::tm local{};
  ::localtime_r(&now, &local);
  return fmt::format("{:04}-{:02}-{:02}", local.tm_year + 1900, local.tm_mon + 1, local.tm_mday);
}

io::Result<std::string> write(const Solved& solved, const std::filesystem::path& stem,
                              const std::filesystem::path& shaders) {
  report::Sheet sheet{solved.findings, solved.frames.back().scene, {}};
  if (solved.findings.way_down) {
    std::vector<findings::Scene> scenes;
    for (const Frame& frame : solved.frames) scenes.push_back(frame.scene);
    sheet.steps = report::way_down_steps(solved.findings, std::move(scenes));
  }
  const report::ReportOptions options{.picture = {.shader_folder = shaders}, .date = today()};
  const std::string picture = stem.string() + ".png", page = stem.string() + ".pdf";
  if (const auto done = report::write_sheet(sheet, picture, page, options); !done) return tl::unexpected(done.error());
  return fmt::format("Written: {} and {}", picture, page);
}

}  // namespace

std::future<io::Result<std::string>> start_export(std::shared_ptr<const Solved> solved,
                                                  const std::filesystem::path& stem,
                                                  const std::filesystem::path& shaders) {
  return std::async(std::launch::async,
                    [solved = std::move(solved), stem, shaders] { return write(*solved, stem, shaders); });
}

}  // namespace aplomb::viewer
