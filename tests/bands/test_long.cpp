// Bands of three feet against plain Monte Carlo: many stands at random values of the same inputs, solved in full.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <random>

#include "../source_data.h"
#include "aplomb/bands/band.h"
#include "aplomb/bands/doubts.h"
#include "aplomb/findings/assess.h"
#include "aplomb/foot/fit.h"
#include "aplomb/foot/random.h"
#include "aplomb/io/terminal.h"

using namespace aplomb;
using namespace aplomb::bands;
using namespace aplomb::source_data;

namespace {

/// Draws of plain Monte Carlo; APLOMB_DRAWS for fewer.
int draws() {
  const char* const given = std::getenv("APLOMB_DRAWS");
  return given != nullptr ? std::atoi(given) : 1000;
}

/// Plain pseudorandom deviates, none of the design's.
Eigen::MatrixXd random_points(const std::vector<Law>& laws, int count) {
  std::mt19937_64 engine(2026);
  std::normal_distribution<double> normal;
  std::uniform_real_distribution<double> uniform(-1, 1);
  Eigen::MatrixXd points(count, static_cast<Eigen::Index>(laws.size()));
  for (Eigen::Index i = 0; i < points.rows(); ++i)
    for (Eigen::Index k = 0; k < points.cols(); ++k)
      points(i, k) = laws[static_cast<std::size_t>(k)] == Law::normal ? normal(engine) : uniform(engine);
  return points;
}

double seconds_since(std::chrono::steady_clock::time_point start) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

struct Case {
  std::string name;
  std::shared_ptr<const foot::Foot> foot;
  std::string shoe;
};

void compare(const Case& one) {
  const auto shoe =
      std::make_shared<const shoe::Shoe>(need(shoe::make_shoe(need(shoe::read_shoe(shoe_file(one.shoe))))));
  DoubtOptions options;
  const findings::Findings answer = findings::assess(need(stance::stand(one.foot, shoe, options.stand)));
  REQUIRE(answer.converged);
  const io::Progress progress = io::terminal_progress(io::cancel_on_interrupt());
  auto start = std::chrono::steady_clock::now();
  const findings::Doubts found = need(doubts(one.foot, shoe, model(), answer, options, progress));
  const double took = seconds_since(start);

  const Inputs inputs = need(Inputs::make(one.foot, shoe, model(), options.stand, options.ranges));
  start = std::chrono::steady_clock::now();
  const Runs runs = need(stand_runs(inputs, random_points(inputs.laws(), draws()), 0, progress));
  io::clear_progress();
  const double plain_took = seconds_since(start);
  int balanced = 0;
  for (const auto& run : runs) balanced += run && run->converged ? 1 : 0;
  fmt::print(
      "result: {} in {}: {} runs of {} inputs ({} of the foot's shape), {} not converged, {:.1f} s; plain Monte "
      "Carlo {} of {} converged, {:.0f} s\n",
      one.name, one.shoe, found.runs, found.inputs, found.foot_components, found.not_converged, took, balanced,
      runs.size(), plain_took);

  int expansions = 0, good = 0, judged = 0;
  double worst = 0;
  for (const findings::Doubt& band : found.bands) {
    std::vector<double> drawn;
    for (const auto& run : runs) {
      if (!run || !run->converged) continue;
      for (const auto& number : findings::named_numbers(*run))
        if (number.key == band.key && number.value) drawn.push_back(*number.value);
    }
    if (drawn.size() < 100) continue;
    const Band plain =
        plain_band(Eigen::Map<const Eigen::VectorXd>(drawn.data(), static_cast<Eigen::Index>(drawn.size())));
    const double width = plain.high - plain.low;
    if (!(width > 1e-6)) continue;
    ++judged;
    expansions += band.by_expansion ? 1 : 0;
    // Both ends within a tenth of the width, or within two standard errors of the two.
    const auto off = [&](double a, double b, double error_a, double error_b) {
      return std::abs(a - b) <= std::max(0.1 * width, 2 * std::hypot(error_a, error_b));
    };
    good += off(band.low, plain.low, band.low_error, plain.low_error) &&
                    off(band.high, plain.high, band.high_error, plain.high_error)
                ? 1
                : 0;
    worst = std::max({worst, std::abs(band.low - plain.low) / width, std::abs(band.high - plain.high) / width});
    const bool told = band.key == "depth_mm" || band.key == "sink_mm" || band.key == "crowding_index" ||
                      band.key == "peak_kPa" || band.key == "load_share.platform" ||
                      band.key == "break_point.arch_fraction" || band.key == "plumb.margin_mm";
    if (told)
      fmt::print(
          "result: {}: {}: {} Q2 {:.3f}, {:.4g} .. {:.4g}; plain Monte Carlo {:.4g} .. {:.4g} (+- {:.2g}, {:.2g})\n",
          one.name, band.key, band.by_expansion ? "expansion" : "quantiles", band.q2, band.low, band.high, plain.low,
          plain.high, plain.low_error, plain.high_error);
  }
  fmt::print(
      "result: {}: {} of {} bands by expansion (Q2 >= {}); both ends within a tenth of the width or two standard "
      "errors of plain Monte Carlo in {} of {}; worst end off by {:.0f} % of the width\n",
      one.name, expansions, judged, least_q2, good, judged, 100 * worst);
  CHECK(good >= 0.9 * judged);
}

}  // namespace

TEST_CASE("Bands of three feet against plain Monte Carlo", "[.][long][bands]") {
  const auto card = [](const char* name) {
    return std::make_shared<const foot::Foot>(
        need(foot::fit_card(need(foot::read_card(meshes() / "feet" / name)), model(), prior())));
  };
  foot::Card bare = need(foot::read_card(meshes() / "feet" / "sample.toml"));
  for (int i = 0; i < foot::number_count; ++i)
    if (i != foot::foot_length && i != foot::foot_breadth && i != foot::mass) bare.numbers[i].reset();
  const Case cases[] = {{"sample foot", card("sample.toml"), "tapered"},
                        {"sample left foot", card("sample_left.toml"), "parallel"},
                        {"sample foot of length, breadth and mass alone",
                         std::make_shared<const foot::Foot>(need(foot::fit_card(bare, model(), prior()))), "deep_box"}};
  for (const Case& one : cases) compare(one);
}
