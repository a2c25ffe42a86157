// The sheets are those of the command line. A thread of its own, because OpenGL is current for one window system on a
// thread, and because they take a second.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "export.h"

#include <fmt/format.h>

#include <ctime>

#include "aplomb/report/fitting_page.h"
#include "aplomb/report/pdf.h"
#include "aplomb/report/rows.h"
#include "aplomb/report/sequence.h"
#include "aplomb/shop/pages.h"
#include "client_words.h"

namespace aplomb::viewer {

namespace {

std::string today() {
  const std::time_t now = std::time(nullptr);
  std::tm local{};
  ::localtime_r(&now, &local);
  return fmt::format("{:04}-{:02}-{:02}", local.tm_year + 1900, local.tm_mon + 1, local.tm_mday);
}

io::Result<std::string> write(const Solved& solved, report::Paper paper, const std::filesystem::path& stem,
                              const std::filesystem::path& shaders) {
  report::Sheet sheet{solved.findings, solved.frames[solved.at({})].scene, {}};
  if (solved.findings.way_down) {
    std::vector<findings::Scene> scenes;
    for (const Frame& frame : solved.frames) scenes.push_back(frame.scene);
    sheet.steps = report::way_down_steps(solved.findings, std::move(scenes));
  }
  const report::ReportOptions options{.picture = {.shader_folder = shaders}, .paper = paper, .date = today()};
  const std::string picture = stem.string() + ".png", page = stem.string() + ".pdf";
  if (const auto done = report::write_sheet(sheet, picture, page, options); !done) return tl::unexpected(done.error());
  return fmt::format("Written: {} and {}", picture, page);
}

io::Result<std::string> write_client(const ClientExport& what, const std::filesystem::path& stem,
                                     const std::filesystem::path& shaders) {
  const std::string file = stem.string() + "-client.pdf";
  if (const auto done = report::write_fitting_page(client_page(what), what.paper, file, shaders); !done)
    return tl::unexpected(done.error());
  return "Written: " + file;
}

io::Result<std::string> write_shelf(const ShelfExport& what, const std::filesystem::path& stem,
                                    const std::filesystem::path& shaders) {
  const bool client = what.page == ShelfPage::client;
  report::FittingPage page = shelf_page(what);
  if (client && what.pictured) {
    page.scene = &what.pictured->frames.back().scene;
    page.caption = fmt::format(
        "The {} foot in this pair, {}, from the inner side. Numbers on the bar are the pressure "
        "on the skin; darker is more. An estimate.",
        page.scene->side == foot::Side::left ? "left" : "right",
        report::position_words(stance::name(what.pictured->position)));
  }
  const std::string file = stem.string() + (client ? "-client.pdf" : "-workshop.pdf");
  if (const auto done = report::write_fitting_page(page, what.paper, file, shaders); !done)
    return tl::unexpected(done.error());
  return "Written: " + file;
}

}  // namespace

report::FittingPage client_page(const ClientExport& what) {
  const Solved& solved = *what.solved;
  const Frame& frame = solved.frames[solved.at(what.step)];
  const std::string side = frame.scene.side == foot::Side::left ? "left" : "right";
  std::string position = report::position_words(stance::name(solved.position));
  if (!frame.title.empty()) position += ", " + frame.title;
  return {.title = "Where the foot rests in the shoe",
          .subtitle = fmt::format("Her {} foot, {}", side, position),
          .date = today(),
          .version = solved.findings.version,
          .parts = {{"What was seen", client_sentences(solved.findings)},
                    {"Cautions", shop::cautions_of(what.visit ? *what.visit : shop::Visit{},
                                                   solved.foot ? solved.foot->age_years : std::nullopt)}},
          .scene = &frame.scene,
          .caption = "Numbers on the bar are the pressure on the skin; darker is more. An estimate.",
          .camera = camera_of(what.orbit, frame.scene.side, 1, 1)};
}

report::FittingPage shelf_page(const ShelfExport& what) {
  shop::Telling telling;
  telling.inputs = &what.answer->inputs;
  telling.comparison = &what.answer->comparison;
  telling.visit = what.visit.get();
  telling.version = what.version;
  telling.date = today();
  report::FittingPage page = what.page == ShelfPage::client ? shop::client_page(telling) : shop::workshop_page(telling);
  if (what.answer->mirrored) {
    const std::string line = "Only one foot was measured; the other is taken to be its mirror image.";
    page.subtitle += (page.subtitle.ends_with('.') ? " " : ". ") + line;
    std::vector<std::string>& lines = page.parts.front().lines;
    lines.insert(lines.begin(), line);
  }
  return page;
}

std::future<io::Result<std::string>> start_shelf_export(ShelfExport what, const std::filesystem::path& stem,
                                                        const std::filesystem::path& shaders) {
  return std::async(std::launch::async,
                    [what = std::move(what), stem, shaders] { return write_shelf(what, stem, shaders); });
}

std::future<io::Result<std::string>> start_client_export(ClientExport what, const std::filesystem::path& stem,
                                                         const std::filesystem::path& shaders) {
  return std::async(std::launch::async,
                    [what = std::move(what), stem, shaders] { return write_client(what, stem, shaders); });
}

std::future<io::Result<std::string>> start_export(std::shared_ptr<const Solved> solved, report::Paper paper,
                                                  const std::filesystem::path& stem,
                                                  const std::filesystem::path& shaders) {
  return std::async(std::launch::async, [solved = std::move(solved), paper, stem, shaders] {
    return write(*solved, paper, stem, shaders);
  });
}

}  // namespace aplomb::viewer
