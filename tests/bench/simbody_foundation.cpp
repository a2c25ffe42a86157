// SPDX-License-Identifier: GPL-3.0-or-later
#include "simbody_foundation.h"

#include <Simbody.h>

namespace aplomb::bench {

namespace {

SimTK::ContactGeometry::TriangleMesh as_theirs(const PlainMesh& mesh) {
  SimTK::Array_<SimTK::Vec3> vertices;
  SimTK::Array_<int> corners;
  for (const auto& p : mesh.vertices) vertices.push_back(SimTK::Vec3(p[0], p[1], p[2]));
  for (const auto& face : mesh.faces)
    for (const int v : face) corners.push_back(v);
  return {vertices, corners};
}

}  // namespace

struct SimbodyFoundation::Model {
  SimTK::MultibodySystem system;
  SimTK::SimbodyMatterSubsystem matter{system};
  SimTK::GeneralContactSubsystem contacts{system};
  SimTK::GeneralForceSubsystem forces{system};
  SimTK::MobilizedBody::Translation foot;
  SimTK::State state;
};

SimbodyFoundation::SimbodyFoundation(const PlainMesh& block, const PlainMesh& skin, double spring_MPa_per_mm)
    : model_(std::make_unique<Model>()) {
  Model& m = *model_;
  const SimTK::ContactSetIndex set = m.contacts.createContactSet();
  const SimTK::Body::Rigid body(SimTK::MassProperties(1, SimTK::Vec3(0), SimTK::Inertia(1)));
  m.foot = SimTK::MobilizedBody::Translation(m.matter.Ground(), SimTK::Transform(), body, SimTK::Transform());
  m.contacts.addBody(set, m.matter.updGround(), as_theirs(block), SimTK::Transform());
  m.contacts.addBody(set, m.foot, as_theirs(skin), SimTK::Transform());
  SimTK::ElasticFoundationForce foundation(m.forces, m.contacts, set);
  foundation.setBodyParameters(SimTK::ContactSurfaceIndex(1), spring_MPa_per_mm, 0, 0, 0, 0);
  m.state = m.system.realizeTopology();
}

SimbodyFoundation::~SimbodyFoundation() = default;

std::array<double, 3> SimbodyFoundation::force_at(double up_mm) {
  Model& m = *model_;
  m.foot.setQ(m.state, SimTK::Vec3(0, 0, up_mm));
  m.system.realize(m.state, SimTK::Stage::Dynamics);
  const SimTK::SpatialVec& on =
      m.system.getRigidBodyForces(m.state, SimTK::Stage::Dynamics)[m.foot.getMobilizedBodyIndex()];
  return {on[1][0], on[1][1], on[1][2]};
}

}  // namespace aplomb::bench
