// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict.h"

#include <fmt/format.h>

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <limits>
#include <map>

namespace aplomb::scan {

namespace {

/// A foot that the template has followed leaves no more than these [C]: feet drawn, real and modelled by an artist on
/// the one side, things that are no feet on the other (tests/scan/test_no_foot.cpp).
constexpr double most_mean_mm = 2.4, most_far_share = 0.25, least_seen_share = 0.35;
/// Where the shape follows what is shown to within the points' own noise, less of a foot will do [C].
constexpr double least_followed_share = 0.2, followed_misfit_mm = 0.3, followed_mean_noises = 1.2;
/// A part alone is told for a foot's only when it follows one closely; noise is no matter [C].
constexpr double well_seen_share = 0.5, most_misfit_mm = 0.9;
/// Half the sum of squares of 26 dimensions against what is usual: a foot in ten thousand has 32; a foot whose skin the
/// fields can only nearly follow strains some of them more [C].
constexpr double most_prior_cost = 160;

Closeness closeness_of(std::vector<double> gaps, std::size_t far) {
  Closeness out;
  out.count = gaps.size() + far;
  out.far_share = out.count > 0 ? static_cast<double>(far) / static_cast<double>(out.count) : 1;
  if (gaps.empty()) return out;
  for (const double gap : gaps) out.mean += gap, out.rms += gap * gap;
  out.mean /= static_cast<double>(gaps.size());
  out.rms = std::sqrt(out.rms / static_cast<double>(gaps.size()));
  const auto at = gaps.begin() + static_cast<std::ptrdiff_t>(gaps.size() * 95 / 100);
  std::nth_element(gaps.begin(), at, gaps.end());
  out.p95 = *at;
  return out;
}

/// Of so many points of a foot one lies past its edge by chance [guess]; sparse points reach it only just.
constexpr std::size_t points_past_edge = 30000;
/// Radius of a foot's ends, mm, in the mean of both ways [guess]: tip of a toe; heel and sides of the forefoot.
constexpr double toe_radius_mm = 8, side_radius_mm = 25;
/// Noise of a net hangs together from point to point: an edge is known to this share of it [C], known feet of noisy
/// nets.
constexpr double noise_doubt = 0.6;

/// Standard normal loss: the mean of what a standard normal number is above x.
double normal_loss(double x) {
  return std::exp(-x * x / 2) / std::sqrt(2 * geometry::pi) - x * std::erfc(x / std::sqrt(2.0)) / 2;
}

/// How far past a round edge the point lies beyond which `expected` points are expected, where `per_mm` points lie to
/// every mm of depth under the edge and err by `noise_mm`: < 0 where sparse points do not reach it.
double past_edge_mm(double per_mm, double noise_mm, double expected) {
  const double noise = std::max(noise_mm, 1e-3);
  // per_mm * noise * normal_loss(past / noise) = expected; the loss falls all the way.
  double low = -expected / per_mm - 6 * noise, high = 6 * noise;
  for (int step = 0; step < 50; ++step) {
    const double middle = (low + high) / 2;
    (per_mm * noise * normal_loss(middle / noise) > expected ? low : high) = middle;
  }
  return (low + high) / 2;
}

double area_below(const MovingSurface& surface, double z_mm) {
  double area = 0;
  for (const auto& [a, b, c] : surface.faces()) {
    const Vec3 p = surface.vertices().col(a), q = surface.vertices().col(b), r = surface.vertices().col(c);
    if (p.z() < z_mm) area += (q - p).cross(r - p).norm() / 2;
  }
  return area;
}

}  // namespace

Closeness scan_to_skin(const MovingSurface& surface, const Cloud& cloud, const Alignment& at) {
  std::vector<double> gaps;
  std::size_t far = 0;
  for (const Match& match : matches_of(surface, cloud, at.T_foot_scan, far_from_skin_mm, 0.2)) {
    if (match.hit.face < 0) {
      // Nothing in reach: past the rim of the leg it is no fault.
      const Hit any = surface.nearest(at.T_foot_scan * cloud.points[match.point],
                                      at.T_foot_scan.linear() * cloud.normals[match.point], false, 60, -2);
      if (any.face < 0 || !surface.at_rim(any)) ++far;
      continue;
    }
    if (surface.at_rim(match.hit)) continue;
    gaps.push_back((at.T_foot_scan * cloud.points[match.point] - match.hit.point).norm());
  }
  return closeness_of(std::move(gaps), far);
}

BackWay skin_to_scan(const MovingSurface& surface, const Cloud& cloud, const Alignment& at) {
  BackWay out;
  std::vector<Vec3> points_F;
  std::vector<double> heights;
  for (const Vec3& p : cloud.points) {
    points_F.push_back(at.T_foot_scan * p);
    heights.push_back(points_F.back().z());
  }
  const auto high = heights.begin() + static_cast<std::ptrdiff_t>(heights.size() * 98 / 100);
  std::nth_element(heights.begin(), high, heights.end());
  out.cut_height_mm = *high;
  const geometry::NearestPoints tree(points_F);
  const double reach = std::clamp(3.5 * typical_spacing(points_F, tree), 2.5, 8.0);
  const auto& x = surface.vertices();
  out.seen.assign(static_cast<std::size_t>(x.cols()), false);
  out.gap_mm.assign(static_cast<std::size_t>(x.cols()), std::numeric_limits<double>::quiet_NaN());
  std::vector<double> gaps;
  std::size_t asked = 0, seen = 0;
  std::vector<geometry::Neighbour> near;
  for (Eigen::Index v = 0; v < x.cols(); ++v) {
    if (x(2, v) > out.cut_height_mm) continue;
    ++asked;
    const Vec3 p = x.col(v), n = surface.normals().col(v);
    tree.nearest(p, 4, near);
    // The scan's surface near the vertex, as planes through its points.
    double sum = 0, weight = 0, least = std::numeric_limits<double>::max();
    for (const auto& neighbour : near) {
      const Vec3 normal = at.T_foot_scan.linear() * cloud.normals[neighbour.index];
      const double cosine = normal.dot(n);
      if ((cloud.oriented ? cosine : std::abs(cosine)) < 0.3) continue;
      const Vec3 d = points_F[neighbour.index] - p;
      const double along = normal.dot(d) / cosine, across = (d - along * n).norm();
      if (across > reach || std::abs(along) > far_from_skin_mm + reach) continue;
      const double w = 1 / (0.5 + across);
      sum += w * along;
      weight += w;
      least = std::min(least, d.norm());
    }
    if (weight <= 0) continue;
    ++seen;
    out.seen[v] = true;
    out.gap_mm[v] = sum / weight;
    gaps.push_back(std::abs(out.gap_mm[v]));
  }
  out.seen_share = asked > 0 ? static_cast<double>(seen) / static_cast<double>(asked) : 0;
  out.closeness = closeness_of(std::move(gaps), 0);
  return out;
}

double point_noise(const std::vector<Vec3>& points, const geometry::NearestPoints& tree) {
  constexpr int neighbours = 18, unknowns = 6;
  std::vector<double> off;
  std::vector<geometry::Neighbour> near;
  for (std::size_t i = 0; i < points.size(); i += std::max<std::size_t>(1, points.size() / 400)) {
    tree.nearest(points[i], neighbours, near);
    if (near.size() < neighbours) continue;
    Vec3 middle = Vec3::Zero();
    for (const auto& n : near) middle += points[n.index] / neighbours;
    geometry::Mat3 scatter = geometry::Mat3::Zero();
    for (const auto& n : near) scatter += (points[n.index] - middle) * (points[n.index] - middle).transpose();
    const Eigen::SelfAdjointEigenSolver<geometry::Mat3> axes(scatter);
    const double size = std::sqrt(axes.eigenvalues()[2] / neighbours);
    if (!(size > 0)) continue;
    // Height over the plane as a quadric: curvature is no noise.
    Eigen::Matrix<double, neighbours, unknowns> quadric;
    Eigen::Matrix<double, neighbours, 1> height;
    for (int k = 0; k < neighbours; ++k) {
      const Vec3 p = axes.eigenvectors().transpose() * (points[near[k].index] - middle) / size;
      height[k] = p[0];
      quadric.row(k) << 1, p[1], p[2], p[1] * p[1], p[1] * p[2], p[2] * p[2];
    }
    const Eigen::Matrix<double, unknowns, 1> fit = quadric.colPivHouseholderQr().solve(height);
    off.push_back(size * std::sqrt((height - quadric * fit).squaredNorm() / (neighbours - unknowns)));
  }
  if (off.empty()) return 0;
  // Where points are sparse the quadric spans a toe, and form looks like noise: the flatter places tell. A quarter of
  // estimates with 12 degrees of freedom lie below this share of what they estimate.
  constexpr double of_noise = 0.839;
  const auto middle = off.begin() + static_cast<std::ptrdiff_t>(off.size() / 4);
  std::nth_element(off.begin(), middle, off.end());
  return *middle / of_noise;
}

GapSpread spread_of(const std::vector<Match>& matches, const Cloud& cloud) {
  // Patches as wide as what the shape cannot follow is long: an ankle bone, a pad, the arch.
  constexpr double patch_mm = 15, farthest_mm = 6;
  std::map<std::array<int, 3>, std::vector<double>> patches;
  for (const Match& match : matches) {
    if (std::abs(match.gap_mm) > farthest_mm) continue;
    std::array<int, 3> at;
    for (int k = 0; k < 3; ++k) at[k] = static_cast<int>(std::floor(cloud.points[match.point][k] / patch_mm));
    patches[at].push_back(match.gap_mm);
  }
  GapSpread out;
  std::vector<double> within;
  double between = 0, expected = 0;
  std::size_t counted = 0, points = 0;
  for (auto& [at, gaps] : patches) {
    if (gaps.size() < 4) continue;
    double mean = 0;
    for (const double gap : gaps) mean += gap;
    mean /= static_cast<double>(gaps.size());
    double squares = 0;
    for (const double gap : gaps) {
      squares += (gap - mean) * (gap - mean);
      within.push_back(std::abs(gap - mean));
    }
    between += mean * mean;
    expected += squares / static_cast<double>(gaps.size() - 1) / static_cast<double>(gaps.size());
    ++counted;
    points += gaps.size();
  }
  if (counted == 0) return out;
  std::nth_element(within.begin(), within.begin() + static_cast<std::ptrdiff_t>(within.size() / 2), within.end());
  out.noise_mm = 1.4826 * within[within.size() / 2];
  // Noise alone leaves the difference about zero, by this much either way.
  const double chance = 2 * expected * std::sqrt(2.0 / static_cast<double>(counted));
  const double beyond = (between - expected - chance) / static_cast<double>(counted);
  out.misfit_mm = std::sqrt(std::max(0.0, beyond));
  out.points_per_patch = static_cast<double>(points) / static_cast<double>(counted);
  return out;
}

ShownSizes shown_sizes(const foot::ShapeModel& model, const MovingSurface& surface, const Cloud& all,
                       const geometry::Isometry& T_foot_scan) {
  constexpr double below_mm = 60, from_skin_mm = 12;
  constexpr double sd_mm = 0.3;  // the turn of the foot's axis, and where a fit puts it [guess]
  std::vector<Vec3> points;
  for (std::size_t i = 0; i < all.points.size(); ++i) {
    const Vec3 x = T_foot_scan * all.points[i];
    if (x.z() > below_mm) continue;
    // Points alone have no direction to ask for.
    const bool bare = all.normals.empty();
    const Vec3 n = bare ? Vec3::Zero() : Vec3(T_foot_scan.linear() * all.normals[i]);
    if (surface.nearest(x, n, all.oriented && !bare, from_skin_mm, bare ? -2 : 0).face >= 0) points.push_back(x);
  }
  ShownSizes out;
  KnownSizes& known = out.sizes;
  if (points.size() < 300) return out;
  const geometry::NearestPoints tree(points);
  const double reach_mm = std::max(3.0, 3 * typical_spacing(points, tree));
  // Both ends must be seen: the skin's own outermost points have scan straight over or under them, or right beside.
  const auto shown = [&](int vertex) {
    const Vec3 p = surface.vertices().col(vertex), n = surface.normals().col(vertex);
    const auto near = tree.nearest(p);
    const Vec3 d = points[near.index] - p;
    return d.norm() < reach_mm || (d.norm() < from_skin_mm && std::abs(d.dot(n)) > 0.75 * d.norm());
  };
  const double noise_mm = point_noise(points, tree);
  const double per_mm2 = static_cast<double>(points.size()) / area_below(surface, below_mm);
  struct Reach {
    double mm = 0, variance = 0;
  };
  // Many points pass the edge by noise, sparse ones do not reach it: both are told by how many there are.
  const auto edge = [&](const Vec3& direction, double x_from, double x_to) {
    std::vector<double> reach;
    for (const Vec3& p : points)
      if (p.x() >= x_from && p.x() <= x_to) reach.push_back(direction.dot(p));
    const std::size_t k = std::min<std::size_t>(reach.size() - 1, points.size() / points_past_edge);
    std::nth_element(reach.begin(), reach.begin() + static_cast<std::ptrdiff_t>(k), reach.end(), std::greater<>());
    const double per_mm = per_mm2 * 2 * geometry::pi * (direction.x() > 0.5 ? toe_radius_mm : side_radius_mm);
    const double expected = static_cast<double>(k) + 0.7, spread = std::sqrt(static_cast<double>(k) + 1);
    const double past = past_edge_mm(per_mm, noise_mm, expected);
    // What one SD more or fewer points make of it.
    const double sd = past - past_edge_mm(per_mm, noise_mm, expected + spread), of_noise = noise_doubt * noise_mm;
    return Reach{reach[k] - past, sd * sd + of_noise * of_noise};
  };
  std::vector<std::pair<int, double>> found;
  std::vector<double> sds;
  const auto add = [&](int number, const std::vector<int>& vertices, const Vec3& direction) {
    const auto outermost = [&](double sign) {
      return *std::max_element(vertices.begin(), vertices.end(), [&](int a, int b) {
        return sign * direction.dot(surface.vertices().col(a)) < sign * direction.dot(surface.vertices().col(b));
      });
    };
    if (!shown(outermost(1)) || !shown(outermost(-1))) return;
    double x_from = 1e9, x_to = -1e9;
    for (const int v : vertices) {
      x_from = std::min(x_from, surface.vertices()(0, v));
      x_to = std::max(x_to, surface.vertices()(0, v));
    }
    if (number == foot::foot_length) x_from -= from_skin_mm, x_to += from_skin_mm;
    const Reach far = edge(direction, x_from, x_to), near = edge(-direction, x_from, x_to);
    found.emplace_back(number, far.mm + near.mm);
    sds.push_back(std::sqrt(sd_mm * sd_mm + far.variance + near.variance));
    out.edges.push_back({direction, far.mm, vertices});
    out.edges.push_back({-direction, near.mm, vertices});
  };
  add(foot::foot_length, model.sites->foot_vertices, Vec3::UnitX());
  add(foot::foot_breadth, model.sites->forefoot_vertices, Vec3::UnitY());
  known.value.resize(static_cast<Eigen::Index>(found.size()));
  for (const auto& [number, value] : found) {
    known.value[static_cast<Eigen::Index>(known.number.size())] = value;
    known.number.push_back(number);
  }
  known.sd = Eigen::Map<const Eigen::VectorXd>(sds.data(), static_cast<Eigen::Index>(sds.size()));
  return out;
}

bool shows_sole(const MovingSurface& surface, const BackWay& back) {
  int sole = 0, seen = 0;
  for (Eigen::Index v = 0; v < surface.vertices().cols(); ++v) {
    if (surface.normals()(2, v) > -0.7 || surface.vertices()(2, v) > 8) continue;
    ++sole;
    seen += back.seen[v] ? 1 : 0;
  }
  return seen > 0.3 * sole;
}

bool shows_gaps_between_toes(const foot::ShapeModel& model, const BackWay& back) {
  // Skin of one toe that stands opposite another toe's, nearer than a gap is wide.
  constexpr double gap_mm = 3;
  const auto& skin = model.mean.skin;
  int walls = 0, seen = 0;
  for (int toe = 0; toe + 1 < foot::toe_count; ++toe) {
    std::vector<Vec3> other;
    for (const int v : model.sites->toe_vertices[toe + 1]) other.push_back(skin.vertices_F[v]);
    const geometry::NearestPoints tree(other);
    for (const int v : model.sites->toe_vertices[toe]) {
      if (tree.nearest(skin.vertices_F[v], gap_mm * gap_mm).index < 0) continue;
      ++walls;
      seen += back.seen[v] ? 1 : 0;
    }
  }
  return seen > 0.25 * walls;
}

std::optional<std::string> no_foot(const Closeness& forth, const BackWay& back, const AlignEvidence& evidence,
                                   const GapSpread& spread, double length_mm) {
  if (forth.far_share > most_far_share)
    return fmt::format("{:.0f} % of it lies farther than {:.0f} mm from the nearest foot", 100 * forth.far_share,
                       far_from_skin_mm);
  const double noise = evidence.spread_mm;
  if (forth.mean > std::max(most_mean_mm, noise))
    return fmt::format("it lies {:.1f} mm off the nearest foot, in the mean", forth.mean);
  // Points too few for patches have no misfit to show.
  const bool followed = spread.points_per_patch > 0 && spread.misfit_mm < followed_misfit_mm &&
                        forth.mean < followed_mean_noises * std::max(0.1, noise);
  if (back.seen_share < (followed ? least_followed_share : least_seen_share))
    return fmt::format("it shows {:.0f} % of a foot", 100 * back.seen_share);
  if (back.seen_share < well_seen_share && spread.misfit_mm > most_misfit_mm)
    return fmt::format("it shows {:.0f} % of a foot, and that only roughly ({:.1f} mm)", 100 * back.seen_share,
                       spread.misfit_mm);
  if (evidence.prior_cost > most_prior_cost)
    return fmt::format("the nearest foot, {:.0f} mm long, has proportions that no foot has", length_mm);
  return std::nullopt;
}

}  // namespace aplomb::scan
