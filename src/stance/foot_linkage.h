// The foot as a linkage of the contact solver: unknowns, ties between joints, springs, skin points.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/contact/problem.h"
#include "aplomb/foot/foot.h"
#include "aplomb/io/error.h"
#include "aplomb/stance/constants.h"

namespace aplomb::stance {

/// Her pointing range split over the joints, rad.
struct Pointing {
  double ankle = 0;      ///< talocrural limit
  double midtarsal = 0;  ///< midtarsal flexion; the naviculocuneiform joint adds its tied share
  double ray = 0;        ///< each tarsometatarsal joint
};
Pointing pointing_range(const foot::Foot& foot, const Constants& constants);

/// Links and axes in the order of FootUnknowns; the rest frame is F, with the tibia turned by `tibia` about the ankle.
/// The locked tilts are about the first two columns of `room`: forward and medial in the world.
/// Error when the foot lacks a joint the linkage needs.
io::Result<contact::Linkage> foot_linkage(const foot::Foot& foot, const Constants& constants,
                                          const geometry::Mat3& tibia,
                                          const geometry::Mat3& room = geometry::Mat3::Identity());

/// How she holds her foot on pointe, rad from standing: what her muscles aim at.
struct Aim {
  double ankle = 0;                ///< + plantar flexion
  double subtalar = 0;             ///< + inversion
  double midtarsal_inversion = 0;  ///< + inversion
  double spin = 0;                 ///< of the leg about the tibia, + by the right hand about its axis
};

/// The foot in line with the leg at this plantar flexion: the second toe under the ankle seen along S.x, the ball
/// square to S.x. The ankle's oblique axis alone would carry the pointed toes medially; she everts against it, subtalar
/// and midtarsal joint each by the same share of its range (common practice, no source: neither sickled in nor out).
Aim lined_up(const foot::Foot& foot, const contact::Linkage& linkage, const Constants& constants, double ankle);

/// Plantar flexion at which the ankle stands over the second toe's tip, the foot lined up and pointed, toes straight;
/// or all she has.
double ankle_over_toe(const foot::Foot& foot, const contact::Linkage& linkage, const Constants& constants);

/// Springs of all foot unknowns on pointe: pointed midfoot, toes held long. Ankle and subtalar joint aim with a capped
/// moment.
std::vector<contact::JointSpring> pointe_springs(const foot::Foot& foot, const Constants& constants, const Aim& aim);

/// Contact points of the skin with tissue by region.
std::vector<contact::SkinPoint> skin_points(const foot::Foot& foot, const Constants& constants);

/// Starting posture: pointed, toes straight.
Eigen::VectorXd pointed_posture(const foot::Foot& foot, const Constants& constants, const Aim& aim, int dof_count);

}  // namespace aplomb::stance
