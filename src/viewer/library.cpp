// Reads the program's data.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "library.h"

#include "aplomb/foot/template.h"
#include "aplomb/report/picture.h"

namespace aplomb::viewer {

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
  library.version = version;
  return library;
}

}  // namespace aplomb::viewer
