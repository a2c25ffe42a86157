// aplomb foot: from a card to a foot; its numbers as text or JSON, a foot file, a picture; or an empty card.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <filesystem>
#include <memory>
#include <utility>

#include "aplomb/foot/foot_file.h"
#include "aplomb/io/data_path.h"
#include "aplomb/io/files.h"
#include "aplomb/report/picture.h"
#include "commands.h"
#include "foot_numbers.h"

namespace aplomb::app {

namespace {

struct FootOptions {
  std::string card, side, out, json, picture, new_card;
  const CLI::Option* asks_new_card = nullptr;
};

io::Result<void> write_new_card(const FootOptions& options) {
  const std::string text = foot::new_card_text();
  if (options.new_card.empty()) return print(text);
  // A card is something a person writes: never over one that is there.
  std::error_code code;
  if (std::filesystem::exists(options.new_card, code))
    return io::fail({.kind = io::ErrorKind::cannot_write,
                     .file = options.new_card,
                     .field = "--new-card",
                     .message = "exists already",
                     .remedy = "choose another name"});
  return io::write_file(options.new_card, text);
}

/// The skin of the person's own side: inside the program every foot is a right foot.
geometry::TriMesh skin_as_measured(const foot::Foot& foot) {
  geometry::TriMesh mesh{.vertices = foot.skin.vertices_F, .faces = foot.skin.faces};
  if (foot.side == foot::Side::right) return mesh;
  for (geometry::Vec3& vertex : mesh.vertices) vertex.y() = -vertex.y();
  for (auto& face : mesh.faces) std::swap(face[1], face[2]);
  return mesh;
}

io::Result<void> run(const FootOptions& options, const CommonOptions& common) {
  if (options.asks_new_card->count() > 0) {
    if (!options.card.empty())
      return io::fail(
          {.field = "--new-card", .message = "makes an empty card and reads none", .remedy = "give one of the two"});
    return write_new_card(options);
  }
  if (options.card.empty())
    return io::fail({.field = "CARD", .message = "is missing", .remedy = "name a card, or see aplomb foot --help"});
  if (const auto outputs = check_outputs({options.out, options.json, options.picture}, {options.card}); !outputs)
    return outputs;

  const auto data = io::data_folder(common.data);
  if (!data) return tl::unexpected(data.error());
  const auto foot = foot::load_foot(options.card, *data, {.accept_unlikely = common.accept_unlikely});
  if (!foot) return tl::unexpected(foot.error());
  const std::string side = foot->side == foot::Side::left ? "left" : "right";
  if (!options.side.empty() && options.side != side)
    return io::fail({.file = options.card,
                     .field = "--side",
                     .message = fmt::format("is {}, but the file says {}", options.side, side),
                     .remedy = "correct the one that is wrong"});

  if (!options.out.empty())
    if (const auto done = foot::write_foot_file(*foot, options.out); !done) return done;
  if (!options.json.empty())
    if (const auto done = io::write_json(options.json, foot_numbers_json(*foot)); !done) return done;
  if (!options.picture.empty()) {
    const report::FootPictureOptions picture{.shader_folder = report::shader_folder_of(*data),
                                             .side = foot->side,
                                             .title = std::filesystem::path(options.card).filename().string()};
    if (const auto done = report::write_foot_picture(skin_as_measured(*foot), options.picture, picture); !done)
      return done;
  }
  if (options.json == "-") return {};
  return print(foot_numbers_table(*foot));
}

}  // namespace

Run add_foot(CLI::App& program, CommonOptions& common) {
  auto options = std::make_shared<FootOptions>();
  CLI::App* command = program.add_subcommand("foot", "Make a foot from a card of caliper and tape numbers");
  command->add_option("card", options->card, "Card (.toml) or foot file (.foot.json)")->type_name("CARD");
  command->add_option("--side", options->side, "Side that the file must be of")
      ->check(CLI::IsMember({"left", "right"}))
      ->type_name("SIDE");
  command->add_option("--out", options->out, "Foot file to write")->type_name("F.foot.json");
  command->add_option("--json", options->json, "Numbers as JSON; - for standard output")->type_name("FILE");
  command->add_option("--picture", options->picture, "The foot from four sides, to write")->type_name("F.png");
  options->asks_new_card =
      command->add_option("--new-card", options->new_card, "Write an empty card to fill in, to FILE or standard output")
          ->type_name("[FILE]")
          ->expected(0, 1);
  add_common(*command, common);
  return [options, &common](const io::Progress&) { return run(*options, common); };
}

}  // namespace aplomb::app
