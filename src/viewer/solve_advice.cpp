// What helps: the rules' changes made to the shoe and solved again. Stands that were shown before are not solved twice.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <mutex>

#include "advice.h"
#include "aplomb/findings/assess.h"
#include "aplomb/shoe/shoe.h"
#include "solve_job.h"

namespace aplomb::viewer {

namespace {

/// Some kilobytes each; a fitting needs some dozens.
constexpr std::size_t most_remembered = 2000;

std::string memory_key(const std::string& basis, const shoe::ShoeParameters& shoe, const std::string& position) {
  return fmt::format("{} {} {}", basis, shop::shoe_hash(shoe), position);
}

}  // namespace

void Solver::remember(const Ready& ready, const shoe::ShoeParameters& shoe, stance::Position position,
                      const findings::Findings& findings) {
  if (remembered_.size() >= most_remembered) remembered_.clear();
  remembered_[memory_key(ready.basis, shoe, stance::name(position))] = answer_of(findings);
}

void Solver::advise(const Request& request, const Ready& ready, const io::Progress& progress, Solved& out) {
  if (!library_.rules) {
    out.error = io::Error{.message = "there are no rules: " + library_.rules_complaint,
                          .remedy = "put rules.toml of the program's data right"};
    return;
  }
  const auto positions = static_cast<double>(library_.rules->positions().size());
  shop::AdviseOptions options;
  options.progress = {.report = {}, .cancel = progress.cancel};
  const double most_stands = positions * (1 + options.most_tries);
  std::mutex mutex;
  int stands = 0;
  const auto stand = [&](const shop::FootPtr& foot, const shoe::ShoeParameters& parameters,
                         const std::string& position) -> io::Result<shop::Solved> {
    const std::string key = memory_key(ready.basis, parameters, position);
    {
      const std::lock_guard lock(mutex);
      progress(std::min(0.98, stands++ / most_stands), "trying changes");
      if (const auto found = remembered_.find(key); found != remembered_.end()) return found->second;
    }
    const auto shoe = shoe::make_shoe(parameters);
    if (!shoe) return tl::unexpected(shoe.error());
    Request like = request;
    like.position = *stance::position_named(position);
    like.care = Care::full;
    like.band = false;
    const auto stance = stance::stand(foot, std::make_shared<const shoe::Shoe>(*shoe),
                                      stand_options(like, ready.constants, nullptr), options.progress);
    if (!stance) return tl::unexpected(stance.error());
    const findings::Findings findings = findings::assess(*stance);
    const std::lock_guard lock(mutex);
    remember(ready, parameters, like.position, findings);
    return answer_of(findings);
  };
  shop::Memory memory(stand, ready.basis);
  auto advice = shop::advise({ready.foot, "", {}}, ready.parameters, *library_.rules, memory, options);
  if (!advice)
    out.error = advice.error();
  else
    out.advice = std::make_shared<const shop::Advice>(std::move(*advice));
}

}  // namespace aplomb::viewer
