// Where each number is taken, against the number itself: the points lie on the skin that is shown, as far apart as the
// number says.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>
#include <map>

#include "aplomb/foot/build.h"
#include "aplomb/foot/portrait.h"
#include "aplomb/geometry/mesh.h"
#include "feet.h"

using namespace aplomb;
using namespace aplomb::foot;
using Kind = TakenAt::Kind;

namespace {

Foot fitted(const std::string& numbers, const std::string& side = "right") {
  const Card card = source_data::need(parse_card("side = \"" + side + "\"\n" + numbers, "card.toml"));
  FitOptions options;
  options.unlikely_sds = 1e9;
  return source_data::need(fit_card(card, testing::model(), testing::prior(), options));
}

double loop_length(const std::vector<Vec3>& loop) {
  double sum = 0;
  for (std::size_t i = 0; i < loop.size(); ++i) sum += (loop[(i + 1) % loop.size()] - loop[i]).norm();
  return sum;
}

/// The number that the points say.
double read_off(const TakenAt& taken, const Foot& standing) {
  const auto& p = taken.points_F;
  switch (taken.kind) {
    case Kind::height:
      return p[1].z() - p[0].z();
    case Kind::tape:
      return loop_length(p);
    case Kind::angle: {
      const Vec3 a = p[1] - p[0], b = p[2] - p[1];
      return geometry::deg_per_rad * std::abs(std::atan2(a.x() * b.y() - a.y() * b.x(), a.x() * b.x() + a.y() * b.y()));
    }
    default:
      break;
  }
  const Vec3 apart = p[1] - p[0];
  if (taken.number == foot_length || taken.number == ball_length) return apart.x();
  if (taken.number >= toe_breadth && taken.number < toe_height + 5) {
    // Square to the toe's last part.
    const int toe = (taken.number - toe_breadth) % 5;
    const std::string n = std::to_string(toe + 1);
    const Vec3 knuckle =
        standing.joints[static_cast<std::size_t>(joint_index(standing, (toe == 0 ? "IP" : "PIP") + n))].centre_F;
    const Vec3 last = standing.landmarks.at("tip" + n).position_F - knuckle, across = Vec3::UnitZ().cross(last);
    const Vec3 direction = taken.number < toe_height ? across : last.cross(across);
    return std::abs(apart.dot(direction.normalized()));
  }
  if (taken.number == foot_breadth || taken.number == heel_breadth || taken.number == bimalleolar_breadth)
    return std::abs(apart.y());
  return apart.head<2>().norm();  // toes, in plan
}

const std::map<std::string, std::string>& feet() {
  static const std::map<std::string, std::string> feet = {
      {"usual", "foot_length_mm = 238\nfoot_breadth_mm = 89\n"},
      {"child", "foot_length_mm = 180\nfoot_breadth_mm = 68\n"},
      {"long", "foot_length_mm = 290\nfoot_breadth_mm = 108\n"},
      {"bunion", "foot_length_mm = 242\nfoot_breadth_mm = 97\nhallux_angle_deg = 32\n"},
      {"flat", "foot_length_mm = 245\nfoot_breadth_mm = 94\narch_height_mm = 28\n"},
      {"Greek",
       "foot_length_mm = 240\nfoot_breadth_mm = 88\n[toes.hallux]\nlength_mm = 58\n[toes.second]\n"
       "length_mm = 64\n"}};
  return feet;
}

}  // namespace

TEST_CASE("portrait: every dimension is drawn as long as it measures", "[portrait]") {
  for (const auto& [name, numbers] : feet()) {
    CAPTURE(name);
    const Foot foot = fitted(numbers);
    const Portrait portrait = make_portrait(testing::model(), foot);
    const Foot standing = foot_under(testing::model(), build_of(foot), Load::standing);
    std::map<int, int> seen;
    for (const TakenAt& taken : portrait.taken) {
      const auto& key = number_table()[taken.number].key;
      CAPTURE(key);
      ++seen[taken.number];
      const double value = foot.measurements.at(key).value;
      // A tape is cut anew from the whole mesh.
      const double off = taken.kind == Kind::tape ? 1.0 : 0.3;
      CHECK(std::abs(read_off(taken, standing) - value) <= off);
    }
    CHECK(seen.size() == dimension_count);
  }
}

TEST_CASE("portrait: what a caliper touches is skin", "[portrait]") {
  const Portrait portrait = make_portrait(
      testing::model(), fitted("foot_length_mm = 236\nfoot_breadth_mm = 88\n[toes.second]\nbend_deg = 40\n"));
  const auto gap = [&](const Vec3& point) {
    double least = 1e9;
    for (const Vec3& vertex : portrait.standing_F.vertices) least = std::min(least, (vertex - point).norm());
    return least;
  };
  for (const TakenAt& taken : portrait.taken) {
    CAPTURE(number_table()[taken.number].key);
    const bool from_joint = taken.kind == Kind::angle || (taken.number >= toe_length && taken.number < toe_length + 5);
    if (from_joint || taken.number == lateral_malleolus_height) continue;  // joint centres, and a bone's landmark
    for (const Vec3& point : taken.points_F)
      if (!(taken.kind == Kind::height && point.z() == 0)) {
        // Edges of the mesh are up to some millimetres long; a tape spans hollows.
        if (taken.kind != Kind::tape) CHECK(gap(point) < 3);
      }
  }
}

TEST_CASE("portrait: a left foot is the right one's mirror, wound outward", "[portrait]") {
  const std::string numbers = "foot_length_mm = 238\nfoot_breadth_mm = 89\n";
  const Portrait right = make_portrait(testing::model(), fitted(numbers)),
                 left = make_portrait(testing::model(), fitted(numbers, "left"));
  CHECK(left.side == Side::left);
  for (std::size_t v = 0; v < right.standing_F.vertices.size(); v += 97) {
    CHECK(left.standing_F.vertices[v].y() == -right.standing_F.vertices[v].y());
    CHECK(left.pointed_F.vertices[v].x() == right.pointed_F.vertices[v].x());
    CHECK(left.pointed_F.vertices[v].y() == -right.pointed_F.vertices[v].y());
  }
  for (std::size_t i = 0; i < right.taken.size(); ++i)
    CHECK(left.taken[i].points_F[0].y() == -right.taken[i].points_F[0].y());
  for (const Portrait* one : {&right, &left}) {
    CHECK(geometry::volume(one->standing_F) > 0);
    CHECK(geometry::volume(one->pointed_F) > 0);
  }
}

TEST_CASE("portrait: pointed by as much as the card says, on the floor", "[portrait]") {
  for (const double range_deg : {60.0, 83.0, 100.0}) {
    CAPTURE(range_deg);
    const Portrait portrait = make_portrait(
        testing::model(),
        fitted("foot_length_mm = 238\nfoot_breadth_mm = 89\nplantarflexion_deg = " + std::to_string(range_deg) + "\n"));
    double lowest = 1e9;
    for (const Vec3& vertex : portrait.pointed_F.vertices) lowest = std::min(lowest, vertex.z());
    CHECK(lowest == Approx(0).margin(1e-9));
    const Vec3 level = portrait.pointing_F[0] - portrait.pointing_F[1],
               toes = portrait.pointing_F[2] - portrait.pointing_F[1];
    CHECK(level.z() == Approx(0).margin(1e-9));
    // The joints' axes lean a little, so that their angles do not add up exactly in the side view.
    const double angle = geometry::deg_per_rad * std::acos(level.normalized().dot(toes.normalized()));
    CHECK(angle == Approx(range_deg).margin(2.5));
  }
}

TEST_CASE("portrait: standing toes show their bend, and the foot is broader than without weight", "[portrait]") {
  const std::string numbers = "foot_length_mm = 236\nfoot_breadth_mm = 88\n";
  const Foot plain = fitted(numbers), bent = fitted(numbers + "[toes.second]\nbend_deg = 45\n");
  const Portrait straight = make_portrait(testing::model(), plain), hammer = make_portrait(testing::model(), bent);
  double most = 0;
  for (std::size_t v = 0; v < straight.standing_F.vertices.size(); ++v)
    most = std::max(most, (straight.standing_F.vertices[v] - hammer.standing_F.vertices[v]).norm());
  CHECK(most > 5);
  const auto breadth = [](const std::vector<Vec3>& vertices) {
    double low = 1e9, high = -1e9;
    for (const Vec3& x : vertices)
      if (x.x() > 120 && x.z() < 60) low = std::min(low, x.y()), high = std::max(high, x.y());
    return high - low;
  };
  // Tsung 2003: 2.9 % broader under half the body weight (from memory).
  CHECK(breadth(straight.standing_F.vertices) / breadth(plain.skin.vertices_F) == Approx(1.029).margin(0.006));
}

TEST_CASE("portrait: the mean foot", "[portrait]") {
  const Portrait portrait = make_portrait(testing::model());
  CHECK(portrait.side == Side::right);
  CHECK(portrait.standing_F.vertices.size() == testing::model().mean.skin.vertices_F.size());
  CHECK(portrait.taken.size() == dimension_count);
}
