// Extremes are taken over vertices, girths as taut tapes (hull perimeters) round plane sections. A section point slides
// along its mesh edge as the foot grows; its derivative follows from staying in the plane.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/foot/measure.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "aplomb/geometry/polygon.h"

namespace aplomb::foot {

using geometry::Vec2;

namespace {

using Of = MeasureTerm::Of;

/// How a plane's normal turns with one point: d normal = turns * d point.
struct Turning {
  Of of = Of::skin;
  int index = 0;
  geometry::Mat3 turns = geometry::Mat3::Zero();
};

/// A plane through a point of the foot; what it rests on moves with the foot.
struct Plane {
  Vec3 origin = Vec3::Zero(), normal = Vec3::UnitX();  ///< normal of any length
  std::vector<MeasureTerm> offset;                     ///< d(normal . (p - origin)) at fixed p is minus these terms ...
  std::vector<Turning> turning;                        ///< ... and d normal . (p - origin)
};

void add(std::vector<MeasureTerm>& terms, const SkinBlend& point, const Vec3& weight) {
  for (const SkinShare& s : point) terms.push_back({Of::skin, s.vertex, s.moves.transpose() * weight});
}

struct SectionPoint {
  int a = 0, b = 0;
  double t = 0;  ///< p = (1 - t) a + t b
  Vec3 p = Vec3::Zero();
};

constexpr double unknown = std::numeric_limits<double>::quiet_NaN();

std::vector<SectionPoint> cut(const Sites& sites, const std::vector<int>& faces, const Body& body, const Plane& plane) {
  std::vector<SectionPoint> points;
  // Of all vertices at once: each is a corner of six faces, and the loop vectorises.
  const Eigen::ArrayXd height = plane.normal.x() * (body.skin.row(0).array() - plane.origin.x()) +
                                (plane.normal.y() * (body.skin.row(1).array() - plane.origin.y()) +
                                 plane.normal.z() * (body.skin.row(2).array() - plane.origin.z()));
  for (const int f : faces) {
    const auto& face = sites.faces[f];
    const double h[3] = {height[face[0]], height[face[1]], height[face[2]]};
    if ((h[0] < 0) == (h[1] < 0) && (h[1] < 0) == (h[2] < 0)) continue;  // nearly all
    for (int k = 0; k < 3; ++k) {
      const int m = (k + 1) % 3;
      // Each inner edge is met by two faces: the one that runs upward along it keeps the point.
      if (!(h[k] < 0 && h[m] >= 0)) continue;
      SectionPoint point{face[k], face[m], h[k] / (h[k] - h[m]), {}};
      point.p = (1 - point.t) * body.skin.col(point.a) + point.t * body.skin.col(point.b);
      points.push_back(point);
    }
  }
  return points;
}

/// The terms of sums of weight . dp over section points of one plane.
class SectionTerms {
 public:
  SectionTerms(const Plane& plane, const Body& body) : plane_(plane), body_(body) {}

  void add(const SectionPoint& s, const Vec3& weight) {
    const Vec3 edge = body_.skin.col(s.b) - body_.skin.col(s.a);
    const double slide = weight.dot(edge) / plane_.normal.dot(edge);  // d value / d (n . p) through t
    const Vec3 w = weight - slide * plane_.normal;
    gradient_.push_back({Of::skin, s.a, (1 - s.t) * w});
    gradient_.push_back({Of::skin, s.b, s.t * w});
    slide_ += slide;
    arm_ += slide * (s.p - plane_.origin);
  }

  /// With what the plane rests on, once for all points.
  std::vector<MeasureTerm> take() {
    for (const MeasureTerm& term : plane_.offset) gradient_.push_back({term.of, term.index, slide_ * term.weight});
    for (const Turning& turning : plane_.turning)
      gradient_.push_back({turning.of, turning.index, -(turning.turns.transpose() * arm_)});
    return std::move(gradient_);
  }

 private:
  const Plane& plane_;
  const Body& body_;
  std::vector<MeasureTerm> gradient_;
  double slide_ = 0;
  Vec3 arm_ = Vec3::Zero();
};

/// A taut tape round the section: perimeter of the hull of its points.
MeasuredValue tape(const Sites& sites, const std::vector<int>& faces, const Body& body, const Plane& plane,
                   const Vec3& u_axis) {
  const Vec3 n = plane.normal.normalized();
  const Vec3 u = (u_axis - u_axis.dot(n) * n).normalized(), v = n.cross(u);
  const auto points = cut(sites, faces, body, plane);
  if (points.size() < 3) return {unknown, {}};
  std::vector<int> order(points.size());
  std::vector<Vec2> flat(points.size());
  for (std::size_t i = 0; i < points.size(); ++i) flat[i] = {u.dot(points[i].p), v.dot(points[i].p)};
  std::iota(order.begin(), order.end(), 0);
  std::sort(order.begin(), order.end(), [&](int i, int j) {
    return flat[i].x() < flat[j].x() || (flat[i].x() == flat[j].x() && flat[i].y() < flat[j].y());
  });
  // The hull is wanted as indices, because the derivative needs the mesh edge behind each corner (Andrew's chain).
  std::vector<int> hull;
  const auto turn = [&](int a, int b, int c) {
    const Vec2 ab = flat[b] - flat[a], ac = flat[c] - flat[a];
    return ab.x() * ac.y() - ab.y() * ac.x();
  };
  for (int pass = 0; pass < 2; ++pass) {
    const std::size_t start = hull.size();
    for (const int i : order) {
      while (hull.size() >= start + 2 && turn(hull[hull.size() - 2], hull.back(), i) <= 0) hull.pop_back();
      hull.push_back(i);
    }
    hull.pop_back();
    std::reverse(order.begin(), order.end());
  }
  MeasuredValue out;
  SectionTerms terms(plane, body);
  for (std::size_t i = 0; i < hull.size(); ++i) {
    const SectionPoint &here = points[hull[i]], &next = points[hull[(i + 1) % hull.size()]];
    const Vec3 step = next.p - here.p;
    const double length = step.norm();
    out.value += length;
    if (length <= 0) continue;
    terms.add(next, step / length);
    terms.add(here, -step / length);
  }
  out.gradient = terms.take();
  return out;
}

/// Extent of section points along a direction in the plane.
MeasuredValue extent(const std::vector<SectionPoint>& points, const Vec3& direction, const Plane& plane,
                     const Body& body) {
  MeasuredValue out;
  if (points.empty()) return {unknown, {}};
  const auto [low, high] = std::minmax_element(
      points.begin(), points.end(),
      [&](const SectionPoint& a, const SectionPoint& b) { return direction.dot(a.p) < direction.dot(b.p); });
  out.value = direction.dot(high->p - low->p);
  SectionTerms terms(plane, body);
  terms.add(*high, direction);
  terms.add(*low, -direction);
  out.gradient = terms.take();
  return out;
}

/// Greatest value of direction . x over the vertices, smoothed as tau log sum exp(. / tau); tau = 0 takes the greatest
/// alone.
MeasuredValue reach(const std::vector<int>& vertices, const Vec3& direction, const Body& body, double tau) {
  int best = vertices.front();
  for (const int v : vertices)
    if (direction.dot(body.skin.col(v)) > direction.dot(body.skin.col(best))) best = v;
  const double most = direction.dot(body.skin.col(best));
  if (tau <= 0) return {most, {{Of::skin, best, direction}}};
  MeasuredValue out;
  double sum = 0;
  for (const int v : vertices) {
    const double share = std::exp((direction.dot(body.skin.col(v)) - most) / tau);
    if (share < 1e-6) continue;
    sum += share;
    out.gradient.push_back({Of::skin, v, share * direction});
  }
  for (MeasureTerm& term : out.gradient) term.weight /= sum;
  out.value = most + tau * std::log(sum);
  return out;
}

MeasuredValue vertex_extent(const std::vector<int>& vertices, const Vec3& direction, const Body& body, double tau) {
  const Vec3 back = -direction;
  MeasuredValue out = reach(vertices, direction, body, tau);
  const MeasuredValue other = reach(vertices, back, body, tau);
  out.value += other.value;
  out.gradient.insert(out.gradient.end(), other.gradient.begin(), other.gradient.end());
  return out;
}

Plane vertical_across(double x, const MeasuredValue& length, double share, int heel) {
  // x = heel + share of the length.
  Plane plane;
  plane.origin = Vec3(x, 0, 0);
  for (MeasureTerm term : length.gradient) {
    term.weight *= share;
    plane.offset.push_back(term);
  }
  plane.offset.push_back({Of::skin, heel, Vec3::UnitX()});
  return plane;
}

/// The plane through two points that holds `axis`.
Plane through(const SkinBlend& from, const SkinBlend& to, const Vec3& axis, const Body& body) {
  Plane plane;
  plane.origin = point_at(from, body);
  plane.normal = axis.cross(point_at(to, body) - plane.origin);
  add(plane.offset, from, plane.normal);
  geometry::Mat3 cross;
  cross << 0, -axis.z(), axis.y(), axis.z(), 0, -axis.x(), -axis.y(), axis.x(), 0;
  const geometry::Mat3 back = -cross;
  for (const SkinShare& s : to) plane.turning.push_back({Of::skin, s.vertex, cross * s.moves});
  for (const SkinShare& s : from) plane.turning.push_back({Of::skin, s.vertex, back * s.moves});
  return plane;
}

/// The plane square to the line from a joint to a landmark, at a share of the way.
Plane across_line(int joint, int landmark, double share, const Body& body) {
  const Vec3 from = body.joints.col(joint), to = body.landmarks.col(landmark);
  Plane plane;
  plane.origin = from + share * (to - from);
  plane.normal = to - from;
  plane.offset = {{Of::joint, joint, (1 - share) * plane.normal}, {Of::landmark, landmark, share * plane.normal}};
  plane.turning = {{Of::joint, joint, -geometry::Mat3::Identity()},
                   {Of::landmark, landmark, geometry::Mat3::Identity()}};
  return plane;
}

MeasuredValue hallux_lean(const Sites& sites, const Body& body) {
  const Vec3 a = body.joints.col(sites.tmt[0]), b = body.joints.col(sites.mtp[0]),
             c = body.joints.col(sites.knuckle[0]);
  const Vec3 ray = b - a, toe = c - b;
  const auto level = [](const Vec3& v) { return std::atan2(v.y(), v.x()); };
  // d atan2(y, x) = (-y, x)/r^2 . d(x, y)
  const auto slope = [](const Vec3& v) -> Vec3 { return Vec3(-v.y(), v.x(), 0) / (v.x() * v.x() + v.y() * v.y()); };
  const double deg = geometry::deg_per_rad;
  const Vec3 of_ray = deg * slope(ray), of_toe = -deg * slope(toe);
  return {deg * (level(ray) - level(toe)),
          {{Of::joint, sites.tmt[0], -of_ray},
           {Of::joint, sites.mtp[0], of_ray - of_toe},
           {Of::joint, sites.knuckle[0], of_toe}}};
}

/// How deep the points lie that share in the outermost one, mm at 240 mm length. Between neighbours on the mesh the
/// outermost would jump, and the girth with it, which a search for the least cost cannot follow.
constexpr double shared_depth_mm = 0.4;

/// Where the section goes farthest along `direction` among the points that `inside` lets through.
template <class Inside>
SkinBlend farthest(const std::vector<SectionPoint>& points, const Vec3& direction, double scale, const Inside& inside) {
  const Vec3 d = direction.normalized();
  double most = -std::numeric_limits<double>::max();
  for (const SectionPoint& s : points)
    if (inside(s.p)) most = std::max(most, d.dot(s.p));
  const double depth = scale * shared_depth_mm;
  std::vector<std::pair<const SectionPoint*, double>> sharing;
  double sum = 0;
  for (const SectionPoint& s : points) {
    const double share = std::exp((d.dot(s.p) - most) / depth);
    if (!inside(s.p) || share < 1e-6) continue;
    sum += share;
    sharing.emplace_back(&s, share);
  }
  Vec3 middle = Vec3::Zero();
  for (auto& [s, share] : sharing) middle += (share /= sum) * s->p;
  SkinBlend blend;
  for (const auto& [s, share] : sharing) {
    // A point that comes to lie farther out takes a larger share and draws the middle to itself.
    const geometry::Mat3 moves = share * (geometry::Mat3::Identity() + (s->p - middle) * d.transpose() / depth);
    blend.push_back({s->a, (1 - s->t) * share, (1 - s->t) * moves});
    blend.push_back({s->b, s->t * share, s->t * moves});
  }
  return blend;
}

}  // namespace

TapePoints tape_points(const Sites& sites, const Body& body, double length_mm) {
  const double scale = length_mm / 240;
  TapePoints out;
  const auto beside = [&](int joint, double ahead_mm, double side) {
    Plane plane;
    plane.origin = body.joints.col(joint) + Vec3(scale * ahead_mm, 0, 0);
    return farthest(cut(sites, sites.ball_faces, body, plane), side * Vec3::UnitY(), scale,
                    [&](const Vec3& p) { return p.z() < 30 * scale; });
  };
  out.ball_medial = beside(sites.mtp[0], ball_medial_ahead_mm, 1);
  out.ball_lateral = beside(sites.mtp[4], ball_lateral_ahead_mm, -1);
  Plane sagittal;
  sagittal.normal = Vec3::UnitY();
  const auto anywhere = [](const Vec3&) { return true; };
  // The tape holds to the heel where its profile has turned half-way under, and slips to the deepest place in front.
  out.heel_low = farthest(cut(sites, sites.heel_profile_faces, body, sagittal), Vec3(-1, 0, -2), scale, anywhere);
  out.ankle_bend = farthest(cut(sites, sites.bend_profile_faces, body, sagittal), Vec3(-1, 0, -1), scale, anywhere);
  return out;
}

std::array<MeasuredValue, dimension_count> measure(const Sites& sites, const Body& body, double smoothing_mm) {
  std::array<MeasuredValue, dimension_count> out;
  out[foot_length] = vertex_extent(sites.foot_vertices, Vec3::UnitX(), body, smoothing_mm);
  out[foot_breadth] = vertex_extent(sites.forefoot_vertices, Vec3::UnitY(), body, smoothing_mm);
  {
    const Vec3 lateral = -Vec3::UnitY();
    MeasuredValue& ankle = out[bimalleolar_breadth];
    ankle = reach(sites.medial_malleolus_vertices, Vec3::UnitY(), body, smoothing_mm);
    const MeasuredValue other = reach(sites.lateral_malleolus_vertices, lateral, body, smoothing_mm);
    ankle.value += other.value;
    ankle.gradient.insert(ankle.gradient.end(), other.gradient.begin(), other.gradient.end());
  }
  // The heel's rearmost vertex: the fields keep the mean foot's rearmost vertex there, so it seldom changes.
  const int heel = reach(sites.foot_vertices, -Vec3::UnitX(), body, 0).gradient[0].index;
  const double heel_x = body.skin(0, heel), length = out[foot_length].value;

  const TapePoints points_of_tape = tape_points(sites, body, length);
  const double ahead = ball_medial_ahead_mm / 240;
  out[ball_length] = {body.joints(0, sites.mtp[0]) + ahead * length - heel_x,
                      {{Of::joint, sites.mtp[0], Vec3::UnitX()}, {Of::skin, heel, -Vec3::UnitX()}}};
  for (MeasureTerm term : out[foot_length].gradient) {
    term.weight *= ahead;
    out[ball_length].gradient.push_back(term);
  }
  {
    const Plane plane = vertical_across(heel_x + heel_station * length, out[foot_length], heel_station, heel);
    out[heel_breadth] = extent(cut(sites, sites.heel_faces, body, plane), Vec3::UnitY(), plane, body);
  }
  {
    const Plane plane = vertical_across(heel_x + 0.5 * length, out[foot_length], 0.5, heel);
    const auto points = cut(sites, sites.instep_faces, body, plane);
    const auto top = std::max_element(points.begin(), points.end(),
                                      [](const SectionPoint& a, const SectionPoint& b) { return a.p.z() < b.p.z(); });
    out[instep_height].value = unknown;
    if (top != points.end()) {
      out[instep_height].value = top->p.z();
      SectionTerms terms(plane, body);
      terms.add(*top, Vec3::UnitZ());
      out[instep_height].gradient = terms.take();
    }
  }
  {
    const Plane plane = through(points_of_tape.ball_medial, points_of_tape.ball_lateral, Vec3::UnitZ(), body);
    out[ball_girth] = tape(sites, sites.ball_faces, body, plane, Vec3::UnitZ());
  }
  {
    // The tape lies square to the sagittal plane through the lower edge of the heel and the bend of the ankle.
    const Plane plane = through(points_of_tape.heel_low, points_of_tape.ankle_bend, -Vec3::UnitY(), body);
    out[heel_ankle_girth] = tape(sites, sites.heel_ankle_faces, body, plane, Vec3::UnitY());
  }
  {
    // Level tape at a height that goes with the foot's length.
    const double level = sites.ankle_level_mm / 240.0;
    Plane plane;
    plane.origin = Vec3(0, 0, level * length);
    plane.normal = Vec3::UnitZ();
    for (const MeasureTerm& term : out[foot_length].gradient)
      plane.offset.push_back({term.of, term.index, level * term.weight.x() * Vec3::UnitX()});
    out[ankle_girth] = tape(sites, sites.ankle_faces, body, plane, Vec3::UnitX());
  }
  out[lateral_malleolus_height] = {body.landmarks(2, sites.lateral_malleolus),
                                   {{Of::landmark, sites.lateral_malleolus, Vec3::UnitZ()}}};
  out[arch_height] = {body.landmarks(2, sites.navicular), {{Of::landmark, sites.navicular, Vec3::UnitZ()}}};
  out[hallux_angle] = hallux_lean(sites, body);

  for (int toe = 0; toe < toe_count; ++toe) {
    const Vec3 root = body.joints.col(sites.mtp[toe]);
    int tip = sites.toe_tip[toe];
    const auto arm = [&](int v) { return Vec3(body.skin(0, v) - root.x(), body.skin(1, v) - root.y(), 0); };
    for (const int v : sites.toe_vertices[toe])
      if (arm(v).squaredNorm() > arm(tip).squaredNorm()) tip = v;
    const double length_in_plan = arm(tip).norm();
    const Vec3 along = arm(tip) / length_in_plan;
    out[toe_length + toe] = {length_in_plan, {{Of::skin, tip, along}, {Of::joint, sites.mtp[toe], -along}}};
    // How the two directions turn with the toe is left out of the derivative: what lies outermost lies nearly along
    // them.
    const Plane plane = across_line(sites.knuckle[toe], sites.tip[toe], toe_pad_station, body);
    const auto points = cut(sites, sites.toe_faces[toe], body, plane);
    const Vec3 across = Vec3::UnitZ().cross(plane.normal).normalized();
    out[toe_breadth + toe] = extent(points, across, plane, body);
    out[toe_height + toe] = extent(points, plane.normal.cross(across).normalized(), plane, body);
  }
  return out;
}

std::array<double, 2> plan_box(const Eigen::Matrix3Xd& skin, double below_mm) {
  std::vector<Vec2> points;
  for (Eigen::Index v = 0; v < skin.cols(); ++v)
    if (skin(2, v) < below_mm) points.emplace_back(skin(0, v), skin(1, v));
  const auto hull = geometry::convex_hull(points);
  std::array<double, 2> best{0, std::numeric_limits<double>::max()};
  // The narrowest rectangle has a side along a side of the hull (Freeman and Shapira 1975).
  for (std::size_t i = 0; i < hull.size(); ++i) {
    const Vec2 along = (hull[(i + 1) % hull.size()] - hull[i]).normalized(), across(-along.y(), along.x());
    double low = 0, high = 0, near = 0, far = 0;
    for (std::size_t j = 0; j < hull.size(); ++j) {
      const double u = along.dot(hull[j] - hull[i]), v = across.dot(hull[j] - hull[i]);
      low = std::min(low, u), high = std::max(high, u), near = std::min(near, v), far = std::max(far, v);
    }
    if (far - near < best[1]) best = {high - low, far - near};
  }
  return best;
}

}  // namespace aplomb::foot
