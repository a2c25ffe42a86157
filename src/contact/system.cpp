// Assembles out-of-balance forces, tangent and energy from skin on surfaces, springs and load.
// Skin on the rod and skin on skin stand in system_rod.cpp and system_pairs.cpp.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/contact/system.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "aplomb/contact/friction.h"
#include "aplomb/contact/spring.h"
#include "evaluation.h"

namespace aplomb::contact {

System::System(const Problem& problem) : problem_(problem), skin_(problem) {
  std::size_t count = 0;
  for (const SurfaceContact& surface : problem.surfaces) count += surface.points.size();
  surface_items_.reserve(count);
  for (std::size_t s = 0; s < problem.surfaces.size(); ++s)
    for (int point : problem.surfaces[s].points) {
      SurfaceItem& item = surface_items_.emplace_back();
      item.point = point;
      item.surface = static_cast<int>(s);
    }
  clearances_.resize(surface_items_.size());
  sums_.resize(problem.surfaces.size());
  x_stored_.assign(problem.points.size(), Vec3::Zero());
  for (const SkinPair& pair : problem.pairs) {
    if (pair.a.empty() || pair.b.empty()) continue;
    const SkinPoint& first = problem.points[pair.a.front()];
    const auto heaviest = std::max_element(first.weights.begin(), first.weights.end()) - first.weights.begin();
    PairView& view = pair_views_.emplace_back();
    view.pair = &pair;
    view.a = PairSide(problem.points, pair.a);
    view.b = PairSide(problem.points, pair.b);
    for (const PairSide* side : {&view.a, &view.b})
      paired_.insert(paired_.end(), side->points().begin(), side->points().end());
    view.link = first.links[static_cast<std::size_t>(heaviest)];
    std::vector<int> links;
    for (const auto* side : {&pair.a, &pair.b})
      for (const int point : *side)
        for (std::size_t j = 0; j < 4; ++j)
          if (problem.points[static_cast<std::size_t>(point)].weights[j] > 0)
            links.push_back(problem.points[static_cast<std::size_t>(point)].links[j]);
    view.columns = LinkColumns(problem.linkage, links);
  }
  std::sort(paired_.begin(), paired_.end());
  paired_.erase(std::unique(paired_.begin(), paired_.end()), paired_.end());
  if (problem.rod)
    for (const int point : problem.rod_contact.points) rod_items_.emplace_back().point = point;
  for (const SkinPoint& point : problem.points) over_mm_.push_back(thickness_mm(point.over));
  give_amounts_.resize(problem.surfaces.size());
  give_bound_.assign(problem.surfaces.size(), 0.0);
  given_.assign(problem.surfaces.size(), 0.0);
  for (const JointSpring& spring : problem.springs) spring_target_.push_back(spring.tone_target);
  for (const Steering& steer : problem.steering) line_mm_.push_back(steer.at_mm);
}

SeriesJet System::press(const Layer& tissue, const std::vector<Layer>& over, double d) {
  if (over.empty()) return {layer_energy(tissue, d), d};
  constexpr std::size_t most = 8;
  std::array<Layer, most> stack{tissue};
  const std::size_t count = std::min(over.size(), most - 1);
  std::copy_n(over.begin(), count, stack.begin() + 1);
  return stack_energy({stack.data(), count + 1}, d);
}

void System::freeze(const Eigen::VectorXd& q) {
  if (q.size() == frozen_at_.size() && q == frozen_at_) return;
  frozen_at_ = q;
  skin_.pose(q);
  skin_.pose_normals(paired_);
  find_touching(q);
  freeze_surfaces();
  if (problem_.rod) freeze_rod(contact::pose(*problem_.rod, q));
  freeze_pairs();
}

void System::freeze_surfaces() {
  ++freezes_;
  for (WallView& view : touching()) {
    SurfaceItem& item = *view.item;
    const SkinPoint& point = problem_.points[item.point];
    // The layer stands on the surface, so the area that counts is the skin's area projected on it; skin that faces away
    // from the surface does not see it.
    const double facing = -view.skin_normal.dot(view.normal);
    // Skin edge-on to the surface carries nothing but still may not pass through it: it could turn to face it any
    // moment.
    item.faces_away = facing <= -0.3;
    item.area = point.area_mm2 * std::max(0.0, facing);
    item.normal = view.normal;
    item.cover = view.at_rest.cover;
    const Jet r = ramp(-view.gap_mm);
    item.pressure = press(point, r.value).jet.first * r.first;
    item.frozen = freezes_;
  }
}

FrictionInput System::rubbing(const SurfaceItem& item) const {
  FrictionInput in;
  if (item.accepted == accepts_) in.slip_stored_mm = item.slip;
  const auto point = static_cast<std::size_t>(item.point);
  in.motion_mm = skin_.position(item.point) - x_stored_[point];
  in.shear_stiffness_MPa_per_mm = problem_.points[point].shear_stiffness_MPa_per_mm;
  in.friction = problem_.surfaces[static_cast<std::size_t>(item.surface)].friction;
  return in;
}

void System::add_point_force(int point, const PointJacobian& J, const Vec3& force, Evaluation& out) {
  const auto& dofs = *J.dofs;
  const auto n = static_cast<Eigen::Index>(dofs.size());
  for (Eigen::Index a = 0; a < n; ++a) (*out.R)[dofs[static_cast<std::size_t>(a)]] -= J.columns.col(a).dot(force);
  if (out.K != nullptr) skin_.add_force(point, force);
}

void System::area_gradient(const Hanging& at, int point, const WallView& view, LinkSums::Row& out) const {
  row_of(at, view.turn.transpose() * view.skin_normal, out);
  LinkSums::Row turning(out.size());
  skin_.facing_row(point, view.normal, turning);
  out = -problem_.points[point].area_mm2 * (out + turning);
}

void System::pass_surfaces(FrictionMode mode, Evaluation& out) {
  Hanging at;
  LinkSums::Row area_by_q;
  LinkSums::Columns pull;  // change of - force
  for (const WallView& view : touching()) {
    const SurfaceItem& item = *view.item;
    if (item.faces_away) continue;
    const geometry::SurfaceSample& s = view.at_rest;
    const SkinPoint& point = problem_.points[item.point];
    const Jet r = ramp(-view.gap_mm);
    const double A = areas_follow_ ? point.area_mm2 * std::max(0.0, -view.skin_normal.dot(view.normal)) : item.area;
    if (A == 0) continue;
    const Jet w = press(point, r.value).jet;
    const double p = w.first * r.first;                                  // - d psi / d gap
    const double k = w.second * r.first * r.first + w.first * r.second;  // - d p / d gap
    out.energy += A * s.cover * w.value;

    const double mu = problem_.surfaces[item.surface].friction;
    FrictionOutput t;
    const bool rubs = mode != FrictionMode::none && mu > 0;
    if (rubs) {
      FrictionInput in = rubbing(item);
      if (mode == FrictionMode::exact) {
        in.normal = view.normal;
        in.curvature = view.turn;
        in.pressure_MPa = p;
        in.pressure_gradient = -k * view.gradient;
      } else {
        in.normal = item.normal;
        in.pressure_MPa = item.pressure;
      }
      t = friction_return(in);
      if (mode == FrictionMode::potential) {
        const double kt = in.shear_stiffness_MPa_per_mm, limit = mu * in.pressure_MPa;
        const Vec3 v = in.slip_stored_mm + in.motion_mm;
        const double length = (v - in.normal * in.normal.dot(v)).norm();
        out.energy +=
            A * item.cover * (kt * length <= limit ? kt * length * length / 2 : limit * (length - limit / (2 * kt)));
      }
    }
    if (out.R == nullptr) continue;
    const bool exact = mode == FrictionMode::exact;
    const double rub_cover = exact ? s.cover : item.cover;
    const Vec3 per_area = s.cover * p * view.gradient + rub_cover * t.traction_MPa - w.value * s.cover_gradient;
    const Vec3 force = A * per_area;
    LinkSums& sums = sums_[static_cast<std::size_t>(item.surface)];
    skin_.hanging(item.point, at);
    sums.add_force(at, force);
    if (out.K != nullptr) skin_.add_force(item.point, force);
    const bool follows = out.K != nullptr && areas_follow_;
    if (follows)
      area_gradient(at, item.point, view, area_by_q);
    else
      area_by_q.resize(0);
    if (view.give != nullptr) {
      Press pressed{A, p, k, per_area};
      if (rubs && exact) pressed.by_normal = rub_cover * t.by_normal, pressed.by_pressure = rub_cover * t.by_pressure;
      add_give(item.point, at, view, pressed, area_by_q, out);
    }
    if (out.K == nullptr) continue;
    // D = - d force / d x
    Mat3 D = s.cover * (k * view.gradient * view.gradient.transpose() - p * view.hessian);
    if (s.cover < 1)
      D += -p * (view.gradient * s.cover_gradient.transpose() + s.cover_gradient * view.gradient.transpose()) +
           w.value * s.cover_hessian;
    if (rubs) D += rub_cover * t.stiffness;
    if (rubs && exact) D -= t.traction_MPa * s.cover_gradient.transpose();
    pull_of(A * D, at, pull);
    if (follows) pull -= per_area.lazyProduct(area_by_q.transpose());
    sums.add(at, pull);
  }
  if (out.R != nullptr)
    for (LinkSums& sums : sums_) sums.spread(skin_, *out.R, out.K);
}

void System::pass_springs(const Eigen::VectorXd& q, double load_factor, Evaluation& out) const {
  for (std::size_t s = 0; s < problem_.springs.size(); ++s) {
    const JointSpring& spring = problem_.springs[s];
    const double x = q[spring.dof];
    double force = 0, stiffness = 0;  // d energy / d q and its slope
    if (spring.passive_stiffness > 0) {
      const double d = x - spring.passive_rest;
      out.energy += spring.passive_stiffness * d * d / 2;
      force += spring.passive_stiffness * d;
      stiffness += spring.passive_stiffness;
    }
    const Jet tone = tone_energy(spring, x, spring_target_[s], load_factor);
    out.energy += tone.value;
    force += tone.first;
    stiffness += tone.second;
    if (spring.limit_stiffness > 0) {
      constexpr double soft = 0.01;  // the stop is felt over this many rad (or mm) about the end of the range
      for (const double side : {1.0, -1.0}) {
        const Jet r = ramp(side > 0 ? x - spring.max : spring.min - x, soft);
        out.energy += spring.limit_stiffness * r.value * r.value / 2;
        force += side * spring.limit_stiffness * r.value * r.first;
        stiffness += spring.limit_stiffness * (r.first * r.first + r.value * r.second);
      }
    }
    if (out.R) (*out.R)[spring.dof] += force;
    if (out.K) (*out.K)(spring.dof, spring.dof) += stiffness;
  }
}

double System::aim_slope(int steering, const Eigen::VectorXd& q, double load_factor) const {
  const JointSpring& spring = problem_.springs[problem_.steering[steering].spring];
  return -tone_energy(spring, q[spring.dof], aim(steering), load_factor).second;
}

double System::off_line(int steering, double load_factor, const Eigen::VectorXd& R, const Eigen::MatrixXd* K,
                        Eigen::VectorXd* gradient) const {
  const Steering& steer = problem_.steering[steering];
  const double per_moment = steer.sign / (load_factor * problem_.load_N);
  if (gradient != nullptr && K != nullptr) {
    *gradient = per_moment * K->row(steer.locked_dof).transpose();
    PointJacobian J;
    skin_.link_jacobian(problem_.load.link, problem_.load.point_rest, J);
    for (std::size_t a = 0; a < J.dofs->size(); ++a)
      (*gradient)[(*J.dofs)[a]] += steer.direction.dot(J.columns.col(static_cast<Eigen::Index>(a)));
  }
  return steer.direction.dot(skin_.link_position(problem_.load.link, problem_.load.point_rest)) +
         per_moment * R[steer.locked_dof] - line_mm_[steering];
}

void System::pass_load(double load_factor, Evaluation& out) {
  const DeadLoad& load = problem_.load;
  const Vec3 force = load_factor * load.force_N;
  out.energy -= force.dot(skin_.link_position(load.link, load.point_rest));
  if (out.R == nullptr) return;
  PointJacobian J;
  skin_.link_jacobian(load.link, load.point_rest, J);
  for (std::size_t a = 0; a < J.dofs->size(); ++a) (*out.R)[(*J.dofs)[a]] -= J.columns.col(a).dot(force);
  if (out.K) skin_.add_link_force(load.link, load.point_rest, force);
}

void System::pass(const Eigen::VectorXd& q, double load_factor, FrictionMode mode, Evaluation& out) {
  find_touching(q);
  if (out.R) {
    out.R->setZero(problem_.dof_count);
    largest_terms_ = {};
  }
  if (out.K) {
    out.K->setZero(problem_.dof_count, problem_.dof_count);
    skin_.clear_forces();
  }
  pass_surfaces(mode, out);
  pass_give(out);
  pass_pairs(out);
  if (problem_.rod) {
    const PosedRod rod = contact::pose(*problem_.rod, q);
    if (out.R) {
      Eigen::VectorXd bending = Eigen::VectorXd::Zero(problem_.dof_count);
      out.energy += add_bending(*problem_.rod, q, &bending, out.K);
      *out.R += bending;
      largest_terms_.rod = bending.lpNorm<Eigen::Infinity>();
    } else {
      out.energy += add_bending(*problem_.rod, q, nullptr, nullptr);
    }
    pass_rod(rod, out);
    if (problem_.rod_floor) pass_rod_floor(rod, out);
    pass_bands(&rod, out);
  } else {
    pass_bands(nullptr, out);
  }
  pass_springs(q, load_factor, out);
  pass_load(load_factor, out);
  if (out.K) skin_.add_geometric_stiffness(*out.K);
}

double System::energy(const Eigen::VectorXd& q, double load_factor, FrictionMode mode) {
  Evaluation out;
  const bool follow = areas_follow_;
  areas_follow_ = false;
  pass(q, load_factor, mode, out);
  areas_follow_ = follow;
  return out.energy;
}

void System::assemble(const Eigen::VectorXd& q, double load_factor, FrictionMode mode, Eigen::VectorXd& R,
                      Eigen::MatrixXd* K, double* energy) {
  Evaluation out;
  out.R = &R;
  out.K = K;
  pass(q, load_factor, mode, out);
  if (energy != nullptr) *energy = out.energy;
}

void System::reset_friction(const Eigen::VectorXd& q) {
  skin_.pose(q);
  ++accepts_;
  x_stored_ = skin_.positions();
}

void System::accept(const Eigen::VectorXd& q, FrictionMode mode) {
  if (mode == FrictionMode::none) return reset_friction(q);
  find_touching(q);
  for (const WallView& view : touching()) {
    SurfaceItem& item = *view.item;
    const Jet r = ramp(-view.gap_mm);
    FrictionInput in = rubbing(item);
    in.normal = view.normal;
    in.pressure_MPa = press(problem_.points[item.point], r.value).jet.first * r.first;
    item.slip = friction_return(in).slip_mm;
    item.accepted = accepts_ + 1;
  }
  ++accepts_;
  x_stored_ = skin_.positions();
}

}  // namespace aplomb::contact
