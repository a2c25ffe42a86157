// The whole study: 300 feet, the three sample shoes graded to each, both pointe positions.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <chrono>
#include <cmath>

#include "aplomb/io/terminal.h"
#include "aplomb/study/summary.h"
#include "setup.h"

using namespace aplomb;
using namespace aplomb::study;
using namespace aplomb::study::test;

namespace {

std::vector<StandRecord> run(const PopulationOptions& options) {
  const auto stands = stand_population(model(), prior(), options, io::terminal_progress(io::cancel_on_interrupt()));
  io::clear_progress();
  if (!stands) FAIL(io::to_line(stands.error()));
  return *stands;
}

void tell(const std::string& what, const std::optional<Spread>& s, int digits) {
  if (!s) return;
  fmt::print("result: {}: {} stands, min {:.{}f}, 5 % {:.{}f}, median {:.{}f}, 95 % {:.{}f}, max {:.{}f}\n", what,
             s->count, s->min, digits, s->p05, digits, s->median, digits, s->p95, digits, s->max, digits);
}

/// Torba and Rice 1993 (one conference abstract, so a band to look at, not to pass): en pointe about 80 % of the load
/// is pressure on the forefoot, 15 % skin shear, 5 % heel and ball; +-7 points are taken as agreeing.
void tell_against_published(const std::vector<StandRecord>& stands) {
  const auto within = [&](const char* what, double published, double findings::LoadKind::*kind) {
    int in = 0, all = 0;
    for (const StandRecord& stand : stands) {
      if (!stand.findings.converged) continue;
      ++all;
      in += std::abs((*stand.findings.load_kind).*kind - published) <= 7 ? 1 : 0;
    }
    fmt::print(
        "result: against Torba and Rice 1993: {} about {:.0f} % of the load; within 7 points in {} of {} stands\n",
        what, published, in, all);
  };
  within("normal pressure on the forefoot", 80, &findings::LoadKind::forefoot_normal);
  within("friction", 15, &findings::LoadKind::all_friction);
  within("heel and shank", 5, &findings::LoadKind::heel_and_shank);
}

}  // namespace

TEST_CASE("300 feet in three shoes in both pointe positions", "[.][long][study]") {
  PopulationOptions options;
  for (const char* name : {"tapered", "parallel", "deep_box"}) options.shoes.push_back(sample_shoe(name));
  const auto started = std::chrono::steady_clock::now();
  const auto stands = run(options);
  const double seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - started).count();
  fmt::print("result: {} feet, {} shoes graded to each, {} positions, seed {}: {:.0f} s; the same by `aplomb study`\n",
             options.feet, options.shoes.size(), options.positions.size(), options.seed, seconds);
  for (const stance::Position position : options.positions)
    for (const std::string& line : summary_lines(summarise(stands, position)))
      fmt::print("result: {}: {}\n", stance::name(position), line);
  CHECK(summarise(stands).share_converged() >= 0.99);
  for (const StandRecord& stand : stands) {
    CAPTURE(stand.foot_seed, stand.shoe, stand.findings.position, stand.findings.reason);
    CHECK(stand.findings.converged == stand.findings.reason.empty());
    if (!stand.findings.converged) continue;
    CHECK(stand.findings.force_balance_error <= 1e-4);
    CHECK(std::abs(stand.findings.load_share->sum() - 100) <= 0.1);
  }
  tell_against_published(stands);

  // The same abstract: lubricating raised the peak by up to 43 %.
  PopulationOptions slippery = options;
  slippery.feet = 20;
  slippery.stand.friction = 0.05;
  const auto slid = run(slippery);
  std::vector<double> ratio;
  for (std::size_t i = 0; i < slid.size(); ++i)
    if (slid[i].findings.converged && stands[i].findings.converged)
      ratio.push_back(100 * (*slid[i].findings.peak_kPa / *stands[i].findings.peak_kPa - 1));
  fmt::print("result: friction 0.05 in place of 0.35, first {} feet: converged {} of {}\n", slippery.feet,
             summarise(slid).converged, slid.size());
  tell("rise of the peak with friction 0.05 in place of 0.35, % (Torba and Rice 1993, lubricated: up to 43)",
       spread_of(ratio), 0);
}
