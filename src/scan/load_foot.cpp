// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/scan/load_foot.h"

#include <fmt/format.h>

#include "aplomb/foot/template.h"

namespace aplomb::scan {

io::Result<ScanFit> load_scan(const std::filesystem::path& file, const std::filesystem::path& data_folder,
                              const ScanOptions& options, const io::Progress& progress, std::string_view field) {
  progress(0, "reading the scan");
  const auto scan = read_scan(file, field);
  if (!scan) return tl::unexpected(scan.error());
  const auto mean = foot::load_template(data_folder / "foot");
  if (!mean) return tl::unexpected(mean.error());
  const auto prior = foot::read_prior(data_folder / "foot" / "prior.json");
  if (!prior) return tl::unexpected(prior.error());
  return fit_scan(*scan, foot::make_shape_model(*mean), *prior, options, progress);
}

io::Result<foot::Foot> load_foot(const std::filesystem::path& file, const std::filesystem::path& data_folder,
                                 const foot::FitOptions& options, const io::Progress& progress,
                                 const ScanOptions& of_scan) {
  if (!is_scan_name(file)) return foot::load_foot(file, data_folder, options);
  auto fit = load_scan(file, data_folder, of_scan, progress, "--foot");
  if (fit && options.mass_kg) fit->foot.mass_kg = options.mass_kg;
  if (fit) return std::move(fit->foot);
  io::Error error = fit.error();
  if (error.kind == io::ErrorKind::decision_needed)
    error.remedy =
        fmt::format("say it once: aplomb foot {} {} ... --out F.foot.json, and give that", file.string(), error.field);
  return tl::unexpected(error);
}

}  // namespace aplomb::scan
