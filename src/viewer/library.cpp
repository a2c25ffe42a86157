// Reads the program's data.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "library.h"

#include <regex>

#include "aplomb/foot/template.h"
#include "aplomb/io/files.h"
#include "aplomb/report/picture.h"

namespace aplomb::viewer {

namespace {

/// The remarks behind the numbers: TOML readers drop them, and they are the only place where sources are written.
std::map<std::string, std::string> notes_in(const std::string& text) {
  static const std::regex line("(^|\n)(\\w+) *=[^#\n]*# *([^\n]*)");
  std::map<std::string, std::string> notes;
  for (std::sregex_iterator it(text.begin(), text.end(), line), end; it != end; ++it) notes[(*it)[2]] = (*it)[3];
  return notes;
}

}  // namespace

io::Result<Library> load_library(const std::filesystem::path& data, const stance::Constants& constants,
                                 const std::string& version) {
  const auto mean = foot::load_template(data / "foot");
  if (!mean) return tl::unexpected(mean.error());
  auto prior = foot::read_prior(data / "foot" / "prior.json");
  if (!prior) return tl::unexpected(prior.error());
  Library library;
  library.data = data;
  library.shaders = report::shader_folder_of(data);
  library.model = std::make_shared<const foot::ShapeModel>(foot::make_shape_model(*mean));
  library.prior = std::make_shared<const foot::Prior>(std::move(*prior));
  library.constants = constants;
  library.ranges = bands::usual_ranges();
  if (const auto text = io::read_file(data / "constants.toml")) library.constant_notes = notes_in(*text);
  // Rules are a shop's own and may be at fault; everything else works without them.
  if (auto rules = shop::read_rules(data / "rules.toml"))
    library.rules = std::make_shared<const shop::Rules>(std::move(*rules));
  else
    library.rules_complaint = io::to_line(rules.error());
  library.version = version;
  return library;
}

}  // namespace aplomb::viewer
