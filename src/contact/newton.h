// Two ways down: minimise an energy (robust, finds the stable branch), or Newton on the exact law (quadratic at the
// end).
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <limits>
#include <optional>

#include "aplomb/contact/system.h"
#include "aplomb/io/progress.h"

namespace aplomb::contact {

/// Sizes that make every residual a pure number: forces over F, moments over F * 30 mm.
inline constexpr double moment_arm_mm = 30.0;
/// Residual at which descent hands over to Newton on the exact law.
inline constexpr double hand_over = 1e-2;

/// Largest scaled residual. Rod residuals are measured against the larger of F * 30 mm * 1e-3 and their largest term,
/// so that a free rod balances as tightly as a loaded one; those of what gives likewise against F * 1e-3 and the
/// largest elastic force in it. Locked unknowns are left out.
double scaled_residual(const Problem& problem, const Eigen::VectorXd& R, double load_N,
                       const System::LargestTerms& largest);

/// Unknowns measured in mm of movement: an angle counts for moment_arm_mm per rad.
Eigen::VectorXd unknown_scales(const Problem& problem);

/// Unknowns of the linkage: those before the rod and what gives.
int linkage_unknowns(const Problem& problem);
/// What the residual of unknown i is measured against.
double residual_size(const Problem& problem, int i, double load_N, const System::LargestTerms& largest);

/// When a balance is found.
struct Closing {
  double tolerance = 0;  ///< of the scaled residual
  /// A step shorter than this, from where the tangent's symmetric part is positive definite, is the last, and nobody
  /// looks where it ends.
  double trusted_step_mm = 0;
  double first_step_mm = std::numeric_limits<double>::infinity();  ///< where the first one is longer, none is taken
  /// Where the residual begins fifteen times above this, or is above it still after four steps, no more is taken.
  double hopeless = std::numeric_limits<double>::infinity();
  bool shrinking = false;  ///< from the fourth step on one that is longer than the one before is not taken
};

struct NewtonReport {
  bool converged = false;
  bool rises = false;  ///< the last tangent's symmetric part is positive definite
  bool cancelled = false;
  double residual = 0;
  int iterations = 0;
};

/// Lowers the energy (friction none or potential) from q, at fixed aims, until the residual is below tolerance.
NewtonReport minimise(System& system, const Problem& problem, Eigen::VectorXd& q, double load_factor, double load_N,
                      FrictionMode mode, double tolerance, int max_iterations, const SolveOptions& options,
                      const io::Progress& progress);

enum class Aims { fixed, found };  ///< whether the aims of Problem::steering are unknowns too

/// Newton with backtracking on the residual of the exact law. Where it finds the aims along with q, the system's aims
/// are where it starts and, also after a failure, where it ended.
NewtonReport newton(System& system, const Problem& problem, Eigen::VectorXd& q, double load_factor, double load_N,
                    FrictionMode mode, const Closing& closing, int max_iterations, const SolveOptions& options,
                    const io::Progress& progress, Aims aims_mode);

/// True when the symmetric part of the tangent, scaled, has no negative eigenvalue.
bool is_stable(System& system, const Problem& problem, const Eigen::VectorXd& q, double load_factor, FrictionMode mode);

/// A balanced state on a hilltop: the direction it falls in, as a step in q of unit size (an angle counts moment_arm_mm
/// per rad). Nullopt when no curvature of the symmetric part of the tangent is clearly negative.
std::optional<Eigen::VectorXd> falling_direction(System& system, const Problem& problem, const Eigen::VectorXd& q,
                                                 double load_factor, FrictionMode mode);

}  // namespace aplomb::contact
