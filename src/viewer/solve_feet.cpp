// Feet are made once and kept, because fitting one takes as long as standing it.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <unistd.h>

#include <fstream>

#include "aplomb/foot/fit.h"
#include "aplomb/foot/foot_file.h"
#include "solve_job.h"

namespace aplomb::viewer {

namespace {

/// Feet kept: two sides by side, before and after a few changes.
constexpr std::size_t feet_kept = 8;

/// A foot file's reader wants a file; the session may have nothing but its text.
io::Result<foot::Foot> foot_from_text(const Source& source, const foot::Foot& mean) {
  std::string name = (std::filesystem::temp_directory_path() / "aplomb_foot_XXXXXX").string();
  const int handle = ::mkstemp(name.data());
  if (handle < 0)
    return io::fail({.kind = io::ErrorKind::cannot_write,
                     .file = name,
                     .message = "no temporary file can be written",
                     .remedy = "make room in the folder for temporary files"});
  ::close(handle);
  std::ofstream(name) << source.text;
  auto foot = foot::read_foot_file(name, mean);
  std::filesystem::remove(name);
  if (!foot) {
    io::Error error = foot.error();
    error.file = source.file;
    return io::fail(error);
  }
  return foot;
}

}  // namespace

io::Result<std::shared_ptr<const foot::Foot>> Solver::foot_of(const Source& source) {
  for (const auto& [made, foot] : feet_)
    if (made == source) return foot;
  io::Result<foot::Foot> foot;
  if (source.is_card()) {
    const auto card = card_of(source);
    if (!card) return tl::unexpected(card.error());
    foot = foot::fit_card(*card, *library_.model, *library_.prior, {.accept_unlikely = source.accepted});
  } else {
    foot = foot_from_text(source, library_.model->mean);
  }
  if (!foot) return tl::unexpected(foot.error());
  // Shape is fixed without a card; what the body weighs is not shape.
  if (const auto mass = source.changes.find("mass_kg"); !source.is_card() && mass != source.changes.end()) {
    const auto number = foot::find_number("mass_kg");
    if (auto error = io::check_range("mass_kg", mass->second, foot::number_table()[*number].range))
      return tl::unexpected(*error);
    foot->mass_kg = mass->second;
  }
  auto shared = std::make_shared<const foot::Foot>(std::move(*foot));
  if (feet_.size() == feet_kept) feet_.erase(feet_.begin());
  feet_.emplace_back(source, shared);
  return shared;
}

}  // namespace aplomb::viewer
