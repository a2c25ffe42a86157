// Rigid links joined by turning and sliding axes, all written in ONE rest frame.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "aplomb/geometry/types.h"

namespace aplomb::contact {

using geometry::Isometry;
using geometry::Mat3;
using geometry::Vec3;

/// One axis: moves its link, and all links below, by offset + ratio * q[dof] about (turn) or along (slide) `axis`.
/// Axis and centre are written in the rest frame, in which every link's transform is the identity when all axes are at
/// 0.
struct LinkageAxis {
  enum class Kind { slide, turn };
  Kind kind = Kind::turn;
  int dof = 0;
  double ratio = 1;            ///< lets one unknown drive several axes (a tied joint)
  Vec3 axis = Vec3::UnitX();   ///< unit
  Vec3 centre = Vec3::Zero();  ///< a point on the axis, mm; unused for slide
  double offset = 0;           ///< rad or mm at q[dof] = 0
};

struct Link {
  std::string name;
  int parent = -1;                ///< index of an earlier link, or -1
  std::vector<LinkageAxis> axes;  ///< applied outermost first: T = T_parent * A_0(q) * A_1(q) * ...
};

struct Linkage {
  std::vector<Link> links;
  int dof_count = 0;
  Isometry T_world_rest = Isometry::Identity();  ///< placement of the rest frame before any motion
};

/// Where one axis stands in the world at a given q; enough for first and second derivatives of any point on its link.
struct PosedAxis {
  LinkageAxis::Kind kind = LinkageAxis::Kind::turn;
  int dof = 0;
  double ratio = 1;
  Vec3 axis_world = Vec3::UnitX();
  Vec3 centre_world = Vec3::Zero();
};

/// The linkage at one q.
struct PosedLinkage {
  std::vector<Isometry> T_world_link;         ///< maps rest coordinates to the world
  std::vector<std::vector<PosedAxis>> chain;  ///< per link: all axes that move it, outermost first
};

/// Pre: q.size() >= linkage.dof_count.
PosedLinkage pose(const Linkage& linkage, const Eigen::VectorXd& q);
/// The same into what may hold a pose of this linkage already.
void pose(const Linkage& linkage, const Eigen::VectorXd& q, PosedLinkage& posed);

}  // namespace aplomb::contact
