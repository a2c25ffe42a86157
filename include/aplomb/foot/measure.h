// Measuring a standing foot by the definitions of the card, with the derivative of each number by the points it rests
// on. Lengths and breadths follow ISO 7250-1 (foot length, foot breadth) and ISO 8559-1 (girths), along and across F's
// x axis.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <vector>

#include "aplomb/foot/foot.h"
#include "aplomb/foot/numbers.h"
#include "aplomb/foot/shape.h"

namespace aplomb::foot {

/// Where on a toe its breadth and height are taken: share of the way from MTP joint centre to tip, in plan.
inline constexpr double toe_pad_station = 0.76;
/// Heel breadth is taken at this share of the foot length from the back of the heel.
inline constexpr double heel_station = 0.16;

/// d value = sum of weight . d point over the terms.
struct MeasureTerm {
  enum class Of { skin, joint, landmark };
  Of of = Of::skin;
  int index = 0;
  Vec3 weight = Vec3::Zero();
};

struct MeasuredValue {
  double value = 0;  ///< mm or deg
  std::vector<MeasureTerm> gradient;
};

/// Material points and candidate faces, found once on the template, by which every foot grown from it is measured.
struct Sites {
  int heel_back = 0;                        ///< vertex: pternion
  std::array<int, toe_count> toe_tip{};     ///< vertices
  std::array<int, toe_count> mtp{}, tmt{};  ///< joints (-1 when the template lacks it)
  int hallux_ip = 0;                        ///< joint
  int ball_medial = 0, ball_lateral = 0;    ///< vertices: metatarsale tibiale and fibulare
  int navicular = 0;                        ///< vertex over the navicular tuberosity
  int lateral_malleolus = 0;                ///< row of the landmark
  int heel_low = 0, ankle_bend = 0;         ///< vertices that the heel-ankle tape goes through
  double ankle_level_mm = 112;              ///< height of the least girth of the leg, at the template's size
  std::vector<std::array<int, 3>> faces;
  std::vector<int> ball_faces, heel_faces, heel_ankle_faces, ankle_faces, instep_faces;
  std::array<std::vector<int>, toe_count> toe_faces;
  std::vector<int> foot_vertices;  ///< below the ankle bones, for lengths and breadths
  std::vector<int> forefoot_vertices, malleolus_vertices;
};

/// Pre: a template (template_fault() is empty) with landmark "lateral_malleolus" and all toe joints.
Sites find_sites(const Foot& mean);

/// All dimensions (Number 0 .. dimension_count - 1) of a standing foot. With smoothing_mm > 0 the outermost points of
/// length and breadths are blended over about that depth, which makes them differentiable and a little too large.
std::array<MeasuredValue, dimension_count> measure(const Sites& sites, const Body& body, double smoothing_mm = 0);

/// Sides of the smallest-breadth rectangle round the plan of the skin below `below_mm`: [length, breadth].
std::array<double, 2> plan_box(const Eigen::Matrix3Xd& skin, double below_mm = 60);

}  // namespace aplomb::foot
