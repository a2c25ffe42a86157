// Reads what is named, then shows it.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/viewer/view.h"

#include "surfaces.h"

namespace aplomb::viewer {

io::Result<void> view(const ViewOptions& options, const io::Progress& progress) {
  progress(0, "reading the program's data");
  auto library = load_library(options.data, options.constants, options.version);
  if (!library) return tl::unexpected(library.error());
  library->ranges = options.ranges;
  const bool picture = !options.screenshot.empty();
  App app(std::move(*library), {.keeps_state = !picture, .solves_ahead = !picture},
          picture ? std::function<void()>() : wake_window);
  if (auto done = options.session.empty() ? app.open_sample() : app.open(options.session, progress); !done) return done;
  for (const std::string& file : options.files)
    if (auto done = app.open(file, progress); !done) return done;
  if (options.position) app.set_position(*options.position);
  return picture ? write_screenshot(app, options, progress) : run_window(app, options, progress);
}

}  // namespace aplomb::viewer
