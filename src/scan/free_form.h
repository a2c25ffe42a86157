// What a foot has that the shape model has not: skin moved along its normals, smoothly, to where the scan shows it.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <functional>

#include "align.h"

namespace aplomb::scan {

/// What the field leaves open of k numbers that depend on the skin.
struct FieldDoubt {
  Eigen::MatrixXd covariance;  ///< k x k, of the numbers, given the shape
  Eigen::MatrixXd made_up;  ///< V x k: of what a vertex's shape moves outward, the field takes this much off a number
};

/// Offsets of the vertices, mm, + outward: the most likely ones given the scan, where the shape's misfit is a Gaussian
/// field over the skin (SD `misfit_mm`, told over about 25 mm) and each point errs by `noise_mm`. Where the scan shows
/// nothing they fade to zero; the skin ends at `edges`. Skin never comes nearer to skin that faces it than half of the
/// room between them, and the rim of the leg stays. Leaves `surface` set with the offsets. With `numbers_of`, which
/// gives k numbers' slopes by the offsets (V x k) of the skin as it is set, `doubt` says what is left open of them.
Eigen::VectorXd free_form(MovingSurface& surface, const Look& look, const Cloud& cloud,
                          const geometry::Isometry& T_foot_scan, const std::vector<Edge>& edges, double noise_mm,
                          double misfit_mm, int threads = 1,
                          const std::function<Eigen::MatrixXd(const Eigen::Matrix3Xd&)>& numbers_of = {},
                          FieldDoubt* doubt = nullptr);

/// Halves offsets where the mesh that they give crosses itself and without them does not, until it does no longer; all
/// of them become zero when that does not help. True when some were changed.
bool untangle(const std::function<geometry::TriMesh(const Eigen::VectorXd&)>& mesh_of, Eigen::VectorXd& offset_mm);

}  // namespace aplomb::scan
