// Closest points on platform and wall: Newton on the patch from guesses tabled on a coarse grid.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/shoe/box_surface.h"

#include <cmath>

#include "cut_line.h"
#include "seed_grid.h"
#include "wall_patch.h"

namespace aplomb::shoe {

using geometry::SurfaceSample;

const char* const zone_names[static_cast<int>(Zone::count)] = {"platform",  "wall_medial", "wall_lateral",
                                                               "wall_sole", "vamp",        "wall_dorsal"};

namespace {

constexpr double reach_past_cut_mm = 40;

/// How far x may have gone from where a place was found that is started from.
constexpr double near_mm = 2;

double turns_apart(double a, double b) {
  const double apart = std::fmod(std::abs(a - b), patch_period);
  return std::min(apart, patch_period - apart);
}

Vec3 inward_normal(const WallPatch::Jet2& j) { return j.v.cross(j.u).normalized(); }

Zone zone_of(const Vec3& normal, double z, double cap_z) {
  if (normal.z() > std::numbers::sqrt2 / 2) return Zone::platform;
  if (std::abs(normal.y()) > std::abs(normal.x())) return normal.y() < 0 ? Zone::wall_medial : Zone::wall_lateral;
  if (normal.x() > 0) return Zone::wall_sole;
  return z > cap_z ? Zone::vamp : Zone::wall_dorsal;
}

// From first and second fundamental forms: d place / d x = (G - gap L)^-1 J^T, d normal / d x = -J G^-1 L d place / d
// x.
void bend_at(const WallPatch::Jet2& j, SurfaceSample& s) {
  Eigen::Matrix2d G, L;
  G << j.u.squaredNorm(), j.u.dot(j.v), j.u.dot(j.v), j.v.squaredNorm();
  L << j.uu.dot(s.normal), j.uv.dot(s.normal), j.uv.dot(s.normal), j.vv.dot(s.normal);
  Eigen::Matrix<double, 3, 2> J;
  J << j.u, j.v;
  s.place_gradient = (G - s.gap_mm * L).inverse() * J.transpose();
  const Eigen::Matrix2d along = -(G.inverse() * L);
  const Mat3 k = J * (along * s.place_gradient);
  s.curvature = 0.5 * (k + k.transpose());
}

}  // namespace

struct BoxSurface::Shape {
  WallPatch patch;
  CutLine cut;
  SeedGrid seeds;
  FlatCore core;
  double cap_z = 0;
  double unique_mm = 0;  // clear points closer than this have one closest point

  SurfaceSample platform(const Vec3& x) const {
    SurfaceSample s;
    s.gap_mm = x.z() - patch.base_z();
    s.zone = static_cast<int>(Zone::platform);
    return s;
  }

  /// Near the wall, where the closest point is unique, the last one leads there sooner than the table, unless x has
  /// gone far since.
  std::optional<SeedGrid::Start> start_from(const SurfaceSample& last, const Vec3& x) const {
    const Vec3 way = x - last.at;
    const double way_mm = way.norm();
    if (!(way_mm < near_mm) || last.gap_mm + way_mm > unique_mm / 2) return std::nullopt;
    const Vec2 place = last.place + last.place_gradient * way;
    return SeedGrid::Start{place.x(), std::clamp(place.y(), 0.0, patch.profile().end_v()), 0, last.gap_mm - way_mm};
  }

  // Distance part of a sample.
  SurfaceSample nearest(const Vec3& x, const SeedGrid::Start& seed) const {
    const double over_platform = x.z() - patch.base_z();
    // Over the flat's core the platform is nearest if the patch cannot be nearer than it.
    const double to_edge = core.to_edge_mm(x.head<2>());
    if (to_edge >= 0 && over_platform < std::max(seed.patch_distance, to_edge)) return platform(x);
    WallPatch::Foot foot = patch.project(x, seed.u, seed.v);
    SurfaceSample s;
    s.normal = inward_normal(foot.jet);
    s.gap_mm = (x - foot.jet.p).dot(s.normal);
    if (s.gap_mm > unique_mm && over_platform > unique_mm) {
      // Deep inside several parts of the wall may be about equally near: try those that the nodes round x see.
      for (const SeedGrid::Seed* other : seeds.around(x)) {
        if (turns_apart(other->u, foot.u) < 1 && std::abs(other->v - foot.v) < 0.5) continue;
        const WallPatch::Foot rival = patch.project(x, other->u, other->v);
        if ((rival.jet.p - x).squaredNorm() < (foot.jet.p - x).squaredNorm()) foot = rival;
      }
      s.normal = inward_normal(foot.jet);
      s.gap_mm = (x - foot.jet.p).dot(s.normal);
    }
    if (foot.on_flat) return platform(x);
    // The inside is convex: whichever of the platform's plane and the patch is nearer is met first.
    if (s.gap_mm > over_platform && over_platform >= 0) return platform(x);
    bend_at(foot.jet, s);
    s.zone = static_cast<int>(zone_of(s.normal, foot.jet.p.z(), cap_z));
    s.at = x;
    s.place = {foot.u, foot.v};
    s.near = true;
    return s;
  }
};

BoxSurface::BoxSurface(std::shared_ptr<const Shape> shape) : shape_(std::move(shape)) {}

io::Result<BoxSurface> BoxSurface::make(const ShoeParameters& p) {
  auto shape = std::make_shared<Shape>();
  shape->cut = CutLine(p);
  auto patch = WallPatch::make(p, shape->cut.highest_z() + fade_mm + reach_past_cut_mm);
  if (!patch)
    return io::fail(
        {.field = "squareness",
         .message = "no smooth section has this squareness and sole flatness with these breadths and heights",
         .remedy = "lower squareness or sole_flatness, or check the platform and crown"});
  shape->patch = std::move(*patch);
  shape->cap_z = p.platform_thickness_mm + p.cap_length_mm;
  shape->unique_mm = 0.9 * p.edge_radius_mm;
  shape->core = FlatCore(shape->patch);
  shape->seeds = SeedGrid(shape->patch, shape->cut.highest_z() + fade_mm);
  return BoxSurface(std::move(shape));
}

bool BoxSurface::sample(const Vec3& x, double band_mm, SurfaceSample& out) const {
  const Shape& shape = *shape_;
  constexpr double far_mm = 1e5;
  const auto start = out.near ? shape.start_from(out, x) : std::nullopt;
  out.gap_mm = geometry::unknown_gap_mm;
  const double above = x.z() - (shape.cut.highest_z() + fade_mm);
  if (above >= 0) {
    out.gap_mm = above;
    return false;
  }
  if (std::isnan(above) || !(x.squaredNorm() < far_mm * far_mm)) return false;  // also NaN
  const SeedGrid::Start seed = start ? *start : shape.seeds.near(x);
  const double at_least = start || seed.gap > band_mm ? seed.gap : shape.seeds.gap_at_least(x);
  if (at_least > band_mm) {
    out.gap_mm = at_least;
    return false;
  }
  const CutLine::Cover cover = shape.cut.cover(x, fade_mm);
  if (cover.value <= 0) return false;
  out = shape.nearest(x, seed);
  if (out.gap_mm > band_mm) return false;
  out.cover = cover.value;
  out.cover_gradient = cover.gradient;
  out.cover_hessian = cover.hessian;
  return true;
}

double BoxSurface::gap_at_least(const Vec3& x) const {
  if (!(x.z() < shape_->cut.highest_z() + fade_mm)) return geometry::unknown_gap_mm;
  return shape_->seeds.gap_at_least(x);
}

SurfaceSample BoxSurface::nearest(const Vec3& x) const { return shape_->nearest(x, shape_->seeds.near(x)); }

double BoxSurface::cut_z(const Vec2& xy) const { return shape_->cut.z(xy); }
double BoxSurface::highest_cut_z() const { return shape_->cut.highest_z(); }
double BoxSurface::cap_z() const { return shape_->cap_z; }

BoxSurface::WallPoint BoxSurface::wall_point(double turn, double v) const {
  const WallPatch::Jet2 jet = shape_->patch.at(turn * patch_period, v);
  return {jet.p, inward_normal(jet)};
}

std::vector<BoxSurface::RingPoint> BoxSurface::ring(double z, int count) const {
  std::vector<RingPoint> points;
  const double v = v_of_z(z);
  constexpr double per_turn = patch_period;
  for (int i = 0; i < count; ++i) {
    const WallPatch::Jet2 jet = shape_->patch.at(per_turn * i / count, v);
    points.push_back({jet.p, per_turn * jet.u, per_turn * per_turn * jet.uu});
  }
  return points;
}

double BoxSurface::axis_x(double z) const { return shape_->patch.lean() * (z - platform_z()); }

double BoxSurface::cut_v(double turn) const {
  // The wall leans little and the line is tame, so z(v) - cut is rising in v: bisection cannot go astray.
  const auto above = [&](double v) {
    const Vec3 p = shape_->patch.position(turn * patch_period, v);
    return p.z() - cut_z(p.head<2>());
  };
  double low = 1, high = v_of_z(highest_cut_z() + 1);
  for (int i = 0; i < 60; ++i) (above(0.5 * (low + high)) < 0 ? low : high) = 0.5 * (low + high);
  return 0.5 * (low + high);
}

double BoxSurface::v_of_z(double z) const { return shape_->patch.profile().v_of_z(z); }
double BoxSurface::rounding_end_z() const { return platform_z() + shape_->patch.profile().extent_mm(); }
double BoxSurface::platform_z() const { return shape_->patch.base_z(); }

}  // namespace aplomb::shoe
