// Pose, shape and stance of the leg together, from a placement that is nearly right: robust point to plane against the
// prior of the card fit.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Dense>
#include <optional>
#include <vector>

#include "aplomb/foot/card.h"
#include "aplomb/foot/prior.h"
#include "aplomb/foot/sizes.h"
#include "aplomb/io/progress.h"
#include "aplomb/scan/cloud.h"
#include "moving_surface.h"

namespace aplomb::scan {

/// Numbers of the foot as scanned that are known from elsewhere (a card), in the order of foot::Number.
struct KnownSizes {
  std::vector<int> number;
  Eigen::VectorXd value, sd;  ///< under the load of the scan
};

/// Where skin ends in a direction, as a scan shows it.
struct Edge {
  Vec3 direction = Vec3::UnitX();  ///< unit, F
  double reach_mm = 0;             ///< direction . (outermost point)
  std::vector<int> vertices;       ///< of the skin that may be the outermost
};

/// The least-squares terms of what is usual of a foot's dimensions, and of known ones: r and d r / d shape.
struct SizeTerms {
  Eigen::VectorXd r;
  Eigen::Matrix<double, Eigen::Dynamic, foot::shape_count> J;
  foot::Sizes sizes;    ///< as scanned
  bool sound = false;   ///< false where the skin is too misshapen to be measured
  int usual_count = 0;  ///< rows that are the prior's; then the parameters' own; then the known sizes
};
SizeTerms size_terms(const foot::ShapeModel& model, const foot::Prior& prior, foot::Load load, const MovingSurface& at,
                     const foot::Shape& shape, const KnownSizes& known);

/// A floor that the foot stands on, in the frame of the scan in mm (mirrored when left).
struct Ground {
  Vec3 up = Vec3::UnitZ(), middle = Vec3::Zero();
  double reach_mm = 80;  ///< so far from the middle the foot stands on it
};

struct Alignment {
  geometry::Isometry T_foot_scan = geometry::Isometry::Identity();  ///< of the scan in mm, mirrored when left
  Look look;
};

/// One scan point on the skin.
struct Match {
  int point = -1;  ///< of the cloud
  Hit hit;
  double gap_mm = 0;  ///< + outside the skin, along hit.normal
};

struct AlignStage {
  int steps = 10;
  double reach_from_mm = 20, reach_to_mm = 5;  ///< beyond this far a point counts little
  double noise_mm = 2;                         ///< SD of one effective point
  double effective_points = 300;               ///< how many independent points the cloud is worth
  bool shape = true;                           ///< false: pose alone
  double least_cosine = 0.3;
  double back_share = 0;  ///< weight of the way back, skin to scan, against the way there
  int threads = 1;        ///< that share the work; the answer is the same for any number
};

/// What the last step rested on.
struct AlignEvidence {
  std::vector<Match> matches;   ///< every point with skin in reach, rims left out
  double spread_mm = 0;         ///< robust SD of the gaps (1.48 median |gap|)
  double matched_share = 0;     ///< of the cloud's points that are not beyond the rim
  Eigen::MatrixXd information;  ///< of (turn, shift, look), of the last step; prior included
  double prior_cost = 0;        ///< half the sum of squares of the prior's rows
  bool sound = false;
};

/// Walks `at` through the stages. A `ground` becomes z = 0.
AlignEvidence align(MovingSurface& surface, const foot::ShapeModel& model, const foot::Prior& prior, foot::Load load,
                    const Cloud& cloud, const KnownSizes& known, const std::vector<AlignStage>& stages, Alignment& at,
                    const std::optional<Ground>& ground = {});

/// One vertex of the skin over (or under) the scan's surface.
struct BackMatch {
  Eigen::Index vertex = 0;
  Vec3 normal_F = Vec3::UnitZ();  ///< of the scan
  double gap_mm = 0;              ///< + where the skin lies outside
};

/// Every `stride`-th vertex, where the scan goes on: there its nearest point lies straight below, at a hole's rim
/// aside.
std::vector<BackMatch> back_matches(const MovingSurface& surface, const Cloud& cloud,
                                    const geometry::NearestPoints& tree, const geometry::Isometry& T_foot_scan,
                                    double reach_mm, int stride, int threads = 1);

/// The matches of all points at `at`; the surface has been set.
std::vector<Match> matches_of(const MovingSurface& surface, const Cloud& cloud, const geometry::Isometry& T_foot_scan,
                              double reach_mm, double least_cosine, int threads = 1);

}  // namespace aplomb::scan
