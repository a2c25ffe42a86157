// What is no scan of a foot, as the user meets it: one line that names what was found and what is needed, exit 2,
// nothing written; and scans so large that a machine would choke on them.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <bit>
#include <catch2/catch.hpp>
#include <cmath>
#include <cstring>
#include <fstream>
#include <nlohmann/json.hpp>
#include <numbers>

#include "../source_data.h"
#include "aplomb/foot/build.h"
#include "program.h"

using namespace aplomb::test;
using aplomb::geometry::Vec3;
using Catch::Contains;
using nlohmann::json;

namespace {

std::vector<Vec3> standing_template() {
  using namespace aplomb;
  return foot::foot_under(source_data::model(), foot::Build(), foot::Load::standing).skin.vertices_F;
}

std::string xyz(const std::vector<Vec3>& points) {
  std::string text;
  for (const Vec3& p : points) text += fmt::format("{:.3f} {:.3f} {:.3f}\n", p.x(), p.y(), p.z());
  return text;
}

std::string ply_head(std::size_t count, const char* more = "") {
  return fmt::format(
      "ply\nformat binary_little_endian 1.0\nelement vertex {}\nproperty float x\nproperty float y\nproperty float "
      "z\n{}end_header\n",
      count, more);
}

std::string bytes(const std::vector<Vec3>& points) {
  static_assert(std::endian::native == std::endian::little);
  std::string out;
  for (const Vec3& p : points) {
    const Eigen::Vector3f f = p.cast<float>();
    out.append(reinterpret_cast<const char*>(f.data()), 3 * sizeof(float));
  }
  return out;
}

/// Skin of a round thing: radius `r` about the way from `a` to `b`, ends closed, points about `apart` from each other.
void add_limb(std::vector<Vec3>& points, const Vec3& a, const Vec3& b, double r, double apart) {
  const Vec3 along = (b - a).normalized(), u = along.unitOrthogonal(), v = along.cross(u);
  const double length = (b - a).norm();
  for (double s = -r; s <= length + r; s += apart) {
    const double past = std::max({0.0, -s, s - length}), ring = std::sqrt(std::max(0.0, r * r - past * past));
    const int count = std::max(1, static_cast<int>(2 * std::numbers::pi * ring / apart));
    for (int k = 0; k < count; ++k) {
      const double t = 2 * std::numbers::pi * k / count;
      points.emplace_back(a + s * along + ring * (std::cos(t) * u + std::sin(t) * v));
    }
  }
}

std::vector<Vec3> cube() {
  std::vector<Vec3> points;
  for (int i = 0; i <= 20; ++i)
    for (int j = 0; j <= 20; ++j)
      for (const int side : {0, 200}) {
        points.emplace_back(10 * i, 10 * j, side);
        points.emplace_back(10 * i, side, 10 * j);
        points.emplace_back(side, 10 * i, 10 * j);
      }
  return points;
}

/// As large as a hand: three lumps that run into each other.
std::vector<Vec3> blob() {
  std::vector<Vec3> points;
  add_limb(points, {0, 0, 0}, {60, 10, 0}, 38, 3);
  add_limb(points, {60, 10, 0}, {120, -25, 15}, 25, 3);
  add_limb(points, {20, 20, 10}, {70, 55, 20}, 20, 3);
  return points;
}

std::vector<Vec3> body() {
  std::vector<Vec3> points;
  add_limb(points, {0, 0, 950}, {0, 0, 1400}, 160, 12);
  add_limb(points, {0, 0, 1560}, {0, 0, 1640}, 85, 12);
  for (const double side : {-1.0, 1.0}) {
    add_limb(points, {0, 90 * side, 900}, {0, 100 * side, 90}, 60, 12);
    add_limb(points, {0, 100 * side, 40}, {180, 110 * side, 30}, 35, 12);
    add_limb(points, {0, 190 * side, 1400}, {0, 260 * side, 800}, 45, 12);
  }
  return points;
}

struct Refused {
  const char* file;
  std::string content;
  std::vector<const char*> words;  ///< what was found, what is needed
};

}  // namespace

TEST_CASE("What is no scan of a foot is refused in one line that says what was found and what is needed",
          "[app][scan]") {
  const std::vector<Vec3> foot = standing_template();
  const std::string good = xyz(foot), binary = ply_head(foot.size()) + bytes(foot);
  const char* const one_foot = "give a scan of one bare foot";
  const Refused all[] = {
      {"empty.ply", "", {"the file is empty", "check that it was saved"}},
      {"triangle.obj",
       "v 0 0 0\nv 240 0 0\nv 0 90 0\nf 1 2 3\n",
       {"has 3 points and 1 faces, too few to show a foot", "at least 200 points"}},
      {"cube.xyz", xyz(cube()), {"is no foot: ", "of its own unit", one_foot}},
      {"blob.xyz", xyz(blob()), {"is no foot: ", one_foot}},
      {"body.xyz", xyz(body()), {"is no foot: ", one_foot}},
      {"nan.xyz", good + "1 nan 2\n", {"is at (1, nan, 2), which is nowhere", "take out points without place"}},
      {"inf.xyz", good + "1 2 -inf\n", {"which is nowhere", "take out points without place"}},
      {"cut.ply",
       binary.substr(0, binary.size() - 5),
       {"promises", "in the", "bytes after its head", "copy the file again"}},
      {"cut.obj", good, {"has 0 points", "give a scan"}},
      {"more.ply", ply_head(4'000'000'000) + bytes(foot), {"promises 4000000000 of \"vertex\"", "copy the file again"}},
      {"picture.png", binary, {"\".png\" is not the ending", "or a scan (.ply"}},
      {"scan.step", good, {"\".step\" is not the ending", "or a scan (.ply"}},
      {"wrong.stl", binary, {"begins like a ply file", "give it the ending .ply"}},
      {"text.ply",
       ply_head(foot.size(), "made by a scanner in a hurry\n") + bytes(foot),
       {"text.ply:7:", "has a line in its head that is no PLY", "export the scan again"}},
      {"words.ply", ply_head(foot.size()) + good.substr(0, 12), {"promises", "copy the file again"}}};
  const Workplace work;
  for (const Refused& one : all) {
    work.write(one.file, one.content);
    const auto before = work.names();
    const Outcome refused = work.run({"foot", one.file, "--out", "f.foot.json", "--json", "f.json"});
    INFO(one.file << ": " << refused.err);
    CHECK(refused.exit_code == 2);
    CHECK(refused.out.empty());
    CHECK(refused.error_lines() == 1);
    CHECK_THAT(refused.err, Contains(one.file));
    for (const char* words : one.words) CHECK_THAT(refused.err, Contains(words));
    CHECK(work.names() == before);
  }
}

TEST_CASE("Twenty million points are thinned and said so, one more is refused, never over 4 GB", "[app][scan]") {
  constexpr std::size_t count = 20'000'000;
  const std::vector<Vec3> foot = standing_template();
  const Workplace work;
  // The template over and over, each time a hair aside, as a scanner's overlapping sweeps are.
  const auto write = [&](const char* name, std::size_t points) {
    std::ofstream out(work.path() / name, std::ios::binary);
    out << ply_head(points);
    std::vector<Vec3> sweep = foot;
    for (std::size_t written = 0; written < points; written += sweep.size()) {
      for (std::size_t v = 0; v < sweep.size(); ++v)
        sweep[v] = foot[v] + 0.002 * static_cast<double>((written / sweep.size() + v) % 97) * Vec3(0.5, -0.3, 0.2);
      sweep.resize(std::min(sweep.size(), points - written));
      out << bytes(sweep);
    }
  };
  write("most.ply", count);
  const Outcome made = work.run({"foot", "most.ply", "--json", "f.json"});
  INFO(made.err);
  REQUIRE(made.exit_code == 0);
  CHECK_THAT(made.out, Contains("20000000 points, thinned to 4000000"));
  const json answer = json::parse(work.read("f.json"));
  CHECK(answer["scan"]["points_in_file"] == count);
  CHECK(answer["scan"]["points_read"] == 4'000'000);
  CHECK(answer["foot_length_mm"].get<double>() == Approx(240).margin(0.5));
  fmt::print("result: {} points: {:.0f} MB at most\n", count, made.peak_MB);
  CHECK(made.peak_MB > 200);  // the file itself: that memory was measured at all
  CHECK(made.peak_MB < 1500);
  std::filesystem::remove(work.path() / "most.ply");

  write("more.ply", count + 1);
  const Outcome more = work.run({"foot", "more.ply", "--json", "g.json"});
  CHECK(more.exit_code == 2);
  CHECK(more.error_lines() == 1);
  CHECK_THAT(more.err, Contains("has 20000001 points, more than the 20000000 that are read") &&
                           Contains("thin the scan to a million points"));
  CHECK(more.peak_MB < 1000);
  std::filesystem::remove(work.path() / "more.ply");

  // A small file may ask for as much: a head that promises everything, faces without end.
  std::ofstream faces(work.path() / "faces.ply", std::ios::binary);
  faces << ply_head(foot.size(), "element face 45000000\nproperty list uchar uchar vertex_indices\n") << bytes(foot);
  std::string row = "\3\0\1\2";
  row.assign("\3\0\1\2", 4);
  std::string block;
  for (int i = 0; i < 100000; ++i) block += row;
  for (int i = 0; i < 450; ++i) faces << block;
  faces.close();
  const Outcome many = work.run({"foot", "faces.ply", "--json", "g.json"});
  CHECK(many.exit_code == 2);
  CHECK(many.error_lines() == 1);
  CHECK_THAT(many.err, Contains("has more than the 40000000 triangles that are read"));
  CHECK(many.peak_MB < 3000);
}
