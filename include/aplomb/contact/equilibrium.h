// Where everything balances: seat without friction, then load in steps with friction.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "aplomb/contact/problem.h"
#include "aplomb/io/progress.h"

namespace aplomb::contact {

struct LoadPath;

struct SolveOptions {
  double seat_load_N = 10;  ///< frictionless seating load along the full load's direction
  int load_steps = 10;      ///< from the seat to the full load, the first ones shorter
  bool friction = true;
  bool settle = false;                 ///< afterwards cycle the load .7 F <-> F until nothing moves by more than .02 mm
  double residual_tolerance = 1e-6;    ///< forces / F, moments / (F 30 mm), rod moments / their largest term
  double tolerance_on_the_way = 1e-4;  ///< the same, that will do before the full load
  int max_iterations = 40;             ///< per load step, before it is halved
  double step_cap_mm = 2;
  double step_cap_rad = 0.05;
  /// Where one step of Newton is shorter than this and nothing can fall there, its end is taken for a balance on the
  /// way, without looking again: what it leaves is of the order of its square. 0: always look.
  double trusted_step_mm = 0.1;
  /// How often a balance that can fall is pushed off, each time to go down farther, before it is taken for one that
  /// nothing leads away from.
  int most_pushes = 3;
  /// Where the path beside has a step of the load, only every so many-th is balanced; at the others the state keeps as
  /// far from that path as at the last balance, and friction goes along. The full load, and what follows, is balanced.
  int balanced_every = 1;
  /// Where the path beside could not bring its line of force to where it shall pass, this one stops as it did: at the
  /// ends of ranges that it stopped at, else with its aims.
  bool stops_as_beside = false;
  /// The path of a problem much like this one, solved with as many load steps: its balances are where this one's are
  /// looked for first. Quicker, to the same tolerances; but which of several balances is found, and the last digits,
  /// then hang on it. May be null.
  std::shared_ptr<const LoadPath> beside;
  /// The seat too is looked for first where the path beside has its own: worth trying only when little differs.
  bool seats_as_beside = true;
};

/// Of runs by the hundred beside one: looser balance, half the load steps, short steps trusted, what can fall pushed
/// off once; each with a seat of its own. May be null, which takes longer.
SolveOptions quick_options(std::shared_ptr<const LoadPath> beside);

/// Of answers shown while a number is dragged, `beside` the path of the one before: looser balance, short steps
/// trusted, and where that one stopped this one does.
SolveOptions dragging_options(std::shared_ptr<const LoadPath> beside);

/// One point that touches, at the solution.
struct ContactState {
  int point = 0;
  enum class Against { surface, rod, skin } against = Against::surface;
  int surface = 0;            ///< index into Problem::surfaces when against a surface
  int zone = 0;               ///< of the surface
  double gap_mm = 0;          ///< signed, < 0 compressed
  double pressure_MPa = 0;    ///< on this point's skin
  double area_mm2 = 0;        ///< loaded area: skin area projected on the surface, times cover
  double compression_mm = 0;  ///< of this point's own tissue
  Vec3 position = Vec3::Zero();
  Vec3 normal = Vec3::UnitZ();           ///< of the surface, toward the skin
  Vec3 normal_force_N = Vec3::Zero();    ///< on the skin
  Vec3 friction_force_N = Vec3::Zero();  ///< on the skin
  bool slipping = false;
};

/// One band at the solution.
struct BandState {
  double tension_N = 0;
  double length_mm = 0;
  std::vector<Vec3> position;  ///< of its points, in the world
  std::vector<Vec3> force_N;   ///< on what carries each point: they sum to nought
};

/// The answer at one load, with its evidence.
struct Equilibrium {
  bool converged = false;
  std::string reason;  ///< why not, in plain words; empty when converged
  Eigen::VectorXd q;
  double load_N = 0;
  std::vector<ContactState> contacts;
  double force_residual = 0;        ///< |sum of forces| / F
  double moment_residual = 0;       ///< |sum of moments about the load point| / (F 30 mm)
  double joint_residual = 0;        ///< largest joint residual / (F 30 mm)
  double rod_residual = 0;          ///< largest rod residual / largest rod term
  double give_residual = 0;         ///< largest residual of what gives / largest elastic force in it
  std::vector<BandState> bands;     ///< as Problem::bands
  std::vector<double> aim;          ///< target found for each Problem::steering
  std::vector<int> aim_at_end;      ///< -1 or 1: that aim stands at the lower or upper end of its range; else 0
  std::vector<double> off_line_mm;  ///< how far the line of force passes from where it shall; not 0 at a range's end
  int at_bone = 0;                  ///< points whose tissue is pressed to the bone: pressures there only say "too much"
  bool stable = true;               ///< symmetric part of the tangent is positive definite
  int iterations = 0;
  int load_steps = 0;
};

/// A balanced state on the way.
struct Waypoint {
  double load_N = 0;
  Eigen::VectorXd q;
};

/// A balance that friction remembers, and the next one starts from.
struct Walked {
  Eigen::VectorXd q;
  double load_factor = 1;
  std::vector<double> aim, line_mm;  ///< of each Problem::steering
  std::vector<bool> found;           ///< whether that aim was found with q, within its range; else given
  int stage = -1;                    ///< the one of Problem::further_aims it is on the way to; -1: none yet
  double stage_share = 0;            ///< of the way there from the aims before
};

/// Seat and loaded states of one path.
struct LoadPath {
  std::vector<Waypoint> way;  ///< load steps between seat and full load, rising; before the aims are found
  Equilibrium seat;           ///< at seat_load_N, no friction
  Equilibrium loaded;         ///< at F, path answer
  std::vector<Walked>
      walked;  ///< every one from the seat (which is not among them) to `loaded`, and on to the last of `further`
  std::vector<Equilibrium> further;    ///< at Problem::further_aims; ends early after one that is not converged
  std::optional<Equilibrium> settled;  ///< at F after load cycling
  /// Of the same problem with a range that goes on, where an aim of this one stops at its end and that was solved too.
  std::shared_ptr<const LoadPath> beyond;
};

/// Frictionless minimum of the energy at `load_N`, from `q_start`.
Equilibrium seat(const Problem& problem, const Eigen::VectorXd& q_start, double load_N, const SolveOptions& options,
                 const io::Progress& progress = {});

/// Seat, then load with friction. The answer depends on its arguments only, never on earlier calls.
LoadPath solve(const Problem& problem, const Eigen::VectorXd& q_start, const SolveOptions& options,
               const io::Progress& progress = {});

}  // namespace aplomb::contact
