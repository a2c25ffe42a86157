// What is not known of a foot in a shoe, as independent standard variables: what the card leaves open of the foot, and
// the constants that are guesses.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Dense>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "aplomb/bands/chaos.h"
#include "aplomb/bands/ranges.h"
#include "aplomb/foot/build.h"
#include "aplomb/foot/foot.h"
#include "aplomb/foot/shape.h"
#include "aplomb/io/error.h"
#include "aplomb/shoe/shoe.h"
#include "aplomb/stance/stand.h"

namespace aplomb::bands {

struct Input {
  std::string key;    ///< "foot_shape" for every way in which the shape varies, a card's key, or a GuessRange's
  std::string words;  ///< for people
  Law law = Law::normal;
  bool guess = false;
};

/// One foot in one shoe with all inputs at some values.
struct Draw {
  std::shared_ptr<const foot::Foot> foot;
  std::shared_ptr<const shoe::Shoe> shoe;
  stance::StandOptions stand;
};

class Inputs {
 public:
  /// Ways in which the skin inside the shoe varies are taken, largest first, until this share of its variance is held.
  static constexpr double least_share = 0.97;
  static constexpr int most_ways = 12;

  /// `stand` holds position, constants and load. Without mass the load is taken as given. Errors (bad_input): as
  /// check() of ranges.
  static io::Result<Inputs> make(std::shared_ptr<const foot::Foot> foot, std::shared_ptr<const shoe::Shoe> shoe,
                                 const foot::ShapeModel& model, const stance::StandOptions& stand,
                                 const std::vector<GuessRange>& ranges);

  const std::vector<Input>& list() const { return list_; }
  std::vector<Law> laws() const;
  int ways() const { return static_cast<int>(ways_.cols()); }  ///< inputs of key "foot_shape"; they come first
  double share() const { return share_; }                      ///< of the skin's variance that they hold, 0..1

  /// Foot, shoe and constants where the inputs stand at `standard` (0 everywhere: the foot as fitted; uniform inputs
  /// -1..1 over their range). Errors: a shoe that cannot be made.
  io::Result<Draw> at(const Eigen::VectorXd& standard) const;

  /// The foot alone, before it is built.
  foot::Build build_at(const Eigen::VectorXd& standard) const;

  /// How one more, independent reading of a number of the card narrows an answer.
  struct Narrowing {
    std::string key;       ///< of the card; empty: none that would
    double share = 0;      ///< of the answer's variance that it would take away, 0..1
    bool on_card = false;  ///< it is on the card, and would be read again more than once
  };
  /// `slope`: change of the answer by each standard normal input (its linear coefficients), `variance` of the answer.
  /// Conditional variance of Gaussians; exact for the linear part.
  Narrowing best_reading(const Eigen::VectorXd& slope, double variance) const;

 private:
  std::shared_ptr<const foot::Foot> foot_;
  std::shared_ptr<const shoe::Shoe> shoe_;
  const foot::ShapeModel* model_ = nullptr;
  stance::StandOptions stand_;
  std::vector<GuessRange> guesses_;  ///< one for each uniform input, in order
  std::vector<int> numbers_;         ///< Number of each normal input after the ways
  std::vector<double> number_sd_;
  std::vector<Input> list_;
  Eigen::MatrixXd ways_;        ///< shape parameters by standard deviate
  Eigen::MatrixXd dimensions_;  ///< change of each dimension (mm, deg) by each way
  Eigen::VectorXd variance_;    ///< of each dimension, all ways, mm^2, deg^2
  double share_ = 0;
};

}  // namespace aplomb::bands
