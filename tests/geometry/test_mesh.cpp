// Meshes against shapes with known area, volume and topology, and against CGAL.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>
#include <random>

#include "aplomb/geometry/exact.h"
#include "aplomb/geometry/mesh.h"
#include "shapes.h"

using namespace aplomb::geometry;

TEST_CASE("area and volume of a box are those of the handbook, wherever it lies", "[core]") {
  const Vec3 offset = GENERATE(Vec3(0, 0, 0), Vec3(1000, -2000, 500));
  const TriMesh box = test::box({0, 0, 0}, {2, 3, 5}, offset);
  CHECK(area(box) == Approx(2 * (2 * 3 + 3 * 5 + 5 * 2)).epsilon(1e-12));
  CHECK(volume(box) == Approx(30).epsilon(1e-10));
}

TEST_CASE("a finer sphere comes closer to 4/3 pi r^3, with error falling as the edge squared", "[core]") {
  const double exact = 4.0 / 3.0 * pi * 27;
  const double coarse = exact - volume(test::sphere(3, 20)), fine = exact - volume(test::sphere(3, 40));
  CHECK(fine > 0);
  CHECK(coarse / fine == Approx(4).epsilon(0.05));
}

TEST_CASE("topology tells closed, open, flipped and broken apart", "[core]") {
  TriMesh mesh = test::box({0, 0, 0}, {1, 1, 1});
  CHECK(topology(mesh).closed());
  CHECK(topology(mesh).oriented());
  CHECK(topology(mesh).euler == 2);
  CHECK(topology(mesh).components == 1);

  TriMesh open = mesh;
  open.faces.pop_back();
  CHECK(topology(open).boundary_edges == 3);
  CHECK_FALSE(topology(open).closed());

  TriMesh flipped = mesh;
  std::swap(flipped.faces[0][0], flipped.faces[0][1]);
  CHECK(topology(flipped).closed());
  CHECK(topology(flipped).flipped_edges == 3);

  TriMesh broken = mesh;
  broken.faces[0] = {0, 0, 99};
  CHECK(topology(broken).bad_faces == 1);

  TriMesh two = mesh;
  const int shift = static_cast<int>(mesh.vertices.size());
  for (const Vec3& p : mesh.vertices) two.vertices.push_back(p + Vec3(5, 0, 0));
  for (const auto& f : mesh.faces) two.faces.push_back({f[0] + shift, f[1] + shift, f[2] + shift});
  CHECK(topology(two).components == 2);
  CHECK(topology(two).euler == 4);
}

TEST_CASE("CGAL agrees on a good mesh and finds what is wrong with bad ones", "[core]") {
  const TriMesh sphere = test::sphere(3, 24);
  const ExactReport good = examine(sphere);
  CHECK(good.closed);
  CHECK(good.outward);
  CHECK(good.self_intersections == 0);
  CHECK(good.volume_mm3 == Approx(volume(sphere)).epsilon(1e-12));

  TriMesh inside_out = sphere;
  for (auto& f : inside_out.faces) std::swap(f[0], f[1]);
  CHECK(examine(inside_out).closed);
  CHECK_FALSE(examine(inside_out).outward);

  TriMesh pierced = sphere;
  pierced.vertices[0] = Vec3(0, 0, -9);  // the pole pulled through the opposite side
  CHECK(examine(pierced).self_intersections > 0);
  CHECK(crosses_itself(pierced));
  CHECK_FALSE(crosses_itself(sphere));

  TriMesh open = sphere;
  open.faces.pop_back();
  CHECK_FALSE(crosses_itself(open));
  CHECK(examine(open).manifold);
  CHECK_FALSE(examine(open).closed);
  CHECK_FALSE(examine(TriMesh{}).manifold);
}

TEST_CASE("CGAL distance and side match the exact box", "[core]") {
  const ExactDistance exact(test::box({-1, -2, -3}, {1, 2, 3}));
  std::mt19937 random(7);
  std::uniform_real_distribution<double> uniform(-5, 5);
  for (int i = 0; i < 500; ++i) {
    const Vec3 p(uniform(random), uniform(random), uniform(random));
    const Vec3 q = p.cwiseAbs() - Vec3(1, 2, 3);
    const double signed_distance = q.cwiseMax(0).norm() + std::min(q.maxCoeff(), 0.0);  // > 0 outside
    CHECK(exact.distance(p) == Approx(std::abs(signed_distance)).margin(1e-12));
    CHECK(exact.side(p) == (signed_distance < 0 ? 1 : -1));
  }
  CHECK(exact.side({1, 0, 0}) == 0);
}

TEST_CASE("a mesh crosses itself where CGAL finds faces that do", "[core]") {
  std::mt19937 random(21);
  std::uniform_real_distribution<double> u(-1, 1);
  int cross = 0, sound = 0;
  for (int k = 0; k < 120; ++k) {
    CAPTURE(k);
    TriMesh mesh = test::sphere(3, 10 + k % 8);
    // From hardly dented to crumpled; some pulled long, so that boxes differ in size.
    const double by = 0.02 * std::pow(1.04, k);
    for (Vec3& p : mesh.vertices) {
      p += by * Vec3(u(random), u(random), u(random));
      if (k % 3 == 0) p.x() *= 12;
    }
    const bool crosses = examine(mesh).self_intersections > 0;
    REQUIRE(crosses_itself(mesh) == crosses);
    ++(crosses ? cross : sound);
  }
  CHECK(cross > 30);
  CHECK(sound > 30);
}

TEST_CASE("faces that share a corner cross where one goes through the other", "[core]") {
  TriMesh two{{Vec3(0, 0, 0), Vec3(2, -1, 0), Vec3(2, 1, 0), Vec3(3, 0, -1), Vec3(3, 0, 1)}, {{0, 1, 2}, {0, 3, 4}}};
  CHECK(crosses_itself(two));
  std::swap(two.faces[0], two.faces[1]);
  CHECK(crosses_itself(two));
  two.vertices[3].z() = 0.01;
  CHECK_FALSE(crosses_itself(two));
  two.vertices[3] = Vec3(3, 2, -1), two.vertices[4] = Vec3(3, 2, 1);  // through the plane, beside the face
  CHECK_FALSE(crosses_itself(two));
}

TEST_CASE("faces folded flat onto each other over an edge cross", "[core]") {
  TriMesh two{{Vec3(0, 0, 0), Vec3(2, 0, 0), Vec3(1, 1, 0), Vec3(1, -1, 0)}, {{0, 1, 2}, {1, 0, 3}}};
  CHECK_FALSE(crosses_itself(two));  // side by side in one plane
  two.vertices[3] = Vec3(1, 0.5, 0);
  CHECK(crosses_itself(two));
  CHECK(examine(two).self_intersections == 1);
  two.vertices[3] = Vec3(1, 0.5, 1e-9);
  CHECK_FALSE(crosses_itself(two));
  CHECK_FALSE(crosses_itself(TriMesh{}));
}
