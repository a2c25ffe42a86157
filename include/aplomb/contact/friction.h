// Coulomb friction with an elastic slip that is stored and returned to the cone (return mapping): no creep at rest.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/geometry/types.h"

namespace aplomb::contact {

using geometry::Mat3;
using geometry::Vec3;

/// What is known at a point when friction is asked for.
struct FrictionInput {
  Vec3 slip_stored_mm = Vec3::Zero();        ///< elastic slip s_n at the last accepted state
  Vec3 motion_mm = Vec3::Zero();             ///< x - x_n: how far the point moved since
  Vec3 normal = Vec3::UnitZ();               ///< current unit normal of the surface
  Mat3 curvature = Mat3::Zero();             ///< d normal / d x; symmetric unless the surface has given
  double pressure_MPa = 0;                   ///< p >= 0
  Vec3 pressure_gradient = Vec3::Zero();     ///< d p / d x
  double shear_stiffness_MPa_per_mm = 0.05;  ///< k_t = E / (2 (1+nu) h)
  double friction = 0.35;                    ///< mu
};

struct FrictionOutput {
  Vec3 traction_MPa = Vec3::Zero();  ///< on the skin, tangential, |t| <= mu p
  Vec3 slip_mm = Vec3::Zero();       ///< elastic slip to store if this state is accepted
  Mat3 stiffness = Mat3::Zero();     ///< - d traction / d x, exact, unsymmetric while slipping
  Mat3 by_normal = Mat3::Zero();     ///< - d traction / d normal, at fixed x and pressure
  Vec3 by_pressure = Vec3::Zero();   ///< - d traction / d pressure, at fixed x and normal
  bool slipping = false;
};

FrictionOutput friction_return(const FrictionInput& in);

}  // namespace aplomb::contact
