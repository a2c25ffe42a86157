// aplomb stand: one foot in one shoe in one position; findings as table, JSON, picture and report.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>
#include <spdlog/spdlog.h>

#include <cmath>
#include <filesystem>
#include <memory>
#include <optional>
#include <regex>
#include <sstream>

#include "aplomb/bands/doubts.h"
#include "aplomb/findings/assess.h"
#include "aplomb/foot/template.h"
#include "aplomb/gradients/gradients.h"
#include "aplomb/io/data_path.h"
#include "aplomb/io/files.h"
#include "aplomb/report/json.h"
#include "aplomb/report/pdf.h"
#include "aplomb/report/picture.h"
#include "aplomb/report/sequence.h"
#include "aplomb/report/table.h"
#include "aplomb/scan/load_foot.h"
#include "aplomb/shoe/shoe.h"
#include "aplomb/stance/constants.h"
#include "aplomb/stance/positions.h"
#include "aplomb/stance/stand.h"
#include "commands.h"

namespace aplomb::app {

namespace {

constexpr const char* every_position = "all";

struct StandCommandOptions {
  std::string foot, shoe, position, constants, json, picture, report, paper = "a4";
  std::optional<double> load_N;
  bool friction_band = false;
  bool bands = false;
  std::optional<int> bands_runs;
  bool gradients = false;
};

io::Result<void> check_load(std::optional<double> load_N) {
  // Ten times the body weight of a heavy dancer is more than any landing puts on one foot.
  if (!load_N || (*load_N >= 1 && *load_N <= 10000)) return {};
  return io::fail({.field = "--load",
                   .message = fmt::format("{:.6g} N is not between 1 and 10000 N", *load_N),
                   .remedy = "give the load on this shoe in newtons; half of 52 kg is 255 N"});
}

io::Result<void> check_bands(const StandCommandOptions& options) {
  if (options.bands_runs && !options.bands)
    return io::fail({.field = "--bands-runs", .message = "no bands are asked for", .remedy = "give --bands too"});
  return options.bands_runs ? bands::check_runs(*options.bands_runs) : io::Result<void>{};
}

/// `error` about the content of `file`, which the part that found it did not know; with the line where the file sets
/// the key that it is about.
io::Error in_file(io::Error error, const std::string& file) {
  if (!error.file.empty() || error.kind != io::ErrorKind::bad_input) return error;
  error.file = file;
  std::istringstream text(io::read_file(file).value_or(""));
  std::string line;
  for (int number = 1; std::getline(text, line); ++number)
    if (std::regex_search(line, std::regex("^\\s*" + error.field + "\\s*="))) error.line = number;
  return error;
}

/// A scan too is hashed whole.
constexpr std::size_t most_foot_bytes = std::size_t{2200} << 20;

/// Foot and shoe as read, with the hashes of the files.
struct Inputs {
  std::shared_ptr<const foot::Foot> foot;
  std::shared_ptr<const shoe::Shoe> shoe;
  stance::Constants constants;
  std::vector<bands::GuessRange> ranges;  ///< of the guesses, when bands are asked for
  std::string foot_hash, shoe_hash;
  std::filesystem::path data;
};

io::Result<Inputs> read_inputs(const StandCommandOptions& options, const CommonOptions& common,
                               const io::Progress& progress) {
  Inputs inputs;
  // The shoe first: it is read in a millisecond, the foot has to be fitted.
  const auto parameters = shoe::read_shoe(options.shoe);
  if (!parameters) return tl::unexpected(parameters.error());
  const auto data = io::data_folder(common.data);
  if (!data) return tl::unexpected(data.error());
  inputs.data = *data;
  const auto constants = constants_of(*data, options.constants);
  if (!constants) return tl::unexpected(constants.error());
  inputs.constants = *constants;
  if (options.bands) {
    const auto ranges = ranges_of(*data, options.constants);
    if (!ranges) return tl::unexpected(ranges.error());
    inputs.ranges = *ranges;
  }
  auto foot = scan::load_foot(options.foot, *data, {.accept_unlikely = common.accept_unlikely}, progress);
  if (!foot) return tl::unexpected(foot.error());
  if (!foot->mass_kg && !options.load_N)
    return io::fail({.file = options.foot,
                     .field = "mass_kg",
                     .message = "is missing, so the load is not known",
                     .remedy = "add mass_kg to the card or give --load in newtons"});
  auto shoe = shoe::make_shoe(*parameters);
  if (!shoe) return tl::unexpected(in_file(shoe.error(), options.shoe));
  inputs.foot = std::make_shared<const foot::Foot>(std::move(*foot));
  inputs.shoe = std::make_shared<const shoe::Shoe>(std::move(*shoe));
  inputs.foot_hash = io::read_file(options.foot, "--foot", most_foot_bytes).map(io::content_hash).value_or("");
  inputs.shoe_hash = io::read_file(options.shoe, "--shoe").map(io::content_hash).value_or("");
  return inputs;
}

io::Error not_converged(const std::string& position, const std::string& reason) {
  return {.kind = io::ErrorKind::not_converged,
          .field = position,
          .message = "not converged: " + reason,
          .remedy = "look at the shoe's and the foot's numbers, and report the two files if they are right"};
}

/// The bands of one position's findings. Pre: converged.
io::Result<void> add_bands(const Inputs& inputs, const StandCommandOptions& options, const CommonOptions& common,
                           const stance::StandOptions& stand, findings::Findings& findings,
                           const io::Progress& progress) {
  const auto mean = foot::load_template(inputs.data / "foot");
  if (!mean) return tl::unexpected(mean.error());
  bands::DoubtOptions doubt;
  doubt.runs = options.bands_runs.value_or(doubt.runs);
  doubt.seed = common.seed;
  doubt.threads = common.threads;
  doubt.ranges = inputs.ranges;
  doubt.stand = stand;
  auto doubts = bands::doubts(inputs.foot, inputs.shoe, foot::make_shape_model(*mean), findings, doubt, progress);
  if (!doubts) return tl::unexpected(doubts.error());
  findings.doubts = std::move(*doubts);
  return {};
}

/// How one position's findings move with every number. Pre: converged.
io::Result<void> add_gradients(const Inputs& inputs, const CommonOptions& common, const stance::StandOptions& stand,
                               findings::Findings& findings, const io::Progress& progress) {
  const auto mean = foot::load_template(inputs.data / "foot");
  if (!mean) return tl::unexpected(mean.error());
  auto gradients = gradients::gradients(inputs.foot, inputs.shoe, stand, foot::make_shape_model(*mean),
                                        {.keys = {}, .threads = common.threads}, progress);
  if (!gradients) return tl::unexpected(gradients.error());
  findings.gradients = std::move(*gradients);
  return {};
}

/// Solves one position; findings with the names and hashes of the inputs, and what pictures need when asked for.
io::Result<report::Sheet> solve(stance::Position position, const Inputs& inputs, const StandCommandOptions& options,
                                const CommonOptions& common, const io::Progress& progress) {
  stance::StandOptions stand_options;
  stand_options.position = position;
  if (position != stance::Position::on_box || options.position != every_position) stand_options.load_N = options.load_N;
  stand_options.constants = inputs.constants;
  stand_options.solve.settle = options.friction_band;
  const auto stance = stance::stand(inputs.foot, inputs.shoe, stand_options, progress);
  if (!stance) return tl::unexpected(in_file(stance.error(), options.shoe));
  spdlog::info("{}: {} load steps, {} iterations, ankle aim {:.1f} deg", stance::name(position),
               stance->rest().load_steps, stance->rest().iterations, stance->hold.ankle_command_deg);

  report::Sheet sheet{findings::assess(*stance), {}, {}};
  findings::Findings& findings = sheet.findings;
  findings.foot_name = options.foot;
  findings.shoe_name = options.shoe;
  findings.foot_hash = inputs.foot_hash;
  findings.shoe_hash = inputs.shoe_hash;
  findings.template_hash = inputs.foot->template_hash;
  findings.constants_hash = stance::constants_hash(inputs.constants);
  findings.version = APLOMB_VERSION;
  if (options.bands && findings.converged)
    if (const auto done = add_bands(inputs, options, common, stand_options, findings, progress); !done)
      return tl::unexpected(done.error());
  if (options.gradients && findings.converged)
    if (const auto done = add_gradients(inputs, common, stand_options, findings, progress); !done)
      return tl::unexpected(done.error());
  if (!findings.converged || (options.picture.empty() && options.report.empty())) return sheet;
  sheet.scene = findings::make_scene(*stance);
  std::vector<findings::Scene> heights;
  for (const stance::Stance& height : stance->way_down) heights.push_back(findings::make_scene(height));
  if (!heights.empty()) sheet.steps = report::way_down_steps(findings, std::move(heights));
  return sheet;
}

io::Result<void> run(const StandCommandOptions& options, const CommonOptions& common, const io::Progress& progress) {
  std::vector<stance::Position> positions;
  if (options.position == every_position) {
    for (const std::string& name : stance::position_names()) positions.push_back(*stance::position_named(name));
  } else {
    const auto position = read_position(options.position);
    if (!position) return tl::unexpected(position.error());
    positions.push_back(*position);
  }
  if (const auto load = check_load(options.load_N); !load) return load;
  if (const auto runs = check_bands(options); !runs) return runs;
  if (const auto outputs = check_outputs({options.json, options.picture, options.report},
                                         {options.foot, options.shoe, options.constants});
      !outputs)
    return outputs;
  progress(0, "reading foot and shoe");
  const auto inputs = read_inputs(options, common, progress);
  if (!inputs) return tl::unexpected(inputs.error());

  std::vector<report::Sheet> sheets;
  for (const stance::Position position : positions) {
    progress(0.2, "finding where the foot comes to rest");
    auto sheet = solve(position, *inputs, options, common, progress);
    if (!sheet) return tl::unexpected(sheet.error());
    sheets.push_back(std::move(*sheet));
  }

  // An interrupt that came since leaves nothing behind; one that comes after finds everything being written.
  if (progress.cancelled())
    return io::fail(
        {.kind = io::ErrorKind::cancelled, .message = "stopped", .remedy = "run it again to get an answer"});
  const bool all = options.position == every_position;
  if (!options.json.empty())
    if (const auto done = all ? report::write_sequence_json(options.json, sheets)
                              : report::write_json(options.json, sheets.front().findings);
        !done)
      return done;
  // Without an equilibrium there is no map to draw and no sheet to hand out; that the foot does not go in is an answer.
  std::vector<std::string> without;
  bool any = false;
  for (const report::Sheet& sheet : sheets) {
    any = any || sheet.findings.converged;
    if (!sheet.findings.converged && sheet.findings.goes_in)
      without.push_back(all ? fmt::format("{}: {}", sheet.findings.position, sheet.findings.reason)
                            : sheet.findings.reason);
  }
  if (!without.empty() && !all) return tl::unexpected(not_converged(options.position, without.front()));
  const bool sheets_asked = !options.picture.empty() || !options.report.empty();
  if (sheets_asked && !any)
    spdlog::warn("no picture and no report: a foot that does not go in has no place of rest to draw");
  if (sheets_asked && any) {
    progress(0.9, "drawing");
    const report::ReportOptions drawing{.picture = {.shader_folder = report::shader_folder_of(inputs->data)},
                                        .paper = paper_named(options.paper),
                                        .date = today()};
    const auto done = all ? report::write_sequence(sheets, options.picture, options.report, drawing)
                          : report::write_sheet(sheets.front(), options.picture, options.report, drawing);
    if (!done) return done;
  }
  if (options.json != "-")
    if (const auto done = print(all ? report::sequence_table(sheets) : report::table(sheets.front().findings)); !done)
      return done;
  // The other positions have been told of.
  if (!without.empty()) return tl::unexpected(not_converged("all", fmt::format("{}", fmt::join(without, "; "))));
  return {};
}

}  // namespace

Run add_stand(CLI::App& program, CommonOptions& common) {
  auto options = std::make_shared<StandCommandOptions>();
  CLI::App* command =
      program.add_subcommand("stand", "Solve where a foot comes to rest in a shoe, and say what that means");
  command
      ->add_option("--foot", options->foot,
                   "Card (.toml), foot file (.foot.json) or scan (.ply .obj .stl .glb .off .xyz)")
      ->type_name("F")
      ->required();
  command->add_option("--shoe", options->shoe, "Shoe file")->type_name("S.toml")->required();
  command
      ->add_option("--position", options->position,
                   "parallel, demi-plie, on-box, demi-pointe, full-pointe-two, full-pointe-one, roll-down, or all")
      ->type_name("P")
      ->required();
  command->add_option("--load", options->load_N, "Load on this shoe, N; else from mass and position")->type_name("N");
  command->add_flag("--friction-band", options->friction_band,
                    "Also cycle the load until friction has settled, and give both answers; takes longer");
  command->add_flag("--bands", options->bands,
                    "Also say between what values each finding lies with 90 %, given what the card leaves open and the "
                    "constants that are guesses; stands her many times");
  command->add_option("--bands-runs", options->bands_runs, "How often; 128 when not given, 256 for surer bands")
      ->type_name("N");
  command->add_flag(
      "--gradients", options->gradients,
      "Also say how each finding moves with every number of shoe, foot and stand, and which move it most");
  command
      ->add_option("--constants", options->constants,
                   "Constants of tissue, joints and hold; else constants.toml among the program's data")
      ->type_name("C.toml");
  command->add_option("--json", options->json, "Findings as JSON; - for standard output")->type_name("FILE");
  command->add_option("--picture", options->picture, "Front, side and below, with pressure, to write")
      ->type_name("F.png");
  command->add_option("--report", options->report, "One page for the fitter and the dancer, to write")
      ->type_name("F.pdf");
  add_paper(*command, options->paper, "Of the page: a4 or letter");
  add_common(*command, common);
  return [options, &common](const io::Progress& progress) { return run(*options, common, progress); };
}

}  // namespace aplomb::app
