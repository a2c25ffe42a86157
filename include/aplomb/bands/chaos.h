// Sparse polynomial chaos: a model's answer as a short sum of orthonormal polynomials of its independent inputs, from
// which quantiles and Sobol' indices cost nothing. Inputs are standard: a standard normal deviate, or uniform on -1..1.
// Method: Blatman and Sudret 2011 (doi 10.1016/j.jcp.2010.12.021): least angle regression (Efron et al. 2004) ranks the
// polynomials, least squares fits the first k of them. k and the degree are chosen by leaving runs out BEFORE the
// ranking, an eighth of them at a time: leaving out single runs after it, as published, gives Q2 = .86 to
// answers that are noise alone (64 runs of 20 inputs), because the polynomials were picked with those runs in sight.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Dense>
#include <memory>
#include <utility>
#include <vector>

namespace aplomb::bands {

enum class Law { normal, uniform };

/// A product of polynomials: (input, degree >= 1) with inputs rising; empty is the constant 1.
using Term = std::vector<std::pair<int, int>>;

/// The orthonormal polynomial of a law: Hermite over sqrt(n!) for normal, Legendre times sqrt(2 n + 1) for uniform.
double orthonormal(Law law, int degree, double x);

struct ChaosOptions {
  int max_degree = 3;            ///< of a term
  int max_together = 2;          ///< inputs in one term
  int most_partners = 12;        ///< inputs that may stand together in a term: those that rank first by themselves
  int most_candidates = 1500;    ///< sets of more polynomials are not tried
  double most_terms_each = 0.3;  ///< terms for each run at most
  double good_enough = 0.9995;   ///< Q2 from which no larger set is tried
  int patience = 3;              ///< sets in a row that were no better before larger ones are not tried
  int folds = 8;                 ///< parts of the runs that are left out in turn
};

struct Chaos {
  std::vector<Law> laws;         ///< of the inputs
  std::vector<Term> terms;       ///< the constant first
  Eigen::VectorXd coefficients;  ///< as terms
  double q2 = 0;             ///< 1 - mean square of left_out / variance of the runs; 1 also where these are constant
  Eigen::VectorXd left_out;  ///< each run's answer minus that of a sum ranked and fitted without it

  double mean() const { return coefficients[0]; }
  double variance() const { return coefficients.tail(coefficients.size() - 1).squaredNorm(); }
};

/// Fits answers on the same runs one after the other; sums in a fixed order, so the same inputs give the same bits.
class ChaosFit {
 public:
  /// `runs`: N x inputs, standard. Pre: N >= 2 folds, as many laws as inputs, finite.
  ChaosFit(Eigen::MatrixXd runs, std::vector<Law> laws, const ChaosOptions& options = {});
  ~ChaosFit();
  ChaosFit(ChaosFit&&) noexcept;
  ChaosFit& operator=(ChaosFit&&) noexcept;

  /// `answers`: N. Pre: finite.
  Chaos fit(const Eigen::VectorXd& answers) const;

 private:
  struct Sets;
  std::unique_ptr<const Sets> sets_;
};

/// Values of many sums at the same inputs: powers are worked out once.
class ChaosInputs {
 public:
  /// `inputs`: N x inputs, standard; degrees up to max_degree.
  ChaosInputs(const Eigen::MatrixXd& inputs, const std::vector<Law>& laws, int max_degree);
  Eigen::VectorXd values(const Chaos& chaos) const;

 private:
  std::vector<Eigen::MatrixXd> degree_;  ///< [degree]: N x inputs
};

/// Shares of the variance, 0..1, one for each input: by itself (first), and with all its partners (total). All zero
/// where the variance is.
struct SobolIndices {
  Eigen::VectorXd first, total;
};
SobolIndices sobol_indices(const Chaos& chaos);

}  // namespace aplomb::bands
