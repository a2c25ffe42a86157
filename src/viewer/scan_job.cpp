// The same steps as `aplomb foot SCAN`, behind drawing and beside the solver.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "scan_job.h"

#include <fmt/format.h>

#include "aplomb/foot/foot_file.h"
#include "aplomb/io/json.h"
#include "aplomb/scan/raw_scan.h"

namespace aplomb::viewer {

namespace {

std::string told(const std::string& name, const scan::Found& found) {
  const char* side = found.side == foot::Side::left ? "left" : "right";
  const char* load = found.load == foot::Load::none   ? "without weight"
                     : found.load == foot::Load::full ? "under all her weight"
                                                      : "standing";
  std::string words = fmt::format(
      "{}: a {} foot, {}, in {}. The fitted skin lies {:.1f} mm off the scan in the mean; it shows {:.0f} % of the "
      "foot. "
      "What it does not show is estimated, with wider bands.",
      name, side, load, scan::unit_names[static_cast<int>(found.unit)], found.surface_mean_mm, 100 * found.seen_share);
  if (found.toes_fused) words += " It shows no gaps between the toes.";
  return words;
}

}  // namespace

io::Result<ScanFoot> foot_of_scan(const Library& library, const std::filesystem::path& file,
                                  const scan::ScanOptions& options, const io::Progress& progress) {
  progress(0, "reading the scan");
  const auto raw = scan::read_scan(file);
  if (!raw) return tl::unexpected(raw.error());
  const auto fit = scan::fit_scan(*raw, *library.model, *library.prior, options, progress);
  if (!fit) return tl::unexpected(fit.error());
  return ScanFoot{{file.string(), io::to_text(foot::foot_json(fit->foot))}, told(file.filename().string(), fit->found)};
}

ScanJob::ScanJob(const Library& library, ScanWish wish, std::function<void()> wake)
    : wish_(std::move(wish)), job_("reading the scan", std::move(wake), [this, library](const io::Progress& progress) {
        return foot_of_scan(library, wish_.file, wish_.options, progress);
      }) {}

}  // namespace aplomb::viewer
