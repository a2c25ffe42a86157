// aplomb study: many feet drawn from the prior, in shoes graded to each; a summary, and one CSV row for each stand.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/study/csv.h"
#include "aplomb/study/population.h"
#include "aplomb/study/summary.h"

#include <fmt/format.h>

#include <memory>

#include "aplomb/foot/card.h"
#include "aplomb/foot/loading.h"
#include "aplomb/foot/template.h"
#include "aplomb/io/data_path.h"
#include "aplomb/io/files.h"
#include "commands.h"

namespace aplomb::app {

namespace {

struct StudyCommandOptions {
  int feet = 300;
  std::vector<std::string> shoes, positions;
  std::string fits, constants, csv;
};

io::Result<study::PopulationOptions> read_options(const StudyCommandOptions& options, const CommonOptions& common,
                                                  const std::filesystem::path& data) {
  study::PopulationOptions population;
  population.feet = options.feet;
  population.seed = common.seed;
  population.threads = common.threads;

  std::vector<std::string> shoes = options.shoes;
  if (shoes.empty())
    for (const char* name : {"tapered", "parallel", "deep_box"})
      shoes.push_back((data / "shoes" / name).replace_extension(".toml").string());
  for (const std::string& file : shoes) {
    auto shoe = shoe::read_shoe(file);
    if (!shoe) return tl::unexpected(shoe.error());
    if (shoe->name.empty()) shoe->name = std::filesystem::path(file).stem().string();
    population.shoes.push_back(std::move(*shoe));
  }

  const auto card = foot::read_card(options.fits.empty() ? (data / "feet" / "sample.toml").string() : options.fits);
  if (!card) return tl::unexpected(card.error());
  const foot::Numbers standing = foot::to_standing(card->numbers, card->load);
  population.fits_length_mm = *standing[foot::foot_length];
  population.fits_breadth_mm = *standing[foot::foot_breadth];

  if (!options.positions.empty()) population.positions.clear();
  for (const std::string& text : options.positions) {
    const auto position = read_position(text);
    if (!position) return tl::unexpected(position.error());
    population.positions.push_back(*position);
  }
  auto constants = constants_of(data, options.constants);
  if (!constants) return tl::unexpected(constants.error());
  population.stand.constants = *constants;
  return population;
}

std::string summary_text(const std::vector<study::StandRecord>& stands, const study::PopulationOptions& population) {
  std::string text = fmt::format("{} feet, {} shoes, {} stands, seed {}\n", population.feet, population.shoes.size(),
                                 stands.size(), population.seed);
  for (const stance::Position position : population.positions) {
    text += fmt::format("\n{}\n", stance::name(position));
    for (const std::string& line : study::summary_lines(study::summarise(stands, position)))
      text += fmt::format("  {}\n", line);
  }
  return text;
}

io::Result<void> run(const StudyCommandOptions& options, const CommonOptions& common, const io::Progress& progress) {
  std::vector<std::string> inputs = options.shoes;
  inputs.insert(inputs.end(), {options.fits, options.constants});
  if (const auto outputs = check_outputs({options.csv}, inputs); !outputs) return outputs;
  const auto data = io::data_folder(common.data);
  if (!data) return tl::unexpected(data.error());
  const auto population = read_options(options, common, *data);
  if (!population) return tl::unexpected(population.error());
  const auto mean = foot::load_template(*data / "foot");
  if (!mean) return tl::unexpected(mean.error());
  const auto prior = foot::read_prior(*data / "foot" / "prior.json");
  if (!prior) return tl::unexpected(prior.error());

  const auto stands = study::stand_population(foot::make_shape_model(*mean), *prior, *population, progress);
  if (!stands) return tl::unexpected(stands.error());
  if (options.csv == "-") return print(study::csv_text(*stands));
  if (!options.csv.empty())
    if (const auto done = io::write_file(options.csv, study::csv_text(*stands)); !done) return done;
  return print(summary_text(*stands, *population));
}

}  // namespace

Run add_study(CLI::App& program, CommonOptions& common) {
  auto options = std::make_shared<StudyCommandOptions>();
  CLI::App* command =
      program.add_subcommand("study", "Stand many random feet in shoes graded to each, and summarise what comes out");
  command->add_option("--feet", options->feet, "How many feet to draw from the prior")
      ->type_name("N")
      ->capture_default_str();
  command->add_option("--shoe", options->shoes, "Shoe file, several times for several; else the three samples")
      ->type_name("S.toml")
      ->allow_extra_args(false);
  command
      ->add_option("--position", options->positions, "As of stand, several times for several; else both full pointes")
      ->type_name("P")
      ->allow_extra_args(false);
  command->add_option("--fits", options->fits, "Card of the foot that the shoes fit as they are; else the sample")
      ->type_name("CARD");
  command->add_option("--constants", options->constants, "Constants; else constants.toml among the program's data")
      ->type_name("C.toml");
  command->add_option("--csv", options->csv, "One row for each stand; - for standard output")->type_name("FILE");
  add_common(*command, common);
  return [options, &common](const io::Progress& progress) { return run(*options, common, progress); };
}

}  // namespace aplomb::app
