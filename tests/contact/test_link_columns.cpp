// What unknowns do to a vector that hangs on several links, against differences.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "aplomb/contact/link_columns.h"
#include "branching.h"

using namespace aplomb::contact;

TEST_CASE("link columns: a vector and a direction that hang on several links, as differences move them") {
  std::srand(7);
  const Linkage linkage = test::branching();
  const std::vector<std::vector<int>> sets{{4}, {3, 4, 2}, {4, 6}, {1, 2, 5, 4, 4}, {0}, {7}, {7, 4}, {6, 5}};
  for (const std::vector<int>& links : sets) {
    LinkColumns columns(linkage, links);
    std::vector<LinkHold> holds;
    for (const int link : links) holds.push_back({link, Vec3::Random().x(), 40 * Vec3::Random()});
    const Eigen::VectorXd q = 0.5 * Eigen::VectorXd::Random(16);
    const auto vector_at = [&](const Eigen::VectorXd& at, bool turns_only) {
      const PosedLinkage posed = pose(linkage, at);
      Vec3 sum = Vec3::Zero();
      for (const LinkHold& hold : holds) {
        const auto& T = posed.T_world_link[static_cast<std::size_t>(hold.link)];
        sum += T.linear() * hold.moment_rest;
        if (!turns_only) sum += hold.weight * T.translation();
      }
      return sum;
    };
    for (const bool turns_only : {false, true}) {
      CAPTURE(links, turns_only);
      LinkColumns::Columns found;
      // The second time what hung there before must be gone.
      for (int time = 0; time < 2; ++time)
        turns_only ? columns.turned(pose(linkage, q), holds, found) : columns.moved(pose(linkage, q), holds, found);
      REQUIRE(found.cols() == static_cast<Eigen::Index>(columns.dofs().size()));
      Eigen::Matrix3Xd whole = Eigen::Matrix3Xd::Zero(3, 16);
      for (std::size_t k = 0; k < columns.dofs().size(); ++k)
        whole.col(columns.dofs()[k]) += found.col(static_cast<Eigen::Index>(k));
      for (int i = 0; i < 16; ++i) {
        constexpr double h = 1e-5;
        const Eigen::VectorXd step = h * Eigen::VectorXd::Unit(16, i);
        const Vec3 expected = (vector_at(q + step, turns_only) - vector_at(q - step, turns_only)) / (2 * h);
        CAPTURE(i, expected.transpose(), whole.col(i).transpose());
        CHECK((whole.col(i) - expected).norm() < 1e-7 * (1 + expected.norm()));
      }
    }
  }
}
