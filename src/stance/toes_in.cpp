// Leads toes into the box that would stay outside.
//
// The foot starts over or behind the box with its toes apart, and goes down the nearest way: where the box is narrow a
// toe may go past its edge and lie along the outside. A fitter does not let it: she gathers the toes, the cloth of the
// upper does the rest. Here the box is first so wide that all toes go in, and then closed about them step by step.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "toes_in.h"

#include <fmt/format.h>

#include <algorithm>
#include <string>

#include "aplomb/contact/equilibrium.h"
#include "aplomb/contact/linkage.h"

namespace aplomb::stance {

namespace {

/// A surface moved outward along its normals, platform and all.
class Widened : public geometry::Surface {
 public:
  explicit Widened(const geometry::Surface& surface) : surface_(surface) {}
  double by_mm = 0;

  bool sample(const Vec3& x, double band_mm, geometry::SurfaceSample& out) const override {
    const bool near = surface_.sample(x, band_mm - by_mm, out);
    if (out.gap_mm != geometry::unknown_gap_mm) out.gap_mm += by_mm;
    return near;
  }
  double gap_at_least(const Vec3& x) const override {
    const double gap = surface_.gap_at_least(x);
    return gap == geometry::unknown_gap_mm ? gap : gap + by_mm;
  }

 private:
  const geometry::Surface& surface_;
};

std::string words_of(const std::vector<int>& toes, bool were_inside) {
  std::string names;
  for (std::size_t k = 0; k < toes.size(); ++k)
    names += (k == 0                 ? ""
              : k + 1 == toes.size() ? " and "
                                     : ", ") +
             std::string(foot::toe_names[static_cast<std::size_t>(toes[k])]);
  const bool all = toes.size() == foot::toe_count, one = toes.size() == 1;
  const std::string who = all ? "the toes" : fmt::format("the {} {}", names, one ? "toe" : "toes");
  return who + (were_inside ? one ? " slips out of the box" : " slip out of the box"
                : one       ? " stays outside the box"
                            : " stay outside the box");
}

}  // namespace

std::vector<int> toes_outside(const foot::Foot& foot, const shoe::Shoe& shoe, const contact::Problem& problem,
                              const Eigen::VectorXd& q) {
  // The tip of a toe's bone has tissue round it and never comes to the wall itself.
  constexpr double outside_mm = 3;
  const auto T = contact::pose(problem.linkage, q).T_world_link;
  const auto& give = problem.surfaces[0].give;
  std::vector<int> out;
  for (int toe = 0; toe < foot::toe_count; ++toe) {
    const foot::Landmark& tip = foot.landmarks.at(fmt::format("bonetip{}", toe + 1));
    const Vec3 x = T[static_cast<std::size_t>(tip.bone)] * tip.position_F;
    double gap = shoe.box.nearest(x).gap_mm;
    if (give) gap += give->shapes->moved_mm(x, q.segment(give->first_dof, give->count()));
    if (gap < -outside_mm) out.push_back(toe);
  }
  return out;
}

std::vector<int> no_rest_outside(const foot::Foot& foot, const shoe::Shoe& shoe, const contact::Problem& problem,
                                 contact::LoadPath& path) {
  std::vector<contact::Equilibrium*> states{&path.loaded};
  for (contact::Equilibrium& state : path.further) states.push_back(&state);
  std::vector<int> outside;
  for (std::size_t k = 0; k < states.size(); ++k) {
    contact::Equilibrium& state = *states[k];
    if (!state.converged) return {};
    outside = toes_outside(foot, shoe, problem, state.q);
    if (outside.empty()) continue;
    state.converged = false;
    state.reason = words_of(outside, k > 0);
    path.further.resize(k);  // up to this one
    return outside;
  }
  return {};
}

std::optional<Eigen::VectorXd> led_in(const Setup& setup, const contact::SolveOptions& given,
                                      const io::Progress& progress) {
  constexpr double widest_mm = 12, step_mm = 3;
  constexpr int patience = 20;
  contact::Problem problem = setup.problem;
  Widened box(*setup.problem.surfaces[0].surface);
  problem.surfaces[0].surface = &box;
  contact::SolveOptions options = given;
  options.beside = nullptr;
  options.max_iterations = std::min(options.max_iterations, patience);
  Eigen::VectorXd q;
  for (box.by_mm = widest_mm; box.by_mm > step_mm / 2; box.by_mm -= step_mm) {
    if (q.size() == 0) q = setup.start_in(problem);
    const contact::Equilibrium seat =
        contact::seat(problem, q, std::min(options.seat_load_N, problem.load_N), options, progress);
    if (progress.cancelled()) return std::nullopt;
    q = seat.q;  // balanced or not: it need only have gone in
  }
  return q;
}

}  // namespace aplomb::stance
