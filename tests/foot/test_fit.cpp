// From card to foot: what is met, what is moved, what is said of the doubt.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/foot/loading.h"
#include "aplomb/foot/random.h"
#include "aplomb/geometry/exact.h"
#include "feet.h"

using namespace aplomb;
using namespace aplomb::foot;
using Catch::Detail::Approx;
using testing::model;
using testing::need;
using testing::prior;
using testing::sites;

namespace {

Card bare(double length, double breadth) {
  Card card;
  card.numbers[foot_length] = length;
  card.numbers[foot_breadth] = breadth;
  return card;
}

Foot fitted(const Card& card, const FitOptions& options = {}) {
  return need(fit_card(card, model(), prior(), options));
}

double value(const Foot& foot, int number) { return foot.measurements.at(number_table()[number].key).value; }
double sd(const Foot& foot, int number) { return foot.measurements.at(number_table()[number].key).sd; }

testing::Taken taken_of(const Foot& foot) {
  const Body body = body_at(model(), testing::shape_of(foot));
  return testing::take(testing::standing_mesh(foot), body.joints(0, sites().mtp[0]) + ball_medial_ahead_mm,
                       body.joints(0, sites().mtp[4]) + ball_lateral_ahead_mm);
}

}  // namespace

TEST_CASE("fit: length and breadth within .5 mm, girths within 1.5 mm, measured again by other code", "[fit]") {
  for (const double length : {165.0, 205.0, 238.0, 262.0, 300.0}) {
    for (const double proportion : {-1.5, 0.0, 1.5}) {
      const Conditional usual = given_length(prior(), length);
      const auto k = std::find(usual.index.begin(), usual.index.end(), int{foot_breadth}) - usual.index.begin();
      Card card = bare(length, usual.mean[k] + proportion * std::sqrt(usual.covariance(k, k)));
      const Conditional rest = given(usual, card.numbers);
      const auto g = std::find(rest.index.begin(), rest.index.end(), int{ball_girth}) - rest.index.begin();
      card.numbers[ball_girth] = rest.mean[g] - proportion * std::sqrt(rest.covariance(g, g));
      CAPTURE(length, proportion, *card.numbers[foot_breadth], *card.numbers[ball_girth]);
      const auto taken = taken_of(fitted(card));
      CHECK(std::abs(taken.length - length) < 0.5);
      CHECK(std::abs(taken.breadth - *card.numbers[foot_breadth]) < 0.5);
      CHECK(std::abs(taken.ball_girth - *card.numbers[ball_girth]) < 1.5);
    }
  }
}

TEST_CASE("fit: each number on the card moves its own dimension and leaves length and breadth", "[fit]") {
  const Card base = testing::usual_card(240);
  const Foot before = fitted(base);
  const auto sizes = measure(sites(), body_at(model(), testing::shape_of(before)));
  const Conditional usual = given_length(prior(), 240);
  for (int i = 0; i < dimension_count; ++i) {
    if (!base.numbers[i] || i == foot_length) continue;
    const auto k = std::find(usual.index.begin(), usual.index.end(), i) - usual.index.begin();
    const double change = 0.5 * std::sqrt(usual.covariance(k, k));
    Card card = base;
    card.numbers[i] = *base.numbers[i] + change;
    FitOptions lenient;
    lenient.unlikely_sds = 100;
    const Foot after = fitted(card, lenient);
    const auto now = measure(sites(), body_at(model(), testing::shape_of(after)));
    CAPTURE(number_table()[i].key, change);
    CHECK(now[i].value - sizes[i].value == Approx(change).epsilon(0.15));
    CHECK(now[foot_length].value == Approx(240).margin(0.5));
    if (i != foot_breadth) CHECK(now[foot_breadth].value == Approx(sizes[foot_breadth].value).margin(0.5));
  }
}

TEST_CASE("fit: what the card leaves open follows the statistics, and its doubt shrinks with knowledge", "[fit]") {
  const Foot open = fitted(bare(240, 91));
  Numbers known;
  known[foot_breadth] = 91;
  const Conditional rest = given(given_length(prior(), 240), known);
  for (const int i :
       {int{heel_breadth}, int{heel_ankle_girth}, int{ankle_girth}, int{bimalleolar_breadth}, int{ball_girth}}) {
    const auto k = std::find(rest.index.begin(), rest.index.end(), i) - rest.index.begin();
    CAPTURE(number_table()[i].key);
    CHECK(std::abs(value(open, i) - rest.mean[k]) < 0.25 * std::sqrt(rest.covariance(k, k)));
    CHECK(sd(open, i) == Approx(std::sqrt(rest.covariance(k, k))).epsilon(0.15));
    CHECK(open.measurements.at(number_table()[i].key).source == "prior");
  }
  Card more = bare(240, 91);
  more.numbers[ball_girth] = value(open, ball_girth);
  const Foot told = fitted(more);
  CHECK(told.measurements.at("ball_girth_mm").source == "card");
  CHECK(sd(told, ball_girth) < 0.5 * sd(open, ball_girth));
  // Two Gaussians of one number multiply: what was open and what the tape tells.
  const double tape_sd = number_table()[ball_girth].caliper_sd;
  CHECK(sd(told, ball_girth) == Approx(1 / std::hypot(1 / sd(open, ball_girth), 1 / tape_sd)).epsilon(0.02));
  CHECK(sd(told, heel_ankle_girth) < sd(open, heel_ankle_girth));
  // The covariance is one: symmetric, positive.
  REQUIRE(told.covariance.size() == shape_count * shape_count);
  const Eigen::Map<const Eigen::Matrix<double, shape_count, shape_count>> covariance(told.covariance.data());
  CHECK(covariance.isApprox(covariance.transpose(), 1e-12));
  CHECK(covariance.llt().info() == Eigen::Success);
}

TEST_CASE("fit: one foot under three loads is one foot", "[fit]") {
  // Xiong 2009: length 14.56 / 14.72 / 14.77 % of stature at none / half / full weight.
  Numbers standing;
  standing[foot_length] = 240;
  standing[foot_breadth] = 91;
  standing[ball_length] = 177;
  CHECK(*from_standing(standing, Load::none)[foot_length] == Approx(240 * 14.56 / 14.72));
  CHECK(*from_standing(standing, Load::full)[foot_length] == Approx(240 * 14.77 / 14.72));
  CHECK(*from_standing(standing, Load::full)[foot_breadth] / *from_standing(standing, Load::none)[foot_breadth] ==
        Approx(1.06));
  // The growth lies behind the ball.
  CHECK(*from_standing(standing, Load::none)[foot_length] - *from_standing(standing, Load::none)[ball_length] ==
        Approx(63));
  const Foot base = fitted(bare(240, 91));
  for (const Load load : {Load::none, Load::full}) {
    Card card;
    card.load = load;
    card.numbers = from_standing(bare(240, 91).numbers, load);
    const Foot foot = fitted(card);
    CHECK(foot.length_mm == Approx(base.length_mm).margin(0.1));
    CHECK(foot.breadth_mm == Approx(base.breadth_mm).margin(0.1));
    // Numbers are told as the card's load says.
    CHECK(value(foot, foot_length) == Approx(*card.numbers[foot_length]).margin(0.2));
    for (std::size_t v = 0; v < foot.skin.vertices_F.size(); v += 211)
      CHECK((foot.skin.vertices_F[v] - base.skin.vertices_F[v]).norm() < 0.5);
  }
}

TEST_CASE("fit: toe lengths make the pattern", "[fit]") {
  // Second toe longer than the hallux: it ends the foot (Greek); the tips' places say so, not the numbers.
  Card greek = bare(240, 90);
  greek.numbers[toe_length] = 59;
  greek.numbers[toe_length + 1] = 62.5;
  const auto tip = [](const Foot& foot, int toe) {
    return body_at(model(), testing::shape_of(foot)).skin(0, sites().toe_tip[toe]);
  };
  const Foot g = fitted(greek);
  CHECK(tip(g, 1) > tip(g, 0) + 2);
  CHECK(tip(g, 1) == Approx(240).margin(0.6));
  Card egyptian = bare(240, 90);
  egyptian.numbers[toe_length] = 64;
  egyptian.numbers[toe_length + 1] = 55;
  const Foot e = fitted(egyptian);
  CHECK(tip(e, 0) > tip(e, 1) + 4);
  CHECK(tip(e, 0) == Approx(240).margin(0.6));
}

TEST_CASE("fit: a left foot is the same geometry on the other side", "[fit]") {
  Card card = bare(240, 91);
  const Foot right = fitted(card);
  card.side = Side::left;
  const Foot left = fitted(card);
  CHECK(left.side == Side::left);
  CHECK(left.shape == right.shape);
  for (std::size_t v = 0; v < left.skin.vertices_F.size(); ++v)
    REQUIRE(left.skin.vertices_F[v] == right.skin.vertices_F[v]);
}

TEST_CASE("fit: a surprising number needs to be accepted by name", "[fit]") {
  Card card = bare(240, 91);
  card.numbers[heel_breadth] = 44;
  card.file = "card.toml";
  card.line[heel_breadth] = 7;
  const auto refused = fit_card(card, model(), prior());
  REQUIRE_FALSE(refused);
  CHECK(refused.error().kind == io::ErrorKind::decision_needed);
  CHECK(io::to_line(refused.error()).find("card.toml:7: heel_breadth_mm") != std::string::npos);
  CHECK(refused.error().remedy.find("--accept-unlikely heel_breadth_mm") != std::string::npos);
  FitOptions accept;
  accept.accept_unlikely = {"heel_breadth_mm"};
  const Foot foot = fitted(card, accept);
  CHECK(taken_of(foot).heel_breadth == Approx(44).margin(1.0));
  accept.accept_unlikely = {"heel_bredth_mm"};
  const auto misspelt = fit_card(card, model(), prior(), accept);
  REQUIRE_FALSE(misspelt);
  CHECK(misspelt.error().kind == io::ErrorKind::bad_input);
  CHECK(misspelt.error().remedy.find("heel_breadth_mm") != std::string::npos);
  // Accepting one does not accept another.
  card.numbers[lateral_malleolus_height] = 95;
  accept.accept_unlikely = {"heel_breadth_mm"};
  const auto other = fit_card(card, model(), prior(), accept);
  REQUIRE_FALSE(other);
  CHECK(other.error().field == "lateral_malleolus_height_mm");
}

TEST_CASE("fit: exchanged length and breadth, and a breadth no foot has", "[fit]") {
  // 91 mm is below any length; a foot 180 mm long is not 130 broad.
  Card broad = bare(180, 130);
  const auto refused = fit_card(broad, model(), prior());
  REQUIRE_FALSE(refused);
  CHECK(refused.error().kind == io::ErrorKind::decision_needed);
  CHECK(refused.error().field == "foot_breadth_mm");
}

TEST_CASE("fit: the extremes of length are answered", "[fit]") {
  for (const double length : {120.0, 330.0}) {
    const Conditional usual = given_length(prior(), length);
    const Foot foot = fitted(
        bare(length,
             usual.mean[std::find(usual.index.begin(), usual.index.end(), int{foot_breadth}) - usual.index.begin()]));
    CHECK(taken_of(foot).length == Approx(length).margin(0.5));
    const auto report = geometry::examine({foot.skin.vertices_F, foot.skin.faces});
    CHECK(report.self_intersections == 0);
  }
}

TEST_CASE("fit: drawn feet are closed, with toes apart", "[fit]") {
  constexpr int feet = 16;
  int crossing = 0;
  for (int seed = 101; seed < 101 + feet; ++seed) {
    const Foot foot = need(random_foot(model(), prior(), static_cast<std::uint64_t>(seed)));
    const auto report = geometry::examine({foot.skin.vertices_F, foot.skin.faces});
    CHECK(report.closed);
    CHECK(report.outward);
    crossing += report.self_intersections > 0;
    CHECK(std::abs(foot.residual.at("foot_length_mm")) < 0.5);
    CHECK(std::abs(foot.residual.at("foot_breadth_mm")) < 0.5);
  }
  CHECK(crossing <= 1);
}

TEST_CASE("fit: the same card gives the same bits", "[fit]") {
  const Card card = bare(243, 94);
  const Foot once = fitted(card), again = fitted(card);
  CHECK(once.shape == again.shape);
  CHECK(once.covariance == again.covariance);
}
