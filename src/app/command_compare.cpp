// aplomb compare: two feet against a shelf.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>
#include <spdlog/spdlog.h>
#include <unistd.h>

#include <chrono>
#include <memory>
#include <optional>

#include "aplomb/findings/assess.h"
#include "aplomb/foot/foot_file.h"
#include "aplomb/io/data_path.h"
#include "aplomb/io/files.h"
#include "aplomb/io/progress_part.h"
#include "aplomb/report/picture.h"
#include "aplomb/report/rows.h"
#include "aplomb/scan/load_foot.h"
#include "aplomb/shoe/shoe.h"
#include "aplomb/shop/compare.h"
#include "aplomb/shop/pages.h"
#include "aplomb/shop/tell.h"
#include "aplomb/shop/visit.h"
#include "commands.h"

namespace aplomb::app {

namespace {

struct CompareCommandOptions {
  std::string left, right, stock, visit, rules, constants, json, resume, client, workshop, paper = "a4";
  std::string data;  ///< of the common options
  int top = 1;
  bool exhaustive = false, no_advice = false;
};

double ms_since(std::chrono::steady_clock::time_point start) {
  return std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count();
}

void tell_mass(const shop::Visit& visit, const std::string& foot_file) {
  const auto text = io::read_file(foot_file, {}, io::max_json_bytes);
  if (!text) return;
  const std::string words = shop::mass_words(visit, foot_file, foot::mass_in(*text));
  if (!words.empty()) spdlog::warn(words);
}

/// The foot for one side, with what she wears. What the visit says of mass and age counts before what the foot's file
/// does: a card may be of last year.
io::Result<shop::Wearer> read_wearer(const std::string& file, foot::Side side, const shop::Visit* visit,
                                     const std::filesystem::path& data, const CommonOptions& common) {
  const char* option = side == foot::Side::left ? "--left" : "--right";
  if (file.empty())
    return io::fail(
        {.field = option, .message = "is missing", .remedy = "name a card or a foot file, or a --visit that does"});
  scan::ScanOptions of_scan;
  of_scan.side = side;  // as it is named on this line
  foot::FitOptions fit{.accept_unlikely = common.accept_unlikely};
  if (visit != nullptr) fit.mass_kg = visit->mass_kg;
  auto foot = scan::load_foot(file, data, fit, {}, of_scan);
  if (!foot) {
    io::Error error = foot.error();
    if (error.field == "--foot") error.field = option;
    return tl::unexpected(error);
  }
  if (foot->side != side)
    return io::fail({.file = file,
                     .field = "side",
                     .message = fmt::format("is {}, but the file was given as {}",
                                            side == foot::Side::left ? "right" : "left", option),
                     .remedy = "exchange the two files, or correct the side in the file"});
  shop::Wearer wearer;
  if (visit != nullptr) {
    if (!scan::is_scan_name(file)) tell_mass(*visit, file);
    if (visit->age_years) foot->age_years = visit->age_years;
    wearer.layers = visit->layers;
  }
  if (!foot->mass_kg)
    return io::fail({.file = file,
                     .field = "mass_kg",
                     .message = "is missing, so the load is not known",
                     .remedy = "add mass_kg to the card or to the visit"});
  // Of the foot as it was fitted: a scan may be larger than what is read of a file, and the same foot under another
  // name is the same foot.
  wearer.key = io::content_hash(fmt::format("{}/{}", foot::foot_json(*foot).dump(), *foot->mass_kg));
  wearer.foot = std::make_shared<const foot::Foot>(std::move(*foot));
  return wearer;
}

struct Read {
  shop::CompareInputs inputs;
  std::optional<shop::Visit> visit;
  std::optional<shoe::ShoeParameters> present;
  std::string left, right;
  stance::Constants constants;
  std::vector<std::string> files;  ///< everything that was read and could be written over
};

/// The files that a visit names, told with its own line where one is not there.
io::Result<void> check_named(const shop::Visit& visit, bool left, bool right) {
  struct Named {
    const std::string& file;
    const char* field;
    int line;
    bool counts;
  };
  for (const Named& named :
       {Named{visit.left, "left", visit.left_line, left}, Named{visit.right, "right", visit.right_line, right},
        Named{visit.present_shoe, "present.shoe", visit.present_line, true}}) {
    std::error_code none;
    if (!named.counts || named.file.empty() || std::filesystem::exists(named.file, none)) continue;
    return io::fail({.file = visit.file,
                     .line = named.line,
                     .field = named.field,
                     .message = fmt::format("\"{}\" is not there", named.file),
                     .remedy = "correct the name; paths count from the visit's own folder"});
  }
  return {};
}

io::Result<Read> read_all(const CompareCommandOptions& options, const CommonOptions& common) {
  Read all;
  all.left = options.left, all.right = options.right;
  const auto data = io::data_folder(common.data);
  if (!data) return tl::unexpected(data.error());
  // What costs nothing to read comes first, so that its faults are told at once.
  const auto of_house = [&](const std::string& named, const char* usual) {
    all.files.push_back(named.empty() ? (*data / usual).string() : named);
    return all.files.back();
  };
  auto rules = shop::read_rules(of_house(options.rules, "rules.toml"));
  if (!rules) return tl::unexpected(rules.error());
  all.inputs.rules = std::move(*rules);
  if (!options.visit.empty()) {
    auto visit = shop::read_visit(options.visit);
    if (!visit) return tl::unexpected(visit.error());
    if (const auto there = check_named(*visit, all.left.empty(), all.right.empty()); !there)
      return tl::unexpected(there.error());
    all.files.insert(all.files.end(), {options.visit, visit->present_shoe});
    if (all.left.empty()) all.left = visit->left;
    if (all.right.empty()) all.right = visit->right;
    if (!visit->present_shoe.empty()) {
      auto present = shoe::read_shoe(visit->present_shoe);
      if (!present) return tl::unexpected(present.error());
      all.present = std::move(*present);
    }
    all.visit = std::move(*visit);
  }
  auto stock = shop::read_stock(options.stock, *data / "shoes");
  if (!stock) return tl::unexpected(stock.error());
  all.inputs.stock = std::move(*stock);
  all.files.push_back(options.stock);
  for (const shop::StockItem& item : all.inputs.stock.items)
    if (item.file != all.files.back()) all.files.push_back(item.file);
  all.files.insert(all.files.end(), {all.left, all.right, of_house(options.constants, "constants.toml")});
  const auto constants = constants_of(*data, options.constants);
  if (!constants) return tl::unexpected(constants.error());
  all.constants = *constants;
  const shop::Visit* visit = all.visit ? &*all.visit : nullptr;
  for (const foot::Side side : {foot::Side::left, foot::Side::right}) {
    const bool left = side == foot::Side::left;
    auto wearer = read_wearer(left ? all.left : all.right, side, visit, *data, common);
    if (!wearer) return tl::unexpected(wearer.error());
    (left ? all.inputs.left : all.inputs.right) = std::move(*wearer);
  }
  all.inputs.basis =
      io::content_hash(APLOMB_VERSION + stance::constants_hash(all.constants) + all.inputs.left.foot->template_hash);
  return all;
}

io::Result<std::optional<shop::Present>> advise_present(const Read& read, shop::Memory& memory,
                                                        const shop::CompareOptions& options) {
  if (!read.present) return std::optional<shop::Present>{};
  shop::Present present{read.visit->present_shoe, {}};
  shop::AdviseOptions advise;
  advise.most_offers = options.advice ? options.most_offers : 0;
  advise.threads = options.search.threads;
  advise.progress = options.search.progress;
  for (const shop::Wearer* wearer : {&read.inputs.left, &read.inputs.right}) {
    auto advice = shop::advise(*wearer, *read.present, read.inputs.rules, memory, advise);
    if (!advice) return tl::unexpected(advice.error());
    present.advice.push_back(std::move(*advice));
  }
  return std::optional<shop::Present>{std::move(present)};
}

/// To whoever waits at a terminal, and with -v.
void say_meanwhile(const std::string& words) {
  if (::isatty(STDERR_FILENO) != 0)
    fmt::print(stderr, "\r{:<110}\n", words);  // over the line of the progress
  else
    spdlog::info(words);
}

/// The best pair on the larger foot, on full pointe; nothing where no balance is found.
io::Result<std::optional<findings::Scene>> scene_of(const shop::Telling& telling, const Read& read,
                                                    const io::Progress& progress) {
  const shop::Comparison& c = *telling.comparison;
  const shop::Wearer& wearer = c.difference.right_is_larger ? read.inputs.right : read.inputs.left;
  const auto& item = read.inputs.stock.items[static_cast<std::size_t>(c.pairs.ranking.front().item)];
  auto shoe = shoe::make_shoe(shop::worn(item.shoe, wearer));
  if (!shoe) return tl::unexpected(shoe.error());
  stance::StandOptions stand;
  stand.constants = read.constants;
  const auto stance = stance::stand(wearer.foot, std::make_shared<const shoe::Shoe>(std::move(*shoe)), stand, progress);
  if (!stance) return tl::unexpected(stance.error());
  if (!stance->rest().converged) return std::optional<findings::Scene>{};
  return std::optional<findings::Scene>{findings::make_scene(*stance)};
}

io::Result<void> write_pages(const CompareCommandOptions& options, const shop::Telling& telling, const Read& read,
                             const io::Progress& progress) {
  if (options.client.empty() && options.workshop.empty()) return {};
  const auto data = io::data_folder(options.data);
  if (!data) return tl::unexpected(data.error());
  const auto shaders = report::shader_folder_of(*data);
  const report::Paper paper = paper_named(options.paper);
  progress(0.95, "drawing pages");
  if (!options.workshop.empty())
    if (const auto done = report::write_fitting_page(shop::workshop_page(telling), paper, options.workshop, shaders);
        !done)
      return done;
  if (options.client.empty()) return {};
  const auto scene = scene_of(telling, read, progress);
  if (!scene) return tl::unexpected(scene.error());
  report::FittingPage page = shop::client_page(telling);
  if (*scene) {
    page.scene = &**scene;
    page.caption = fmt::format(
        "The {} foot in this pair on full pointe, from the inner side. Numbers on the bar are the "
        "pressure on the skin; darker is more. An estimate.",
        telling.comparison->difference.right_is_larger ? "right" : "left");
  } else {
    page.parts.front().lines.emplace_back("No picture: on full pointe no balance was found in this pair.");
  }
  return report::write_fitting_page(page, paper, options.client, shaders);
}

io::Result<void> run(const CompareCommandOptions& options, const CommonOptions& common, const io::Progress& progress) {
  const auto started = std::chrono::steady_clock::now();
  if (options.top < 1 || options.top > shop::most_items)
    return io::fail({.field = "--top",
                     .message = fmt::format("{} shoes cannot be ranked", options.top),
                     .remedy = fmt::format("give a count from 1 to {}", shop::most_items)});
  const std::vector<std::string> outputs = {options.json, options.resume, options.client, options.workshop};
  if (const auto good = check_outputs(
          outputs, {options.left, options.right, options.stock, options.visit, options.rules, options.constants});
      !good)
    return good;
  progress(0, "reading feet and stock");
  auto read = read_all(options, common);
  if (!read) return tl::unexpected(read.error());
  // Once more, now that it is known which files visit and stock name.
  if (const auto good = check_outputs(outputs, read->files); !good) return good;

  shop::Memory memory(shop::stand_solver(read->constants, {}, progress), read->inputs.basis);
  if (!options.resume.empty())
    if (const auto kept = memory.keep_in(options.resume); !kept) return kept;

  double first_ranking_ms = 0;
  int leader = -1;
  shop::CompareOptions how;
  how.advice = !options.no_advice;
  how.search.top = options.top;
  how.search.exhaustive = options.exhaustive;
  how.search.threads = common.threads;
  how.search.progress = io::part_of(progress, 0, 0.9);
  how.search.on_ranking = [&](const shop::RankingSoFar& so_far) {
    if (so_far.ranking.empty() || so_far.step == shop::RankingSoFar::Step::measured) return;
    const auto label = [&](std::size_t i) {
      return read->inputs.stock.items[static_cast<std::size_t>(so_far.ranking[i].item)].label;
    };
    if (so_far.step == shop::RankingSoFar::Step::first) {
      first_ranking_ms = ms_since(started);
      std::string words = label(0);
      for (std::size_t i = 1; i < std::min<std::size_t>(3, so_far.ranking.size()); ++i) words += ", then " + label(i);
      say_meanwhile(
          fmt::format("First ranking after {:.1f} s, provisional, by measure and {}: {}", first_ranking_ms / 1000,
                      report::position_words(shop::cheap_first(read->inputs.rules.positions()).front()), words));
    }
    if (so_far.ranking.front().item == leader) return;
    leader = so_far.ranking.front().item;
    spdlog::info("{:.1f} s: {} leads", ms_since(started) / 1000, label(0));
  };
  const auto comparison = shop::compare(read->inputs, memory, how);
  if (!comparison) return tl::unexpected(comparison.error());
  how.search.progress = io::part_of(progress, 0.9, 0.95);
  const auto present = advise_present(*read, memory, how);
  if (!present) return tl::unexpected(present.error());

  const shop::Telling telling{.inputs = &read->inputs,
                              .comparison = &*comparison,
                              .visit = read->visit ? &*read->visit : nullptr,
                              .present = *present ? &**present : nullptr,
                              .left_name = read->left,
                              .right_name = read->right,
                              .version = APLOMB_VERSION,
                              .date = today(),
                              .top = options.top,
                              .first_ranking_ms = first_ranking_ms,
                              .total_ms = ms_since(started)};
  // What was solved for minutes is told before pages are drawn, which can fail.
  if (!options.json.empty())
    if (const auto done = io::write_json(options.json, shop::comparison_json(telling)); !done) return done;
  if (options.json != "-")
    if (const auto done = print(shop::comparison_text(telling)); !done) return done;
  return write_pages(options, telling, *read, progress);
}

}  // namespace

Run add_compare(CLI::App& program, CommonOptions& common) {
  auto options = std::make_shared<CompareCommandOptions>();
  CLI::App* command = program.add_subcommand(
      "compare", "Both feet against a stock: which pair to bring out first, why, and what to alter");
  command->add_option("--left", options->left, "Card (.toml), foot file or scan of the left foot; else the visit's")
      ->type_name("F");
  command->add_option("--right", options->right, "The same of the right foot")->type_name("F");
  command->add_option("--stock", options->stock, "What stands on the shelf, TOML or CSV")->type_name("S")->required();
  command->add_option("--visit", options->visit, "Who she is, what she wears, whether she is ready")
      ->type_name("V.toml");
  command->add_option("--rules", options->rules, "Rules; else rules.toml among the program's data")
      ->type_name("R.toml");
  command->add_option("--constants", options->constants, "Constants; else constants.toml among the program's data")
      ->type_name("C.toml");
  command
      ->add_option("--top", options->top,
                   "So many shoes are ranked exactly; of the others it is known that they are behind")
      ->type_name("N")
      ->capture_default_str();
  command->add_flag("--exhaustive", options->exhaustive, "Solve every shoe in every position; takes long");
  command->add_flag("--no-advice", options->no_advice, "Rank only; solve no changes");
  command->add_option("--resume", options->resume, "File that keeps answers, so that a stopped run goes on")
      ->type_name("FILE");
  command->add_option("--client", options->client, "A page for the client, to write")->type_name("C.pdf");
  command->add_option("--workshop", options->workshop, "A page for the workshop, to write")->type_name("W.pdf");
  add_paper(*command, options->paper, "Of the pages: a4 or letter");
  command->add_option("--json", options->json, "The comparison as JSON; - for standard output")->type_name("FILE");
  add_common(*command, common);
  return [options, &common](const io::Progress& progress) {
    options->data = common.data;
    return run(*options, common, progress);
  };
}

}  // namespace aplomb::app
