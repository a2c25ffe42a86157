// Everything an equilibrium is made of, as plain data: points on links, surfaces, springs, rod, bands, load.
// Knows points and distances, not toes and wings. mm, N, MPa, rad.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "aplomb/contact/linkage.h"
#include "aplomb/contact/rod.h"
#include "aplomb/contact/tissue.h"
#include "aplomb/geometry/give.h"
#include "aplomb/geometry/surface.h"

namespace aplomb::contact {

/// A quadrature point of the skin on at most four links: x(q) = sum_j weight_j T_j(q) position_rest.
struct SkinPoint {
  Vec3 position_rest = Vec3::Zero();
  Vec3 normal_rest = Vec3::UnitZ();  ///< outward
  double area_mm2 = 1;
  Layer layer;                               ///< tissue from skin to bone
  std::vector<Layer> over;                   ///< what lies on it where it meets surfaces and rod: tights, padding
  double shear_stiffness_MPa_per_mm = 0.05;  ///< k_t = E / (2 (1+nu) h)
  std::array<int, 4> links{0, 0, 0, 0};
  std::array<double, 4> weights{1, 0, 0, 0};
};

/// How a surface gives under what presses on it: amounts a of its shapes, q[first_dof ..], at the cost of
/// a^T stiffness a / 2. Its shapes move it along its normal only: friction does not see it slide along.
struct Give {
  const geometry::GiveShapes* shapes = nullptr;  ///< outlives the problem
  Eigen::MatrixXd stiffness_N_per_mm;            ///< symmetric, positive definite
  int first_dof = 0;
  int count() const { return static_cast<int>(stiffness_N_per_mm.rows()); }
};

/// Skin against a surface, rigid unless it has a give. Every point listed is tried.
struct SurfaceContact {
  const geometry::Surface* surface = nullptr;  ///< outlives the problem
  double friction = 0.35;
  std::vector<int> points;
  std::optional<Give> give;
};

/// Skin against the rod's moving surface; frictionless. Pressure acts equal and opposite on the rod.
struct RodContact {
  std::vector<int> points;
};

/// Two neighbouring patches of skin that may press on each other; frictionless, both layers in series. Each side
/// carries half the area weight, so exchanging `a` and `b` changes nothing.
struct SkinPair {
  std::vector<int> a, b;
  std::vector<Layer> between;  ///< what keeps them apart: a spacer, tape
};

/// Of layers in series.
inline double thickness_mm(const std::vector<Layer>& layers) {
  double sum = 0;
  for (const Layer& layer : layers) sum += layer.thickness_mm;
  return sum;
}

/// Energy of one unknown: passive spring about `rest`, tone about `straight` with a capped moment, one-sided limits.
struct JointSpring {
  int dof = 0;
  std::string name;
  double passive_stiffness = 0;  ///< N mm / rad (or N/mm for a sliding unknown)
  double passive_rest = 0;
  double tone_stiffness = 0;  ///< N mm / rad
  double tone_target = 0;
  double tone_cap = 0;  ///< N mm; the tone moment tends to this, never past it. 0 with tone_stiffness > 0: no cap
  double min = -1e9, max = 1e9;  ///< range
  double limit_stiffness = 0;    ///< N mm / rad past the range
  double tone_unloaded = 1;      ///< share of tone there is without load; it grows evenly to 1 at the full load
};

/// An aim that is not given but found: the target of a spring's tone, such that the line of all forces on the skin
/// meets the floor at `at_mm` along `direction`. It is read at a locked turning unknown through the load point, whose
/// moment the floor would have to give:  at = direction . load point + sign * R[locked] / F.
struct Steering {
  int spring = 0;                  ///< index into Problem::springs, with tone
  int locked_dof = 0;              ///< member of Problem::locked
  Vec3 direction = Vec3::UnitX();  ///< unit, across the load
  double sign = 1;                 ///< +1 when a positive turn of the locked unknown about z x direction
  double at_mm = 0;                ///< where the line shall pass
  double min = -1e9, max = 1e9;    ///< range of the target; at its end the line passes where it will
};

/// One point that a band runs through: fixed in the world, on a link, or at a node of the rod.
struct BandPoint {
  enum class On { world, link, rod };
  On on = On::world;
  int index = 0;           ///< link, or node of the rod; unused in the world
  Vec3 at = Vec3::Zero();  ///< in the world, or in the link's rest frame; unused on the rod
};

/// A band under tension that slides freely through its points, in straight stretches.
/// Energy: tension * length + stiffness/2 * r(length - slack)^2.
struct Band {
  std::string name;
  std::vector<BandPoint> path;  ///< at least two
  double tension_N = 20;
  double stiffness_N_per_mm = 0;
  double slack_mm = 0;
};

/// A plane that the rod lies on: its nodes may rest on it and leave it, not pass it; frictionless.
/// Energy: stiffness/2 * r(-gap)^2 for each node but the clamped one, gap = normal . (node - point).
struct RodFloor {
  Vec3 point = Vec3::Zero();
  Vec3 normal = Vec3::UnitX();             ///< unit, in the rod's plane, to the side where the rod may be
  std::vector<double> stiffness_N_per_mm;  ///< N, of nodes 1..N
};

/// Dead force on a point of a link; scaled by the load factor of the path.
struct DeadLoad {
  int link = 0;
  Vec3 point_rest = Vec3::Zero();
  Vec3 force_N = Vec3::Zero();
};

struct Problem {
  Linkage linkage;                  ///< its dof_count counts the linkage's unknowns only
  int dof_count = 0;                ///< all unknowns: linkage, then rod, then what gives
  std::vector<bool> dof_is_length;  ///< true: mm; false: rad (step caps and scaling)
  std::vector<SkinPoint> points;
  std::vector<SurfaceContact> surfaces;
  std::vector<SkinPair> pairs;
  std::vector<JointSpring> springs;
  std::vector<int> locked;         ///< unknowns held at their start: their R is the moment or force that holds them
  std::vector<Steering> steering;  ///< at most one for each locked unknown
  std::optional<Rod> rod;
  RodContact rod_contact;
  std::optional<RodFloor> rod_floor;  ///< only with a rod
  std::vector<Band> bands;
  /// After the full load: places of the steered aims to go through in turn, friction and all remembered.
  struct FurtherAims {
    double share = 1;            ///< of the way from the aims found under the load
    std::vector<double> target;  ///< to these, one for each of steering
  };
  std::vector<FurtherAims> further_aims;
  DeadLoad load;      ///< full load F
  double load_N = 0;  ///< F = |load.force_N|, the measure of every stop criterion
};

}  // namespace aplomb::contact
