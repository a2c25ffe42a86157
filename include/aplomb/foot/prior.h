// What feet are like: a Gaussian over the dimensions, and what it says of one foot once some of them are known.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Dense>
#include <array>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "aplomb/foot/card.h"
#include "aplomb/foot/numbers.h"
#include "aplomb/io/error.h"

namespace aplomb::foot {

inline constexpr int prior_format_version = 2;

/// The nine dimensions that the open data hold come first in Number.
inline constexpr int sampled_count = 9;
/// The Gaussian speaks of the dimensions (rows 0 .. dimension_count - 1, counted like Number) and of body mass.
inline constexpr int prior_mass = dimension_count;
inline constexpr int prior_count = dimension_count + 1;

/// How far a row of the prior can be trusted: S published, source named; C computed from open data; G guess.
enum class PriorMark : char { published = 'S', computed = 'C', guess = 'G' };

/// A number that is no dimension of the shape: what is usual for it. With `with` set, value and SD are those at
/// with = at and go as (with / at)^power.
struct UsualRow {
  int number = 0;
  double value = 0, sd = 0;
  std::optional<int> with;  ///< Number
  double at = 1, power = 0;
  PriorMark mark = PriorMark::guess;
  std::string source;
};

/// Mean and covariance of the dimensions of standing feet and of body mass (mm, deg, kg), as they are read with caliper
/// and tape. Adult women, ANSUR II for the nine dimensions that were measured there and for mass; the rest from the
/// literature or guessed, said in `source`. Dancers differ: say prior_words() beside what rests on it.
struct Prior {
  Eigen::VectorXd mean;        ///< prior_count
  Eigen::MatrixXd covariance;  ///< prior_count x prior_count
  std::array<PriorMark, prior_count> mark{};
  std::array<std::string, prior_count> source;
  std::vector<UsualRow> usual;
  std::string population;  ///< whose feet were measured: "497 women of ..."
};

/// Reads prior.json (written by tools/prior). Errors (bad_input): missing, not JSON, keys other than those expected, a
/// covariance that is not positive definite.
io::Result<Prior> read_prior(const std::filesystem::path& file);

/// What the prior is and whom it may not fit, in two sentences to print beside numbers that rest on it.
std::string prior_words(const Prior& prior);

/// Where the prior has a number from: the source named in its row, "guess: ..." when it is one. Empty for age, of which
/// it says nothing.
std::string prior_source(const Prior& prior, int number);

/// A Gaussian over some of the dimensions.
struct Conditional {
  std::vector<int> index;  ///< Numbers it speaks of, ascending
  Eigen::VectorXd mean;    ///< mm, deg
  Eigen::MatrixXd covariance;
};

/// The dimensions but the length, given the length and, when known, body mass. Within two SD of the mean length this is
/// the regression of the sample; beyond, where there is no sample (children), the proportions of the nearer end are
/// kept, all scales with the length and mass with its cube. Mass farther than three SD from what is usual at the length
/// counts as three SD. Pre: length > 0.
Conditional given_length(const Prior& prior, double length_mm, std::optional<double> mass_kg = std::nullopt);

/// `of` given some of its dimensions exactly; those drop out. Numbers that `of` does not speak of are ignored.
Conditional given(const Conditional& of, const Numbers& known);

/// The prior speaks of dimensions as read, so it carries the doubt of reading them; the dimensions themselves vary by
/// that much less (caliper_sd of number_table(); only the dimensions that were measured in the sample).
Conditional without_reading_doubt(const Conditional& as_read);

/// A known dimension against what all other known ones make likely.
struct Surprise {
  int number = 0;
  double value = 0, expected = 0, sd = 0;  ///< mm or deg
  double sds() const { return (value - expected) / sd; }
};

/// For each known dimension but the length: how far it lies from its expectation given the length and the other known
/// ones; largest first. `numbers` are of the standing foot and hold the length.
std::vector<Surprise> surprises(const Prior& prior, const Numbers& numbers);

/// What is usual for a number that is no dimension, given the foot's others (standing). Pre: `number` has a row in
/// `usual`; the number its row goes with is known. Mass beyond two SD of the mean length goes with the length's cube.
struct Usual {
  double value = 0, sd = 0;
};
Usual usual_of(const Prior& prior, int number, const Numbers& numbers);

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
