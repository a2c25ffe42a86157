// A position ready to be solved, and the stance made of its answer.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <functional>

#include "aplomb/contact/problem.h"
#include "aplomb/stance/stand.h"
#include "foot_linkage.h"

namespace aplomb::stance {

struct Setup {
  contact::Problem problem;
  Ground ground;
  Aim aim;
  /// Where the foot starts before a box that is the problem's, or a wider one; of the foot and shoe it was made for.
  std::function<Eigen::VectorXd(const contact::Problem&)> start_in;
  Eigen::VectorXd start{};
};

/// On the platform, or with the shoe turned on its edge; the line of force shall pass `at_mm` along the way she faces.
io::Result<Setup> pointe_setup(const foot::Foot& foot, const shoe::Shoe& shoe, const StandOptions& options,
                               double load_N, const Ground& ground = {}, double at_mm = 0);

/// On the platform (pitch 0), or with the shoe turned over its sole-side edge, the line of force just inside it.
io::Result<Setup> height_on_pointe(const foot::Foot& foot, const shoe::Shoe& shoe, const StandOptions& options,
                                   double load_N, double pitch);

inline constexpr int steps_up = 8;              ///< of a rise onto the ball
inline constexpr int heights_on_the_sole = 12;  ///< of the way down from there, the top among them

/// Up onto the ball in steps_up further aims, and down again.
io::Result<Setup> rise_setup(const foot::Foot& foot, const shoe::Shoe& shoe, const StandOptions& options, double load_N,
                             int steps_down = 0);

/// The state at one of the further aims as a stance of its own. Pre: first.path.further has it.
Stance at_height(const Stance& first, const contact::Equilibrium& state);

/// Whether the heel is down: the sole lies on the floor somewhere in its rear third, and skin of the heel presses on
/// it. Pre: on the sole side of the box, converged.
bool heel_down(const Stance& stance);

/// Of every position that is one stand.
io::Result<Setup> setup_of(const foot::Foot& foot, const shoe::Shoe& shoe, const StandOptions& options, double load_N);

using FootPtr = std::shared_ptr<const foot::Foot>;
using ShoePtr = std::shared_ptr<const shoe::Shoe>;

/// The stance of a solved setup.
Stance stance_of(const FootPtr& foot, const ShoePtr& shoe, Setup setup, contact::LoadPath path,
                 const StandOptions& options, double load_N);

/// Solves a setup, led in where a toe would stay outside: then its start is where that led. Error: cancelled.
io::Result<Stance> solve_setup(const FootPtr& foot, const ShoePtr& shoe, Setup& setup, const StandOptions& options,
                               double load_N, const io::Progress& progress);

/// The way down from full pointe: the stance of its last height, with all of them. Errors: those of its setups.
io::Result<Stance> roll_down(const FootPtr& foot, const ShoePtr& shoe, const StandOptions& options, double load_N,
                             const io::Progress& progress);

/// What it would take to get over, for a foot that does not, and the path of that.
struct GotOver {
  Stance::Needed needed;
  contact::LoadPath path;
};
/// Beside that of the neighbour where it has one. Nothing when more of both would not do either.
std::optional<GotOver> get_over(const Stance& stance, const Eigen::VectorXd& start, const StandOptions& options,
                                const io::Progress& progress);

}  // namespace aplomb::stance
