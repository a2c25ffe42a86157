// aplomb foot: from a card or a scan to a foot; its numbers as a table or JSON, a foot file, a sheet; or a new card to
// fill in.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <filesystem>
#include <memory>
#include <optional>

#include "aplomb/foot/foot_file.h"
#include "aplomb/foot/new_card.h"
#include "aplomb/foot/portrait.h"
#include "aplomb/foot/template.h"
#include "aplomb/io/data_path.h"
#include "aplomb/io/files.h"
#include "aplomb/report/foot_picture.h"
#include "aplomb/report/picture.h"
#include "aplomb/scan/load_foot.h"
#include "commands.h"
#include "foot_numbers.h"
#include "scan_words.h"

namespace aplomb::app {

namespace {

namespace fs = std::filesystem;

struct FootOptions {
  std::string card, beside, side, unit, load, out, json, picture, new_card;
  const CLI::Option* asks_new_card = nullptr;
};

/// The template and what can be said of feet in general.
struct Basis {
  fs::path data;
  foot::ShapeModel model;
};

io::Result<Basis> read_basis(const CommonOptions& common) {
  const auto data = io::data_folder(common.data);
  if (!data) return tl::unexpected(data.error());
  const auto mean = foot::load_template(*data / "foot");
  if (!mean) return tl::unexpected(mean.error());
  return Basis{*data, foot::make_shape_model(*mean)};
}

io::Result<void> write_new_card(const FootOptions& options, const CommonOptions& common) {
  if (!options.card.empty())
    return io::fail(
        {.field = "--new-card", .message = "makes an empty card and reads none", .remedy = "give one of the two"});
  for (const auto& [option, value] : {std::pair("--out", options.out),
                                      {"--json", options.json},
                                      {"--side", options.side},
                                      {"--unit", options.unit},
                                      {"--load", options.load},
                                      {"--card", options.beside}})
    if (!value.empty())
      return io::fail({.field = option,
                       .message = "does not go with --new-card: there is no foot yet",
                       .remedy = "fill in the card first, then run aplomb foot with it"});
  // A card is something a person writes: never over one that is there.
  std::error_code code;
  if (!options.new_card.empty() && fs::exists(options.new_card, code))
    return io::fail({.kind = io::ErrorKind::cannot_write,
                     .file = options.new_card,
                     .field = "--new-card",
                     .message = "exists already",
                     .remedy = "choose another name"});
  if (const auto outputs = check_outputs({options.new_card, options.picture}, {}); !outputs) return outputs;
  if (!options.picture.empty()) {
    const auto basis = read_basis(common);
    if (!basis) return tl::unexpected(basis.error());
    const auto done = report::write_measuring_picture(foot::make_portrait(basis->model), options.picture,
                                                      report::shader_folder_of(basis->data), APLOMB_VERSION);
    if (!done) return done;
  }
  if (options.new_card.empty()) return print(foot::new_card_text());
  return io::write_file(options.new_card, foot::new_card_text());
}

io::Result<void> check_side(const FootOptions& options, const foot::Foot& foot) {
  const std::string side = foot.side == foot::Side::left ? "left" : "right";
  if (options.side.empty() || options.side == side) return {};
  return io::fail({.file = options.card,
                   .field = "--side",
                   .message = fmt::format("is {}, but the file says {}", options.side, side),
                   .remedy = "correct the one that is wrong"});
}

scan::ScanOptions scan_options(const FootOptions& options, const CommonOptions& common) {
  scan::ScanOptions out;
  out.seed = common.seed;
  if (common.threads > 0) out.threads = common.threads;
  if (!options.side.empty()) out.side = options.side == "left" ? foot::Side::left : foot::Side::right;
  for (int i = 0; i < 4; ++i)
    if (options.unit == scan::unit_names[i]) out.unit = static_cast<scan::Unit>(i);
  for (int i = 0; i < 3; ++i)
    if (options.load == foot::load_names[i]) out.load = static_cast<foot::Load>(i);
  return out;
}

/// A foot, and what was found when it came from a scan.
struct Made {
  foot::Foot foot;
  std::optional<scan::ScanFit> scan;
};

io::Result<Made> make_foot(const FootOptions& options, const CommonOptions& common, const fs::path& data,
                           const io::Progress& progress) {
  Made made;
  if (scan::is_scan_name(options.card)) {
    scan::ScanOptions of_scan = scan_options(options, common);
    if (!options.beside.empty()) {
      auto card = foot::read_card(options.beside);
      if (!card) return tl::unexpected(card.error());
      if (of_scan.side && *of_scan.side != card->side)
        return io::fail({.file = options.beside,
                         .field = "side",
                         .message = fmt::format("is not the {} that --side says", options.side),
                         .remedy = "correct the one that is wrong"});
      of_scan.side = card->side;
      of_scan.card = std::move(*card);
    }
    auto fit = scan::load_scan(options.card, data, of_scan, progress);
    if (!fit) return tl::unexpected(fit.error());
    made.foot = fit->foot;
    made.scan = std::move(*fit);
    return made;
  }
  for (const auto& [option, value] :
       {std::pair("--unit", options.unit), {"--load", options.load}, {"--card", options.beside}})
    if (!value.empty())
      return io::fail({.file = options.card,
                       .field = option,
                       .message = "goes with a scan, and this is none",
                       .remedy = "leave it out; a card says its load itself"});
  auto foot = foot::load_foot(options.card, data, {.accept_unlikely = common.accept_unlikely});
  if (!foot) {
    io::Error error = foot.error();
    if (error.field == "--foot") {  // as it is called on this line
      error.field = "CARD";
      if (const std::string kind = fs::path(options.card).extension().string(); kind != ".toml" && kind != ".json")
        error.remedy = "give a card (.toml), a foot file (.foot.json) or a scan (.ply .obj .stl .glb .off .xyz)";
    }
    return tl::unexpected(error);
  }
  made.foot = std::move(*foot);
  if (const auto side = check_side(options, made.foot); !side) return tl::unexpected(side.error());
  return made;
}

io::Result<void> run(const FootOptions& options, const CommonOptions& common, const io::Progress& progress) {
  if (options.asks_new_card->count() > 0) return write_new_card(options, common);
  if (options.card.empty())
    return io::fail({.field = "CARD", .message = "is missing", .remedy = "name a card, or see aplomb foot --help"});
  if (const auto outputs = check_outputs({options.out, options.json, options.picture}, {options.card, options.beside});
      !outputs)
    return outputs;

  const auto data = io::data_folder(common.data);
  if (!data) return tl::unexpected(data.error());
  const auto made = make_foot(options, common, *data, progress);
  if (!made) return tl::unexpected(made.error());
  const foot::Foot* foot = &made->foot;
  const auto basis = read_basis(common);
  if (!basis) return tl::unexpected(basis.error());
  const auto prior = foot::read_prior(*data / "foot" / "prior.json");
  if (!prior) return tl::unexpected(prior.error());
  const auto sections = report::foot_sections(*foot, surprises_of(*foot, basis->model, *prior));
  auto notes = report::foot_notes(*foot, *prior, load_of(*foot));
  if (made->scan)
    for (std::string& note : scan_notes(made->scan->found)) notes.push_back(std::move(note));
  // Stopped while it was made: nothing is written.
  if (progress.cancelled())
    return io::fail({.kind = io::ErrorKind::cancelled, .message = "stopped", .remedy = "nothing was written"});

  if (!options.picture.empty()) {
    report::FootSheet sheet{.portrait = foot::make_portrait(basis->model, *foot),
                            .numbers = sections,
                            .notes = notes,
                            .name = fs::path(options.card).filename().string(),
                            .version = APLOMB_VERSION};
    if (made->scan) sheet.residuals = residuals_of(*made->scan);
    const auto done = report::write_foot_picture(sheet, options.picture, report::shader_folder_of(*data));
    if (!done) return done;
  }
  if (!options.out.empty())
    if (const auto done = foot::write_foot_file(*foot, options.out); !done) return done;
  if (!options.json.empty()) {
    io::Json json = foot_numbers_json(*foot, notes);
    if (made->scan) json["scan"] = scan_json(made->scan->found);
    if (const auto done = io::write_json(options.json, json); !done) return done;
  }
  if (options.json == "-") return {};
  return print(report::foot_table(
      fmt::format("{} from {}", report::foot_heading(*foot), fs::path(options.card).filename().string()), sections,
      notes));
}

}  // namespace

Run add_foot(CLI::App& program, CommonOptions& common) {
  auto options = std::make_shared<FootOptions>();
  CLI::App* command =
      program.add_subcommand("foot", "Make a foot from a card of caliper and tape numbers, or from a scan");
  command
      ->add_option("card", options->card,
                   "Card (.toml), foot file (.foot.json) or scan (.ply .obj .stl .glb .off .xyz)")
      ->type_name("CARD|SCAN");
  command->add_option("--side", options->side, "Side of a scan; of a card or foot file, the side it must be of")
      ->check(CLI::IsMember({"left", "right"}))
      ->type_name("SIDE");
  command->add_option("--unit", options->unit, "Unit of a scan; found when not given")
      ->check(CLI::IsMember({"mm", "cm", "m", "inch"}))
      ->type_name("UNIT");
  command->add_option("--load", options->load, "What the scanned foot carried; found when not given")
      ->check(CLI::IsMember({"none", "standing", "full"}))
      ->type_name("LOAD");
  command
      ->add_option("--card", options->beside,
                   "Card of the scanned foot: its numbers count with the scan, its mass and side are taken")
      ->type_name("CARD");
  command->add_option("--out", options->out, "Foot file to write")->type_name("F.foot.json");
  command->add_option("--json", options->json, "Numbers as JSON; - for standard output")->type_name("FILE");
  command
      ->add_option("--picture", options->picture,
                   "Sheet of the foot with its numbers, to write; with --new-card: how to measure")
      ->type_name("F.png");
  options->asks_new_card =
      command
          ->add_option("--new-card", options->new_card,
                       "Write a card to fill in, with how to take each number, to FILE or standard output")
          ->type_name("[FILE]")
          ->expected(0, 1);
  add_common(*command, common);
  return [options, &common](const io::Progress& progress) { return run(*options, common, progress); };
}

}  // namespace aplomb::app
