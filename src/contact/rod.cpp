// The rod's shape, bending energy and rear end.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/contact/rod.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "rod_integrals.h"

namespace aplomb::contact {
namespace {

/// sin(x)/x, without cancelling at 0.
double sinc(double x) { return std::abs(x) < 1e-4 ? 1 - x * x / 6 : std::sin(x) / x; }

double angle_at(const Rod& rod, const Eigen::VectorXd& q, int node) {
  return node == 0 ? rod.start_angle : q[rod.first_dof + node - 1];
}

io::Result<void> check_list(const char* field, const std::vector<double>& values, std::size_t wanted, bool positive) {
  if (values.size() != wanted) {
    return io::fail({.field = field,
                     .message = fmt::format("has {} values where the rod needs {}", values.size(), wanted),
                     .remedy = "give one value per element (half_breadth_mm: one per node)"});
  }
  for (std::size_t i = 0; i < values.size(); ++i) {
    if (!std::isfinite(values[i]) || (positive && values[i] <= 0)) {
      return io::fail({.field = field,
                       .message = fmt::format("value {} is {}", i, values[i]),
                       .remedy = positive ? "give a finite value above 0" : "give a finite value"});
    }
  }
  return {};
}

}  // namespace

io::Result<void> check(const Rod& rod) {
  const std::size_t count = rod.length_mm.size();
  if (count == 0 || count > max_rod_elements) {
    return io::fail({.field = "length_mm",
                     .message = fmt::format("the rod has {} elements", count),
                     .remedy = fmt::format("use 1 to {} elements", max_rod_elements)});
  }
  if (!rod.start_xz.allFinite() || !std::isfinite(rod.start_angle)) {
    return io::fail({.field = "start_xz, start_angle",
                     .message = "the clamped end is not finite",
                     .remedy = "give a finite position (mm) and angle (rad)"});
  }
  if (rod.first_dof < 0) {
    return io::fail({.field = "first_dof",
                     .message = fmt::format("is {}", rod.first_dof),
                     .remedy = "give the index of the first rod angle among the unknowns"});
  }
  return check_list("length_mm", rod.length_mm, count, true)
      .and_then([&] { return check_list("EI_Nmm2", rod.EI_Nmm2, count, true); })
      .and_then([&] { return check_list("rest_curvature", rod.rest_curvature, count, false); })
      .and_then([&] { return check_list("half_breadth_mm", rod.half_breadth_mm, count + 1, true); });
}

// An element turning by d over length l is an arc whose chord is l sinc(d/2) along the tangent at its middle.
// d node_k / d theta_j = int_0^{s_k} hat_j n ds: only the elements on either side of node j contribute, so every node
// behind j carries the same column.
PosedRod pose(const Rod& rod, const Eigen::VectorXd& q) {
  const int count = rod.element_count();
  PosedRod out;
  out.angle.reserve(count + 1);
  out.node_xz.reserve(count + 1);
  out.tangent_xz.reserve(count + 1);
  out.arc_mm.reserve(count + 1);
  out.node_gradient.reserve(count + 1);
  out.bend_moments.reserve(count);

  out.angle.push_back(rod.start_angle);
  out.node_xz.push_back(rod.start_xz);
  out.tangent_xz.push_back(detail::tangent_at(rod.start_angle));
  out.arc_mm.push_back(0);
  Eigen::Matrix2Xd gradient = Eigen::Matrix2Xd::Zero(2, count);
  out.node_gradient.push_back(gradient);

  double longest = 0;
  for (int e = 0; e < count; ++e) {
    const double length = rod.length_mm[e];
    const double start = out.angle[e];
    const double end = angle_at(rod, q, e + 1);
    const double turn = end - start;
    const auto sums = detail::integrate({.start_angle = start, .turn = turn, .length_mm = length, .w_end = 1});
    if (e > 0) gradient.col(e - 1) += sums.hat_normal.col(0);
    gradient.col(e) += sums.hat_normal.col(1);

    out.angle.push_back(end);
    out.node_xz.push_back(out.node_xz[e] + length * sinc(turn / 2) * detail::tangent_at(start + turn / 2));
    out.tangent_xz.push_back(detail::tangent_at(end));
    out.arc_mm.push_back(out.arc_mm[e] + length);
    out.node_gradient.push_back(gradient);
    out.bend_moments.push_back(sums.hats_tangent);
    longest = std::max(longest, length);
  }

  // Every point of an arc is within half its length of one of its two ends.
  out.box_min = out.box_max = out.node_xz[0];
  for (const Vec2& node : out.node_xz) {
    out.box_min = out.box_min.cwiseMin(node);
    out.box_max = out.box_max.cwiseMax(node);
  }
  out.box_min.array() -= longest / 2;
  out.box_max.array() += longest / 2;
  out.largest_half_breadth_mm = *std::max_element(rod.half_breadth_mm.begin(), rod.half_breadth_mm.end());
  return out;
}

double add_bending(const Rod& rod, const Eigen::VectorXd& q, Eigen::VectorXd* gradient, Eigen::MatrixXd* hessian) {
  double energy = 0;
  for (int e = 0; e < rod.element_count(); ++e) {
    const double stiffness = rod.EI_Nmm2[e] / rod.length_mm[e];
    const double bend = angle_at(rod, q, e + 1) - angle_at(rod, q, e) - rod.rest_curvature[e] * rod.length_mm[e];
    energy += 0.5 * stiffness * bend * bend;
    const int rear = rod.first_dof + e;  // unknown of node e + 1; the one before belongs to node e (node 0 has none)
    if (gradient) {
      (*gradient)[rear] += stiffness * bend;
      if (e > 0) (*gradient)[rear - 1] -= stiffness * bend;
    }
    if (hessian) {
      (*hessian)(rear, rear) += stiffness;
      if (e > 0) {
        (*hessian)(rear - 1, rear - 1) += stiffness;
        (*hessian)(rear, rear - 1) -= stiffness;
        (*hessian)(rear - 1, rear) -= stiffness;
      }
    }
  }
  return energy;
}

Vec2 rear_end(const PosedRod& posed) { return posed.node_xz.back(); }

// d2 position / d theta_i d theta_j = int hat_i hat_j dn/dtheta ds = - int hat_i hat_j t ds.
Eigen::MatrixXd node_hessian(const Rod& rod, const PosedRod& posed, int node, const Vec2& c) {
  const int count = rod.element_count();
  Eigen::MatrixXd out = Eigen::MatrixXd::Zero(count, count);
  for (int e = 0; e < node; ++e) {
    const Eigen::RowVector3d moment = c.transpose() * posed.bend_moments[e];
    out(e, e) -= moment[2];
    if (e > 0) {
      out(e - 1, e - 1) -= moment[0];
      out(e, e - 1) -= moment[1];
      out(e - 1, e) -= moment[1];
    }
  }
  return out;
}

}  // namespace aplomb::contact
