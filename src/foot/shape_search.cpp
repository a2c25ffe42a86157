// The objective: dimensions of the shaped template against the prior given the length, and against the card. Solved by
// Ceres (Levenberg-Marquardt, dense QR) with analytic derivatives through measure().
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shape_search.h"

#include <ceres/ceres.h>

#include <algorithm>
#include <cmath>

#include "aplomb/foot/measure.h"

namespace aplomb::foot {

namespace {

/// Length is nearly ball length plus toe, so the dimensions alone leave the scale free. It sets the size of what no
/// number tells (bones behind the ball): in proportion to the length within this [guess].
constexpr double scale_sd = 0.01;
/// Each parameter's own prior, in SDs of its dimension: too wide to matter but where the dimensions fail to hold it.
constexpr double ridge_sds = 5;

}  // namespace

Sizes sizes_at(const ShapeModel& model, const Shape& shape, bool with_slope, double smoothing_mm) {
  return sizes_of(model, body_at(model, shape), shape, with_slope, smoothing_mm);
}

Shape ridge(const Conditional& prior) {
  Shape sd;
  sd[0] = scale_sd;
  for (std::size_t k = 0; k < prior.index.size(); ++k) {
    const auto i = static_cast<Eigen::Index>(k);
    sd[prior.index[k]] = ridge_sds * std::sqrt(prior.covariance(i, i));
  }
  return sd;
}

namespace {

/// Residuals: dimension_count - 1 of the prior, whitened, then one for each dimension on the card, then one for each
/// parameter (ridge).
class Objective final : public ceres::CostFunction {
 public:
  Objective(const ShapeModel& model, const Conditional& prior, std::vector<int> known, const Eigen::VectorXd& target,
            const Eigen::VectorXd& sd, const Shape& usual, double smoothing_mm)
      : model_(model),
        prior_(prior),
        known_(std::move(known)),
        target_(target),
        sd_(sd),
        usual_(usual),
        ridge_(ridge(prior)),
        smoothing_mm_(smoothing_mm) {
    whiten_ = prior.covariance.llt().matrixL().solve(Eigen::MatrixXd::Identity(prior.mean.size(), prior.mean.size()));
    mutable_parameter_block_sizes()->push_back(shape_count);
    set_num_residuals(static_cast<int>(prior.mean.size()) + static_cast<int>(known_.size()) + shape_count);
  }

  bool Evaluate(double const* const* parameters, double* residuals, double** jacobians) const override {
    const bool slopes = jacobians != nullptr && jacobians[0] != nullptr;
    const Shape shape = Eigen::Map<const Shape>(parameters[0]);
    const Sizes sizes = sizes_at(model_, shape, slopes, smoothing_mm_);
    if (!sizes.value.allFinite()) return false;
    const Eigen::Index p = prior_.mean.size();
    const auto k = static_cast<Eigen::Index>(known_.size());
    Eigen::Map<Eigen::VectorXd> r(residuals, num_residuals());
    r.head(p) = whiten_ * (sizes.value(prior_.index) - prior_.mean);
    r.segment(p, k) = (sizes.value(known_) - target_).cwiseQuotient(sd_);
    r.tail(int{shape_count}) = (shape - usual_).cwiseQuotient(ridge_);
    if (slopes) {
      using Row = Eigen::Matrix<double, Eigen::Dynamic, shape_count, Eigen::RowMajor>;
      Eigen::Map<Row> J(jacobians[0], num_residuals(), int{shape_count});
      J.topRows(p) = whiten_ * sizes.slope(prior_.index, Eigen::all);
      J.middleRows(p, k) = sd_.cwiseInverse().asDiagonal() * sizes.slope(known_, Eigen::all);
      J.bottomRows(int{shape_count}) = ridge_.cwiseInverse().asDiagonal();
    }
    return true;
  }

 private:
  const ShapeModel& model_;
  const Conditional& prior_;
  std::vector<int> known_;
  Eigen::VectorXd target_, sd_;
  Shape usual_, ridge_;
  double smoothing_mm_;
  Eigen::MatrixXd whiten_;
};

struct Answer {
  Shape shape = Shape::Zero();
  double cost = 0;
  bool usable = false, converged = false;
};

Answer solve_once(const Question& q, const Shape& start, double smoothing_mm, int max_iterations, double trust) {
  Answer answer{.shape = start};
  ceres::Problem problem;
  problem.AddResidualBlock(new Objective(q.model, q.prior, q.known, q.target, q.sd, q.usual, smoothing_mm), nullptr,
                           answer.shape.data());
  ceres::Solver::Options options;
  options.linear_solver_type = ceres::DENSE_QR;
  options.max_num_iterations = max_iterations;
  options.function_tolerance = 1e-9;
  options.parameter_tolerance = 1e-9;
  options.num_threads = 1;
  options.initial_trust_region_radius = trust;
  options.logging_type = ceres::SILENT;
  ceres::Solver::Summary summary;
  ceres::Solve(options, &problem, &summary);
  answer.cost = summary.final_cost;
  answer.usable = summary.IsSolutionUsable();
  answer.converged = summary.termination_type == ceres::CONVERGENCE;
  return answer;
}

/// First trust regions. Length, ball and toe are nearly one number, and the first step goes far along what the card
/// leaves open: mostly the shortest way, but at times into another valley (the instep of a foot with a slim ball was
/// once found at 5 mm). A small one creeps, and seldom strays.
constexpr double bold = 1e4, careful = 10;
/// Half the sum of squares that hardly any foot has whose numbers belong together: 27 dimensions, chi squared .99.
constexpr double high_cost = 23;

/// The least cost found from `start`, boldly; carefully too where that leads nowhere good.
Answer solve(const Question& q, const Shape& start, double smoothing_mm, int max_iterations) {
  Answer best = solve_once(q, start, smoothing_mm, max_iterations, bold);
  if (best.usable && best.converged && best.cost < high_cost) return best;
  const Answer other = solve_once(q, start, smoothing_mm, 2 * max_iterations, careful);
  if (other.usable && (!best.usable || other.cost < best.cost)) best = other;
  return best;
}

/// What the card asks of a dimension, or nothing.
double asked(const Question& q, int number) {
  const auto k = std::find(q.known.begin(), q.known.end(), number) - q.known.begin();
  return q.target[k];
}

}  // namespace

// Length and breadth have kinks where another point becomes the outermost, and the slope sees only the one that is
// outermost now.
std::optional<Shape> best_shape(Question q, const Shape& start, int max_iterations) {
  const double length_mm = asked(q, foot_length), breadth_mm = asked(q, foot_breadth);
  const auto misses = [&](const Shape& shape) {
    const Sizes sizes = sizes_at(q.model, shape, false);
    return std::max(std::abs(sizes.value[foot_length] - length_mm), std::abs(sizes.value[foot_breadth] - breadth_mm)) >
           0.1;
  };
  Answer best = solve(q, start, 0, max_iterations);
  if (best.usable && !misses(best.shape)) return best.shape;
  // A foot whose second toe is longest is found by starting from one.
  Shape greek = start;
  greek[toe_length + 1] += 8;
  const Answer other = solve(q, greek, 0, max_iterations);
  if (other.usable && (!best.usable || other.cost < best.cost)) best = other;
  if (!best.usable) return std::nullopt;
  // Still on a kink: blend the outermost points, and take what the blending adds off the target, until both agree.
  constexpr double smoothing_mm = 0.3;
  const Eigen::VectorXd target = q.target;
  for (int round = 0; round < 4 && misses(best.shape); ++round) {
    const Eigen::VectorXd added = sizes_at(q.model, best.shape, false, smoothing_mm).value(q.known) -
                                  sizes_at(q.model, best.shape, false).value(q.known);
    q.target = target + added;
    const Answer smooth = solve(q, best.shape, smoothing_mm, max_iterations);
    if (!smooth.usable) break;
    best = smooth;
  }
  return best.shape;
}

}  // namespace aplomb::foot
