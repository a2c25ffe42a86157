// What feet are like: a Gaussian over the dimensions, and what it says of one foot once some of them are known.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Dense>
#include <array>
#include <filesystem>
#include <string>
#include <vector>

#include "aplomb/foot/card.h"
#include "aplomb/foot/numbers.h"
#include "aplomb/io/error.h"

namespace aplomb::foot {

inline constexpr int prior_format_version = 1;

/// Mean and covariance of the dimensions of standing feet (mm, deg; order of Number, dimension_count of them).
/// Adult women, ANSUR II for the nine that were measured there; the rest from the literature or guessed, said in
/// `source`.
struct Prior {
  Eigen::VectorXd mean;
  Eigen::MatrixXd covariance;
  std::vector<std::string> source;  ///< per dimension
};

/// Reads prior.json (written by tools/prior). Errors (bad_input): missing, not JSON, keys other than the dimensions, a
/// covariance that is not positive definite.
io::Result<Prior> read_prior(const std::filesystem::path& file);

/// A Gaussian over some of the dimensions.
struct Conditional {
  std::vector<int> index;  ///< Numbers it speaks of, ascending
  Eigen::VectorXd mean;    ///< mm, deg
  Eigen::MatrixXd covariance;
};

/// The dimensions but the length, given the length. Within two SD of the mean length this is the regression of the
/// sample; beyond, where there is no sample (children), the proportions of the nearer end are kept and all scales with
/// the length. Pre: length > 0.
Conditional given_length(const Prior& prior, double length_mm);

/// `of` given some of its dimensions exactly; those drop out. Numbers that `of` does not speak of are ignored.
Conditional given(const Conditional& of, const Numbers& known);

/// A known dimension against what all other known ones make likely.
struct Surprise {
  int number = 0;
  double value = 0, expected = 0, sd = 0;  ///< mm or deg
  double sds() const { return (value - expected) / sd; }
};

/// For each known dimension but the length: how far it lies from its expectation given the length and the other known
/// ones; largest first. `numbers` are of the standing foot and hold the length.
std::vector<Surprise> surprises(const Prior& prior, const Numbers& numbers);

/// Shares of the toe patterns in feet: Egyptian (hallux longest), Greek (second longest), square (level). Guess built
/// on published samples that differ widely (51-78 %, 12-46 %, 18-25 %).
enum class ToePattern { egyptian, greek, square };
inline constexpr std::array<double, 3> toe_pattern_share = {0.68, 0.20, 0.12};
/// How far the tips of each pattern lie ahead of the Egyptian ones at 240 mm, mm [guess].
inline constexpr std::array<std::array<double, 5>, 3> toe_pattern_shift_mm = {
    {{0, 0, 0, 0, 0}, {-4.0, 6.6, 2.9, 0, 0}, {0, 5.4, 9.9, 8.8, 3.9}}};
/// Toe lengths of the Egyptian pattern at 240 mm, MTP joint centre to skin tip in plan, mm (tables in meshes/anatomy).
inline constexpr std::array<double, 5> egyptian_toe_length_mm = {64.1, 55.8, 51.1, 45.5, 41.3};
/// SD of one toe's length about its pattern, mm at 240 mm [guess].
inline constexpr double toe_length_own_sd_mm = 1.5;

}  // namespace aplomb::foot
