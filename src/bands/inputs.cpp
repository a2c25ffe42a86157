// The fit's covariance is turned so that few standard deviates hold most of what the skin in the shoe can do:
// parameters that hardly move it, or move together, cost no runs.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/bands/inputs.h"

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>

#include "aplomb/foot/build.h"
#include "aplomb/foot/fit.h"
#include "aplomb/foot/numbers.h"
#include "shape_search.h"

namespace aplomb::bands {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

namespace {

/// Mean square displacement of the skin below the ankle by the shape parameters, mm^2: displacement^2 = s^T W s.
MatrixXd skin_weight(const foot::ShapeModel& model, const foot::Shape& shape) {
  const foot::Body body = foot::body_at(model, shape);
  MatrixXd weight = MatrixXd::Zero(int{foot::shape_count}, int{foot::shape_count});
  const double scale = std::exp(shape[0]);
  int count = 0;
  for (Index v = 0; v < body.skin.cols(); ++v) {
    if (model.mean.skin.region[static_cast<std::size_t>(v)] == foot::Region::ankle) continue;
    MatrixXd moves = scale * model.skin.middleRows(3 * v, 3);
    moves.col(0) = body.skin.col(v);
    weight += moves.transpose() * moves;
    ++count;
  }
  return weight / count;
}

/// A number on the card is known as well as it can be read; one that is not, as well as the others let it be estimated.
const foot::Measurement* measurement(const foot::Foot& foot, int number) {
  const auto found = foot.measurements.find(foot::number_table()[number].key);
  return found == foot.measurements.end() ? nullptr : &found->second;
}

std::string number_words(int number) {
  switch (number) {
    case foot::plantarflexion:
      return "how far she points";
    case foot::breadth_relaxed:
      return "relaxed foot breadth";
    case foot::breadth_squeezed:
      return "squeezed foot breadth";
    default:
      return "body mass";
  }
}

/// On a logarithmic scale where the range is wide.
double value_in(const GuessRange& range, double standard) {
  const double share = (std::clamp(standard, -1.0, 1.0) + 1) / 2;
  if (range.low > 0 && range.high >= 2 * range.low) return range.low * std::pow(range.high / range.low, share);
  return range.low + share * (range.high - range.low);
}

bool varies(const GuessRange& range, const shoe::ShoeParameters& shoe) {
  if (!(range.high > range.low)) return false;
  if (range.of != GuessRange::Of::shoe_factor) return true;
  for (const shoe::NumberField& field : shoe::number_fields())
    if (range.key == field.key) return shoe.*field.member != 0;  // times nothing stays nothing
  return false;
}

}  // namespace

io::Result<Inputs> Inputs::make(std::shared_ptr<const foot::Foot> foot, std::shared_ptr<const shoe::Shoe> shoe,
                                const foot::ShapeModel& model, const stance::StandOptions& stand,
                                const std::vector<GuessRange>& ranges) {
  if (auto good = check(ranges, stand.constants); !good) return tl::unexpected(good.error());
  Inputs in;
  in.model_ = &model;
  in.stand_ = stand;
  constexpr int parameters = foot::shape_count;
  in.ways_.resize(parameters, 0);
  in.dimensions_.resize(int{foot::dimension_count}, 0);
  in.variance_ = VectorXd::Zero(int{foot::dimension_count});
  if (foot->covariance.size() == std::size_t{parameters} * parameters) {
    const MatrixXd covariance = Eigen::Map<const MatrixXd>(foot->covariance.data(), parameters, parameters);
    const foot::Shape shape = foot::build_of(*foot).shape;
    // Eigenvectors rather than a Cholesky factor: what is known exactly leaves the covariance singular.
    const Eigen::SelfAdjointEigenSolver<MatrixXd> own(covariance);
    const MatrixXd root = own.eigenvectors() * own.eigenvalues().cwiseMax(0).cwiseSqrt().asDiagonal();
    const Eigen::SelfAdjointEigenSolver<MatrixXd> seen(root.transpose() * skin_weight(model, shape) * root);
    const double all = seen.eigenvalues().cwiseMax(0).sum();
    int count = 0;
    while (all > 0 && count < most_ways && in.share_ < least_share)
      in.share_ += std::max(0.0, seen.eigenvalues()[parameters - 1 - count++]) / all;
    in.ways_.resize(parameters, count);
    for (int k = 0; k < count; ++k) {
      in.ways_.col(k) = root * seen.eigenvectors().col(parameters - 1 - k);
      Index largest = 0;
      in.ways_.col(k).cwiseAbs().maxCoeff(&largest);
      if (in.ways_(largest, k) < 0) in.ways_.col(k) *= -1;  // a sign that does not depend on the library
      in.list_.push_back({"foot_shape", "what the card leaves open of the foot's shape"});
    }
    const foot::Sizes sizes = foot::sizes_at(model, shape, true);
    in.dimensions_ = sizes.slope * in.ways_;
    in.variance_ = (sizes.slope * covariance * sizes.slope.transpose()).diagonal();
  }
  for (const int number : {int{foot::plantarflexion}, int{foot::breadth_relaxed}, int{foot::breadth_squeezed}}) {
    const foot::Measurement* known = measurement(*foot, number);
    if (known == nullptr || !(known->sd > 0)) continue;
    in.numbers_.push_back(number);
    in.number_sd_.push_back(known->sd);
  }
  if (foot->mass_kg && !stand.load_N && stand.position != stance::Position::on_box) {
    in.numbers_.push_back(foot::mass);
    in.number_sd_.push_back(foot::number_table()[foot::mass].caliper_sd);
  }
  for (const int number : in.numbers_) in.list_.push_back({foot::number_table()[number].key, number_words(number)});
  for (const GuessRange& range : ranges) {
    if (!applies(range.where, stand.position) || !varies(range, shoe->parameters)) continue;
    in.guesses_.push_back(range);
    in.list_.push_back({range.key, range.words, Law::uniform, true});
  }
  in.foot_ = std::move(foot);
  in.shoe_ = std::move(shoe);
  return in;
}

std::vector<Law> Inputs::laws() const {
  std::vector<Law> laws;
  for (const Input& input : list_) laws.push_back(input.law);
  return laws;
}

foot::Build Inputs::build_at(const VectorXd& standard) const {
  foot::Build build = foot::build_of(*foot_);
  const VectorXd way = standard.head(ways_.cols());
  build.shape += ways_ * way;
  const double breadth_change = ways_.cols() > 0 ? dimensions_.row(foot::foot_breadth).dot(way) : 0;
  const double breadth = foot_->breadth_mm + breadth_change;
  // A broader foot is broader without load too, unless that was measured.
  const auto follow = [&](std::optional<double>& value, int number) {
    const foot::Measurement* known = measurement(*foot_, number);
    if (value && (known == nullptr || known->source != "card")) *value *= breadth / foot_->breadth_mm;
  };
  follow(build.breadth_relaxed_mm, foot::breadth_relaxed);
  follow(build.breadth_squeezed_mm, foot::breadth_squeezed);
  for (std::size_t k = 0; k < numbers_.size(); ++k) {
    const double change = number_sd_[k] * standard[ways_.cols() + static_cast<Index>(k)];
    switch (numbers_[k]) {
      case foot::plantarflexion:
        build.plantarflexion_deg += change;
        break;
      case foot::breadth_relaxed:
        build.breadth_relaxed_mm = *build.breadth_relaxed_mm + change;
        break;
      case foot::breadth_squeezed:
        build.breadth_squeezed_mm = *build.breadth_squeezed_mm + change;
        break;
      default:
        break;  // mass, which is no part of the build
    }
  }
  // No foot is broader without weight than with it, or squeezed than not.
  if (build.breadth_relaxed_mm) build.breadth_relaxed_mm = std::min(*build.breadth_relaxed_mm, breadth);
  if (build.breadth_squeezed_mm)
    build.breadth_squeezed_mm = std::min(*build.breadth_squeezed_mm, build.breadth_relaxed_mm.value_or(breadth));
  return build;
}

io::Result<Draw> Inputs::at(const VectorXd& standard) const {
  Draw draw{foot_, shoe_, stand_};
  foot::Foot foot = foot::build_foot(*model_, build_at(standard));
  foot.side = foot_->side;
  foot.mass_kg = foot_->mass_kg;
  for (std::size_t k = 0; k < numbers_.size(); ++k)
    if (numbers_[k] == foot::mass) *foot.mass_kg += number_sd_[k] * standard[ways_.cols() + static_cast<Index>(k)];
  foot.age_years = foot_->age_years;
  draw.foot = std::make_shared<const foot::Foot>(std::move(foot));

  shoe::ShoeParameters parameters = shoe_->parameters;
  bool other_shoe = false;
  for (std::size_t k = 0; k < guesses_.size(); ++k) {
    const Index input = ways_.cols() + static_cast<Index>(numbers_.size() + k);
    const double value = value_in(guesses_[k], standard[input]);
    if (guesses_[k].of == GuessRange::Of::shoe_factor) {
      set(parameters, guesses_[k], value);
      other_shoe = true;
    } else {
      set(draw.stand.constants, guesses_[k], value);
    }
  }
  if (other_shoe) {
    auto shoe = shoe::make_shoe(parameters);
    if (!shoe) return tl::unexpected(shoe.error());
    draw.shoe = std::make_shared<const shoe::Shoe>(std::move(*shoe));
  }
  return draw;
}

Inputs::Narrowing Inputs::best_reading(const VectorXd& slope, double variance) const {
  Narrowing best;
  const auto offer = [&](int number, double covariance, double own_variance) {
    const double reading = foot::number_table()[number].caliper_sd;
    const double share = covariance * covariance / (own_variance + reading * reading) / variance;
    if (!(share > best.share)) return;
    const foot::Measurement* known = measurement(*foot_, number);
    best = {foot::number_table()[number].key, std::min(share, 1.0), known != nullptr && known->source == "card"};
  };
  for (int i = 0; i < foot::dimension_count && ways_.cols() > 0; ++i)
    offer(i, dimensions_.row(i).dot(slope.head(ways_.cols())), variance_[i]);
  for (std::size_t k = 0; k < numbers_.size(); ++k) {
    const double sd = number_sd_[k];
    offer(numbers_[k], sd * slope[ways_.cols() + static_cast<Index>(k)], sd * sd);
  }
  return best;
}

}  // namespace aplomb::bands
