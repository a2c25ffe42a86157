// Many feet in many shoes: feet drawn from the prior, shoes graded to each, every one stood up.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "aplomb/findings/findings.h"
#include "aplomb/foot/prior.h"
#include "aplomb/foot/random.h"
#include "aplomb/foot/shape.h"
#include "aplomb/io/error.h"
#include "aplomb/io/progress.h"
#include "aplomb/shoe/parameters.h"
#include "aplomb/stance/stand.h"

namespace aplomb::study {

inline constexpr int most_feet = 100000;

/// What is studied: `feet` x `shoes` x `positions` stands.
struct PopulationOptions {
  int feet = 300;  ///< 1 .. most_feet
  std::uint64_t seed = 1;
  int threads = 0;              ///< 0: one for each core; the answers do not depend on it
  foot::RandomOptions random;   ///< body mass is drawn too: 54 +- 7 kg whatever the length, see there
  double fits_length_mm = 238;  ///< standing foot that the shoes fit as they are; meshes/feet/sample.toml is
  double fits_breadth_mm = 89;  ///< the one that the sample shoes were drawn for
  std::vector<shoe::ShoeParameters> shoes;
  std::vector<stance::Position> positions = {stance::Position::full_pointe_two, stance::Position::full_pointe_one};
  stance::StandOptions stand;  ///< position is set from `positions`
};

/// One foot in one shoe in one position. What could not be had (a foot that no fit was found for, a shoe that cannot be
/// made at that size) leaves its numbers at 0 and says why in findings.reason.
struct StandRecord {
  int foot = 0;                                    ///< counted from 0
  std::uint64_t foot_seed = 0;                     ///< draws this foot again with foot::random_foot()
  double foot_length_mm = 0, foot_breadth_mm = 0;  ///< standing
  double mass_kg = 0;
  std::string shoe;  ///< name of its parameters
  double inner_length_mm = 0, ball_breadth_mm = 0;
  stance::Position position = stance::Position::full_pointe_two;
  stance::Hold hold;
  int iterations = 0;           ///< Newton iterations of the last solve, seat and load path
  findings::Findings findings;  ///< converged, reason, solve_ms and all that follows
};

/// Seed of foot `index`: the same feet come first however many are drawn; feet of neighbouring seeds have nothing to do
/// with each other.
std::uint64_t foot_seed(std::uint64_t study_seed, int index);

/// `shoe`, which fits a foot of `fits_length_mm` x `fits_breadth_mm`, graded to another foot: inner length and ball
/// breadth keep their ratios to foot length and foot breadth (not their differences, so that a small foot has as much
/// room for its size). Errors: as shoe::grade().
io::Result<shoe::ShoeParameters> graded_to(const shoe::ShoeParameters& shoe, double fits_length_mm,
                                           double fits_breadth_mm, double foot_length_mm, double foot_breadth_mm);

/// All stands, foot by foot, within a foot shoe by shoe, within a shoe position by position. The same options give the
/// same bits, whatever the thread count, but for solve_ms. Errors: bad_input (no feet or too many, no shoes or
/// positions, a position that is not solved, a negative thread count); cancelled.
io::Result<std::vector<StandRecord>> stand_population(const foot::ShapeModel& model, const foot::Prior& prior,
                                                      const PopulationOptions& options,
                                                      const io::Progress& progress = {});

}  // namespace aplomb::study
