// A rigid sphere on an elastic layer bonded to bone, frictionless on top: the exact small-strain answer, which the thin
// layer of tissue.h stands in for. Lebedev and Ufliand's integral equation with the compliance of a bonded layer
// (Johnson, Contact Mechanics, ch. 5.8; Dimitriadis et al. 2002 expand the same for a thick layer).
// mm, N, MPa.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace aplomb::ladder {

struct BondedLayer {
  double E_MPa = 0.7;
  double nu = 0.4;
  double thickness_mm = 5;
};

struct SphereContact {
  double radius_mm = 0;  ///< of the contact
  double depth_mm = 0;
  double force_N = 0;
  double peak_MPa = 0;  ///< at the middle
};

/// Of a paraboloid of radius R at a contact radius. Pre: nu < .5, contact radius up to some 5 thicknesses.
SphereContact press_to_radius(const BondedLayer& layer, double sphere_radius_mm, double contact_radius_mm);
/// At a depth, by bisection.
SphereContact press_to_depth(const BondedLayer& layer, double sphere_radius_mm, double depth_mm);

/// The layer's stiffness when nothing can move sideways, E (1 - nu) / ((1 + nu) (1 - 2 nu)).
double oedometric_modulus_MPa(const BondedLayer& layer);

}  // namespace aplomb::ladder
