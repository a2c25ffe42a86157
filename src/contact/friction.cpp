// Return of a trial slip to the friction cone, with the exact derivative of the traction.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/contact/friction.h"

namespace aplomb::contact {

// s = P v with P = I - n n^T and v = s_n + x - x_n. The normal turns as the point moves, d n = C dx, so
//   ds/dx = P - (n.v) C - n (C v)^T :
// the second term turns the part of v along n into the surface, the third keeps s at right angles to the new normal.
FrictionOutput friction_return(const FrictionInput& in) {
  FrictionOutput out;
  const double limit = in.friction * in.pressure_MPa;
  if (!(limit > 0)) return out;  // a point that does not press holds nothing and forgets its slip

  const Vec3& n = in.normal;
  const Vec3 v = in.slip_stored_mm + in.motion_mm;
  const double v_n = n.dot(v);
  const Vec3 s = v - v_n * n;
  const Mat3 ds_dx =
      Mat3::Identity() - n * n.transpose() - v_n * in.curvature - n * (in.curvature.transpose() * v).transpose();
  const Mat3 ds_dn = -v_n * Mat3::Identity() - n * v.transpose();

  const double k = in.shear_stiffness_MPa_per_mm, length = s.norm();
  if (k * length <= limit) {
    out.traction_MPa = -k * s;
    out.slip_mm = s;
    out.stiffness = k * ds_dx;
    out.by_normal = k * ds_dn;
    return out;
  }
  const Vec3 direction = s / length;
  out.slipping = true;
  out.traction_MPa = -limit * direction;
  out.slip_mm = limit / k * direction;
  out.by_normal = limit / length * (ds_dn - direction * (direction.transpose() * ds_dn));
  out.by_pressure = in.friction * direction;
  out.stiffness = in.friction * direction * in.pressure_gradient.transpose() +
                  limit / length * (ds_dx - direction * (direction.transpose() * ds_dx));
  return out;
}

}  // namespace aplomb::contact
