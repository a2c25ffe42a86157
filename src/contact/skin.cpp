// Linear blend skinning with derivatives.
//
// x = sum_j w_j T_j X. An axis a (through c, turning) that moves the links of a set D changes x by
//   dx = a x (sum_{j in D} w_j (y_j - c)),   y_j = T_j X.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/contact/skin.h"

#include <algorithm>
#include <limits>
#include <map>
#include <numeric>

namespace aplomb::contact {

namespace {

/// Whole columns of four, which vectorise where three do not.
EIGEN_ALWAYS_INLINE Eigen::Vector4d turned(const Eigen::Matrix4d& T, const Vec3& v) {
  return T.col(0) * v.x() + T.col(1) * v.y() + T.col(2) * v.z();
}

}  // namespace

SkinKinematics::SkinKinematics(const Problem& problem) : problem_(problem) {
  const auto& links = problem.linkage.links;
  int axis_total = 0;
  for (std::size_t l = 0; l < links.size(); ++l) {
    std::vector<int> axes;
    if (links[l].parent >= 0) axes = link_axes_[links[l].parent];
    for (std::size_t k = 0; k < links[l].axes.size(); ++k) {
      axis_link_.push_back(static_cast<int>(l));
      axis_index_.push_back(static_cast<int>(axes.size()));
      axis_dof_.push_back(links[l].axes[k].dof);
      axes.push_back(axis_total++);
    }
    link_axes_.push_back(std::move(axes));
  }
  point_chain_.reserve(problem.points.size());
  std::map<std::array<int, 4>, int> known;
  auto chain_for = [&](const std::array<int, 4>& set) {
    const auto [it, fresh] = known.try_emplace(set, 0);
    if (fresh) it->second = chain_of(set);
    return it->second;
  };
  for (const SkinPoint& point : problem.points) {
    // The same set for all that hang on the same links, whichever carries most.
    std::array<std::uint8_t, 4> order{0, 1, 2, 3};
    const auto link_of = [&](std::uint8_t j) {
      return point.weights[j] > 0 ? point.links[j] : std::numeric_limits<int>::max();
    };
    std::sort(order.begin(), order.end(), [&](std::uint8_t a, std::uint8_t b) { return link_of(a) < link_of(b); });
    std::array<int, 4> set{-1, -1, -1, -1};
    for (std::size_t k = 0; k < 4; ++k)
      if (point.weights[order[k]] > 0) set[k] = point.links[order[k]];
    // Neighbours mostly hang on the same links.
    const bool same = !point_chain_.empty() && set == chains_[static_cast<std::size_t>(point_chain_.back())].links;
    point_chain_.push_back(same ? point_chain_.back() : chain_for(set));
    point_order_.push_back(order);
    BlendPoint blended{};
    Eigen::Map<Vec3>(blended.position) = point.position_rest;
    Eigen::Map<Vec3>(blended.normal) = point.normal_rest;
    for (std::size_t j = 0; j < 4; ++j) {
      if (!(point.weights[j] > 0)) continue;
      blended.weights[blended.count] = point.weights[j];
      blended.links[blended.count++] = point.links[j];
    }
    blend_points_.push_back(blended);
  }
  for (std::size_t l = 0; l < links.size(); ++l) link_chain_.push_back(chain_for({static_cast<int>(l), -1, -1, -1}));
  positions_.resize(problem.points.size());
  normals_.resize(problem.points.size());
  link_force_.resize(links.size());
  link_moment_.resize(links.size());
}

namespace {

/// Place of an unknown among `dofs`, put there where it is not yet.
int column_of(int dof, std::vector<int>& dofs) {
  const auto known = std::find(dofs.begin(), dofs.end(), dof);
  const int column = static_cast<int>(known - dofs.begin());
  if (known == dofs.end()) dofs.push_back(dof);
  return column;
}

}  // namespace

int SkinKinematics::chain_of(const std::array<int, 4>& links) {
  Chain chain;
  chain.links = links;
  std::size_t longest = 0;
  for (const int link : links)
    if (link >= 0) longest = std::max(longest, link_axes_[static_cast<std::size_t>(link)].size());
  for (auto* list : {&chain.axes, &chain.column, &chain.dofs}) list->reserve(longest + 4);
  chain.movers.reserve(longest + 4);
  for (int j = 0; j < 4; ++j) {
    if (links[j] < 0) continue;
    // Links of one tree share their first axes, which stand in the same places then.
    std::size_t place = 0;
    for (const int axis : link_axes_[static_cast<std::size_t>(links[j])]) {
      if (place >= chain.axes.size() || chain.axes[place] != axis)
        place = static_cast<std::size_t>(std::find(chain.axes.begin(), chain.axes.end(), axis) - chain.axes.begin());
      if (place == chain.axes.size()) {
        chain.axes.push_back(axis);
        chain.movers.push_back(0);
        chain.column.push_back(column_of(axis_dof_[static_cast<std::size_t>(axis)], chain.dofs));
      }
      chain.movers[place++] |= static_cast<std::uint8_t>(1u << j);
    }
  }
  find_carrier(chain);
  chains_.push_back(std::move(chain));
  return static_cast<int>(chains_.size()) - 1;
}

void SkinKinematics::find_carrier(Chain& chain) const {
  const auto& links = problem_.linkage.links;
  const auto hangs_on = [&](int link, int carrier) {
    while (link >= 0 && link != carrier) link = links[static_cast<std::size_t>(link)].parent;
    return link == carrier;
  };
  std::uint8_t all = 0;
  int first = -1;
  for (int j = 0; j < 4; ++j)
    if (chain.links[j] >= 0) {
      all |= static_cast<std::uint8_t>(1u << j);
      if (first < 0) first = chain.links[j];
    }
  int carrier = first;
  while (carrier >= 0 && !std::all_of(chain.links.begin(), chain.links.end(),
                                      [&](int link) { return link < 0 || hangs_on(link, carrier); }))
    carrier = links[static_cast<std::size_t>(carrier)].parent;
  chain.carried = carrier >= 0;
  chain.carrier = chain.carried ? carrier : std::max(first, 0);
  for (std::size_t k = 0; k < chain.axes.size(); ++k) {
    if (chain.carried && chain.movers[k] == all) continue;
    const int dof = chain.dofs[static_cast<std::size_t>(chain.column[k])];
    chain.beyond.push_back(k);
    chain.beyond_column.push_back(column_of(dof, chain.beyond_dofs));
  }
}

namespace {

const Blend& blend() {
  static const Blend best = best_blend();
  return best;
}

}  // namespace

BlendTables SkinKinematics::blend_tables() const {
  static_assert(sizeof(Isometry) == 16 * sizeof(double) && sizeof(Vec3) == 3 * sizeof(double));
  return {blend_points_.data(), posed_.T_world_link.front().matrix().data()};
}

void SkinKinematics::pose(const Eigen::VectorXd& q) {
  if (q.size() == q_.size() && q == q_) return;
  q_ = q;
  contact::pose(problem_.linkage, q, posed_);
  if (!positions_.empty())
    blend().positions(blend_tables(), static_cast<int>(positions_.size()), positions_.front().data());
}

void SkinKinematics::pose_normals() {
  std::vector<int> all(normals_.size());
  std::iota(all.begin(), all.end(), 0);
  pose_normals(all);
}

void SkinKinematics::pose_normals(const std::vector<int>& points) {
  if (points.empty()) return;
  blend().normals(blend_tables(), points.data(), static_cast<int>(points.size()), normals_.front().data());
  for (const int i : points) normals_[static_cast<std::size_t>(i)].normalize();
}

void SkinKinematics::jacobian_of(int of, const std::array<double, 4>& weights, const std::array<Vec3, 4>& world,
                                 PointJacobian& out) const {
  const Chain& chain = chains_[static_cast<std::size_t>(of)];
  out.dofs = &chain.dofs;
  out.columns.setZero(3, static_cast<int>(chain.dofs.size()));
  for (std::size_t k = 0; k < chain.axes.size(); ++k) {
    const int axis = chain.axes[k];
    const PosedAxis& posed = posed_.chain[axis_link_[axis]][axis_index_[axis]];
    Vec3 y = Vec3::Zero();
    double w = 0;
    for (int j = 0; j < 4; ++j)
      if ((chain.movers[k] >> j) & 1u) {
        y += weights[j] * world[j];
        w += weights[j];
      }
    if (posed.kind == LinkageAxis::Kind::turn)
      out.columns.col(chain.column[k]) += posed.ratio * posed.axis_world.cross(y - w * posed.centre_world);
    else
      out.columns.col(chain.column[k]) += posed.ratio * w * posed.axis_world;
  }
}

void SkinKinematics::jacobian(int i, PointJacobian& out) const {
  const SkinPoint& point = problem_.points[i];
  std::array<double, 4> weights{};
  std::array<Vec3, 4> world;
  for (std::size_t k = 0; k < 4; ++k) {
    const std::size_t j = point_order_[static_cast<std::size_t>(i)][k];
    if (!(point.weights[j] > 0)) break;
    weights[k] = point.weights[j];
    world[k] = posed_.T_world_link[point.links[j]] * point.position_rest;
  }
  jacobian_of(point_chain_[i], weights, world, out);
}

void SkinKinematics::hanging(int i, Hanging& out) const {
  const SkinPoint& point = problem_.points[i];
  const Chain& chain = chains_[static_cast<std::size_t>(point_chain_[i])];
  out.chain = point_chain_[i];
  out.link = chain.carrier;
  out.dofs = &chain.beyond_dofs;
  std::array<Vec3, 4> part;  // times its weight
  std::array<double, 4> weights{};
  out.arm.setZero();
  out.weight = 0;
  for (std::size_t k = 0; k < 4; ++k) {
    const std::size_t j = point_order_[static_cast<std::size_t>(i)][k];
    weights[k] = point.weights[j];
    if (!(weights[k] > 0)) break;
    part[k] = weights[k] * (posed_.T_world_link[point.links[j]] * point.position_rest);
    out.arm += part[k];
    out.weight += weights[k];
  }
  if (!chain.carried) out.arm.setZero(), out.weight = 0;
  out.beyond.setZero(3, static_cast<Eigen::Index>(chain.beyond_dofs.size()));
  for (std::size_t b = 0; b < chain.beyond.size(); ++b) {
    const std::size_t k = chain.beyond[b];
    const PosedAxis& posed = posed_.chain[axis_link_[chain.axes[k]]][axis_index_[chain.axes[k]]];
    Vec3 y = Vec3::Zero();
    double w = 0;
    for (int j = 0; j < 4; ++j)
      if ((chain.movers[k] >> j) & 1u) {
        y += part[j];
        w += weights[j];
      }
    if (posed.kind == LinkageAxis::Kind::turn)
      out.beyond.col(chain.beyond_column[b]) += posed.ratio * posed.axis_world.cross(y - w * posed.centre_world);
    else
      out.beyond.col(chain.beyond_column[b]) += posed.ratio * w * posed.axis_world;
  }
}

Vec3 SkinKinematics::normal_now(int i) const {
  const SkinPoint& point = problem_.points[i];
  Eigen::Vector4d n = Eigen::Vector4d::Zero();
  for (std::size_t j = 0; j < 4; ++j)
    if (point.weights[j] > 0)
      n += point.weights[j] *
           turned(posed_.T_world_link[static_cast<std::size_t>(point.links[j])].matrix(), point.normal_rest);
  return n.head<3>().normalized();
}

Vec3 SkinKinematics::normal_parts(int i, std::array<Vec3, 4>& part) const {
  const SkinPoint& point = problem_.points[i];
  Vec3 sum = Vec3::Zero();
  for (std::size_t k = 0; k < 4; ++k) {
    const std::size_t j = point_order_[static_cast<std::size_t>(i)][k];
    if (!(point.weights[j] > 0)) break;
    part[k] = point.weights[j] * (posed_.T_world_link[point.links[j]].linear() * point.normal_rest);
    sum += part[k];
  }
  return sum;
}

// n = N / |N|, N = sum_j w_j R_j n_rest; an axis turns the part of N that hangs on its links.
void SkinKinematics::facing_gradient(int i, const Vec3& direction, FacingGradient& out) const {
  const Chain& chain = chains_[point_chain_[i]];
  std::array<Vec3, 4> part;
  const Vec3 N = normal_parts(i, part);
  const double length = N.norm();
  const Vec3 across = (direction - N * (N.dot(direction) / (length * length))) / length;
  out.setZero(static_cast<int>(chain.dofs.size()));
  for (std::size_t k = 0; k < chain.axes.size(); ++k) {
    const PosedAxis& posed = posed_.chain[axis_link_[chain.axes[k]]][axis_index_[chain.axes[k]]];
    if (posed.kind != LinkageAxis::Kind::turn) continue;
    Vec3 moved = Vec3::Zero();
    for (int j = 0; j < 4; ++j)
      if ((chain.movers[k] >> j) & 1u) moved += part[j];
    out[chain.column[k]] += posed.ratio * across.dot(posed.axis_world.cross(moved));
  }
}

void SkinKinematics::facing_row(int i, const Vec3& direction, Eigen::Ref<Eigen::VectorXd> out) const {
  const Chain& chain = chains_[static_cast<std::size_t>(point_chain_[i])];
  std::array<Vec3, 4> part;
  const Vec3 N = normal_parts(i, part);
  const double length = N.norm();
  const Vec3 across = (direction - N * (N.dot(direction) / (length * length))) / length;
  out.setZero();
  if (chain.carried) out.segment<3>(3) = N.cross(across);
  for (std::size_t b = 0; b < chain.beyond.size(); ++b) {
    const std::size_t k = chain.beyond[b];
    const PosedAxis& posed = posed_.chain[axis_link_[chain.axes[k]]][axis_index_[chain.axes[k]]];
    if (posed.kind != LinkageAxis::Kind::turn) continue;
    Vec3 moved = Vec3::Zero();
    for (int j = 0; j < 4; ++j)
      if ((chain.movers[k] >> j) & 1u) moved += part[j];
    out[6 + chain.beyond_column[b]] += posed.ratio * across.dot(posed.axis_world.cross(moved));
  }
}

void SkinKinematics::link_jacobian(int link, const Vec3& rest, PointJacobian& out) const {
  jacobian_of(link_chain_[link], {1, 0, 0, 0}, {link_position(link, rest), Vec3::Zero(), Vec3::Zero(), Vec3::Zero()},
              out);
}

}  // namespace aplomb::contact
