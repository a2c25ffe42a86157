// aplomb view: the window, or a picture of it.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <memory>
#include <regex>

#include "aplomb/io/data_path.h"
#include "aplomb/viewer/view.h"
#include "commands.h"

namespace aplomb::app {

namespace {

struct ViewCommandOptions {
  std::string position, size, constants;
  viewer::ViewOptions view;
};

/// "1280x800".
io::Result<void> read_size(const std::string& text, viewer::ViewOptions& view) {
  std::smatch found;
  if (text.empty()) return {};
  constexpr int least_width = 320, least_height = 240, most = 8192;
  if (std::regex_match(text, found, std::regex("([0-9]{1,5})x([0-9]{1,5})"))) {
    view.width_px = std::stoi(found[1]), view.height_px = std::stoi(found[2]);
    if (view.width_px >= least_width && view.height_px >= least_height && view.width_px <= most &&
        view.height_px <= most)
      return {};
  }
  return io::fail({.field = "--size",
                   .message = fmt::format("\"{}\" is not the size of a window", text),
                   .remedy = "give width and height in pixels from 320x240 to 8192x8192, such as 1280x800"});
}

io::Result<void> run(ViewCommandOptions& options, const CommonOptions& common, const io::Progress& progress) {
  viewer::ViewOptions& view = options.view;
  if (auto sized = read_size(options.size, view); !sized) return sized;
  if (!options.position.empty()) {
    const auto position = read_position(options.position);
    if (!position) return tl::unexpected(position.error());
    view.position = *position;
  }
  std::vector<std::string> inputs = view.files;
  inputs.insert(inputs.end(), view.drops.begin(), view.drops.end());
  inputs.insert(inputs.end(), {view.session, options.constants});
  if (auto outputs = check_outputs({view.screenshot, view.ui_state}, inputs); !outputs) return outputs;
  const auto data = io::data_folder(common.data);
  if (!data) return tl::unexpected(data.error());
  const auto constants = constants_of(*data, options.constants);
  if (!constants) return tl::unexpected(constants.error());
  auto ranges = ranges_of(*data, options.constants);
  if (!ranges) return tl::unexpected(ranges.error());
  view.data = *data;
  view.constants = *constants;
  view.ranges = std::move(*ranges);
  view.version = APLOMB_VERSION;
  return viewer::view(view, progress);
}

}  // namespace

Run add_view(CLI::App& program, CommonOptions& common) {
  auto options = std::make_shared<ViewCommandOptions>();
  CLI::App* command = program.add_subcommand("view", "Look into the box: a window with foot and shoe, numbers to drag");
  command->add_option("files", options->view.files, "Cards, foot files and shoes to open; else the sample")
      ->type_name("FILE");
  command->add_option("--session", options->view.session, "Session file to open")->type_name("FILE");
  command->add_option("--position", options->position, "Position to begin with")->type_name("P");
  command->add_option("--screenshot", options->view.screenshot, "Write the screen as a picture, without a display")
      ->type_name("F.png");
  command->add_option("--size", options->size, "Size of window or picture, pixels; 1280x800 if not given")
      ->type_name("WxH");
  command->add_option("--constants", options->constants, "Constants of tissue, joints and hold")->type_name("C.toml");
  command
      ->add_option("--ui-state", options->view.ui_state,
                   "Keep writing what is on the screen to this JSON file, for tests")
      ->type_name("FILE");
  command->add_option("--drop", options->view.drops, "Handle this file as if it were dropped on the window")
      ->type_name("FILE")
      ->allow_extra_args(false);
  add_common(*command, common);
  return [options, &common](const io::Progress& progress) { return run(*options, common, progress); };
}

}  // namespace aplomb::app
