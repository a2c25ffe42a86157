// A foot of five straight cylinders for toes that stands still in the shoe frame: states on it are made by hand, and
// what the findings must say of them follows from plane geometry.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <memory>
#include <string>
#include <vector>

#include "aplomb/stance/stand.h"
#include "parts.h"

namespace aplomb::findings::test {

/// Toes along +x from x = 0 to `toe_length_mm`, section an ellipse; frames F and S are the same.
struct Blocks {
  static constexpr double toe_length_mm = 30, station_mm = 1;
  static constexpr int around = 72;  ///< points round a section, the extremes among them

  struct Toe {
    double y = 0, z = 0;            ///< centre of the section
    double half_y = 8, half_z = 7;  ///< half axes
  };

  explicit Blocks(const std::array<Toe, foot::toe_count>& toes) {
    auto foot = std::make_shared<foot::Foot>();
    auto problem = std::make_shared<contact::Problem>();
    for (int bone = 0; bone < foot::bone_count; ++bone)
      problem->linkage.links.push_back({foot::bone_names[bone], foot::bone_parent(bone), {}});
    for (int k = 0; k < foot::toe_count; ++k) {
      const Toe& toe = toes[k];
      foot->joints.push_back({numbered("MTP", k), foot::proximal0 + k, Vec3(0, toe.y, toe.z)});
      foot->landmarks[numbered("bonetip", k)] = {foot::distal0 + k, {toe_length_mm - 4, toe.y, toe.z}};
      for (double x = station_mm / 2; x < toe_length_mm; x += station_mm)
        for (int j = 0; j < around; ++j) {
          const double angle = 2 * geometry::pi * j / around;
          const Vec3 round(0, toe.half_y * std::cos(angle), toe.half_z * std::sin(angle));
          const Vec3 normal = Vec3(0, round.y() / (toe.half_y * toe.half_y), round.z() / (toe.half_z * toe.half_z));
          contact::SkinPoint point;
          point.position_rest = Vec3(x, toe.y, toe.z) + round;
          point.normal_rest = normal.normalized();
          point.links = {foot::proximal0 + k, 0, 0, 0};
          problem->points.push_back(point);
          foot->contact_points.push_back({0, Vec3::Zero(), 0, 0, static_cast<foot::Region>(k)});
        }
    }
    stance.foot = foot;
    stance.problem = problem;
    stance.load_N = 100;
    state.q = Eigen::VectorXd::Zero(stance::FootUnknowns::count);
  }

  /// Presses the points of toe `k` whose centre line place lies in [from_x, to_x] by a plane plate: everything beyond
  /// it comes to lie on it. The plate is normal . x = offset, its free side where normal points.
  void press(int k, const Vec3& normal, double offset_mm, double from_x = 0, double to_x = toe_length_mm) {
    for (std::size_t i = 0; i < stance.problem->points.size(); ++i) {
      const Vec3& x = stance.problem->points[i].position_rest;
      if (static_cast<int>(stance.foot->contact_points[i].region) != k || x.x() < from_x || x.x() > to_x) continue;
      const double depth = offset_mm - normal.dot(x);
      if (depth <= 0) continue;
      contact::ContactState touch;
      touch.point = static_cast<int>(i);
      touch.position = x;
      touch.normal = normal;
      touch.compression_mm = depth;
      state.contacts.push_back(touch);
    }
  }

  PosedFoot posed() const { return pose_foot(stance, state); }

  stance::Stance stance;
  contact::Equilibrium state;
};

/// Five toes side by side, each touching its neighbours: hallux 20 mm broad, the others 14.
inline std::array<Blocks::Toe, foot::toe_count> in_a_row() {
  return {{{17, 0, 10, 9}, {0, 0, 7, 7}, {-14, 0, 7, 7}, {-28, 0, 7, 7}, {-42, 0, 7, 7}}};
}

}  // namespace aplomb::findings::test
