// The template foot: surface, size against ANSUR II, toes, weights, contact points, joints, marks, files.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/foot/template.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <map>
#include <set>
#include <sstream>

#include "aplomb/foot/pose.h"
#include "aplomb/geometry/exact.h"
#include "aplomb/geometry/mesh.h"
#include "aplomb/geometry/polygon.h"
#include "aplomb/geometry/section.h"
#include "aplomb/io/files.h"

namespace fs = std::filesystem;
using namespace aplomb;
using foot::Foot;
using geometry::TriMesh;
using geometry::Vec3;

namespace {

const fs::path stored = fs::path(APLOMB_SOURCE_DIR) / "meshes" / "foot";

const Foot& mean() {
  static const Foot foot = [] {
    auto loaded = foot::load_template(stored);
    if (!loaded) FAIL(io::to_line(loaded.error()));
    return *loaded;
  }();
  return foot;
}

TriMesh skin_mesh() { return {mean().skin.vertices_F, mean().skin.faces}; }

TriMesh posed_mesh(const std::map<std::string, double>& change_deg, double share = 1) {
  auto q = foot::pointed(mean(), share);
  for (const auto& [name, angle] : change_deg)
    q[static_cast<std::size_t>(foot::joint_index(mean(), name))] = angle * geometry::rad_per_deg;
  return {foot::pose_skin(mean().skin, foot::pose_bones(mean(), q)), mean().skin.faces};
}

double ring_girth(const Vec3& point, const Vec3& normal) {
  const auto lines = geometry::plane_section(skin_mesh(), point, normal);
  double girth = 0;
  for (const auto& line : lines) {
    const Vec3 u = std::abs(normal.x()) < 0.9 ? Vec3::UnitX() : Vec3::UnitY();
    girth = std::max(girth, geometry::hull_perimeter(geometry::flatten(line.points, point, u, normal)));
  }
  return girth;
}

/// Breadth along y of the skin between two planes x.
double breadth_between(double x0, double x1, double below_z) {
  double low = 0, high = 0;
  for (const Vec3& v : mean().skin.vertices_F) {
    if (v.x() < x0 || v.x() > x1 || v.z() > below_z) continue;
    low = std::min(low, v.y());
    high = std::max(high, v.y());
  }
  return high - low;
}

double volume_below(double z) {
  // Divergence theorem on slices: area of the outline, Simpson over height.
  constexpr int slices = 60;
  double sum = 0;
  for (int i = 0; i <= slices; ++i) {
    const Vec3 point(0, 0, 0.01 + (z - 0.02) * i / slices);
    double area = 0;
    for (const auto& line : geometry::plane_section(skin_mesh(), point, Vec3::UnitZ()))
      area += geometry::signed_area(geometry::flatten(line.points, point, Vec3::UnitX(), Vec3::UnitZ()));
    sum += area * (i == 0 || i == slices ? 1 : i % 2 == 1 ? 4 : 2);
  }
  return std::abs(sum) * z / slices / 3;
}

/// What tapes and calipers read on the template, as shares of its length.
std::map<std::string, double> shares() {
  const Foot& foot = mean();
  const double length = foot.length_mm;
  const auto at = [&](const char* name) { return foot.landmarks.at(name).position_F; };
  std::map<std::string, double> s;
  s["foot_breadth_mm"] = foot.breadth_mm / length;
  s["heel_breadth_mm"] = breadth_between(0.14 * length, 0.18 * length, 40) / length;
  // The ball tape runs over the two metatarsal heads that stand out, upright plane.
  const Vec3 ball = at("MThead1") - at("MThead5");
  s["ball_girth_mm"] =
      ring_girth((at("MThead1") + at("MThead5")) / 2, Vec3(ball.y(), -ball.x(), 0).normalized()) / length;
  // Heel-ankle: round the lower edge of the heel and the bend of the instep, where a taut tape settles.
  const Vec3 heel_low(8, 0, 4);
  double least = 1e9;
  for (double turn_deg = 30; turn_deg <= 55; ++turn_deg) {
    const double turn = turn_deg * geometry::rad_per_deg;
    least = std::min(least, ring_girth(heel_low, {-std::sin(turn), 0, std::cos(turn)}));
  }
  s["heel_ankle_girth_mm"] = least / length;
  least = 1e9;
  for (double z = 90; z <= 130; z += 2) least = std::min(least, ring_girth({0, 0, z}, Vec3::UnitZ()));
  s["ankle_girth_mm"] = least / length;
  s["bimalleolar_breadth_mm"] = (at("medial_malleolus").y() - at("lateral_malleolus").y()) / length;
  s["lateral_malleolus_height_mm"] = at("lateral_malleolus").z() / length;
  s["ball_length_mm"] = at("MThead1").x() / length;
  return s;
}

fs::path fresh_folder(const std::string& name) {
  const fs::path folder = fs::temp_directory_path() / ("aplomb_template_" + name);
  fs::remove_all(folder);
  fs::create_directories(folder);
  return folder;
}

std::string bytes(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  std::ostringstream out;
  out << in.rdbuf();
  return out.str();
}

void spill(const fs::path& file, const std::string& content) { std::ofstream(file, std::ios::binary) << content; }

int toe_of_bone(int bone) {
  if (bone >= foot::distal0) return bone - foot::distal0;
  if (bone >= foot::middle1) return bone - foot::middle1 + 1;
  if (bone >= foot::proximal0) return bone - foot::proximal0;
  return -1;
}

}  // namespace

TEST_CASE("template: the skin is one closed surface, outward, without self-intersection", "[template]") {
  const auto topology = geometry::topology(skin_mesh());
  CHECK(topology.closed());
  CHECK(topology.oriented());
  CHECK(topology.components == 1);
  CHECK(topology.euler == 2);
  const auto report = geometry::examine(skin_mesh());  // second opinion: CGAL Polygon_mesh_processing
  CHECK(report.closed);
  CHECK(report.outward);
  CHECK(report.self_intersections == 0);
  CHECK(report.volume_mm3 == Approx(geometry::volume(skin_mesh())).epsilon(1e-9));
  CHECK(mean().skin.vertices_F.size() > 10000);
  CHECK(mean().skin.vertices_F.size() < 14000);
}

TEST_CASE("template: pointed on straight toes the skin does not cross itself", "[template]") {
  for (const double ankle_deg : {30.0, 50.0, 58.0}) {
    CAPTURE(ankle_deg);
    CHECK(geometry::examine(posed_mesh({{"ankle", ankle_deg}})).self_intersections == 0);
  }
  // Flesh cannot be squeezed away.
  const double standing = geometry::volume(skin_mesh());
  for (const double ankle_deg : {30.0, 50.0, 58.0})
    CHECK(geometry::volume(posed_mesh({{"ankle", ankle_deg}})) == Approx(standing).epsilon(0.03));
}

TEST_CASE("template: length, breadths and girths are those of women's feet", "[template]") {
  CHECK(mean().length_mm == Approx(foot::template_length_mm).margin(0.2));
  const auto box = geometry::bounds(skin_mesh());
  CHECK(box.max.x() - box.min.x() == Approx(mean().length_mm).margin(1e-9));
  CHECK(box.min.x() == Approx(0).margin(0.2));
  CHECK(box.min.z() == Approx(0).margin(0.5));
  CHECK(box.max.z() == Approx(140).margin(1e-6));
  // ANSUR II (2012), women: mean and standard deviation of each dimension over foot length. The template is meant to be
  // the mean foot; within 0.6 SD, because some of the tables' sections are not fitted to these numbers.
  const std::map<std::string, std::pair<double, double>> ansur{{"foot_breadth_mm", {0.377, 0.018}},
                                                               {"heel_breadth_mm", {0.273, 0.018}},
                                                               {"ball_girth_mm", {0.927, 0.042}},
                                                               {"heel_ankle_girth_mm", {1.261, 0.040}},
                                                               {"ankle_girth_mm", {0.877, 0.058}},
                                                               {"bimalleolar_breadth_mm", {0.273, 0.012}},
                                                               {"lateral_malleolus_height_mm", {0.255, 0.021}},
                                                               {"ball_length_mm", {0.739, 0.013}}};
  const auto ours = shares();
  for (const auto& [name, expected] : ansur) {
    CAPTURE(name, ours.at(name), expected.first);
    CHECK(std::abs(ours.at(name) - expected.first) < 0.6 * expected.second);
  }
}

TEST_CASE("template: stands inside the measured population", "[template]") {
  const char* folder = std::getenv("APLOMB_SHARED");
  const fs::path file = (folder != nullptr ? fs::path(folder) : fs::path(APLOMB_SOURCE_DIR).parent_path() / "shared") /
                        "data" / "anthropometry" / "ansur2_women_feet.csv";
  std::ifstream in(file);
  if (!in) {
    std::cout << "skipped: no " << file.filename() << " (set APLOMB_SHARED)\n";
    return;
  }
  const auto cells = [](const std::string& line) {
    std::vector<std::string> list;
    std::istringstream stream(line);
    for (std::string cell; std::getline(stream, cell, ',');) list.push_back(cell);
    return list;
  };
  std::string line;
  std::getline(in, line);
  const auto header = cells(line);
  std::map<std::string, std::vector<double>> shares_of_women;
  while (std::getline(in, line)) {
    const auto row = cells(line);
    for (std::size_t c = 1; c < header.size(); ++c)
      shares_of_women[header[c]].push_back(std::stod(row[c]) / std::stod(row[0]));
  }
  for (const auto& [name, ours] : shares()) {
    auto& women = shares_of_women.at(name);
    std::sort(women.begin(), women.end());
    CAPTURE(name, ours, women[women.size() / 4], women[3 * women.size() / 4]);
    CHECK(ours > women[women.size() / 5]);
    CHECK(ours < women[4 * women.size() / 5]);
  }
}

TEST_CASE("template: volume follows the tables", "[template]") {
  // Volumes of a mesh lofted from the unrounded tables: 604, 705 and 889 cm3 (no malleoli, corners cut).
  CHECK(volume_below(62) / 1000 == Approx(604).epsilon(0.025));
  CHECK(volume_below(87) / 1000 == Approx(705).epsilon(0.025));
  CHECK(geometry::volume(skin_mesh()) / 1000 == Approx(889).epsilon(0.025));
}

TEST_CASE("template: five separate toes", "[template]") {
  const auto outlines = [](double x) { return geometry::plane_section(skin_mesh(), {x, 0, 0}, Vec3::UnitX()).size(); };
  CHECK(outlines(172) == 1);
  CHECK(outlines(193) == 5);
  CHECK(outlines(206) == 4);  // the little toe ends at x 199
  CHECK(outlines(218) == 3);
  CHECK(outlines(228) == 2);
  CHECK(outlines(236) == 1);
  // Tips of the Egyptian pattern in the tables.
  const double tip_x[] = {240.0, 233.4, 224.5, 212.3, 199.1};
  for (int k = 0; k < 5; ++k)
    CHECK(mean().landmarks.at("tip" + std::to_string(k + 1)).position_F.x() == Approx(tip_x[k]).margin(0.5));
  // Air between neighbours from x 193 on.
  const Foot& foot = mean();
  for (int k = 0; k < 4; ++k) {
    double gap = 1e9;
    for (std::size_t a = 0; a < foot.skin.vertices_F.size(); ++a) {
      if (foot.skin.region[a] != static_cast<foot::Region>(k) || foot.skin.vertices_F[a].x() < 193) continue;
      for (std::size_t b = 0; b < foot.skin.vertices_F.size(); ++b)
        if (foot.skin.region[b] == static_cast<foot::Region>(k + 1) && foot.skin.vertices_F[b].x() >= 193)
          gap = std::min(gap, (foot.skin.vertices_F[a] - foot.skin.vertices_F[b]).norm());
    }
    CAPTURE(k);
    CHECK(gap > 0.6);
    CHECK(gap < 5);
  }
}

TEST_CASE("template: weights are local, smooth and never shared between toes", "[template]") {
  const foot::Skin& skin = mean().skin;
  std::vector<std::map<int, double>> weight(skin.vertices_F.size());
  for (std::size_t v = 0; v < weight.size(); ++v) {
    double sum = 0;
    for (std::size_t k = 0; k < 4; ++k) {
      REQUIRE(skin.weights[v][k] >= 0);
      const int bone = skin.bones[v][k];
      // An in-between bone stands for its share of the two that it lies between.
      if (bone < foot::anatomical_bone_count) {
        weight[v][bone] += skin.weights[v][k];
      } else {
        const foot::Between between = foot::between_of(bone);
        weight[v][between.from] += (1 - between.share) * skin.weights[v][k];
        weight[v][between.to] += between.share * skin.weights[v][k];
      }
      sum += skin.weights[v][k];
    }
    REQUIRE(sum == Approx(1).margin(1e-12));
    // From three fifths of the way between MTP joint and bone tip (the web of the little toe reaches half way) a toe
    // follows its own bones alone.
    const int toe = static_cast<int>(skin.region[v]);
    if (toe >= foot::toe_count) continue;
    const std::string n = std::to_string(toe + 1);
    const double mtp = mean().landmarks.at("MThead" + n).position_F.x(),
                 tip = mean().landmarks.at("bonetip" + n).position_F.x();
    for (const auto& [bone, w] : weight[v]) {
      if (skin.vertices_F[v].x() > mtp + 0.6 * (tip - mtp) && w > 0) {
        CAPTURE(v, bone);
        const bool own = toe_of_bone(bone) == toe || bone == foot::ray0 + toe;
        REQUIRE(own);
      }
      if (toe_of_bone(bone) >= 0 && toe_of_bone(bone) != toe) REQUIRE(w < 0.5);
    }
  }
  // Steepest change along an edge: across a web, where 2.8 mm lead from toe to toe, 1.5 / 2.8 a mm by the cubic step.
  for (const auto& face : skin.faces) {
    for (std::size_t k = 0; k < 3; ++k) {
      const auto a = static_cast<std::size_t>(face[k]), b = static_cast<std::size_t>(face[(k + 1) % 3]);
      std::set<int> bones;
      for (const auto& [bone, w] : weight[a]) bones.insert(bone);
      for (const auto& [bone, w] : weight[b]) bones.insert(bone);
      double change = 0;
      for (const int bone : bones)
        change += std::abs((weight[a].count(bone) ? weight[a].at(bone) : 0) -
                           (weight[b].count(bone) ? weight[b].at(bone) : 0)) /
                  2;
      CAPTURE(a, b, skin.vertices_F[a].transpose());
      REQUIRE(change / (skin.vertices_F[a] - skin.vertices_F[b]).norm() < 0.6);
    }
  }
  // The ends move rigidly with their bones.
  for (std::size_t v = 0; v < weight.size(); ++v) {
    if (skin.vertices_F[v].z() > 135) CHECK(weight[v][foot::tibia] > 0.95);
    if (skin.region[v] == foot::Region::heel && skin.vertices_F[v].z() < 28 && skin.vertices_F[v].x() < 48)
      CHECK(weight[v][foot::hindfoot] > 0.99);
  }
}

TEST_CASE("template: contact points cover the skin below the ankle exactly", "[template]") {
  const Foot& foot = mean();
  const foot::Skin& skin = foot.skin;
  const auto corner = [&](int face, int k) {
    return skin
        .vertices_F[static_cast<std::size_t>(skin.faces[static_cast<std::size_t>(face)][static_cast<std::size_t>(k)])];
  };
  double covered = 0, sampled = 0;
  Vec3 moment = Vec3::Zero(), sampled_moment = Vec3::Zero();
  for (int f = 0; f < static_cast<int>(skin.faces.size()); ++f) {
    bool below = true;
    for (const int v : skin.faces[static_cast<std::size_t>(f)])
      below = below && skin.region[static_cast<std::size_t>(v)] != foot::Region::ankle;
    if (!below) continue;
    const double area = (corner(f, 1) - corner(f, 0)).cross(corner(f, 2) - corner(f, 0)).norm() / 2;
    covered += area;
    moment += area * (corner(f, 0) + corner(f, 1) + corner(f, 2)) / 3;
  }
  std::vector<Vec3> at;
  for (const auto& point : foot.contact_points) {
    at.push_back(point.barycentric[0] * corner(point.face, 0) + point.barycentric[1] * corner(point.face, 1) +
                 point.barycentric[2] * corner(point.face, 2));
    sampled += point.area_mm2;
    sampled_moment += point.area_mm2 * at.back();
  }
  CHECK(sampled == Approx(covered).epsilon(1e-9));
  CHECK((sampled_moment / sampled - moment / covered).norm() < 0.05);  // linear functions are summed nearly exactly
  CHECK(at.size() > 6000);
  CHECK(at.size() < 9000);

  // Mean distance to the nearest other point, by place.
  std::map<std::string, std::pair<double, int>> spacing;
  for (std::size_t i = 0; i < at.size(); ++i) {
    const auto region = foot.contact_points[i].region;
    const bool toe = static_cast<int>(region) < foot::toe_count;
    std::string place = "rest";
    if (toe) {
      const double from_tip =
          foot.landmarks.at("tip" + std::to_string(static_cast<int>(region) + 1)).position_F.x() - at[i].x();
      place = from_tip < 7 ? "tip" : from_tip > 11 ? "side" : "between";
    } else if (at[i].x() > 150) {
      place = "between";
    }
    double nearest = 1e9;
    for (std::size_t j = 0; j < at.size(); ++j)
      if (j != i && foot.contact_points[j].region == region) nearest = std::min(nearest, (at[i] - at[j]).norm());
    spacing[place].first += nearest;
    ++spacing[place].second;
  }
  const auto mean_spacing = [&](const char* place) { return spacing[place].first / spacing[place].second; };
  CHECK(mean_spacing("tip") == Approx(1).epsilon(0.2));
  CHECK(mean_spacing("side") == Approx(2).epsilon(0.2));
  CHECK(mean_spacing("rest") == Approx(4).epsilon(0.2));
}

TEST_CASE("template: joints are named, ranged and ordered", "[template]") {
  const Foot& foot = mean();
  std::vector<std::string> names{"ankle", "subtalar", "midtarsal", "midtarsal_inversion", "naviculocuneiform", "IP1"};
  for (int k = 1; k <= 5; ++k) {
    const auto n = std::to_string(k);
    for (const auto& name : {"TMT" + n, "TMT" + n + "_splay", "MTP" + n, "MTP" + n + "_splay"}) names.push_back(name);
    if (k > 1) {
      names.push_back("PIP" + n);
      names.push_back("DIP" + n);
    }
  }
  CHECK(foot.joints.size() == names.size());
  for (const auto& name : names) CHECK(foot::joint_index(foot, name) >= 0);
  CHECK(foot::joint_index(foot, "MTP6") == -1);
  int last = 0;
  for (const auto& joint : foot.joints) {
    CHECK(joint.bone >= last);  // parents before children
    last = joint.bone;
    CHECK(joint.max_deg - joint.min_deg >= 4);
    CHECK(joint.max_deg - joint.min_deg <= 125);
  }
  const auto joint = [&](const char* name) {
    return foot.joints[static_cast<std::size_t>(foot::joint_index(foot, name))];
  };
  // Russell, McEwan, Koutedakis, Wyon: weight-bearing radiographs of dancers, 57.6 and 24.6 degrees at the talocrural
  // joint; 83 degrees of pointing in all (weight-bearing goniometer, 2010). Here ankle, midtarsal, naviculocuneiform
  // and TMT2.
  CHECK(joint("ankle").max_deg == Approx(57.6).margin(1));
  CHECK(joint("ankle").min_deg == Approx(-24.6).margin(1));
  CHECK(joint("ankle").max_deg + joint("midtarsal").max_deg + joint("naviculocuneiform").max_deg +
            joint("TMT2").max_deg ==
        Approx(83).margin(2.2));
  // Flexion axes point medially; a positive turn moves the toes down.
  for (const char* name : {"ankle", "midtarsal", "naviculocuneiform", "TMT1", "MTP1", "MTP5", "IP1", "DIP3"})
    CHECK(joint(name).axis_F.y() > 0.85);
  // A demi-pointe needs 80 to 100 degrees of the first MTP joint (dance-medicine reviews); from the standing pose,
  // which already has 13 of them.
  CHECK(joint("MTP1").straight_deg - joint("MTP1").min_deg == Approx(90).margin(10));
}

TEST_CASE("template: at their straight angles the toe bones continue the metatarsals", "[template]") {
  const Foot& foot = mean();
  auto q = foot::JointAngles(foot.joints.size(), 0.0);
  for (std::size_t j = 0; j < q.size(); ++j) q[j] = foot.joints[j].straight_deg * geometry::rad_per_deg;
  const auto p = foot::pose_landmarks(foot, foot::pose_bones(foot, q));
  for (int k = 1; k <= 5; ++k) {
    const auto n = std::to_string(k);
    std::vector<std::string> chain{"TMT" + n, "MTP" + n};
    if (k == 1) {
      chain.emplace_back("IP1");
    } else {
      chain.push_back("PIP" + n);
      chain.push_back("DIP" + n);
    }
    chain.push_back("bonetip" + n);
    const Vec3 axis = foot.joints[static_cast<std::size_t>(foot::joint_index(foot, "MTP" + n))].axis_F;
    const auto flat = [&](std::size_t i) {
      const Vec3 d = p.at(chain[i + 1]) - p.at(chain[i]);
      return Vec3((d - d.dot(axis) * axis).normalized());
    };
    for (std::size_t i = 0; i + 2 < chain.size(); ++i) {
      CAPTURE(chain[i + 1]);
      // The tables give bone points to 0.01 mm and angles to 0.1 degree.
      CHECK(std::acos(std::min(1.0, flat(i).dot(flat(i + 1)))) * geometry::deg_per_rad < 0.6);
    }
  }
}

TEST_CASE("template: pointing shortens the sole", "[template]") {
  const Foot& foot = mean();
  const auto line_length = [&](const std::vector<Vec3>& skin) {
    double length = 0;
    Vec3 before = Vec3::Zero();
    for (std::size_t i = 0; i < foot.plantar_midline.size(); ++i) {
      const auto& point = foot.plantar_midline[i];
      const auto& face = foot.skin.faces[static_cast<std::size_t>(point.face)];
      Vec3 p = Vec3::Zero();
      for (int k = 0; k < 3; ++k)
        p += point.barycentric[k] * skin[static_cast<std::size_t>(face[static_cast<std::size_t>(k)])];
      if (i > 0) length += (p - before).norm();
      before = p;
    }
    return length;
  };
  // Table: 252.1 mm standing, 228.8 pointed with the midfoot at 25 degrees; read the shortening as 15 to 25 mm.
  const double standing = line_length(foot.skin.vertices_F);
  const double pointed = line_length(posed_mesh({{"ankle", 0}}).vertices);
  CHECK(standing == Approx(252.1).margin(3));
  CHECK(standing - pointed > 15);
  CHECK(standing - pointed < 27);
  // Straight toes with the calcaneus fixed: second toe tip and hallux tip of the tables' own chain.
  auto q = foot::pointed(foot);
  q[static_cast<std::size_t>(foot::joint_index(foot, "ankle"))] = 0;
  const auto p = foot::pose_landmarks(foot, foot::pose_bones(foot, q));
  CHECK(p.at("MThead2").x() == Approx(157.6).margin(4));
  CHECK(p.at("MThead2").z() == Approx(-13.7).margin(4));
  CHECK(p.at("tip2").x() == Approx(192.7).margin(4));
  CHECK(p.at("tip2").z() == Approx(-59.1).margin(5));
}

TEST_CASE("template: the arch marks lie where the sole leaves the floor", "[template]") {
  const Foot& foot = mean();
  const auto at = [&](int i) {
    const auto& point = foot.plantar_midline[static_cast<std::size_t>(i)];
    const auto& face = foot.skin.faces[static_cast<std::size_t>(point.face)];
    Vec3 p = Vec3::Zero();
    for (int k = 0; k < 3; ++k)
      p += point.barycentric[k] * foot.skin.vertices_F[static_cast<std::size_t>(face[static_cast<std::size_t>(k)])];
    return p;
  };
  CHECK(at(foot.arch_back).x() == Approx(54).margin(1.5));
  CHECK(at(foot.arch_apex).x() == Approx(98).margin(1.5));
  CHECK(at(foot.arch_front).x() == Approx(150).margin(1.5));
  // The table has 6.2 in the middle of the sole, 4 mm lateral of the axis that the line follows, and 16.6 at the medial
  // edge.
  CHECK(at(foot.arch_apex).z() > 6.2);
  CHECK(at(foot.arch_apex).z() < 8);
  CHECK(at(foot.arch_back).z() < 1);
  CHECK(at(foot.arch_front).z() < 1);
  for (int i = foot.arch_back; i <= foot.arch_front; ++i) CHECK(at(i).z() <= at(foot.arch_apex).z() + 0.2);
  CHECK(at(0).x() < 2);
  CHECK(at(static_cast<int>(foot.plantar_midline.size()) - 1).x() == Approx(233.4).margin(1));
}

TEST_CASE("template: tissue is as thick as measured where it was measured", "[template]") {
  const Foot& foot = mean();
  const auto near = [&](const Vec3& p) {
    std::size_t best = 0;
    for (std::size_t v = 0; v < foot.skin.vertices_F.size(); ++v)
      if ((foot.skin.vertices_F[v] - p).norm() < (foot.skin.vertices_F[best] - p).norm()) best = v;
    return foot.skin.thickness_mm[best];
  };
  for (const double t : foot.skin.thickness_mm) {
    REQUIRE(t >= 1.5);
    REQUIRE(t <= 46);
  }
  CHECK(near({24, 0, 0}) == Approx(16).margin(2));  // heel pad 15.99 mm, in-vivo gait (BMC Musculoskelet Disord 2022)
  CHECK(near({176, 24, 0}) ==
        Approx(8.5).margin(1.6));  // under MT1 head 8.5 +- 1.5, Mickle 2011 (doi 10.1002/jor.21328)
  CHECK(near({158, -38, 0}) == Approx(5.5).margin(1.4));  // under MT5 head 5.5 +- 1.3, the same
  CHECK(near(foot.landmarks.at("tip1").position_F) > 4);  // pulp of the hallux 4 to 6 mm, from memory
  CHECK(near(foot.landmarks.at("tip1").position_F) < 6.5);
}

TEST_CASE("template: landmarks sit on the right bones at the right places", "[template]") {
  const auto& marks = mean().landmarks;
  for (const char* name : {"ankle_centre", "heel_back", "heel_back_upper", "lateral_malleolus", "medial_malleolus",
                           "navicular_tuberosity", "mt5_styloid", "instep"})
    CHECK(marks.count(name) == 1);
  CHECK(marks.at("ankle_centre").bone == foot::talus);
  CHECK(marks.at("heel_back").bone == foot::hindfoot);
  CHECK(marks.at("heel_back").position_F.x() < 4);
  CHECK(marks.at("heel_back").position_F.z() == Approx(27).margin(3));
  CHECK(marks.at("instep").position_F.z() == Approx(61).margin(3));  // dorsum at half length: 60 to 65 mm
  CHECK(marks.at("lateral_malleolus").position_F.y() < 0);
  CHECK(marks.at("medial_malleolus").position_F.z() > marks.at("lateral_malleolus").position_F.z());
  const geometry::ExactDistance skin(skin_mesh());
  for (int k = 1; k <= 5; ++k) {
    const auto n = std::to_string(k);
    CHECK(skin.side(marks.at("MThead" + n).position_F) == 1);
    CHECK(skin.side(marks.at("bonetip" + n).position_F) == 1);
    CHECK(marks.at("tip" + n).bone == foot::distal0 + k - 1);
  }
}

TEST_CASE("template: written twice it is the same to the byte, and it is what is stored", "[template]") {
  const auto a = fresh_folder("a"), b = fresh_folder("b");
  REQUIRE(foot::write_template(mean(), a));
  REQUIRE(foot::write_template(mean(), b));
  for (const char* name : {"template.json", "template.bin"}) {
    CHECK(bytes(a / name) == bytes(b / name));
    CHECK(bytes(a / name) == bytes(stored / name));
  }
  CHECK(foot::load_template(a)->template_hash == mean().template_hash);
  CHECK(foot::template_hash(mean()) == mean().template_hash);
  Foot moved = mean();
  moved.joints[3].max_deg += 1e-9;
  CHECK(foot::template_hash(moved) != mean().template_hash);
  CHECK_FALSE(foot::write_template(mean(), a / "nowhere"));
  CHECK(foot::write_template(mean(), a / "nowhere").error().kind == io::ErrorKind::cannot_write);
}

TEST_CASE("template: loads in a moment", "[template]") {
  double best_ms = 1e9;
  for (int i = 0; i < 5; ++i) {
    const auto start = std::chrono::steady_clock::now();
    REQUIRE(foot::load_template(stored));
    best_ms =
        std::min(best_ms, std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count());
  }
#if defined(__OPTIMIZE__) && !defined(__SANITIZE_ADDRESS__)
  CHECK(best_ms < 60);
#endif
}

TEST_CASE("template: files that are damaged, newer or not a template are refused", "[template]") {
  const std::string table = bytes(stored / "template.json"), data = bytes(stored / "template.bin");
  const auto refusal = [&](const std::string& bad_table, const std::string& bad_data) {
    const auto folder = fresh_folder("bad");
    spill(folder / "template.json", bad_table);
    spill(folder / "template.bin", bad_data);
    const auto loaded = foot::load_template(folder);
    REQUIRE_FALSE(loaded);
    CHECK(loaded.error().kind == io::ErrorKind::bad_input);
    CHECK_FALSE(loaded.error().file.empty());
    CHECK_FALSE(loaded.error().message.empty());
    CHECK_FALSE(loaded.error().remedy.empty());
    return loaded.error();
  };
  const auto changed = [&](const std::string& from, const std::string& to) {
    std::string text = table;
    REQUIRE(text.find(from) != std::string::npos);
    return text.replace(text.find(from), from.size(), to);
  };
  CHECK_FALSE(foot::load_template(fresh_folder("empty")));
  refusal("", data);
  refusal(table, "");
  refusal(table.substr(0, table.size() / 2), data);
  refusal("[1, 2, 3]", data);
  refusal(table, data.substr(0, data.size() - 1));
  refusal(table, data + "x");
  CHECK(refusal(changed("\"format_version\": 2", "\"format_version\": 3"), data).field == "format_version");
  CHECK(refusal(changed("\"format_version\": 2", "\"format_version\": 1"), data).field == "format_version");
  CHECK(refusal(changed("aplomb-template", "aplomb-foot"), data).field == "format");
  refusal(changed("\"vertices\": ", "\"vertices\": 9999999"), data);
  refusal(changed("\"vertices\": ", "\"vertices\": -"), data);
  refusal(changed("\"arch_apex\": ", "\"arch_apex\": 1"), data);
  std::string flipped = data;
  flipped[flipped.size() / 3] = static_cast<char>(flipped[flipped.size() / 3] ^ 1);
  CHECK(refusal(table, flipped).field == "content_hash");
}

TEST_CASE("template: a foot with broken arrays is found out", "[template]") {
  CHECK(foot::template_fault(mean()).empty());
  const auto fault = [](auto&& damage) {
    Foot foot = mean();
    damage(foot);
    return foot::template_fault(foot);
  };
  CHECK_FALSE(fault([](Foot& f) { f.skin.weights[7][0] += 0.1; }).empty());
  CHECK_FALSE(fault([](Foot& f) { f.skin.weights[7][0] = std::nan(""); }).empty());
  CHECK_FALSE(fault([](Foot& f) { f.skin.vertices_F[9].x() = std::nan(""); }).empty());
  CHECK_FALSE(fault([](Foot& f) { f.skin.thickness_mm.pop_back(); }).empty());
  CHECK_FALSE(fault([](Foot& f) { f.skin.faces[5][1] = -1; }).empty());
  CHECK_FALSE(fault([](Foot& f) { f.joints[0].min_deg = 1; }).empty());
  CHECK_FALSE(fault([](Foot& f) { f.joints[0].axis_F *= 2; }).empty());
  CHECK_FALSE(fault([](Foot& f) { f.contact_points[3].area_mm2 = 0; }).empty());
  CHECK_FALSE(fault([](Foot& f) { f.contact_points[3].face = 1 << 20; }).empty());
  CHECK_FALSE(fault([](Foot& f) { f.plantar_midline[3].barycentric.x() += 0.5; }).empty());
  CHECK_FALSE(fault([](Foot& f) { f.arch_apex = f.arch_front; }).empty());
}
