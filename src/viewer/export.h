// Pictures and pages to print, made on a thread of their own with graphics of their own.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <future>
#include <memory>
#include <optional>

#include "aplomb/report/fitting_page.h"
#include "aplomb/shop/visit.h"
#include "orbit.h"
#include "shelf_job.h"
#include "solve_job.h"

namespace aplomb::viewer {

/// Writes NAME.png and NAME.pdf of what is solved, in the state that its numbers are of; the future holds what was
/// written or what went wrong.
std::future<io::Result<std::string>> start_export(std::shared_ptr<const Solved> solved, report::Paper paper,
                                                  const std::filesystem::path& stem,
                                                  const std::filesystem::path& shaders);

/// What the page for the client of one shoe is made of.
struct ClientExport {
  std::shared_ptr<const Solved> solved;
  std::shared_ptr<const shop::Visit> visit{};  ///< null: none
  report::Paper paper = report::Paper::a4;
  std::optional<int> step{};  ///< that is shown of a way up or down
  Orbit orbit{};              ///< from where
};
/// What it says and shows. Pre: `what` lives as long as the page; shown().
report::FittingPage client_page(const ClientExport& what);
/// One picture, the three sentences of the screen and cautions, as `stem` with "-client.pdf".
std::future<io::Result<std::string>> start_client_export(ClientExport what, const std::filesystem::path& stem,
                                                         const std::filesystem::path& shaders);

/// What a page of a shelf is made of.
struct ShelfExport {
  std::shared_ptr<const ShelfAnswer> answer;
  ShelfPage page = ShelfPage::workshop;
  std::shared_ptr<const Solved> pictured;  ///< null: no picture
  std::string version;
  std::shared_ptr<const shop::Visit> visit{};  ///< null: none
  report::Paper paper = report::Paper::a4;
};
/// What it says, without a picture.
report::FittingPage shelf_page(const ShelfExport& what);
/// Writes STEM-workshop.pdf or STEM-client.pdf.
std::future<io::Result<std::string>> start_shelf_export(ShelfExport what, const std::filesystem::path& stem,
                                                        const std::filesystem::path& shaders);

}  // namespace aplomb::viewer
