// The same steps as the command line's, with changed numbers in between.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve_job.h"

#include <fmt/format.h>

#include <chrono>

#include "aplomb/findings/assess.h"
#include "aplomb/shoe/shoe.h"
#include "aplomb/stance/stand.h"
#include "changes.h"
#include "solve_parts.h"

namespace aplomb::viewer {

namespace {

/// Paths kept: two sides by side in every position.
constexpr std::size_t paths_kept = 16;

}  // namespace

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

Solver::Solver(Library library) : library_(std::move(library)) {}

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
