// Sets of polynomials grow step by step; the one that predicts left-out runs best is kept.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/bands/chaos.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>

#include "least_angle.h"

namespace aplomb::bands {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

/// Degrees 0..max of every input, N x inputs each.
std::vector<MatrixXd> powers(const MatrixXd& x, const std::vector<Law>& laws, int max_degree) {
  std::vector<MatrixXd> out(static_cast<std::size_t>(max_degree) + 1, MatrixXd::Ones(x.rows(), x.cols()));
  for (int degree = 1; degree <= max_degree; ++degree)
    for (Index k = 0; k < x.cols(); ++k)
      for (Index i = 0; i < x.rows(); ++i)
        out[static_cast<std::size_t>(degree)](i, k) = orthonormal(laws[static_cast<std::size_t>(k)], degree, x(i, k));
  return out;
}

VectorXd value_of(const Term& term, const std::vector<MatrixXd>& degree, Index rows) {
  VectorXd value = VectorXd::Ones(rows);
  for (const auto& [input, power] : term)
    value = value.cwiseProduct(degree[static_cast<std::size_t>(power)].col(input));
  return value;
}

/// All terms of a degree at most `degree`, with (sum of degrees^q)^(1/q) <= degree: a small q keeps few interactions.
/// Inputs that are no partners stand alone. Stops early, past `most`.
std::vector<Term> terms_of(const std::vector<char>& partner, int degree, double q, int together, int most) {
  std::vector<Term> terms;
  const int inputs = static_cast<int>(partner.size());
  const double limit = std::pow(degree, q) + 1e-9;
  Term term;
  const std::function<void(int, double)> grow = [&](int first, double used) {
    if (static_cast<int>(terms.size()) > most) return;
    for (int input = first; input < inputs; ++input) {
      const bool may_join = partner[static_cast<std::size_t>(input)] != 0;
      if (!term.empty() && !may_join) continue;
      for (int power = 1; used + std::pow(power, q) <= limit; ++power) {
        term.emplace_back(input, power);
        terms.push_back(term);
        if (may_join && static_cast<int>(term.size()) < together) grow(input + 1, used + std::pow(power, q));
        term.pop_back();
      }
    }
  };
  grow(0, 0);
  return terms;
}

/// One part of the runs left out, or none.
struct Fold {
  std::vector<Index> in, out;
};

/// Neighbours in a low-discrepancy order lie in different places, every n-th of them does not: parts are stretches.
std::vector<Fold> folds_of(Index runs, int count) {
  std::vector<Fold> folds(static_cast<std::size_t>(count));
  for (int f = 0; f < count; ++f)
    for (Index i = 0; i < runs; ++i) {
      Fold& fold = folds[static_cast<std::size_t>(f)];
      (i * count / runs == f ? fold.out : fold.in).push_back(i);
    }
  return folds;
}

/// A path of sums, found without the runs in fold.out, and what it says of these.
struct Path {
  std::vector<int> order;
  MatrixXd miss;  ///< fold.out x (1 + order)
};

Path path_without(const Fold& fold, const MatrixXd& columns, const VectorXd& y, int most) {
  const MatrixXd in = columns(fold.in, Eigen::all);
  const VectorXd in_y = y(fold.in);
  Path path{least_angle_order(standardised(in), in_y.array() - in_y.mean(), most), {}};
  path.miss = held_out_misses(in(Eigen::all, path.order), in_y, columns(fold.out, path.order), y(fold.out));
  return path;
}

/// Inputs in the order in which the terms bring them in, `most` of them; all of few.
std::vector<char> leading_inputs(const std::vector<int>& order, const std::vector<Term>& terms, int inputs, int most) {
  std::vector<char> leads(static_cast<std::size_t>(inputs), inputs <= most ? 1 : 0);
  int count = 0;
  for (const int j : order) {
    char& lead = leads[static_cast<std::size_t>(terms[static_cast<std::size_t>(j)].front().first)];
    if (lead == 0 && count < most) lead = 1, ++count;
  }
  return leads;
}

}  // namespace

double orthonormal(Law law, int degree, double x) {
  double before = 0, now = 1;
  for (int n = 0; n < degree; ++n) {
    const double next = law == Law::normal ? (x * now - std::sqrt(n) * before) / std::sqrt(n + 1.0)
                                           : ((2 * n + 1) * x * now - n * before) / (n + 1);
    before = now;
    now = next;
  }
  return law == Law::normal ? now : now * std::sqrt(2.0 * degree + 1);
}

struct ChaosFit::Sets {
  std::vector<Law> laws;
  ChaosOptions options;
  Index runs = 0;
  std::vector<MatrixXd> degree;  ///< of the runs
  std::vector<Fold> folds;       ///< the last leaves out nothing

  MatrixXd columns_of(const std::vector<Term>& terms) const {
    MatrixXd columns(runs, static_cast<Index>(terms.size()));
    for (std::size_t j = 0; j < terms.size(); ++j)
      columns.col(static_cast<Index>(j)) = value_of(terms[j], degree, runs);
    return columns;
  }
};

ChaosFit::ChaosFit(MatrixXd runs, std::vector<Law> laws, const ChaosOptions& options) {
  auto sets = std::make_unique<Sets>();
  sets->options = options;
  sets->runs = runs.rows();
  sets->degree = powers(runs, laws, options.max_degree);
  sets->folds = folds_of(runs.rows(), options.folds);
  sets->folds.push_back({});
  for (Index i = 0; i < runs.rows(); ++i) sets->folds.back().in.push_back(i);
  sets->laws = std::move(laws);
  sets_ = std::move(sets);
}

ChaosFit::~ChaosFit() = default;
ChaosFit::ChaosFit(ChaosFit&&) noexcept = default;
ChaosFit& ChaosFit::operator=(ChaosFit&&) noexcept = default;

Chaos ChaosFit::fit(const VectorXd& answers) const {
  const Sets& s = *sets_;
  const ChaosOptions& o = s.options;
  Chaos chaos{s.laws, {{}}, VectorXd::Constant(1, answers.mean()), 1, VectorXd::Zero(answers.size())};
  const double spread = (answers.array() - answers.mean()).square().sum();
  if (std::sqrt(spread) <= 1e-12 * (1 + std::abs(answers.mean()))) return chaos;
  const int inputs = static_cast<int>(s.laws.size());
  const auto most = static_cast<Index>(std::max(1.0, o.most_terms_each * static_cast<double>(s.runs)));
  // Which inputs may stand together is found in each fold anew, or the runs left out would have had a say in it.
  std::vector<std::vector<char>> partner(s.folds.size());
  chaos.q2 = -std::numeric_limits<double>::infinity();
  const auto attempt = [&](int degree, double q) {
    std::vector<Path> paths;
    std::vector<Term> terms;
    for (std::size_t f = 0; f < s.folds.size(); ++f) {
      const bool alone = q <= 0.5;  // no term of two inputs below degree 4
      if (!alone && partner[f].empty()) return false;
      terms = terms_of(alone ? std::vector<char>(static_cast<std::size_t>(inputs), 0) : partner[f], degree, q,
                       o.max_together, o.most_candidates);
      if (static_cast<int>(terms.size()) > o.most_candidates) return false;
      paths.push_back(path_without(s.folds[f], s.columns_of(terms), answers, static_cast<int>(most)));
      if (alone) partner[f] = leading_inputs(paths.back().order, terms, inputs, o.most_partners);
    }
    Index longest = most;
    for (const Path& path : paths) longest = std::min<Index>(longest, static_cast<Index>(path.order.size()));
    VectorXd squares = VectorXd::Zero(longest + 1);
    for (std::size_t f = 0; f + 1 < paths.size(); ++f)
      squares += paths[f].miss.leftCols(longest + 1).colwise().squaredNorm().transpose();
    // The shortest that is as good as the best within the doubt of a mean square: the least of many would flatter.
    const double as_good = 1 + std::sqrt(2 / static_cast<double>(s.runs));
    Index best = 0;
    while (squares[best] > as_good * squares.minCoeff()) ++best;
    const double least = squares[best];
    if (std::isfinite(chaos.q2) && !(least * as_good < (1 - chaos.q2) * spread)) return true;
    chaos.q2 = 1 - least / spread;
    chaos.terms = {{}};
    for (Index k = 0; k < best; ++k)
      chaos.terms.push_back(terms[static_cast<std::size_t>(paths.back().order[static_cast<std::size_t>(k)])]);
    for (std::size_t f = 0; f + 1 < paths.size(); ++f) chaos.left_out(s.folds[f].out) = paths[f].miss.col(best);
    return true;
  };
  int in_vain = 0;
  for (int degree = 1; degree <= o.max_degree && in_vain < o.patience && chaos.q2 < o.good_enough; ++degree)
    for (const double q : {0.5, 0.75, 1.0}) {
      if (q > 0.5 && degree < (q < 1 ? 3 : 2)) continue;  // the same terms as before
      const double before = chaos.q2;
      if (!attempt(degree, q) || chaos.q2 >= o.good_enough) break;
      in_vain = chaos.q2 > before ? 0 : in_vain + 1;
      if (in_vain == o.patience) break;
    }
  chaos.coefficients = s.columns_of(chaos.terms).householderQr().solve(answers);
  return chaos;
}

ChaosInputs::ChaosInputs(const MatrixXd& inputs, const std::vector<Law>& laws, int max_degree)
    : degree_(powers(inputs, laws, max_degree)) {}

VectorXd ChaosInputs::values(const Chaos& chaos) const {
  VectorXd sum = VectorXd::Zero(degree_.front().rows());
  for (std::size_t j = 0; j < chaos.terms.size(); ++j)
    sum += chaos.coefficients[static_cast<Index>(j)] * value_of(chaos.terms[j], degree_, sum.size());
  return sum;
}

SobolIndices sobol_indices(const Chaos& chaos) {
  const auto inputs = static_cast<Index>(chaos.laws.size());
  SobolIndices indices{VectorXd::Zero(inputs), VectorXd::Zero(inputs)};
  const double variance = chaos.variance();
  if (!(variance > 0)) return indices;
  for (std::size_t j = 1; j < chaos.terms.size(); ++j) {
    const double c = chaos.coefficients[static_cast<Index>(j)], share = c * c / variance;
    if (chaos.terms[j].size() == 1) indices.first[chaos.terms[j].front().first] += share;
    for (const auto& [input, power] : chaos.terms[j]) indices.total[input] += share;
  }
  return indices;
}

}  // namespace aplomb::bands
