// Gauss-Newton on point-to-plane distances: pose (turn, shift), shape, leg; correspondences anew at every step.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "align.h"

#include <algorithm>
#include <cmath>

#include "aplomb/foot/build.h"
#include "aplomb/foot/loading.h"
#include "in_parts.h"

namespace aplomb::scan {

namespace {

using foot::Numbers;

/// Length is nearly ball length plus toe, so the dimensions alone leave the scale free; the same hand on it as when a
/// card is fitted (foot/shape_search.cpp).
constexpr double scale_sd = 0.01, ridge_sds = 5;
/// The leg of a scan leans so much, rad [guess]: people stand upright, but seldom quite.
constexpr double leg_sd = 0.12;
/// Feet are so long, mm: only so that a scan that shows neither heel nor toes has an answer [guess].
constexpr double usual_length = 245, length_sd = 40;
/// A ground outweighs all points together: it is seen over the whole foot, and standing skin is made to lie on it.
constexpr double ground_share = 100;
constexpr double most_turn = 0.3, most_step_sds = 4;

double robust(double gap, double reach) {
  const double q = gap / reach;
  return 1 / ((1 + q * q) * (1 + q * q));
}

/// Every how many-th vertex asks for the scan.
constexpr int back_stride = 5;
/// A vertex of the skin that stands off the scan where the scan goes on has its nearest scan point straight below it;
/// where the scan has a hole or an end, that point lies at the rim, aside.
constexpr double straight_below = 0.75, near_enough_mm = 1.5;

}  // namespace

SizeTerms size_terms(const foot::ShapeModel& model, const foot::Prior& prior, foot::Load load, const MovingSurface& at,
                     const foot::Shape& shape, const KnownSizes& known) {
  SizeTerms terms;
  terms.sizes = foot::sizes_of(model, at.body(), shape, true);
  terms.sound = terms.sizes.value.allFinite() && terms.sizes.value[foot::foot_length] > 60 &&
                terms.sizes.value[foot::foot_length] < 600;
  if (!terms.sound) return terms;
  Numbers scanned;
  for (int i = 0; i < foot::dimension_count; ++i) scanned[i] = terms.sizes.value[i];
  if (load == foot::Load::none) {
    const auto floor = foot::unloaded_floor_z(model, terms.sizes.value[foot::foot_length]);
    for (int i = 0; i < foot::dimension_count; ++i) *scanned[i] -= floor[i];
  }
  const Numbers standing = foot::to_standing(scanned, load);
  const double length = *standing[foot::foot_length];
  const auto usual_at = [&](double mm) { return foot::given_length(prior, std::clamp(mm, 100.0, 400.0)); };
  const foot::Conditional usual = foot::without_reading_doubt(usual_at(length));
  const Eigen::VectorXd growth = (usual_at(length + 1).mean - usual_at(length - 1).mean) / 2;
  const auto p = usual.mean.size();
  const auto k = static_cast<Eigen::Index>(known.number.size());
  const Eigen::Index n = p + foot::shape_count + 1 + k;
  terms.usual_count = static_cast<int>(p);
  terms.r.resize(n);
  terms.J.setZero(n, int{foot::shape_count});
  Eigen::VectorXd off(p);
  Eigen::MatrixXd slope(p, int{foot::shape_count});
  for (Eigen::Index i = 0; i < p; ++i) {
    off[i] = *standing[usual.index[i]] - usual.mean[i];
    slope.row(i) = terms.sizes.slope.row(usual.index[i]) - growth[i] * terms.sizes.slope.row(foot::foot_length);
  }
  const auto lower = usual.covariance.llt();
  terms.r.head(p) = lower.matrixL().solve(off);
  terms.J.topRows(p) = lower.matrixL().solve(slope);
  // The parameters' own, as wide as not to matter.
  const double scanned_length = terms.sizes.value[foot::foot_length];
  terms.r[p] = (shape[0] - std::log(scanned_length / model.mean.length_mm)) / scale_sd;
  terms.J(p, 0) = 1 / scale_sd;
  terms.J.row(p) -= terms.sizes.slope.row(foot::foot_length) / scanned_length / scale_sd;
  for (Eigen::Index i = 0; i < p; ++i) {
    const double sd = ridge_sds * std::sqrt(usual.covariance(i, i));
    const int number = usual.index[i];
    terms.r[p + number] = shape[number] / sd;
    terms.J(p + number, number) = 1 / sd;
  }
  terms.r[p + foot::shape_count] = (length - usual_length) / length_sd;
  terms.J.row(p + foot::shape_count) = terms.sizes.slope.row(foot::foot_length) / length_sd;
  for (Eigen::Index i = 0; i < k; ++i) {
    terms.r[n - k + i] = (terms.sizes.value[known.number[i]] - known.value[i]) / known.sd[i];
    terms.J.row(n - k + i) = terms.sizes.slope.row(known.number[i]) / known.sd[i];
  }
  return terms;
}

std::vector<Match> matches_of(const MovingSurface& surface, const Cloud& cloud, const geometry::Isometry& T_foot_scan,
                              double reach_mm, double least_cosine, int threads) {
  std::vector<Match> matches(cloud.points.size());
  in_parts(cloud.points.size(), threads, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) {
      const Vec3 x = T_foot_scan * cloud.points[i];
      matches[i].point = static_cast<int>(i);
      matches[i].hit =
          surface.nearest(x, T_foot_scan.linear() * cloud.normals[i], cloud.oriented, reach_mm, least_cosine);
      if (matches[i].hit.face >= 0) matches[i].gap_mm = matches[i].hit.normal.dot(x - matches[i].hit.point);
    }
  });
  return matches;
}

std::vector<BackMatch> back_matches(const MovingSurface& surface, const Cloud& cloud,
                                    const geometry::NearestPoints& tree, const geometry::Isometry& T_foot_scan,
                                    double reach_mm, int stride, int threads) {
  std::vector<BackMatch> out;
  const geometry::Isometry T_scan_foot = T_foot_scan.inverse();
  std::vector<geometry::Neighbour> nearest(static_cast<std::size_t>((surface.vertices().cols() + stride - 1) / stride));
  in_parts(nearest.size(), threads, [&](std::size_t begin, std::size_t end) {
    for (std::size_t i = begin; i < end; ++i) {
      const auto v = static_cast<Eigen::Index>(i) * stride;
      if (surface.is_rim(v)) continue;
      nearest[i] = tree.nearest(T_scan_foot * Vec3(surface.vertices().col(v)), reach_mm * reach_mm);
    }
  });
  for (Eigen::Index v = 0; v < surface.vertices().cols(); v += stride) {
    if (surface.is_rim(v)) continue;
    const Vec3 n = surface.normals().col(v);
    const geometry::Neighbour& near = nearest[static_cast<std::size_t>(v / stride)];
    if (near.index < 0) continue;
    Vec3 normal = T_foot_scan.linear() * cloud.normals[near.index];
    if (!cloud.oriented && normal.dot(n) < 0) normal = -normal;
    if (normal.dot(n) < 0.3) continue;
    const Vec3 d = Vec3(surface.vertices().col(v)) - T_foot_scan * cloud.points[near.index];
    const double gap = normal.dot(d);
    if (d.norm() > near_enough_mm && std::abs(gap) < straight_below * d.norm()) continue;
    out.push_back({v, normal, gap});
  }
  return out;
}

AlignEvidence align(MovingSurface& surface, const foot::ShapeModel& model, const foot::Prior& prior, foot::Load load,
                    const Cloud& cloud, const KnownSizes& known, const std::vector<AlignStage>& stages, Alignment& at,
                    const std::optional<Ground>& ground) {
  AlignEvidence evidence;
  constexpr int count = 6 + look_count;
  using System = Eigen::Matrix<double, count, count>;
  geometry::NearestPoints tree;
  if (std::any_of(stages.begin(), stages.end(), [](const AlignStage& s) { return s.back_share > 0; }))
    tree = geometry::NearestPoints(cloud.points);
  for (const AlignStage& stage : stages) {
    for (int step = 0; step < stage.steps; ++step) {
      const double way = stage.steps > 1 ? step / (stage.steps - 1.0) : 1;
      const double reach = stage.reach_from_mm * std::pow(stage.reach_to_mm / stage.reach_from_mm, way);
      surface.set(at.look);
      const auto matches = matches_of(surface, cloud, at.T_foot_scan, 3 * reach, stage.least_cosine, stage.threads);

      Eigen::Matrix<double, Eigen::Dynamic, count, Eigen::RowMajor> J(matches.size(), count);
      Eigen::VectorXd r(matches.size());
      std::size_t beyond = 0;
      std::vector<double> gaps;
      evidence.matches.clear();
      for (const Match& match : matches) {
        if (match.hit.face < 0) continue;
        if (surface.at_rim(match.hit)) {
          ++beyond;
          continue;
        }
        evidence.matches.push_back(match);
        gaps.push_back(std::abs(match.gap_mm));
      }
      const auto rows = static_cast<Eigen::Index>(evidence.matches.size());
      in_parts(evidence.matches.size(), stage.threads, [&](std::size_t begin, std::size_t end) {
        for (std::size_t i = begin; i < end; ++i) {
          const Match& match = evidence.matches[i];
          const auto row = static_cast<Eigen::Index>(i);
          const double w = std::sqrt(robust(match.gap_mm, reach));
          const Vec3& n = match.hit.normal;
          const Vec3 x = at.T_foot_scan * cloud.points[match.point];
          J.row(row).head<3>() = w * x.cross(n).transpose();
          J.row(row).segment<3>(3) = w * n.transpose();
          J.row(row).tail<look_count>() = -w * surface.slope(match.hit, n);
          r[row] = w * match.gap_mm;
        }
      });
      evidence.matched_share =
          static_cast<double>(rows) / std::max(1.0, static_cast<double>(cloud.points.size() - beyond));
      if (rows < 50) {
        evidence.sound = false;
        return evidence;
      }
      std::nth_element(gaps.begin(), gaps.begin() + static_cast<std::ptrdiff_t>(gaps.size() / 2), gaps.end());
      evidence.spread_mm = 1.4826 * gaps[gaps.size() / 2];

      const double weight =
          stage.effective_points / static_cast<double>(cloud.points.size()) / (stage.noise_mm * stage.noise_mm);
      System A = System::Zero();
      A.selfadjointView<Eigen::Lower>().rankUpdate(J.topRows(rows).transpose(), weight);
      A.triangularView<Eigen::StrictlyUpper>() = A.transpose();
      Eigen::Matrix<double, count, 1> g = weight * J.topRows(rows).transpose() * r.head(rows);
      if (stage.back_share > 0) {
        const auto back = back_matches(surface, cloud, tree, at.T_foot_scan, 3 * reach, back_stride, stage.threads);
        const double share =
            back.empty() ? 0 : weight * stage.back_share * static_cast<double>(rows) / static_cast<double>(back.size());
        Eigen::Matrix<double, Eigen::Dynamic, count, Eigen::RowMajor> B(back.size(), count);
        Eigen::VectorXd b(back.size());
        for (std::size_t i = 0; i < back.size(); ++i) {
          const auto row = static_cast<Eigen::Index>(i);
          const double w = std::sqrt(robust(back[i].gap_mm, reach));
          const Vec3& n = back[i].normal_F;
          const Vec3 x = surface.vertices().col(back[i].vertex);
          // The scan moves against the skin: the gap falls as it follows.
          B.row(row).head<3>() = -w * x.cross(n).transpose();
          B.row(row).segment<3>(3) = -w * n.transpose();
          B.row(row).tail<look_count>() = w * surface.slope_at(back[i].vertex, n);
          b[row] = w * back[i].gap_mm;
        }
        A.selfadjointView<Eigen::Lower>().rankUpdate(B.transpose(), share);
        A.triangularView<Eigen::StrictlyUpper>() = A.transpose();
        g += share * B.transpose() * b;
      }
      if (ground) {
        const Vec3 u = ground->up.unitOrthogonal(), v = ground->up.cross(u);
        const double share = ground_share * static_cast<double>(rows) * weight / 4;
        for (const Vec3& arm : {u, v, Vec3(-u), Vec3(-v)}) {
          const Vec3 x = at.T_foot_scan * Vec3(ground->middle + ground->reach_mm * arm);
          Eigen::Matrix<double, 6, 1> row;
          row << x.cross(Vec3::UnitZ()), Vec3::UnitZ();
          A.topLeftCorner<6, 6>() += share * row * row.transpose();
          g.head<6>() += share * x.z() * row;
        }
      }
      const SizeTerms terms = size_terms(model, prior, load, surface, at.look.shape, known);
      evidence.sound = terms.sound;
      if (!terms.sound) return evidence;
      A.block<foot::shape_count, foot::shape_count>(6, 6) += terms.J.transpose() * terms.J;
      g.segment<foot::shape_count>(6) += terms.J.transpose() * terms.r;
      evidence.prior_cost = terms.r.head(terms.usual_count).squaredNorm() / 2;
      for (int i = 0; i < 2; ++i) {
        A(count - 2 + i, count - 2 + i) += 1 / (leg_sd * leg_sd);
        g[count - 2 + i] += at.look.leg[i] / (leg_sd * leg_sd);
      }
      evidence.information = A;
      Eigen::Matrix<double, count, 1> d;
      if (stage.shape) {
        d = A.ldlt().solve(-g);
      } else {
        d.setZero();
        // The size goes with the pose: a start is never of the right one.
        Eigen::Matrix<double, 7, 7> B = A.topLeftCorner<7, 7>();
        d.head<7>() = B.ldlt().solve(-g.head<7>());
        d[6] = std::clamp(d[6], -0.1, 0.1);
      }
      if (!d.allFinite()) {
        evidence.sound = false;
        return evidence;
      }
      // Where the scan shows little the first steps overshoot: no further at once than feet differ.
      const double worst = (terms.J.topRows(terms.usual_count) * d.segment<foot::shape_count>(6)).cwiseAbs().maxCoeff();
      if (worst > most_step_sds) d *= most_step_sds / worst;
      const double turn = d.head<3>().norm();
      if (turn > most_turn) d *= most_turn / turn;
      if (turn > 0)
        at.T_foot_scan =
            geometry::Isometry(Eigen::AngleAxisd(d.head<3>().norm(), d.head<3>().normalized())) * at.T_foot_scan;
      at.T_foot_scan.pretranslate(Vec3(d.segment<3>(3)));
      at.look.shape += d.segment<foot::shape_count>(6);
      at.look.leg += d.tail<2>();
      at.look.leg = at.look.leg.cwiseMax(-0.6).cwiseMin(0.6);
      at.look.shape[0] = std::clamp(at.look.shape[0], -0.9, 0.5);
    }
  }
  surface.set(at.look);
  return evidence;
}

}  // namespace aplomb::scan
