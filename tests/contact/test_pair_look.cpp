// Looking at many points at once: what is compiled for newer processors against what every one can do.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pair_look.h"

#include <array>
#include <catch2/catch.hpp>
#include <iostream>
#include <random>
#include <vector>

using namespace aplomb::contact;

namespace {

using Columns = std::array<std::vector<float>, 6>;

LookColumns lanes(const Columns& c) {
  return {c[0].data(), c[1].data(), c[2].data(), c[3].data(), c[4].data(), c[5].data()};
}

}  // namespace

TEST_CASE("pair look: the same bits on every processor") {
#ifdef __x86_64__
  if (!__builtin_cpu_supports("avx2")) {
    std::cout << "skipped: this processor has no AVX2\n";
    return;
  }
  constexpr int groups = 3, blocks = groups * look_lanes, points = blocks * look_lanes;
  std::mt19937 random(7);
  std::normal_distribution<float> normal;
  int found = 0, none = 0;
  for (int round = 0; round < 40; ++round) {
    Columns of_points, of_blocks;
    std::vector<float> spread;
    for (int b = 0; b < blocks; ++b) {
      std::array<float, 6> middle;
      for (std::size_t c = 0; c < 6; ++c) of_blocks[c].push_back(middle[c] = (c < 3 ? 8.0F : 0.6F) * normal(random));
      for (int k = 0; k < look_lanes; ++k)
        for (std::size_t c = 0; c < 6; ++c) of_points[c].push_back(middle[c] + (c < 3 ? 1.0F : 0.1F) * normal(random));
      spread.push_back(3);
    }
    const LookTables tables{lanes(of_points), lanes(of_blocks), spread.data(), groups, 1e-3F, 8, 0.5F};
    for (int k = 0; k < 50; ++k) {
      const LookFrom from{12 * normal(random),
                          12 * normal(random),
                          12 * normal(random),
                          normal(random),
                          normal(random),
                          normal(random),
                          4,
                          5,
                          0.7F};
      std::vector<int> near(points), near_too(points);
      float least = -1, least_too = -1;
      const int count = look_plain(tables, from, near.data(), least);
      REQUIRE(look_avx2(tables, from, near_too.data(), least_too) == count);
      REQUIRE(near == near_too);
      REQUIRE(least == least_too);
      count > 0 ? ++found : ++none;
    }
  }
  CHECK(found > 300);
  CHECK(none > 300);
#else
  std::cout << "skipped: built for another kind of processor\n";
#endif
}
