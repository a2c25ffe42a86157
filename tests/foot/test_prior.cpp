// The prior against the published statistics of its sample, and against the rows it was not made from.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fstream>
#include <sstream>

#include "../temporary_folder.h"
#include "aplomb/foot/random.h"
#include "feet.h"

using namespace aplomb;
using namespace aplomb::foot;
using Catch::Detail::Approx;

namespace {

double correlation(int a, int b) {
  const auto& c = testing::prior().covariance;
  return c(a, b) / std::sqrt(c(a, a) * c(b, b));
}

/// Odd rows of the anthropometry table: those that tools/prior leaves out.
std::vector<Numbers> unused_rows(const std::filesystem::path& file) {
  std::ifstream in(file);
  std::string line, cell;
  std::getline(in, line);
  std::vector<std::optional<int>> column;
  for (std::istringstream header(line); std::getline(header, cell, ',');) column.push_back(find_number(cell));
  std::vector<Numbers> rows;
  for (int row = 0; std::getline(in, line); ++row) {
    if (row % 2 == 0) continue;
    Numbers numbers;
    std::istringstream cells(line);
    for (std::size_t c = 0; std::getline(cells, cell, ','); ++c)
      if (column[c] && *column[c] < dimension_count) numbers[*column[c]] = std::stod(cell);
    rows.push_back(numbers);
  }
  return rows;
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
  const auto file = testing::shared_file("data/anthropometry/ansur2_women_feet.csv");
  if (!file) return;
  const auto rows = unused_rows(*file);
  REQUIRE(rows.size() == 496);
  // Each girth and breadth, predicted from length, breadth and ball length: 90 % band.
  for (const int predicted : {int{heel_breadth}, int{ball_girth}, int{heel_ankle_girth}, int{ankle_girth},
                              int{bimalleolar_breadth}, int{lateral_malleolus_height}}) {
    int inside = 0;
    double squares = 0, plain = 0;
    for (const Numbers& row : rows) {
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

TEST_CASE("prior: drawn feet have the prior's statistics and the stated shares of toe patterns", "[prior]") {
  constexpr int n = 2000;
  double sum = 0, squares = 0;
  int longest[3] = {0, 0, 0};
  for (int seed = 0; seed < n; ++seed) {
    const Card card = random_card(testing::prior(), static_cast<std::uint64_t>(seed));
    sum += *card.numbers[foot_breadth];
    squares += std::pow(*card.numbers[foot_breadth] - 92.66, 2);
    // The longest toe is left to reach the length: second toe in the Greek pattern, hallux else.
    REQUIRE(card.numbers[toe_length].has_value() != card.numbers[toe_length + 1].has_value());
    ++longest[card.numbers[toe_length].has_value() ? 1 : 0];
    CHECK_FALSE(contradiction_in(card.numbers));
  }
  CHECK(sum / n == Approx(testing::prior().mean[foot_breadth]).margin(3 * 4.9 / std::sqrt(n)));
  CHECK(std::sqrt(squares / n) == Approx(4.92).epsilon(0.06));
  CHECK(longest[1] / static_cast<double>(n) == Approx(0.20).margin(3 * std::sqrt(0.2 * 0.8 / n)));
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
  CHECK(refused("]\n}", ""));
}
