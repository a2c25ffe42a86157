// Posing that holds: random feet from standing to pointed and on demi-pointe, every joint to both ends of its range.
// Self-intersection and volume by CGAL's Polygon_mesh_processing.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "aplomb/foot/pose.h"
#include "aplomb/foot/random.h"
#include "aplomb/geometry/exact.h"
#include "feet.h"

using namespace aplomb;
using namespace aplomb::foot;
using Catch::Detail::Approx;
using geometry::rad_per_deg;
using testing::model;

namespace {

constexpr std::uint64_t first_seed = 1000;
/// Flesh hardly changes its volume; what posing may lose or gain of it.
constexpr double volume_share = 0.03;

geometry::ExactReport examined(const Foot& foot, const JointAngles& q) {
  return geometry::examine({pose_skin(foot.skin, pose_bones(foot, q)), foot.skin.faces});
}

JointAngles standing(const Foot& foot) { return JointAngles(foot.joints.size(), 0.0); }

/// Whether any of the faces that cross lies on a toe.
bool in_toes(const Foot& foot, const geometry::ExactReport& report) {
  return std::any_of(report.crossing_faces.begin(), report.crossing_faces.end(), [&](const auto& pair) {
    return std::any_of(pair.begin(), pair.end(), [&](int face) {
      return static_cast<int>(foot.skin.region[foot.skin.faces[face][0]]) < toe_count;
    });
  });
}

double midline_mm(const Foot& foot, const JointAngles& q) {
  const auto skin = pose_skin(foot.skin, pose_bones(foot, q));
  double sum = 0;
  Vec3 before = Vec3::Zero();
  for (std::size_t i = 0; i < foot.plantar_midline.size(); ++i) {
    const auto& p = foot.plantar_midline[i];
    const auto& f = foot.skin.faces[p.face];
    const Vec3 x = p.barycentric[0] * skin[f[0]] + p.barycentric[1] * skin[f[1]] + p.barycentric[2] * skin[f[2]];
    if (i > 0) sum += (x - before).norm();
    before = x;
  }
  return sum;
}

JointAngles dorsiflexed(const Foot& foot) {
  JointAngles q = standing(foot);
  const auto ankle = static_cast<std::size_t>(joint_index(foot, "ankle"));
  q[ankle] = foot.joints[ankle].min_deg * rad_per_deg;
  return q;
}

/// By how much pointing shortens the plantar midline, as if the foot were 240 mm long: the sole folds under hinges
/// whose height goes with the length.
double shortening_mm(const Foot& foot) {
  return (midline_mm(foot, standing(foot)) - midline_mm(foot, pointed(foot))) * template_length_mm / foot.length_mm;
}

/// What one pose does to many feet.
struct Tally {
  int crossing = 0, crossing_in_toes = 0;
  double least_volume = 1, most_volume = 1;  ///< against standing
  std::string seeds;                         ///< of the feet that cross
};

struct Feet {
  std::map<std::string, Tally> poses;
  double least_shortening_mm = 1e9, most_shortening_mm = 0;  ///< of the plantar midline, shortening_mm()
};

Feet pose_feet(std::uint64_t count) {
  const std::vector<std::pair<std::string, std::function<JointAngles(const Foot&)>>> poses{
      {"standing", standing},
      {"a quarter pointed", [](const Foot& f) { return pointed(f, 0.25); }},
      {"half pointed", [](const Foot& f) { return pointed(f, 0.5); }},
      {"three quarters pointed", [](const Foot& f) { return pointed(f, 0.75); }},
      {"pointed", [](const Foot& f) { return pointed(f); }},
      {"demi-pointe", on_demi_pointe},
      {"with the ankle bent up", dorsiflexed}};
  Feet result;
  for (std::uint64_t seed = first_seed; seed < first_seed + count; ++seed) {
    const Foot foot = testing::need(random_foot(model(), testing::prior(), seed));
    double volume = 0;
    for (const auto& [name, angles] : poses) {
      const geometry::ExactReport report = examined(foot, angles(foot));
      if (name == "standing") volume = report.volume_mm3;
      Tally& tally = result.poses[name];
      tally.least_volume = std::min(tally.least_volume, report.volume_mm3 / volume);
      tally.most_volume = std::max(tally.most_volume, report.volume_mm3 / volume);
      if (report.self_intersections == 0) continue;
      ++tally.crossing;
      tally.crossing_in_toes += in_toes(foot, report);
      tally.seeds += fmt::format(" {}", seed);
    }
    const double shortening = shortening_mm(foot);
    result.least_shortening_mm = std::min(result.least_shortening_mm, shortening);
    result.most_shortening_mm = std::max(result.most_shortening_mm, shortening);
  }
  return result;
}

}  // namespace

TEST_CASE("posing: the template keeps its skin, its volume and shortens its sole", "[posing]") {
  const Foot& foot = model().mean;
  const double volume = examined(foot, standing(foot)).volume_mm3;
  for (double share = 0; share <= 1; share += 0.125) {
    CAPTURE(share);
    const auto report = examined(foot, pointed(foot, share));
    CHECK(report.self_intersections == 0);
    CHECK(report.volume_mm3 == Approx(volume).epsilon(volume_share));
  }
  const auto demi = examined(foot, on_demi_pointe(foot));
  CHECK(demi.self_intersections == 0);
  CHECK(demi.volume_mm3 == Approx(volume).epsilon(volume_share));
  const auto bent_up = examined(foot, dorsiflexed(foot));
  CHECK(bent_up.self_intersections == 0);
  CHECK(bent_up.volume_mm3 == Approx(volume).epsilon(volume_share));
  // The anatomy tables: 252.1 mm standing, 228.8 pointed, to be taken as 15 to 25 mm, because skin wrinkles.
  const double shortening = midline_mm(foot, standing(foot)) - midline_mm(foot, pointed(foot));
  CHECK(shortening > 15);
  CHECK(shortening < 25);
}

TEST_CASE("posing: every joint bends to both ends of its range", "[posing]") {
  const Foot& foot = model().mean;
  for (std::size_t j = 0; j < foot.joints.size(); ++j) {
    const JointAxis& joint = foot.joints[j];
    // A toe or ray that is pushed sideways alone meets its neighbour; what happens then is contact's business.
    if (joint.name.ends_with("_splay")) continue;
    for (const double angle_deg : {joint.min_deg, joint.max_deg}) {
      CAPTURE(joint.name, angle_deg);
      JointAngles q = standing(foot);
      q[j] = angle_deg * rad_per_deg;
      CHECK(examined(foot, q).self_intersections == 0);
    }
  }
}

TEST_CASE("posing: random feet stand, point and rise without their skin crossing itself", "[posing]") {
  const Feet feet = pose_feet(20);
  for (const auto& [name, tally] : feet.poses) {
    CAPTURE(name, tally.seeds);
    CHECK(tally.crossing == 0);
    CHECK(tally.least_volume > 1 - volume_share);
    CHECK(tally.most_volume < 1 + volume_share);
  }
}

TEST_CASE("posing: flesh that a fold squeezes bulges by as much", "[posing]") {
  // Far pointing feet with a high arch or a thick heel lose the most; each fold alone, at its end.
  for (const auto& [number, more] : {std::pair<int, double>{arch_height, 6}, {heel_ankle_girth, 12}}) {
    Card card = testing::usual_card(245);
    card.numbers[number] = *card.numbers[number] + more;
    card.numbers[plantarflexion] = 92;
    FitOptions lenient;
    lenient.unlikely_sds = 100;
    const Foot foot = testing::need(fit_card(card, model(), testing::prior(), lenient));
    const double volume = examined(foot, standing(foot)).volume_mm3;
    const auto at_end = [&](bool (*moves)(const JointAxis&), bool up) {
      JointAngles q = standing(foot);
      for (std::size_t j = 0; j < q.size(); ++j)
        if (moves(foot.joints[j])) q[j] = (up ? foot.joints[j].min_deg : foot.joints[j].max_deg) * rad_per_deg;
      return examined(foot, q).volume_mm3 / volume;
    };
    CAPTURE(number_table()[number].key);
    CHECK(at_end([](const JointAxis& joint) { return joint.name == "ankle"; }, false) == Approx(1).margin(0.003));
    CHECK(at_end([](const JointAxis& joint) { return joint.name.starts_with("MTP") && joint.name.size() == 4; },
                 true) == Approx(1).margin(0.003));
  }
}

TEST_CASE("posing: near standing the ball's flesh slides by nothing, further on by what its turning lowers it",
          "[posing]") {
  // A turn R by q about n takes (R - 1) dip; less its steady part, (1 - cos q) of dip is lost along dip and
  // (q - sin q) gained across, as dip is square to the axis but for its tilt.
  const Foot foot = testing::need(fit_card(testing::usual_card(240), model(), testing::prior()));
  const double size_mm = foot.length_mm * foot.bulge[static_cast<int>(Fold::toes)];
  REQUIRE(size_mm > 0);
  const auto mtp1 = static_cast<std::size_t>(joint_index(foot, "MTP1"));
  const int between = mtp_between_near0;
  const Vec3 dip = size_mm * between_of(between).dip, n = foot.joints[mtp1].axis_F;
  // How far the bone goes beyond its plain turn about the joint's own centre.
  const auto slid = [&](double angle) {
    JointAngles q(foot.joints.size(), 0.0);
    q[mtp1] = angle;
    const Vec3 centre = foot.joints[mtp1].centre_F;
    return Vec3(pose_bones(foot, q)[between] * centre - centre);
  };
  for (const double angle : {-1e-3, -0.5, -1.2}) {
    CAPTURE(angle);
    const Vec3 along = dip - n * n.dot(dip), across = n.cross(dip);
    const Vec3 expected = (std::cos(angle) - 1) * along + (std::sin(angle) - angle) * across;
    CHECK((slid(angle) - expected).norm() < 1e-9);
  }
  CHECK(slid(-1e-3).norm() < 1e-6 * dip.norm());
}

TEST_CASE("posing: two hundred random feet", "[.][long][posing]") {
  constexpr std::uint64_t count = 200;
  const Feet feet = pose_feet(count);
  for (const auto& [name, tally] : feet.poses) {
    std::cout << fmt::format(
        "result: {} of {} random feet {}: skin crosses itself, {} of them in the toes{}{}; volume "
        "{:+.1f} to {:+.1f} % against standing\n",
        tally.crossing, count, name, tally.crossing_in_toes, tally.crossing > 0 ? ", seeds" : "", tally.seeds,
        100 * (tally.least_volume - 1), 100 * (tally.most_volume - 1));
  }
  std::cout << fmt::format("result: plantar midline {:.1f} to {:.1f} mm shorter when pointed (at 240 mm length)\n",
                           feet.least_shortening_mm, feet.most_shortening_mm);
  CHECK(feet.poses.at("standing").crossing == 0);
  CHECK(feet.poses.at("pointed").crossing <= 2);
  CHECK(feet.poses.at("pointed").crossing_in_toes == 0);
  CHECK(feet.poses.at("demi-pointe").crossing == 0);
  for (const auto& [name, tally] : feet.poses) {
    CAPTURE(name);
    CHECK(tally.least_volume > 1 - volume_share);
    CHECK(tally.most_volume < 1 + volume_share);
  }
  CHECK(feet.least_shortening_mm > 15);
  CHECK(feet.most_shortening_mm < 25);
}
