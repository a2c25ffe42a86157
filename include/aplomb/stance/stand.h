// One foot stands in one shoe: builds the equilibrium of a position, finds how she holds her ankle, and solves it.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cmath>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "aplomb/contact/equilibrium.h"
#include "aplomb/foot/foot.h"
#include "aplomb/io/error.h"
#include "aplomb/io/progress.h"
#include "aplomb/shoe/shoe.h"
#include "aplomb/stance/constants.h"
#include "aplomb/stance/positions.h"

namespace aplomb::stance {

using geometry::Vec3;

struct StandOptions {
  Position position = Position::full_pointe_two;
  std::optional<double> load_N;             ///< on this shoe; default: the position's share of body weight
  std::optional<double> friction;           ///< skin to lining; default: the shoe's
  double tibia_forward_deg = 0;             ///< lean of the tibia, + dorsal; 0 vertical
  double tibia_medial_deg = 0;              ///< + medial
  std::optional<double> ankle_command_deg;  ///< talocrural plantar flexion she aims at; default: sought for balance
  bool rigid_wall = false;                  ///< the box does not give, whatever its stiffness
  Constants constants;
  contact::SolveOptions solve;
};

/// The room seen from the shoe. The shoe stands still in S and the room turns about it, over the sole-side edge of the
/// platform: pitch 0 is full pointe, with the sole flat on the floor it is about 84 degrees.
struct Ground {
  double pitch = 0;     ///< rad
  double floor_mm = 0;  ///< height of the floor along up, from S's origin

  Vec3 up_S() const { return {std::sin(pitch), 0, std::cos(pitch)}; }
  Vec3 forward_S() const { return {std::cos(pitch), 0, -std::sin(pitch)}; }  ///< the way she faces
  /// Maps the room (x forward, y medial, z up) to S.
  geometry::Mat3 R_S_room() const { return (geometry::Mat3() << forward_S(), Vec3::UnitY(), up_S()).finished(); }
};

/// Skin of the dorsum farther behind the second toe joint than this share of foot length does not touch the box on the
/// ball of the foot: there the vamp bends with the sole.
inline constexpr double instep_behind_ball = 0.06;

/// Lying on the sole side of the box, which goes on into the sole.
Ground on_the_sole(const shoe::Shoe& shoe);

/// The ankle as she holds it. Angles from standing, degrees, + plantar flexion / inversion.
struct Hold {
  double ankle_command_deg = 0;
  double subtalar_command_deg = 0;
  double ankle_range_deg = 0;  ///< her talocrural limit
  bool at_limit = false;       ///< an aim stands at the end of its range and the balance is still off
};

/// Where each unknown of the foot stands in q. Ray and toe blocks of five; pip[0] is the hallux IP.
struct FootUnknowns {
  static constexpr int slide_x = 0, slide_y = 1, slide_z = 2, spin = 3, ankle = 4, subtalar = 5, midtarsal = 6,
                       midtarsal_inversion = 7;
  static constexpr int ray_flexion = 8, ray_splay = 13, mtp_flexion = 18, mtp_splay = 23, ip = 28;
  static constexpr int tilt_x = 33, tilt_y = 34, count = 35;  ///< of the tibia about S.x, S.y; locked
};

/// Naviculocuneiform flexion for each rad of midtarsal flexion: ranges of motion 4 and 13 degrees.
inline constexpr double naviculocuneiform_share = 4.0 / 13.0;

/// What of the shoe is on the floor.
enum class OnFloor { platform, edge, box, sole };

/// Total pointing used, tibia to foot, midfoot included, deg.
double pointing_used_deg(const Eigen::VectorXd& q);

/// One solved position with all that was used for it.
struct Stance {
  Position position = Position::full_pointe_two;
  std::shared_ptr<const foot::Foot> foot;
  std::shared_ptr<const shoe::Shoe> shoe;
  Constants constants;
  double friction = 0.35;
  std::optional<double> mass_kg;
  double load_N = 0;  ///< F
  Ground ground;
  Hold hold;
  std::shared_ptr<const contact::Problem> problem;
  contact::LoadPath path;
  std::shared_ptr<const contact::LoadPath> solved;  ///< whole, for SolveOptions::beside of the next; null in roll-down
  geometry::Vec2 centre_of_pressure = geometry::Vec2::Zero();  ///< in S, x-y at z = 0, at the loaded state
  double solve_ms = 0;

  /// She does not get over the platform: what she would have to point and to hold so that she did.
  struct Needed {
    double pointing_deg = 0;  ///< tibia to foot, midfoot included
    double moment_Nm = 0;     ///< of her muscles about the ankle, + plantar-flexing
  };
  std::optional<Needed> needed;

  /// Toes, 0 hallux to 4 little, that do not go into the box under the load but stay outside, however they are led;
  /// then this is no rest.
  std::vector<int> toes_outside;

  /// Roll-down: every heel height from full pointe to flat, this stance being the last; each with its own ground.
  std::vector<Stance> way_down;
  OnFloor on_floor = OnFloor::platform;

  const contact::Equilibrium& rest() const { return path.loaded; }
};

/// Errors (bad_input): no mass and no load, load not positive, friction or lean of the tibia or
/// ankle command out of range, constants out of theirs, a wrong-side shoe; what is not a number is out of range. Not
/// converging is not an Error: see path.loaded.converged and reason. Cancelled is.
io::Result<Stance> stand(std::shared_ptr<const foot::Foot> foot, std::shared_ptr<const shoe::Shoe> shoe,
                         const StandOptions& options, const io::Progress& progress = {});

/// Demi-pointe: every balance that its rise was solved through, standing flat first and the stance itself last. Empty
/// in other positions, and where it did not converge.
std::vector<Stance> way_up(const Stance& stance);

/// Centre of pressure of the floor on the platform, S x-y, from everything that presses on the shoe.
geometry::Vec2 centre_of_pressure(const contact::Problem& problem, const contact::Equilibrium& state);
/// The same on the floor through `floor_S`.
Vec3 centre_of_pressure(const contact::Problem& problem, const contact::Equilibrium& state, const Ground& ground,
                        const Vec3& floor_S);

}  // namespace aplomb::stance
