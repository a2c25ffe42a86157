// The same steps as the command line's, with changed numbers in between.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve_job.h"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <fstream>

#include "aplomb/findings/assess.h"
#include "aplomb/foot/fit.h"
#include "aplomb/foot/foot_file.h"
#include "aplomb/io/files.h"
#include "aplomb/report/rows.h"
#include "aplomb/shoe/shoe.h"
#include "aplomb/stance/stand.h"
#include "changes.h"

namespace aplomb::viewer {

namespace {

/// Feet kept: two sides by side, before and after a few changes.
constexpr std::size_t feet_kept = 8;
/// Paths kept: two sides by side in every position.
constexpr std::size_t paths_kept = 16;

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

/// Pages and pictures say what a file alone did not give.
std::string name_with_changes(const Source& source) {
  if (source.changed() == 0) return source.file;
  return fmt::format("{} with {} number{} changed", source.file, source.changed(), source.changed() == 1 ? "" : "s");
}

std::string hash_with_changes(const Source& source) {
  std::string text = source.text;
  for (const auto& [key, value] : source.changes) text += fmt::format("\n{} = {}", key, value);
  for (const auto& [key, word] : source.words) text += fmt::format("\n{} = {}", key, word);
  return io::content_hash(text);
}

void add_frame(const stance::Stance& stance, std::string title, Solved& out) {
  Frame frame{findings::make_scene(stance), std::move(title), nullptr};
  auto prepared = report::PreparedScene::make(frame.scene);
  if (!prepared) {
    out.error = prepared.error();
    return;
  }
  frame.prepared = std::make_shared<const report::PreparedScene>(std::move(*prepared));
  // A few points where a bone is near would leave all the rest pale.
  std::vector<double> loaded;
  for (const double p : frame.scene.pressure_kPa)
    if (p > 1) loaded.push_back(p);
  if (!loaded.empty()) {
    const auto high = loaded.begin() + static_cast<std::ptrdiff_t>(0.98 * static_cast<double>(loaded.size() - 1));
    std::nth_element(loaded.begin(), high, loaded.end());
    out.scale_kPa = std::max(out.scale_kPa, *high);
  }
  out.frames.push_back(std::move(frame));
}

/// While a number is dragged only the position itself is looked at.
void add_frames(const stance::Stance& stance, Solved& out) {
  if (!out.findings.converged) return;
  const std::vector<stance::Stance> up =
      out.care == Care::full ? stance::way_up(stance) : std::vector<stance::Stance>{};
  const std::vector<stance::Stance>& way = up.empty() ? stance.way_down : up;
  if (way.empty()) return add_frame(stance, "", out);
  out.heights = findings::find_heights(way);
  const report::Grid grid = report::heights_grid("", out.heights);
  for (std::size_t i = 0; i < way.size(); ++i) add_frame(way[i], "heel " + grid.rows[i][0], out);
}

}  // namespace

std::size_t Solved::at(std::optional<int> step) const {
  const std::size_t last = frames.size() - 1;
  if (!step) return position == stance::Position::demi_pointe ? last : 0;
  return std::min(static_cast<std::size_t>(std::max(*step, 0)), last);
}

stance::StandOptions stand_options(const Request& request, const stance::Constants& constants,
                                   std::shared_ptr<const contact::LoadPath> beside) {
  stance::StandOptions options;
  options.position = request.position;
  if (request.position != stance::Position::on_box) options.load_N = request.choice.load_N;
  options.constants = constants;
  if (request.care == Care::quick)
    options.solve = contact::dragging_options(std::move(beside));
  else
    options.solve.settle = request.band;
  return options;
}

std::string request_key(const std::string& choice, stance::Position position, Care care, bool band) {
  return fmt::format("{} {} {}{}", choice, stance::name(position), care == Care::quick ? "quick" : "full",
                     band ? " band" : "");
}

std::string advice_key(const std::string& choice) { return choice + " advice"; }

std::string request_key(const Request& request) {
  if (request.advice) return advice_key(choice_key(request.choice));
  return request_key(choice_key(request.choice), request.position, request.care, request.band);
}

io::Result<foot::Card> card_of(const Source& source) {
  auto card = foot::parse_card(source.text, source.file);
  if (!card || source.changes.empty()) return card;
  for (const auto& [key, value] : source.changes) {
    const auto number = foot::find_number(key);
    if (!number) continue;
    if (auto error = io::check_range(key, value, foot::number_table()[*number].range)) return tl::unexpected(*error);
    card->numbers[*number] = value;
  }
  if (const auto found = foot::contradiction_in(*card))
    return tl::unexpected(foot::card_error(*card, found->number, found->message, found->remedy));
  return card;
}

io::Result<shoe::ShoeParameters> parameters_of(const Source& source) {
  auto parameters = shoe::parse_shoe(source.text, source.file);
  if (!parameters || source.changed() == 0) return parameters;
  const auto in_file = [&](io::Error error) {
    error.file = source.file;
    return io::fail(error);
  };
  if (const auto applied = apply(source.changes, source.words, *parameters); !applied) return in_file(applied.error());
  if (const auto checked = shoe::check(*parameters); !checked) return in_file(checked.error());
  return parameters;
}

Solver::Solver(Library library) : library_(std::move(library)) {}

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

io::Result<Solver::Ready> Solver::ready(const Request& request, const io::Progress& progress, Solved& out) {
  Ready ready;
  const auto parameters = parameters_of(request.choice.shoe);
  if (!parameters) return tl::unexpected(parameters.error());
  ready.parameters = *parameters;
  out.parameters = *parameters;
  progress(0.02, "fitting the foot");
  const auto foot = foot_of(request.choice.foot);
  if (!foot) return tl::unexpected(foot.error());
  ready.foot = out.foot = *foot;
  if (!ready.foot->mass_kg && !request.choice.load_N)
    return io::fail({.file = request.choice.foot.file,
                     .field = "mass_kg",
                     .message = "is not said, so the load is not known",
                     .remedy = "set Body mass under Foot, on the left"});
  ready.constants = library_.constants;
  if (const auto applied = apply(request.choice.constants, ready.constants); !applied)
    return tl::unexpected(applied.error());
  ready.basis = fmt::format("{} {} {}", hash_with_changes(request.choice.foot), stance::constants_hash(ready.constants),
                            request.choice.load_N.value_or(0));
  return ready;
}

/// Answers that may stand beside one another: only numbers differ.
std::string Solver::beside_key(const Request& request) {
  return fmt::format("{}\n{}\n{}", request.choice.foot.file, request.choice.shoe.file, stance::name(request.position));
}

void Solver::stand(const Request& request, const Ready& ready, const io::Progress& progress, Solved& out) {
  const auto shoe = shoe::make_shoe(ready.parameters);
  if (!shoe) {
    out.error = shoe.error();
    return;
  }
  if (before_.size() >= paths_kept && !before_.contains(beside_key(request))) before_.clear();
  auto& before = before_[beside_key(request)];
  const auto stance = stance::stand(ready.foot, std::make_shared<const shoe::Shoe>(*shoe),
                                    stand_options(request, ready.constants, before), progress);
  if (!stance) {
    out.error = stance.error();
    return;
  }
  if (stance->rest().converged) before = stance->solved;
  findings::Findings& findings = out.findings;
  findings = findings::assess(*stance);
  findings.foot_name = name_with_changes(request.choice.foot);
  findings.shoe_name = name_with_changes(request.choice.shoe);
  findings.foot_hash = hash_with_changes(request.choice.foot);
  findings.shoe_hash = hash_with_changes(request.choice.shoe);
  findings.template_hash = ready.foot->template_hash;
  findings.constants_hash = stance::constants_hash(ready.constants);
  findings.version = library_.version;
  if (request.care == Care::full && !request.band) remember(ready, ready.parameters, request.position, findings);
  progress(0.95, "making the picture");
  add_frames(*stance, out);
}

Solved Solver::solve(const Request& request, const io::Progress& progress) {
  const auto start = std::chrono::steady_clock::now();
  Solved out;
  out.key = request_key(request);
  out.choice = choice_key(request.choice);
  out.position = request.position;
  out.care = request.care;
  out.band = request.band;
  if (const auto made = ready(request, progress, out); !made)
    out.error = made.error();
  else if (request.advice)
    advise(request, *made, progress, out);
  else
    stand(request, *made, progress, out);
  out.wall_ms = std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count();
  return out;
}

}  // namespace aplomb::viewer
