// Bands of the upper: they pull foot, rod and box toward one another along straight stretches.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>
#include <vector>

#include "aplomb/contact/system.h"
#include "evaluation.h"

namespace aplomb::contact {

namespace {

// A hair under the root so that two points lying on one another have a direction all the same.
constexpr double rounding_mm2 = 0.01;
double stretch_length(const Vec3& d) { return std::sqrt(d.squaredNorm() + rounding_mm2); }

Jet band_pull(const Band& band, double length) {
  const Jet r = ramp(length - band.slack_mm);
  return {band.tension_N * length + band.stiffness_N_per_mm * r.value * r.value / 2,
          band.tension_N + band.stiffness_N_per_mm * r.value * r.first,
          band.stiffness_N_per_mm * (r.first * r.first + r.value * r.second)};
}

}  // namespace

Vec3 System::band_point(const BandPoint& point, const PosedRod* rod) const {
  switch (point.on) {
    case BandPoint::On::link:
      return skin_.link_position(point.index, point.at);
    case BandPoint::On::rod: {
      const Vec2& node = rod->node_xz[point.index];
      return {node.x(), 0, node.y()};
    }
    default:
      return point.at;
  }
}

void System::pass_bands(const PosedRod* rod, Evaluation& out) {
  for (const Band& band : problem_.bands) {
    const std::size_t count = band.path.size();
    std::vector<Vec3> at;
    for (const BandPoint& point : band.path) at.push_back(band_point(point, rod));
    double length = 0;
    std::vector<Vec3> pull(count, Vec3::Zero());  // d length / d point
    for (std::size_t i = 0; i + 1 < count; ++i) {
      const Vec3 d = at[i + 1] - at[i];
      const double l = stretch_length(d);
      length += l;
      pull[i + 1] += d / l;
      pull[i] -= d / l;
    }
    const Jet w = band_pull(band, length);
    out.energy += w.value;
    if (out.R == nullptr) continue;

    std::vector<Eigen::Matrix3Xd> J(count, Eigen::Matrix3Xd::Zero(3, problem_.dof_count));
    for (std::size_t i = 0; i < count; ++i) {
      const BandPoint& point = band.path[i];
      if (point.on == BandPoint::On::link) {
        PointJacobian columns;
        skin_.link_jacobian(point.index, point.at, columns);
        for (std::size_t a = 0; a < columns.dofs->size(); ++a)
          J[i].col((*columns.dofs)[a]) = columns.columns.col(static_cast<Eigen::Index>(a));
      } else if (point.on == BandPoint::On::rod) {
        const Eigen::Matrix2Xd& G = rod->node_gradient[point.index];
        for (Eigen::Index j = 0; j < G.cols(); ++j) {
          J[i](0, problem_.rod->first_dof + j) = G(0, j);
          J[i](2, problem_.rod->first_dof + j) = G(1, j);
        }
        largest_terms_.rod = std::max(largest_terms_.rod, w.first * (J[i].transpose() * pull[i]).cwiseAbs().maxCoeff());
      }
    }
    Eigen::VectorXd dl = Eigen::VectorXd::Zero(problem_.dof_count);
    for (std::size_t i = 0; i < count; ++i) dl += J[i].transpose() * pull[i];
    *out.R += w.first * dl;
    if (out.K == nullptr) continue;

    *out.K += w.second * dl * dl.transpose();
    for (std::size_t i = 0; i + 1 < count; ++i) {
      const Vec3 d = at[i + 1] - at[i];
      const double l = stretch_length(d);
      const Mat3 H = (Mat3::Identity() - d * d.transpose() / (l * l)) / l;
      const Eigen::Matrix3Xd D = J[i + 1] - J[i];
      *out.K += w.first * (D.transpose() * H * D);
    }
    for (std::size_t i = 0; i < count; ++i) {
      const BandPoint& point = band.path[i];
      const Vec3 force = -w.first * pull[i];
      if (point.on == BandPoint::On::link) skin_.add_link_force(point.index, point.at, force);
      if (point.on == BandPoint::On::rod) {
        const Eigen::MatrixXd H = node_hessian(*problem_.rod, *rod, point.index, Vec2(force.x(), force.z()));
        out.K->block(problem_.rod->first_dof, problem_.rod->first_dof, H.rows(), H.cols()) -= H;
      }
    }
  }
}

std::vector<BandState> System::bands(const Eigen::VectorXd& q) {
  skin_.pose(q);
  const std::optional<PosedRod> rod =
      problem_.rod ? std::optional(contact::pose(*problem_.rod, q)) : std::optional<PosedRod>();
  std::vector<BandState> out;
  for (const Band& band : problem_.bands) {
    BandState state;
    for (const BandPoint& point : band.path) state.position.push_back(band_point(point, rod ? &*rod : nullptr));
    state.force_N.assign(band.path.size(), Vec3::Zero());
    for (std::size_t i = 0; i + 1 < band.path.size(); ++i)
      state.length_mm += stretch_length(state.position[i + 1] - state.position[i]);
    state.tension_N = band_pull(band, state.length_mm).first;
    for (std::size_t i = 0; i + 1 < band.path.size(); ++i) {
      const Vec3 d = state.position[i + 1] - state.position[i];
      const Vec3 pull = state.tension_N / stretch_length(d) * d;
      state.force_N[i] += pull;
      state.force_N[i + 1] -= pull;
    }
    out.push_back(std::move(state));
  }
  return out;
}

}  // namespace aplomb::contact
