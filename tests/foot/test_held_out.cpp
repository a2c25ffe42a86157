// One number of a real person's card held out, and the foot asked for it: against multiple linear regression on all the
// others, and against the foot's own doubt. The program has seen the even rows of the table; the odd ones are asked.
// Length and breadth are required on a card, so for them the prior's Gaussian is asked without a foot.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <Eigen/Dense>
#include <cmath>
#include <functional>
#include <future>
#include <thread>

#include "anthropometry.h"

using namespace aplomb;
using namespace aplomb::foot;
using testing::AnthropometryRow;
using testing::model;
using testing::need;
using testing::prior;

namespace {

/// 5-95 % of a Gaussian.
constexpr double band_sds = 1.645;

/// Least squares of one number on a constant and the others.
class Regression {
 public:
  Regression(const std::vector<AnthropometryRow>& rows, int target, bool with_mass)
      : target_(target), with_mass_(with_mass) {
    const auto n = static_cast<Eigen::Index>(rows.size());
    Eigen::MatrixXd X(n, regressors(rows[0]).size());
    Eigen::VectorXd y(n);
    for (Eigen::Index i = 0; i < n; ++i) {
      X.row(i) = regressors(rows[static_cast<std::size_t>(i)]).transpose();
      y[i] = *rows[static_cast<std::size_t>(i)].numbers[target];
    }
    coefficients_ = X.colPivHouseholderQr().solve(y);
  }
  double at(const AnthropometryRow& row) const { return coefficients_.dot(regressors(row)); }

 private:
  Eigen::VectorXd regressors(const AnthropometryRow& row) const {
    std::vector<double> x = {1};
    for (int i = 0; i < sampled_count; ++i)
      if (i != target_) x.push_back(*row.numbers[i]);
    if (with_mass_) x.push_back(*row.numbers[mass]);
    return Eigen::Map<Eigen::VectorXd>(x.data(), static_cast<Eigen::Index>(x.size()));
  }
  int target_;
  bool with_mass_;
  Eigen::VectorXd coefficients_;
};

/// What is told of a held-out reading: its expectation and the SD of another reading of the same foot.
struct Told {
  double value = 0, sd = 0;
};

Card card_of(const AnthropometryRow& row, std::optional<int> held_out, bool with_mass) {
  Card card;
  card.numbers = row.numbers;
  if (held_out) card.numbers[*held_out].reset();
  if (!with_mass) card.numbers[mass].reset();
  return card;
}

io::Result<Told> told_by_foot(const AnthropometryRow& row, int held_out, bool with_mass) {
  FitOptions options;
  options.unlikely_sds = 1e9;
  const auto foot = fit_card(card_of(row, held_out, with_mass), model(), prior(), options);
  if (!foot) return tl::unexpected(foot.error());
  const Measurement& measured = foot->measurements.at(number_table()[held_out].key);
  // The foot's doubt is of the dimension; the reading held out has its own doubt on top.
  return Told{measured.value, std::hypot(measured.sd, number_table()[held_out].caliper_sd)};
}

/// work(i) for i = 0 .. count - 1, on all cores; every i is its own.
template <class Result>
std::vector<Result> each(std::size_t count, const std::function<Result(std::size_t)>& work) {
  const std::size_t workers = std::max(1u, std::thread::hardware_concurrency());
  std::vector<std::future<std::vector<Result>>> parts;
  model(), prior();  // made once, before the threads
  for (std::size_t w = 0; w < workers; ++w)
    parts.push_back(std::async(std::launch::async, [=, &work] {
      std::vector<Result> part;
      for (std::size_t i = w; i < count; i += workers) part.push_back(work(i));
      return part;
    }));
  std::vector<std::vector<Result>> done;
  for (auto& part : parts) done.push_back(part.get());
  std::vector<Result> all;
  for (std::size_t i = 0; i < count; ++i) all.push_back(std::move(done[i % workers][i / workers]));
  return all;
}

/// Length from the joint Gaussian, breadth as the fit would expect it.
Told told_by_gaussian(const AnthropometryRow& row, int held_out, bool with_mass) {
  const Card card = card_of(row, held_out, with_mass);
  Conditional rest{.index = {}, .mean = prior().mean, .covariance = prior().covariance};
  if (held_out == foot_length) {
    for (int i = 0; i < dimension_count; ++i) rest.index.push_back(i);
    rest.index.push_back(mass);
    rest = given(rest, card.numbers);
  } else {
    rest = given(given_length(prior(), *card.numbers[foot_length], card.numbers[mass]), card.numbers);
  }
  const auto k = std::find(rest.index.begin(), rest.index.end(), held_out) - rest.index.begin();
  return {rest.mean[k], std::sqrt(rest.covariance(k, k))};
}

/// Misses of one held-out number, or of all of them in units of their SD.
struct Score {
  int asked = 0, inside = 0;
  double ours = 0, regression = 0;  ///< sums of absolute misses
  void add(double miss, double miss_of_regression, double sd, double unit = 1) {
    ++asked;
    inside += std::abs(miss) <= band_sds * sd ? 1 : 0;
    ours += std::abs(miss) / unit;
    regression += std::abs(miss_of_regression) / unit;
  }
  double ratio() const { return ours / regression; }
  double coverage() const { return static_cast<double>(inside) / asked; }
  double coverage_error() const { return std::sqrt(0.9 * 0.1 / asked); }
};

struct Scores {
  std::array<Score, sampled_count> of;
  Score pooled;
};

Scores score(const std::vector<AnthropometryRow>& seen, const std::vector<AnthropometryRow>& asked, bool with_mass) {
  Scores scores;
  for (int i = 0; i < sampled_count; ++i) {
    const Regression regression(seen, i, with_mass);
    const bool required = i == foot_length || i == foot_breadth;
    const auto answers = each<io::Result<Told>>(asked.size(), [&](std::size_t r) -> io::Result<Told> {
      if (required) return told_by_gaussian(asked[r], i, with_mass);
      return told_by_foot(asked[r], i, with_mass);
    });
    for (std::size_t r = 0; r < asked.size(); ++r) {
      const AnthropometryRow& row = asked[r];
      CAPTURE(row.line, number_table()[i].key);
      const Told told = need(answers[r]);
      const double miss = told.value - *row.numbers[i], other = regression.at(row) - *row.numbers[i];
      scores.of[i].add(miss, other, told.sd);
      scores.pooled.add(miss, other, told.sd, told.sd);
    }
  }
  return scores;
}

}  // namespace

TEST_CASE("held out: a few people's numbers are told as well as by regression, with the right doubt", "[prior]") {
  const auto rows = testing::anthropometry();
  if (!rows) return;
  const auto seen = testing::half(*rows, true), unseen = testing::half(*rows, false);
  std::vector<AnthropometryRow> few;
  for (std::size_t i = 0; i < unseen.size(); i += 12) few.push_back(unseen[i]);
  const Scores scores = score(seen, few, true);
  // Both miss the same rows nearly alike, so their ratio differs little from that of all rows: 1.02 there.
  CHECK(scores.pooled.ratio() < 1.04);
  // Three sampling errors; numbers of one person go together, so they are worth fewer than they count.
  CHECK(std::abs(scores.pooled.coverage() - 0.9) < 3 * std::sqrt(2.0) * scores.pooled.coverage_error());
}

TEST_CASE("held out: every number of 496 people in turn", "[.][long][prior]") {
  const auto rows = testing::anthropometry();
  if (!rows) return;
  const auto seen = testing::half(*rows, true), unseen = testing::half(*rows, false);
  for (const bool with_mass : {true, false}) {
    const char* const of = with_mass ? "the other eight and mass" : "the other eight";
    const Scores scores = score(seen, unseen, with_mass);
    for (int i = 0; i < sampled_count; ++i) {
      const Score& s = scores.of[i];
      const std::string& key = number_table()[i].key;
      const bool required = i == foot_length || i == foot_breadth;
      fmt::print(
          "result: {} from {}{}: mean absolute error {:.3f} mm, regression {:.3f} mm, ratio {:.4f}; {:.1f} % inside "
          "the "
          "90 % band\n",
          key, of, required ? ", by the prior alone" : "", s.ours / s.asked, s.regression / s.asked, s.ratio(),
          100 * s.coverage());
      CAPTURE(key, with_mass, s.ratio(), s.coverage());
      CHECK(s.ratio() <= 1.02);
      CHECK(s.coverage() >= 0.87);
      CHECK(s.coverage() <= 0.93);
    }
    fmt::print("result: all {} readings from {}: in units of their SD ratio {:.4f}; {:.1f} % inside the 90 % band\n",
               scores.pooled.asked, of, scores.pooled.ratio(), 100 * scores.pooled.coverage());
    CHECK(scores.pooled.ratio() <= 1.02);
    CHECK(scores.pooled.coverage() >= 0.87);
    CHECK(scores.pooled.coverage() <= 0.93);
  }
}

TEST_CASE("held out: a foot for each of 993 people", "[.][long][prior]") {
  const auto rows = testing::anthropometry();
  if (!rows) return;
  /// A foot for one card, after accepting by name what the program asks about, one number at a time as a person would.
  struct Made {
    io::Result<Foot> foot;
    std::size_t accepted = 0;
  };
  const auto feet = each<Made>(rows->size(), [&](std::size_t r) {
    const Card card = card_of((*rows)[r], std::nullopt, true);
    FitOptions options;
    auto foot = fit_card(card, model(), prior(), options);
    while (!foot && foot.error().kind == io::ErrorKind::decision_needed && options.accept_unlikely.size() < 9) {
      options.accept_unlikely.push_back(foot.error().field);
      foot = fit_card(card, model(), prior(), options);
    }
    if (foot) foot->skin = {}, foot->contact_points = {};
    return Made{std::move(foot), options.accept_unlikely.size()};
  });
  std::size_t made = 0, to_accept = 0, numbers_to_accept = 0;
  std::array<double, sampled_count> worst{};
  for (std::size_t r = 0; r < feet.size(); ++r) {
    CAPTURE((*rows)[r].line);
    to_accept += feet[r].accepted > 0 ? 1 : 0;
    numbers_to_accept += feet[r].accepted;
    if (!feet[r].foot) {
      FAIL_CHECK(io::to_line(feet[r].foot.error()));
      continue;
    }
    ++made;
    for (int i = 0; i < sampled_count; ++i)
      worst[i] = std::max(worst[i], std::abs(feet[r].foot->residual.at(number_table()[i].key)));
  }
  fmt::print(
      "result: {} of {} people have a foot from their nine numbers and mass; {} of them after accepting what is "
      "farther "
      "than three SD from what the others make likely ({} numbers)\n",
      made, rows->size(), to_accept, numbers_to_accept);
  for (int i = 0; i < sampled_count; ++i)
    fmt::print("result: {} of these feet: largest miss of the card {:.2f} mm\n", number_table()[i].key, worst[i]);
  CHECK(made == 993);
  // Three SD of a Gaussian leave .27 % of readings out; eight numbers a card, and hands and tapes that err now and
  // then.
  CHECK(to_accept < 0.05 * 993);
}
