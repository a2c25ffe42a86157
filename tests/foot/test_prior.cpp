// The prior against the published statistics of its sample, and against the rows it was not made from.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fstream>
#include <sstream>

#include "../temporary_folder.h"
#include "anthropometry.h"
#include "aplomb/foot/random.h"

using namespace aplomb;
using namespace aplomb::foot;
using Catch::Detail::Approx;

namespace {

double correlation(int a, int b) {
  const auto& c = testing::prior().covariance;
  return c(a, b) / std::sqrt(c(a, a) * c(b, b));
}

}  // namespace

TEST_CASE("prior: means, SDs and correlations of ANSUR II women", "[prior]") {
  // ANSUR II (2012), n = 1986, public data; published statistics of the whole sample. The prior has a quarter of the
  // rows: means may differ by sampling, 3 sd / sqrt(497) = .13 sd, SDs by 3 / sqrt(2 * 497) = 10 %.
  struct Row {
    int number;
    double mean, sd;
  };
  const Row rows[] = {
      {foot_length, 246.29, 12.44}, {ball_length, 182.05, 9.64},        {foot_breadth, 92.71, 4.78},
      {heel_breadth, 67.16, 5.17},  {ball_girth, 228.11, 11.77},        {heel_ankle_girth, 310.32, 15.31},
      {ankle_girth, 215.74, 14.89}, {bimalleolar_breadth, 67.05, 3.49}, {lateral_malleolus_height, 62.75, 5.11}};
  for (const Row& row : rows) {
    CAPTURE(number_table()[row.number].key);
    CHECK(std::abs(testing::prior().mean[row.number] - row.mean) < 0.13 * row.sd);
    CHECK(std::sqrt(testing::prior().covariance(row.number, row.number)) == Approx(row.sd).epsilon(0.10));
  }
  CHECK(correlation(foot_length, ball_length) == Approx(0.940).margin(0.02));
  CHECK(correlation(foot_length, foot_breadth) == Approx(0.555).margin(0.08));
  CHECK(correlation(foot_length, heel_breadth) == Approx(0.514).margin(0.08));
  CHECK(correlation(foot_length, ball_girth) == Approx(0.606).margin(0.08));
  CHECK(correlation(foot_length, heel_ankle_girth) == Approx(0.803).margin(0.05));
  CHECK(correlation(foot_breadth, ball_girth) == Approx(0.859).margin(0.04));
}

TEST_CASE("prior: feet it was not made from fall inside its bands as often as they should", "[prior]") {
  const auto all = testing::anthropometry();
  if (!all) return;
  const auto rows = testing::half(*all, false);
  REQUIRE(rows.size() == 496);
  // Each girth and breadth, predicted from length, breadth and ball length: 90 % band.
  for (const int predicted : {int{heel_breadth}, int{ball_girth}, int{heel_ankle_girth}, int{ankle_girth},
                              int{bimalleolar_breadth}, int{lateral_malleolus_height}}) {
    int inside = 0;
    double squares = 0, plain = 0;
    for (const auto& [line, row] : rows) {
      Numbers known;
      for (const int i : {int{foot_length}, int{ball_length}, int{foot_breadth}}) known[i] = row[i];
      const Conditional rest = given(given_length(testing::prior(), *row[foot_length]), known);
      const auto k = std::find(rest.index.begin(), rest.index.end(), predicted) - rest.index.begin();
      const double miss = *row[predicted] - rest.mean[k];
      inside += std::abs(miss) < 1.645 * std::sqrt(rest.covariance(k, k));
      squares += miss * miss;
      plain += std::pow(*row[predicted] - testing::prior().mean[predicted], 2);
    }
    CAPTURE(number_table()[predicted].key);
    const double share = inside / 496.0;
    CHECK(share > 0.90 - 3 * std::sqrt(0.09 / 496));
    CHECK(share < 0.90 + 3 * std::sqrt(0.09 / 496));
    // Knowing three numbers must help against the bare mean.
    CHECK(squares < 0.97 * plain);
  }
}

TEST_CASE("prior: what it is can be said, number by number", "[prior]") {
  const std::string words = prior_words(testing::prior());
  CAPTURE(words);
  CHECK(words.find("9 of 27 dimensions from 497 women of the US Army (ANSUR II, 2012)") != std::string::npos);
  CHECK(words.find("no dancers") != std::string::npos);
  for (int number = 0; number < number_count; ++number) {
    CAPTURE(number_table()[number].key);
    CHECK(prior_source(testing::prior(), number).empty() == (number == age));
  }
  CHECK(prior_source(testing::prior(), heel_breadth).find("ANSUR II") == 0);
  CHECK(prior_source(testing::prior(), hallux_angle).find("guess: ") == 0);
}

TEST_CASE("prior: a heavier woman's foot is stouter at the same length, as regression on both says", "[prior]") {
  const auto all = testing::anthropometry();
  if (!all) return;
  const auto rows = testing::half(*all, true);
  Eigen::MatrixXd X(rows.size(), 3);
  Eigen::VectorXd y(rows.size());
  for (std::size_t r = 0; r < rows.size(); ++r) {
    const auto i = static_cast<Eigen::Index>(r);
    X.row(i) << 1, *rows[r].numbers[foot_length], *rows[r].numbers[mass];
    y[i] = *rows[r].numbers[ankle_girth];
  }
  const Eigen::Vector3d beta = X.colPivHouseholderQr().solve(y);
  for (const double kg : {52.0, 67.0, 85.0}) {
    const Conditional rest = given_length(testing::prior(), 240, kg);
    const auto k = std::find(rest.index.begin(), rest.index.end(), int{ankle_girth}) - rest.index.begin();
    CHECK(rest.mean[k] == Approx(beta[0] + beta[1] * 240 + beta[2] * kg).margin(0.01));
  }
  CHECK(beta[2] > 0.5);  // mm of ankle girth per kg
}

TEST_CASE("prior: children and men by proportion", "[prior]") {
  const auto mean_at = [](double length, int number) {
    const Conditional c = given_length(testing::prior(), length);
    return c.mean[std::find(c.index.begin(), c.index.end(), number) - c.index.begin()];
  };
  // 469 children of 6 to 15 years: feet on average 213.5 mm long and 84.0 broad (doi 10.23937/2643-3885/1710058).
  CHECK(mean_at(213.5, foot_breadth) == Approx(84.0).margin(2));
  // 283 girls of 10 to 18 years, 233.8 mm long: 87.0 +- 7.2 broad; 235 boys, 247.9 long: 92.3 +- 9.8
  // (African Journal of Anatomy, ajol.info 245375). Another people: within half of their SD.
  CHECK(mean_at(233.8, foot_breadth) == Approx(87.0).margin(3.6));
  CHECK(mean_at(247.9, foot_breadth) == Approx(92.3).margin(4.9));
  // Men and women of ANSUR II together: ball girth = 1.985 breadth + .176 length + 1.6 mm.
  for (const double length : {230.0, 250.0, 271.0})
    CHECK(mean_at(length, ball_girth) ==
          Approx(1.985 * mean_at(length, foot_breadth) + 0.176 * length + 1.6).epsilon(0.02));
  // Over the whole range every mean lies within the bounds of its number, grows with the length, and contradicts no
  // other; every spread stays a spread.
  Numbers before;
  for (double length = 120; length <= 330; length += 5) {
    const Conditional rest = given_length(testing::prior(), length);
    CHECK(rest.covariance.llt().info() == Eigen::Success);
    CHECK(without_reading_doubt(rest).covariance.llt().info() == Eigen::Success);
    Numbers numbers;
    numbers[foot_length] = length;
    for (std::size_t k = 0; k < rest.index.size(); ++k) {
      const int number = rest.index[k];
      CAPTURE(length, number_table()[number].key);
      const double mean = rest.mean[static_cast<Eigen::Index>(k)];
      numbers[number] = mean;
      CHECK(mean > number_table()[number].range.min);
      CHECK(mean < number_table()[number].range.max);
      // The navicular does not go with the length among adults (Hill 2017); the angle never.
      if (before[number] && number != arch_height && number != hallux_angle) CHECK(mean > *before[number]);
    }
    numbers[toe_length].reset();
    CHECK_FALSE(contradiction_in(numbers));
    before = numbers;
  }
  // Mass: children of 6 years are about 115 cm tall with feet of 18 cm and weigh 20 kg; men with 290 mm, 75 to 95 kg
  // (from memory: growth references, 50th percentiles).
  Numbers child, man;
  child[foot_length] = 180;
  man[foot_length] = 290;
  CHECK(usual_of(testing::prior(), mass, child).value == Approx(22).margin(5));
  CHECK(usual_of(testing::prior(), mass, man).value == Approx(82).margin(10));
}

TEST_CASE("prior: beyond the sample proportions are kept", "[prior]") {
  const auto at = [](double length, int number) {
    const Conditional c = given_length(testing::prior(), length);
    return c.mean[std::find(c.index.begin(), c.index.end(), number) - c.index.begin()];
  };
  const double edge =
      testing::prior().mean[foot_length] - 2 * std::sqrt(testing::prior().covariance(foot_length, foot_length));
  CHECK(at(150, foot_breadth) / 150 == Approx(at(edge, foot_breadth) / edge).epsilon(1e-12));
  CHECK(at(150, hallux_angle) == Approx(at(edge, hallux_angle)).epsilon(1e-12));
  // Inside it the regression: breadth grows by r sd_b / sd_l per mm (hand calculation from the table above: .21).
  CHECK((at(250, foot_breadth) - at(240, foot_breadth)) / 10 == Approx(0.213).margin(0.03));
}

TEST_CASE("prior: conditioning agrees with the two-variable formula", "[prior]") {
  Conditional two{
      .index = {foot_breadth, ball_girth}, .mean = Eigen::Vector2d(90, 220), .covariance = Eigen::Matrix2d::Zero()};
  two.covariance << 16, 0.8 * 4 * 10, 0.8 * 4 * 10, 100;
  Numbers known;
  known[foot_breadth] = 94;
  const Conditional rest = given(two, known);
  REQUIRE(rest.index == std::vector<int>{ball_girth});
  CHECK(rest.mean[0] == Approx(220 + 0.8 * 10));             // mu + r sd (x - mu_x) / sd_x
  CHECK(rest.covariance(0, 0) == Approx(100 * (1 - 0.64)));  // sd^2 (1 - r^2)
}

TEST_CASE("prior: drawn feet have the statistics of dancers of their mass and the stated toe patterns", "[prior]") {
  constexpr int n = 2000;
  double sum = 0, squares = 0, expected = 0, pointing = 0, kg = 0;
  int longest[3] = {0, 0, 0};
  for (int seed = 0; seed < n; ++seed) {
    const Card card = random_card(testing::prior(), static_cast<std::uint64_t>(seed));
    const Numbers& numbers = card.numbers;
    const Conditional rest = given_length(testing::prior(), *numbers[foot_length], numbers[mass]);
    const auto k = std::find(rest.index.begin(), rest.index.end(), int{foot_breadth}) - rest.index.begin();
    expected += rest.mean[k];
    sum += *numbers[foot_breadth];
    squares += std::pow(*numbers[foot_breadth] - rest.mean[k], 2) / rest.covariance(k, k);
    pointing += *numbers[plantarflexion];
    kg += *numbers[mass];
    // The longest toe is left to reach the length: second toe in the Greek pattern, hallux else.
    REQUIRE(numbers[toe_length].has_value() != numbers[toe_length + 1].has_value());
    ++longest[numbers[toe_length].has_value() ? 1 : 0];
    CHECK_FALSE(contradiction_in(numbers));
    // Five toes abreast have room in front of the ball, with air between them.
    double toes = 0;
    for (int toe = 0; toe < toe_count; ++toe) toes += *numbers[toe_breadth + toe];
    CHECK(toes < *numbers[foot_breadth] - 4);
    CHECK(*numbers[breadth_squeezed] <= *numbers[breadth_relaxed]);
    CHECK(*numbers[breadth_relaxed] <= *numbers[foot_breadth]);
    CHECK(*numbers[plantarflexion] > 60);
    CHECK(*numbers[mass] > 25);
  }
  const double sd = 4.0;  // of the breadth about its expectation, mm
  CHECK(sum / n == Approx(expected / n).margin(3 * sd / std::sqrt(n)));
  CHECK(std::sqrt(squares / n) == Approx(1).epsilon(0.06));
  CHECK(longest[1] / static_cast<double>(n) == Approx(0.20).margin(3 * std::sqrt(0.2 * 0.8 / n)));
  // Russell 2010: 83 deg. College dancers 57.2 +- 6.9 kg, vocational students 53.1 +- 8.8 kg (literature).
  CHECK(pointing / n == Approx(83).margin(3 * 8 / std::sqrt(n)));
  CHECK(kg / n > 53.1);
  CHECK(kg / n < 58.5);
  const Card once = random_card(testing::prior(), 7), again = random_card(testing::prior(), 7);
  CHECK(once.numbers == again.numbers);
}

TEST_CASE("prior: damaged files are refused", "[prior]") {
  CHECK_FALSE(read_prior("no/such/prior.json"));
  const aplomb::scratch::Folder temporary;
  const auto& folder = temporary.path;
  std::ifstream in(testing::meshes() / "foot" / "prior.json");
  std::stringstream text;
  text << in.rdbuf();
  const auto refused = [&](const std::string& from, const std::string& to) {
    std::string changed = text.str();
    const auto at = changed.find(from);
    REQUIRE(at != std::string::npos);
    changed.replace(at, from.size(), to);
    std::ofstream(folder / "prior.json") << changed;
    return !read_prior(folder / "prior.json");
  };
  CHECK(refused("aplomb-prior", "aplomb-card"));
  CHECK(refused("\"ball_length_mm\"", "\"bail_length_mm\""));
  CHECK(refused("\"correlation\":[1.0]", "\"correlation\":[]"));
  CHECK(refused("\"correlation\":[1.0]", "\"correlation\":[-1.0]"));
  CHECK(refused("\"mark\":\"C\"", "\"mark\":\"X\""));
  CHECK(refused("\"plantarflexion_deg\"", "\"planterflexion_deg\""));
  CHECK(refused("\"with\":\"foot_length_mm\"", "\"with\":\"shoe_length_mm\""));
  CHECK(refused("\"population\"", "\"people\""));
  CHECK(refused("]\n}", ""));
}
