// Runs are independent pieces of work; everything after them goes finding by finding, each in a fixed order of its own.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/bands/doubts.h"

#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <map>

#include "aplomb/bands/band.h"
#include "aplomb/bands/chaos.h"
#include "aplomb/bands/design.h"
#include "aplomb/findings/assess.h"
#include "aplomb/io/progress_part.h"
#include "parallel.h"

namespace aplomb::bands {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

constexpr int many_points = 8192;
/// Share of the time that the runs take; the rest is what is made of them.
constexpr double share_of_runs = 0.9;
/// Below this Q2 an expansion says nothing of what its answer depends on.
constexpr double tells_sources = 0.5;
/// Fewer runs with a number than this give it no band.
constexpr int fewest_for_band = 20;

/// Sources of one answer: the ways of the foot together, every other input by itself.
std::vector<findings::DoubtSource> sources_of(const Chaos& chaos, const Inputs& inputs) {
  const SobolIndices indices = sobol_indices(chaos);
  std::vector<findings::DoubtSource> sources;
  const int ways = inputs.ways();
  if (ways > 0) {
    findings::DoubtSource foot{inputs.list().front().key, inputs.list().front().words};
    const double variance = chaos.variance();
    for (std::size_t j = 1; j < chaos.terms.size() && variance > 0; ++j) {
      const Term& term = chaos.terms[j];
      const auto of_foot = [&](const auto& factor) { return factor.first < ways; };
      const double c = chaos.coefficients[static_cast<Index>(j)], share = c * c / variance;
      if (std::all_of(term.begin(), term.end(), of_foot)) foot.first += share;
      if (std::any_of(term.begin(), term.end(), of_foot)) foot.total += share;
    }
    sources.push_back(foot);
  }
  for (std::size_t k = static_cast<std::size_t>(ways); k < inputs.list().size(); ++k) {
    const Input& input = inputs.list()[k];
    const auto i = static_cast<Index>(k);
    sources.push_back({input.key, input.words, input.guess, indices.first[i], indices.total[i]});
  }
  std::erase_if(sources, [](const auto& source) { return source.total < 0.01; });
  std::stable_sort(sources.begin(), sources.end(), [](const auto& a, const auto& b) { return a.total > b.total; });
  return sources;
}

/// Linear coefficients of the normal inputs: the slope of the answer by each.
VectorXd slope_of(const Chaos& chaos) {
  VectorXd slope = VectorXd::Zero(static_cast<Index>(chaos.laws.size()));
  for (std::size_t j = 1; j < chaos.terms.size(); ++j)
    if (chaos.terms[j].size() == 1 && chaos.terms[j].front().second == 1)
      slope[chaos.terms[j].front().first] = chaos.coefficients[static_cast<Index>(j)];
  return slope;
}

/// Runs with one number: which, and what it is.
struct Column {
  std::string key;
  std::vector<Index> run;
  std::vector<double> value;
};

std::vector<Column> columns_of(const Runs& runs) {
  std::vector<Column> columns;
  for (std::size_t i = 0; i < runs.size(); ++i) {
    if (!runs[i] || !runs[i]->converged) continue;
    const auto numbers = findings::named_numbers(*runs[i]);
    if (columns.empty())
      for (const auto& number : numbers) columns.push_back({number.key, {}, {}});
    for (std::size_t k = 0; k < numbers.size(); ++k) {
      if (!numbers[k].value || !std::isfinite(*numbers[k].value)) continue;
      columns[k].run.push_back(static_cast<Index>(i));
      columns[k].value.push_back(*numbers[k].value);
    }
  }
  return columns;
}

std::vector<std::string> notes_of(const findings::Doubts& doubts) {
  std::vector<std::string> notes;
  if (doubts.foot_components == 0) notes.emplace_back("The foot's own doubt is not known: only guesses are varied.");
  if (doubts.not_converged > 0)
    notes.push_back(fmt::format("{} of {} runs found no place of rest that balances; the bands are of the others.",
                                doubts.not_converged, doubts.runs));
  if (doubts.refused > 0)
    notes.push_back(fmt::format("{} of {} runs had a foot or shoe that cannot be; the bands are of the others.",
                                doubts.refused, doubts.runs));
  if (doubts.judged > 0 && doubts.gets_over > 0 && doubts.gets_over < doubts.judged)
    notes.push_back(fmt::format("She gets over the platform in {} of {} runs.", doubts.gets_over, doubts.judged));
  int plain = 0;
  for (const findings::Doubt& band : doubts.bands) plain += band.by_expansion ? 0 : 1;
  if (plain > 0)
    notes.push_back(
        fmt::format("{} of {} bands are plain quantiles of the runs (marked ~): no polynomial predicted runs held out "
                    "from it with Q2 of {} or more.",
                    plain, doubts.bands.size(), least_q2));
  return notes;
}

tl::unexpected<io::Error> stopped(int done, int runs) {
  return io::fail({.kind = io::ErrorKind::cancelled,
                   .message = fmt::format("stopped after {} of {} runs", done, runs),
                   .remedy = "run it again to get an answer"});
}

}  // namespace

io::Result<void> check_runs(int runs) {
  if (runs >= least_runs && runs <= most_runs) return {};
  return io::fail({.field = "--bands-runs",
                   .message = fmt::format("{} runs are not between {} and {}", runs, least_runs, most_runs),
                   .remedy = "leave it out for 128, or give 256 for surer bands"});
}

MatrixXd standard_points(const std::vector<Law>& laws, int count, std::uint64_t seed) {
  MatrixXd points = design(count, static_cast<int>(laws.size()), seed);
  for (Index k = 0; k < points.cols(); ++k)
    for (Index i = 0; i < points.rows(); ++i)
      points(i, k) =
          laws[static_cast<std::size_t>(k)] == Law::normal ? normal_quantile(points(i, k)) : 2 * points(i, k) - 1;
  return points;
}

io::Result<Runs> stand_runs(const Inputs& inputs, const MatrixXd& standard, int threads, const io::Progress& progress) {
  Runs runs(static_cast<std::size_t>(standard.rows()));
  std::atomic<int> done{0};
  study::for_each_index(static_cast<int>(standard.rows()), threads, progress.cancel, [&](int i) {
    if (const auto draw = inputs.at(standard.row(i).transpose())) {
      const auto stance = stance::stand(draw->foot, draw->shoe, draw->stand, {.report = {}, .cancel = progress.cancel});
      if (stance) runs[static_cast<std::size_t>(i)] = findings::assess(*stance);
    }
    const int now = ++done;
    progress(static_cast<double>(now) / static_cast<double>(standard.rows()),
             fmt::format("bands: {} of {} runs", now, standard.rows()));
  });
  if (progress.cancelled()) return stopped(done, static_cast<int>(standard.rows()));
  return runs;
}

findings::Doubts doubts_of(const Inputs& inputs, const MatrixXd& standard, const Runs& runs,
                           const findings::Findings& answer, const findings::Findings* quick, std::uint64_t seed,
                           int threads, const std::atomic<bool>* cancel) {
  findings::Doubts out;
  out.seed = seed;
  out.runs = static_cast<int>(runs.size());
  out.inputs = static_cast<int>(inputs.list().size());
  out.foot_components = inputs.ways();
  out.foot_share = inputs.share();
  int balanced = 0;
  for (const auto& run : runs) {
    if (!run) {
      ++out.refused;
    } else if (!run->converged) {
      ++out.not_converged;
    } else {
      ++balanced;
      if (run->plumb.applies && run->plumb.margin_mm) ++out.judged, out.gets_over += run->plumb.gets_over ? 1 : 0;
    }
  }
  const std::vector<Column> columns = columns_of(runs);
  const std::vector<Law> laws = inputs.laws();
  const ChaosOptions chaos_options;
  const ChaosInputs many(standard_points(laws, many_points, seed + 1), laws, chaos_options.max_degree);
  // Most numbers are there in every run that balances: those share one fit.
  std::map<std::vector<Index>, std::shared_ptr<const ChaosFit>> fits;
  for (const Column& column : columns)
    if (static_cast<int>(column.run.size()) >= fewest_for_band && !fits.contains(column.run))
      fits[column.run] = std::make_shared<const ChaosFit>(standard(column.run, Eigen::all), laws, chaos_options);

  using Named = std::map<std::string, findings::Number>;
  const auto at = [](const Named& numbers, const std::string& key) {
    const auto found_number = numbers.find(key);
    return found_number == numbers.end() ? findings::Number() : found_number->second;
  };
  Named at_answer, at_quick;
  for (const auto& number : findings::named_numbers(answer)) at_answer[number.key] = number.value;
  if (quick != nullptr && quick->converged)
    for (const auto& number : findings::named_numbers(*quick)) at_quick[number.key] = number.value;

  std::vector<std::optional<findings::Doubt>> found(columns.size());
  study::for_each_index(static_cast<int>(columns.size()), threads, cancel, [&](int k) {
    const Column& column = columns[static_cast<std::size_t>(k)];
    if (static_cast<int>(column.run.size()) < fewest_for_band) return;
    const VectorXd values = Eigen::Map<const VectorXd>(column.value.data(), static_cast<Index>(column.value.size()));
    const Chaos chaos = fits.at(column.run)->fit(values);
    const Band band = band_of(chaos, values, many);
    findings::Doubt doubt;
    doubt.key = column.key;
    doubt.low = band.low, doubt.median = band.median, doubt.high = band.high;
    doubt.by_expansion = band.by_chaos;
    doubt.q2 = band.q2;
    doubt.low_error = band.low_error, doubt.high_error = band.high_error;
    doubt.runs = static_cast<int>(column.run.size());
    doubt.absent = balanced - doubt.runs;
    const findings::Number full = at(at_answer, column.key), less = at(at_quick, column.key);
    if (full && less) doubt.quick_minus_full = *less - *full;
    if (chaos.q2 >= tells_sources && chaos.variance() > 0) {
      doubt.sources = sources_of(chaos, inputs);
      doubt.words = source_words(doubt.sources, inputs.best_reading(slope_of(chaos), chaos.variance()));
    }
    found[static_cast<std::size_t>(k)] = std::move(doubt);
  });
  for (std::size_t k = 0; k < columns.size(); ++k) {
    if (found[k])
      out.bands.push_back(std::move(*found[k]));
    else if (at(at_answer, columns[k].key) || !columns[k].run.empty())
      out.notes.push_back(
          fmt::format("No band of {}: only {} of {} runs have it.", columns[k].key, columns[k].run.size(), out.runs));
  }
  const std::vector<std::string> notes = notes_of(out);
  out.notes.insert(out.notes.begin(), notes.begin(), notes.end());
  return out;
}

io::Result<findings::Doubts> doubts(std::shared_ptr<const foot::Foot> foot, std::shared_ptr<const shoe::Shoe> shoe,
                                    const foot::ShapeModel& model, const findings::Findings& answer,
                                    const DoubtOptions& options, const io::Progress& progress) {
  if (const auto good = check_runs(options.runs); !good) return tl::unexpected(good.error());
  stance::StandOptions stand = options.stand;
  stand.solve.settle = false;
  std::optional<findings::Findings> quick;
  if (!options.full_care) {
    stand.solve = contact::quick_options(nullptr);
    const auto stance = stance::stand(foot, shoe, stand, {.report = {}, .cancel = progress.cancel});
    if (!stance) return tl::unexpected(stance.error());
    quick = findings::assess(*stance);
    // Every run is a small change of this one.
    stand.solve.beside = stance->solved;
  }
  const auto inputs = Inputs::make(foot, shoe, model, stand, options.ranges);
  if (!inputs) return tl::unexpected(inputs.error());
  const MatrixXd standard = standard_points(inputs->laws(), options.runs, options.seed);
  const auto runs = stand_runs(*inputs, standard, options.threads, io::part_of(progress, 0, share_of_runs));
  if (!runs) return tl::unexpected(runs.error());
  progress(share_of_runs, "bands: from all runs together");
  auto found = doubts_of(*inputs, standard, *runs, answer, quick ? &*quick : nullptr, options.seed, options.threads,
                         progress.cancel);
  if (progress.cancelled()) return stopped(options.runs, options.runs);
  return found;
}

}  // namespace aplomb::bands
