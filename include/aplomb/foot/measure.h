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

/// Where on a toe its breadth and height are taken, square to its last part: share of the way from the first knuckle's
/// centre (PIP, IP of the hallux) to the tip. Bending the knuckle does not change them.
inline constexpr double toe_pad_station = 0.5;
/// Heel breadth is taken at this share of the foot length from the back of the heel.
inline constexpr double heel_station = 0.16;

/// d value = sum of weight . d point over the terms.
struct MeasureTerm {
  enum class Of { skin, joint, landmark };
  Of of = Of::skin;
  int index = 0;
  Vec3 weight = Vec3::Zero();
};

/// One vertex of a point of the skin.
struct SkinShare {
  int vertex = 0;
  double share = 0;                               ///< the shares of a point sum to one
  geometry::Mat3 moves = geometry::Mat3::Zero();  ///< d point / d vertex, the shares' own change included
};
/// A point of the skin. None where a section was empty.
using SkinBlend = std::vector<SkinShare>;

struct MeasuredValue {
  double value = 0;  ///< mm or deg
  std::vector<MeasureTerm> gradient;
};

/// Material points and candidate faces, found once on the template, by which every foot grown from it is measured.
struct Sites {
  int heel_back = 0;                        ///< vertex: pternion
  std::array<int, toe_count> toe_tip{};     ///< vertices
  std::array<int, toe_count> mtp{}, tmt{};  ///< joints (-1 when the template lacks it)
  std::array<int, toe_count> knuckle{};     ///< joints: IP of the hallux, PIP of the others
  std::array<int, toe_count> tip{};         ///< rows of the landmarks at the toes' ends
  int navicular = 0;                        ///< row of the landmark over the navicular tuberosity
  int lateral_malleolus = 0;                ///< row of the landmark
  double ankle_level_mm = 112;              ///< height of the least girth of the leg, at the template's size
  std::vector<std::array<int, 3>> faces;
  std::vector<int> ball_faces, heel_faces, heel_ankle_faces, ankle_faces, instep_faces;
  std::array<std::vector<int>, toe_count> toe_faces, toe_vertices;
  std::vector<int> foot_vertices;  ///< below the ankle bones, for lengths and breadths
  std::vector<int> forefoot_vertices, medial_malleolus_vertices, lateral_malleolus_vertices;
  std::vector<int> heel_profile_faces, bend_profile_faces;  ///< about the sagittal plane y = 0
};

/// Where the tapes and the ball length rest on a foot.
struct TapePoints {
  SkinBlend ball_medial, ball_lateral;  ///< beside the heads of the outer metatarsals (metatarsale tibiale, fibulare)
  SkinBlend heel_low, ankle_bend;       ///< lower edge of the heel, bend between foot and leg, in the sagittal plane
};
/// How far in front of the joint centres the ball's outermost points are looked for, at 240 mm length.
inline constexpr double ball_medial_ahead_mm = 1.4, ball_lateral_ahead_mm = 1.0;
TapePoints tape_points(const Sites& sites, const Body& body, double length_mm);

/// The point in `body`; not a number when there is none.
Vec3 point_at(const SkinBlend& point, const Body& body);

/// Pre: a template (template_fault() is empty) with landmarks "lateral_malleolus", "navicular_tuberosity", "tip1".. and
/// all toe joints.
Sites find_sites(const Foot& mean);

/// All dimensions (Number 0 .. dimension_count - 1) of a standing foot; not a number where a foot is so misshapen that
/// a section is empty. With smoothing_mm > 0 the outermost points of length and breadths are blended over about that
/// depth, which makes them differentiable and a little too large.
std::array<MeasuredValue, dimension_count> measure(const Sites& sites, const Body& body, double smoothing_mm = 0);

/// Sides of the smallest-breadth rectangle round the plan of the skin below `below_mm`: [length, breadth].
std::array<double, 2> plan_box(const Eigen::Matrix3Xd& skin, double below_mm = 60);

}  // namespace aplomb::foot
