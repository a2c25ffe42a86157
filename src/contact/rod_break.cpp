// Where the rod bends most.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>

#include "aplomb/contact/rod.h"

namespace aplomb::contact {

// Element curvatures alone would make the region a whole number of elements and its centroid jump with the mesh. Joined
// by straight lines between element midpoints (and kept constant over the outer half of the first and last element) the
// region's ends move continuously. Walking outward from the peak to the first crossing of 90 % keeps one stretch.
BreakPoint break_point(const Rod& rod, const Eigen::VectorXd& q) {
  const int count = rod.element_count();
  std::vector<double> bend(count), middle(count);
  double arc = 0, angle = rod.start_angle;
  for (int e = 0; e < count; ++e) {
    const double next = q[rod.first_dof + e];
    bend[e] = std::abs((next - angle) / rod.length_mm[e] - rod.rest_curvature[e]);
    middle[e] = arc + rod.length_mm[e] / 2;
    arc += rod.length_mm[e];
    angle = next;
  }
  if (count < 2) return {};

  const int peak = static_cast<int>(std::max_element(bend.begin() + 1, bend.end()) - bend.begin());
  BreakPoint out;
  out.curvature = bend[peak];
  out.bends_at_clamp = bend[0] > bend[peak];
  if (!(bend[peak] > 0)) return out;

  const double line = 0.9 * bend[peak];
  const auto crossing = [&](int inside, int outside) {
    const double share = (bend[inside] - line) / (bend[inside] - bend[outside]);
    return middle[inside] + share * (middle[outside] - middle[inside]);
  };
  int first = peak, last = peak;
  while (first > 1 && bend[first - 1] >= line) --first;
  while (last + 1 < count && bend[last + 1] >= line) ++last;
  const double from = first > 1 ? crossing(first, first - 1) : rod.length_mm[0];
  const double to = last + 1 < count ? crossing(last, last + 1) : arc;
  out.width_mm = to - from;

  // Centroid of the area under the curve between `from` and `to`, piece by piece (each piece is a trapezium).
  double area = 0, moment = 0;
  double s0 = from, k0 = first > 1 ? line : bend[first];
  const auto add = [&](double s1, double k1) {
    const double ds = s1 - s0;
    area += ds * (k0 + k1) / 2;
    moment += ds * (s0 * (2 * k0 + k1) + s1 * (k0 + 2 * k1)) / 6;
    s0 = s1;
    k0 = k1;
  };
  for (int e = first; e <= last; ++e) add(middle[e], bend[e]);
  add(to, last + 1 < count ? line : bend[last]);
  out.arc_mm = moment / area;
  return out;
}

}  // namespace aplomb::contact
