// The objective: dimensions of the shaped template against the prior given the length, and against the card. Solved by
// Ceres (Levenberg-Marquardt, dense QR) with analytic derivatives through measure().
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/foot/fit.h"

#include <ceres/ceres.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "aplomb/foot/loading.h"
#include "aplomb/foot/measure.h"

namespace aplomb::foot {

namespace {

using Values = Eigen::Matrix<double, dimension_count, 1>;
using Jacobian = Eigen::Matrix<double, dimension_count, shape_count, Eigen::RowMajor>;

struct Sizes {
  Values value;
  Jacobian slope;  ///< d value / d shape
};

Sizes sizes_at(const ShapeModel& model, const Sites& sites, const Shape& shape, bool with_slope,
               double smoothing_mm = 0) {
  const Body body = body_at(model, shape);
  const auto measured = measure(sites, body, smoothing_mm);
  const double scale = std::exp(shape[0]);
  Sizes sizes;
  sizes.slope.setZero();
  for (int i = 0; i < dimension_count; ++i) {
    sizes.value[i] = measured[i].value;
    if (!with_slope) continue;
    for (const MeasureTerm& term : measured[i].gradient) {
      const Eigen::MatrixXd& fields = term.of == MeasureTerm::Of::skin    ? model.skin
                                      : term.of == MeasureTerm::Of::joint ? model.joints
                                                                          : model.landmarks;
      const Eigen::Matrix3Xd& points = term.of == MeasureTerm::Of::skin    ? body.skin
                                       : term.of == MeasureTerm::Of::joint ? body.joints
                                                                           : body.landmarks;
      sizes.slope.row(i) += scale * term.weight.transpose() * fields.middleRows<3>(3 * term.index);
      sizes.slope(i, 0) += term.weight.dot(points.col(term.index));
    }
  }
  return sizes;
}

/// Length is nearly ball length plus toe, so the dimensions alone leave the scale free. It sets the size of what no
/// number tells (bones behind the ball): in proportion to the length within this [guess].
constexpr double scale_sd = 0.01;
/// Each parameter's own prior, in SDs of its dimension: too wide to matter but where the dimensions fail to hold it.
constexpr double ridge_sds = 5;

/// SDs of the parameters themselves.
Shape ridge(const Conditional& prior) {
  Shape sd;
  sd[0] = scale_sd;
  for (std::size_t k = 0; k < prior.index.size(); ++k) {
    const auto i = static_cast<Eigen::Index>(k);
    sd[prior.index[k]] = ridge_sds * std::sqrt(prior.covariance(i, i));
  }
  return sd;
}

/// Residuals: dimension_count - 1 of the prior, whitened, then one for each dimension on the card, then one for each
/// parameter (ridge).
class Objective final : public ceres::CostFunction {
 public:
  Objective(const ShapeModel& model, const Sites& sites, const Conditional& prior, std::vector<int> known,
            const Eigen::VectorXd& target, const Eigen::VectorXd& sd, const Shape& usual, double smoothing_mm)
      : model_(model),
        sites_(sites),
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
    const Sizes sizes = sizes_at(model_, sites_, shape, slopes, smoothing_mm_);
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
  const Sites& sites_;
  const Conditional& prior_;
  std::vector<int> known_;
  Eigen::VectorXd target_, sd_;
  Shape usual_, ridge_;
  double smoothing_mm_;
  Eigen::MatrixXd whiten_;
};

/// All that the objective rests on.
struct Question {
  const ShapeModel& model;
  const Sites& sites;
  const Conditional& prior;
  const std::vector<int>& known;
  Eigen::VectorXd target, sd;
  Shape usual;
};

struct Answer {
  Shape shape = Shape::Zero();
  double cost = 0;
  bool usable = false;
};

Answer solve(const Question& q, const Shape& start, double smoothing_mm, int max_iterations) {
  Answer answer{.shape = start};
  ceres::Problem problem;
  problem.AddResidualBlock(new Objective(q.model, q.sites, q.prior, q.known, q.target, q.sd, q.usual, smoothing_mm),
                           nullptr, answer.shape.data());
  ceres::Solver::Options options;
  options.linear_solver_type = ceres::DENSE_QR;
  options.max_num_iterations = max_iterations;
  options.function_tolerance = 1e-9;
  options.parameter_tolerance = 1e-9;
  options.num_threads = 1;
  options.logging_type = ceres::SILENT;
  ceres::Solver::Summary summary;
  ceres::Solve(options, &problem, &summary);
  answer.cost = summary.final_cost;
  answer.usable = summary.IsSolutionUsable();
  return answer;
}

/// The shape of least cost, or nothing. Length and breadth have kinks where another point becomes the outermost, and
/// the slope sees only the one that is outermost now.
std::optional<Shape> best_shape(Question q, double length_mm, double breadth_mm, int max_iterations) {
  const auto misses = [&](const Shape& shape) {
    const Sizes sizes = sizes_at(q.model, q.sites, shape, false);
    return std::max(std::abs(sizes.value[foot_length] - length_mm), std::abs(sizes.value[foot_breadth] - breadth_mm)) >
           0.1;
  };
  Answer best = solve(q, q.usual, 0, max_iterations);
  if (best.usable && !misses(best.shape)) return best.shape;
  // A foot whose second toe is longest is found by starting from one.
  Shape greek = q.usual;
  greek[toe_length + 1] += 8;
  const Answer other = solve(q, greek, 0, max_iterations);
  if (other.usable && (!best.usable || other.cost < best.cost)) best = other;
  if (!best.usable) return std::nullopt;
  // Still on a kink: blend the outermost points, and take what the blending adds off the target, until both agree.
  constexpr double smoothing_mm = 0.3;
  const Eigen::VectorXd target = q.target;
  for (int round = 0; round < 4 && misses(best.shape); ++round) {
    const Eigen::VectorXd added = sizes_at(q.model, q.sites, best.shape, false, smoothing_mm).value(q.known) -
                                  sizes_at(q.model, q.sites, best.shape, false).value(q.known);
    q.target = target + added;
    const Answer smooth = solve(q, best.shape, smoothing_mm, max_iterations);
    if (!smooth.usable) break;
    best = smooth;
  }
  return best.shape;
}

io::Result<void> check_likely(const Card& card, const Numbers& standing, const Prior& prior,
                              const FitOptions& options) {
  std::vector<std::string> keys;
  for (const auto& info : number_table()) keys.push_back(info.key);
  for (const std::string& name : options.accept_unlikely) {
    if (find_number(name)) continue;
    const std::string nearest = io::nearest_name(name, keys);
    return io::fail(
        {.field = "--accept-unlikely",
         .message = fmt::format("{} is not a key of a card", name),
         .remedy = nearest.empty() ? "name a key as it stands on the card" : fmt::format("did you mean {}?", nearest)});
  }
  const auto& accepted = options.accept_unlikely;
  for (const Surprise& surprise : surprises(prior, standing)) {
    if (std::abs(surprise.sds()) <= options.unlikely_sds) break;
    const std::string& key = number_table()[surprise.number].key;
    if (std::find(accepted.begin(), accepted.end(), key) != accepted.end()) continue;
    return tl::unexpected(
        card_error(card, surprise.number,
                   fmt::format("{:.4g} lies {:.1f} SD from {:.4g}, which the other numbers make likely",
                               *card.numbers[surprise.number], std::abs(surprise.sds()), surprise.expected),
                   fmt::format("measure again, or give --accept-unlikely {} if it is meant", key),
                   io::ErrorKind::decision_needed));
  }
  return {};
}

/// Covariance of the shape, of the foot itself and not of reading it: the prior without the doubt of reading, and every
/// number on the card with it.
Eigen::MatrixXd shape_covariance(const Sizes& sizes, const Conditional& prior, const std::vector<int>& known) {
  const Eigen::MatrixXd J = sizes.slope(prior.index, Eigen::all);
  Eigen::MatrixXd information = J.transpose() * without_reading_doubt(prior).covariance.llt().solve(J);
  for (const int i : known) {
    const double sd = number_table()[i].caliper_sd;
    information += sizes.slope.row(i).transpose() * sizes.slope.row(i) / (sd * sd);
  }
  information.diagonal() += ridge(prior).cwiseAbs2().cwiseInverse();
  const Eigen::MatrixXd covariance =
      information.llt().solve(Eigen::MatrixXd::Identity(int{shape_count}, int{shape_count}));
  return (covariance + covariance.transpose()) / 2;
}

/// What is not a dimension of the shape: as the card says, else what is usual, with its doubt.
/// `standing` holds the foot's dimensions and its relaxed breadth.
void add_other_numbers(const Card& card, const Prior& prior, const Numbers& standing, Foot& foot) {
  for (int number = dimension_count; number < number_count; ++number) {
    const auto& info = number_table()[number];
    if (card.numbers[number]) {
      foot.measurements[info.key] = {*card.numbers[number], info.caliper_sd, "card"};
    } else if (number != mass && number != age) {
      const Usual usual = usual_of(prior, number, standing);
      const double value = number == breadth_relaxed ? *standing[breadth_relaxed] : usual.value;
      foot.measurements[info.key] = {value, usual.sd, "prior"};
    }
  }
}

}  // namespace

io::Result<Foot> fit_card(const Card& card, const Foot& mean, const Prior& prior, const FitOptions& options) {
  return fit_card(card, make_shape_model(mean), prior, options);
}

io::Result<Foot> fit_card(const Card& card, const ShapeModel& model, const Prior& prior, const FitOptions& options) {
  if (const auto found = contradiction_in(card.numbers))
    return tl::unexpected(card_error(card, found->number, found->message, found->remedy));
  const Numbers standing = to_standing(card.numbers, card.load);
  if (auto likely = check_likely(card, standing, prior, options); !likely) return tl::unexpected(likely.error());

  const Sites sites = find_sites(model.mean);
  const Conditional by_length = given_length(prior, *standing[foot_length], standing[mass]);
  std::vector<int> known;
  for (int i = 0; i < dimension_count; ++i)
    if (standing[i]) known.push_back(i);
  Eigen::VectorXd target(known.size()), sd(known.size());
  for (std::size_t i = 0; i < known.size(); ++i) {
    target[static_cast<Eigen::Index>(i)] = *standing[known[i]];
    sd[static_cast<Eigen::Index>(i)] = number_table()[known[i]].caliper_sd / options.card_tightening;
  }

  Build build;
  Shape start = Shape::Zero();
  start[0] = std::log(*standing[foot_length] / model.mean.length_mm);
  const auto best = best_shape({model, sites, by_length, known, target, sd, start}, *standing[foot_length],
                               *standing[foot_breadth], options.max_iterations);
  if (!best)
    return io::fail({.kind = io::ErrorKind::not_converged,
                     .file = card.file,
                     .message = "no foot was found for these numbers",
                     .remedy = "check the numbers against each other"});
  build.shape = *best;

  const Sizes sizes = sizes_at(model, sites, build.shape, true);
  for (const int i : {int{foot_length}, int{foot_breadth}}) {
    const double residual = sizes.value[i] - *standing[i];
    if (std::abs(residual) <= 0.5) continue;
    // The number that strains most against the fit is the one to look at.
    int worst = i;
    double strain = 0;
    for (const int k : known) {
      const double s = std::abs(sizes.value[k] - *standing[k]) / number_table()[k].caliper_sd;
      if (k != foot_length && k != foot_breadth && s > strain) worst = k, strain = s;
    }
    return tl::unexpected(
        card_error(card, worst,
                   fmt::format("{:.4g} does not go with the other numbers: the nearest foot misses {} by {:+.1f} mm",
                               *card.numbers[worst], number_table()[i].key, residual),
                   "measure this number and the toe and ball lengths again"));
  }

  Numbers fitted;
  for (int i = 0; i < dimension_count; ++i) fitted[i] = sizes.value[i];
  for (int toe = 0; toe < toe_count; ++toe) {
    build.bend_deg[toe] = card.numbers[toe_bend + toe].value_or(0);
    build.lift_mm[toe] = card.numbers[toe_lift + toe].value_or(0);
  }
  build.breadth_relaxed_mm = card.numbers[breadth_relaxed];
  if (!build.breadth_relaxed_mm)
    build.breadth_relaxed_mm =
        card.load == Load::none ? card.numbers[foot_breadth] : from_standing(fitted, Load::none)[foot_breadth];
  fitted[breadth_relaxed] = build.breadth_relaxed_mm;
  build.plantarflexion_deg = card.numbers[plantarflexion].value_or(usual_of(prior, plantarflexion, fitted).value);
  Foot foot = build_foot(model, build);
  foot.side = card.side;
  foot.mass_kg = card.numbers[mass];
  foot.age_years = card.numbers[age];

  const Eigen::MatrixXd covariance = shape_covariance(sizes, by_length, known);
  foot.covariance.assign(covariance.data(), covariance.data() + covariance.size());
  const Eigen::VectorXd variance = (sizes.slope * covariance * sizes.slope.transpose()).diagonal();
  const Numbers as_loaded = from_standing(fitted, card.load);
  for (int i = 0; i < dimension_count; ++i) {
    const bool from_card = card.numbers[i].has_value();
    foot.measurements[number_table()[i].key] = {*as_loaded[i], std::sqrt(variance[i]), from_card ? "card" : "prior"};
    if (from_card) foot.residual[number_table()[i].key] = *as_loaded[i] - *card.numbers[i];
  }
  const auto box = plan_box(body_at(model, build.shape).skin);
  foot.measurements["plan_box_length_mm"] = {box[0], std::sqrt(variance[foot_length]), "prior"};
  foot.measurements["plan_box_breadth_mm"] = {box[1], std::sqrt(variance[foot_breadth]), "prior"};
  add_other_numbers(card, prior, fitted, foot);
  return foot;
}

Build build_of(const Foot& foot) {
  Build build;
  std::copy(foot.shape.begin(), foot.shape.end(), build.shape.data());
  const auto value = [&](int number) -> const Measurement* {
    const auto found = foot.measurements.find(number_table()[number].key);
    return found == foot.measurements.end() ? nullptr : &found->second;
  };
  for (int toe = 0; toe < toe_count; ++toe) {
    if (const auto* bend = value(toe_bend + toe)) build.bend_deg[toe] = bend->value;
    if (const auto* lift = value(toe_lift + toe)) build.lift_mm[toe] = lift->value;
  }
  if (const auto* relaxed = value(breadth_relaxed)) build.breadth_relaxed_mm = relaxed->value;
  if (const auto* range = value(plantarflexion)) build.plantarflexion_deg = range->value;
  return build;
}

}  // namespace aplomb::foot
