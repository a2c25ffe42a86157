// One point stands for those near it that face its way and may touch the same things.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "thin.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <map>

#include "aplomb/geometry/cells.h"

namespace aplomb::contact {

namespace {

/// Calls `visit` with every list of points of a problem.
template <class P, class Visit>
void for_each_list(P& problem, Visit visit) {
  for (auto& surface : problem.surfaces) visit(surface.points);
  visit(problem.rod_contact.points);
  for (auto& pair : problem.pairs) visit(pair.a), visit(pair.b);
}

/// A number for each set of lists that a point may be in, 0 for none.
std::vector<int> memberships(const Problem& problem) {
  std::vector<int> out(problem.points.size(), 0);
  int known = 1;
  for_each_list(problem, [&](const std::vector<int>& points) {
    std::map<int, int> with_this;
    for (int i : points) {
      int& number = out[static_cast<std::size_t>(i)];
      const auto [at, is_new] = with_this.try_emplace(number, known);
      known += is_new;
      number = at->second;
    }
  });
  return out;
}

}  // namespace

std::size_t touching_points(const Problem& problem) {
  std::vector<std::uint8_t> in(problem.points.size(), 0);
  std::size_t count = 0;
  for_each_list(problem, [&](const std::vector<int>& points) {
    for (int i : points)
      if (!in[static_cast<std::size_t>(i)]) in[static_cast<std::size_t>(i)] = 1, ++count;
  });
  return count;
}

Problem thinned(const Problem& problem) {
  constexpr double reach = 1.7;         // of a point, in sides of a square of its area
  constexpr double same_way_cos = 0.7;  // normals
  constexpr double cell_mm = 4;         // about as wide as the reach of most
  const std::vector<int> member = memberships(problem);
  std::vector<Vec3> places;
  std::vector<int> index;
  for (std::size_t i = 0; i < member.size(); ++i)
    if (member[i] != 0) places.push_back(problem.points[i].position_rest), index.push_back(static_cast<int>(i));
  const geometry::PointCells cells(places, cell_mm);

  Problem out = problem;
  out.points.clear();
  std::vector<int> place(problem.points.size(), -1);
  std::vector<std::uint8_t> stood_for(problem.points.size(), 0);
  std::vector<geometry::Neighbour> near;
  for (std::size_t k = 0; k < index.size(); ++k) {
    const auto i = static_cast<std::size_t>(index[k]);
    if (stood_for[i]) continue;
    const SkinPoint& own = problem.points[i];
    SkinPoint point = own;
    point.area_mm2 = 0;
    cells.within(places[k], reach * std::sqrt(own.area_mm2), near);
    // Summed in an order that a foot and its mirror image share.
    std::sort(near.begin(), near.end(), geometry::nearer);
    for (const geometry::Neighbour& other : near) {
      const auto j = static_cast<std::size_t>(index[static_cast<std::size_t>(other.index)]);
      const SkinPoint& p = problem.points[j];
      if (stood_for[j] || member[j] != member[i] || p.normal_rest.dot(own.normal_rest) < same_way_cos) continue;
      stood_for[j] = 1;
      point.area_mm2 += p.area_mm2;
    }
    place[i] = static_cast<int>(out.points.size());
    out.points.push_back(std::move(point));
  }
  for_each_list(out, [&](std::vector<int>& points) {
    std::vector<int> kept;
    for (int i : points)
      if (place[static_cast<std::size_t>(i)] >= 0) kept.push_back(place[static_cast<std::size_t>(i)]);
    points = std::move(kept);
  });
  return out;
}

}  // namespace aplomb::contact
