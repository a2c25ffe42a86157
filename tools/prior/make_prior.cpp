// Makes the prior file from the even rows of the anthropometry table and from the literature.
// Usage: make_prior ANTHROPOMETRY.csv OUT.json. The odd rows are left for the tests.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <Eigen/Dense>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <nlohmann/json.hpp>
#include <sstream>

#include "aplomb/foot/foot.h"
#include "aplomb/foot/numbers.h"
#include "aplomb/foot/prior.h"
#include "aplomb/io/files.h"

namespace {

using namespace aplomb::foot;

/// The nine dimensions of ANSUR II come first in Number, so they are the leading block of everything here.
constexpr int measured_count = 9;
constexpr const char* ansur = "ANSUR II (2012) women, every second of 993 records, public domain";

/// Rows of the table as numbers; the columns are looked up by the card's own keys. Exits on a table it does not know.
Eigen::MatrixXd read_table(const std::string& file) {
  const auto text = aplomb::io::read_file(file);
  if (!text) {
    fmt::print(stderr, "{}\n", aplomb::io::to_line(text.error()));
    std::exit(2);
  }
  std::istringstream lines(*text);
  std::string line, cell;
  std::getline(lines, line);
  std::vector<int> column_number;
  for (std::istringstream header(line); std::getline(header, cell, ',');) {
    const auto number = find_number(cell);
    column_number.push_back(number && *number < measured_count ? *number : -1);
  }
  std::vector<Eigen::VectorXd> rows;
  for (int row = 0; std::getline(lines, line); ++row) {
    if (row % 2 != 0) continue;
    Eigen::VectorXd values = Eigen::VectorXd::Constant(measured_count, std::nan(""));
    std::istringstream cells(line);
    for (std::size_t c = 0; c < column_number.size() && std::getline(cells, cell, ','); ++c)
      if (column_number[c] >= 0) values[column_number[c]] = std::stod(cell);
    if (!values.allFinite()) {
      fmt::print(stderr, "{}:{}: not nine foot dimensions\n", file, row + 2);
      std::exit(2);
    }
    rows.push_back(values);
  }
  Eigen::MatrixXd table(rows.size(), measured_count);
  for (std::size_t r = 0; r < rows.size(); ++r) table.row(static_cast<Eigen::Index>(r)) = rows[r];
  return table;
}

/// A dimension nobody measured in that sample: linear in the measured ones, plus its own spread.
struct Derived {
  Eigen::VectorXd on_measured = Eigen::VectorXd::Zero(measured_count);
  double offset = 0;
  std::string source;
};

}  // namespace

int main(int argc, char** argv) {
  if (argc != 3) {
    fmt::print(stderr, "usage: make_prior ANTHROPOMETRY.csv OUT.json\n");
    return 2;
  }
  const Eigen::MatrixXd table = read_table(argv[1]);
  const Eigen::VectorXd mean = table.colwise().mean();
  const Eigen::MatrixXd centred = table.rowwise() - mean.transpose();
  const Eigen::MatrixXd covariance = centred.transpose() * centred / static_cast<double>(table.rows() - 1);

  constexpr double template_length = 240;
  const double grow = mean[foot_length] / template_length;
  constexpr int derived_count = dimension_count - measured_count;
  std::array<Derived, derived_count> derived;
  Eigen::MatrixXd own = Eigen::MatrixXd::Zero(derived_count, derived_count);  // covariance of the spread
  const auto at = [](int number) { return number - measured_count; };

  // Arch and instep. Navicular height 39 +- 4 (controls), 44 +- 5 (college dancers), Matsumoto 2022; it hardly goes
  // with foot length (Hill 2017). Dorsum at half length .340 +- .030 of the heel-to-ball length standing, Butler 2008
  // (from memory); the tables under meshes/anatomy have .2625 of the whole length. That the two go together: guess.
  derived[at(arch_height)] = {Eigen::VectorXd::Zero(measured_count), 42,
                              "navicular height 39 +- 4 and 44 +- 5 mm, Matsumoto 2022 (between the two groups)"};
  derived[at(instep_height)].on_measured[foot_length] = 0.2625;
  derived[at(instep_height)].source =
      "arch height index .340 +- .030, Butler 2008 (from memory), of 240 mm anatomy tables";
  const double arch_sd = 5, instep_sd = 0.022 * mean[foot_length], arch_instep = 0.5;
  own(at(arch_height), at(arch_height)) = arch_sd * arch_sd;
  own(at(instep_height), at(instep_height)) = instep_sd * instep_sd;
  own(at(arch_height), at(instep_height)) = own(at(instep_height), at(arch_height)) = arch_instep * arch_sd * instep_sd;

  derived[at(hallux_angle)].offset = 11;
  derived[at(hallux_angle)].source =
      "guess: anatomy tables 9.5, abnormal from 15 (clinical cut-off); ballet dancers 18.0 +- 3.3 (JKOA 1996)";
  own(at(hallux_angle), at(hallux_angle)) = 4.5 * 4.5;

  // Toes fill what the ball leaves of the length; about that, the mixture of patterns and a spread of each toe's own.
  const double ahead = mean[foot_length] - mean[ball_length];
  std::array<double, 5> shift{};
  for (int p = 0; p < 3; ++p)
    for (int toe = 0; toe < toe_count; ++toe) shift[toe] += toe_pattern_share[p] * toe_pattern_shift_mm[p][toe];
  for (int toe = 0; toe < toe_count; ++toe) {
    auto& row = derived[at(toe_length + toe)];
    const double slope = (egyptian_toe_length_mm[toe] + shift[toe]) * grow / ahead;
    row.on_measured[foot_length] = slope;
    row.on_measured[ball_length] = -slope;
    row.source =
        "anatomy tables (phalanges from radiographs, PMC5713710, and from memory) with shares of toe patterns; spread "
        "guessed";
    for (int other = 0; other < toe_count; ++other) {
      double mixed = toe == other ? toe_length_own_sd_mm * toe_length_own_sd_mm : 0;
      for (int p = 0; p < 3; ++p)
        mixed += toe_pattern_share[p] * (toe_pattern_shift_mm[p][toe] - shift[toe]) *
                 (toe_pattern_shift_mm[p][other] - shift[other]);
      own(at(toe_length + toe), at(toe_length + other)) = grow * grow * mixed;
    }
  }

  // Toe breadths and heights go mostly with breadth and girth, a little with the length: five toes lie abreast in front
  // of the ball. 1.5 % common and 4 % of their own [guess].
  constexpr std::array<double, 5> breadth = {25, 15, 14, 13.5, 14}, height = {20, 14, 14, 13, 12.8};
  constexpr double common = 0.015, single = 0.04, with_length = 0.2;
  for (int toe = 0; toe < toe_count; ++toe) {
    for (const auto& [first, size, with] : {std::tuple{int{toe_breadth}, breadth[toe], int{foot_breadth}},
                                            std::tuple{int{toe_height}, height[toe], int{ball_girth}}}) {
      auto& row = derived[at(first + toe)];
      row.on_measured[foot_length] = with_length * size * grow / mean[foot_length];
      row.on_measured[with] = (1 - with_length) * size * grow / mean[with];
      row.source =
          "estimate: phalanx head widths (150 feet, japmaonline 21-211) with 2.5 mm of tissue on each side; spread "
          "guessed";
    }
    for (int other = 0; other < toe_count; ++other) {
      const double shared = common * common + (toe == other ? single * single : 0);
      own(at(toe_breadth + toe), at(toe_breadth + other)) = shared * breadth[toe] * breadth[other] * grow * grow;
      own(at(toe_height + toe), at(toe_height + other)) = shared * height[toe] * height[other] * grow * grow;
    }
  }

  Eigen::VectorXd full_mean(int{dimension_count});
  Eigen::MatrixXd full(int{dimension_count}, int{dimension_count});
  Eigen::MatrixXd map(derived_count, measured_count);
  for (int d = 0; d < derived_count; ++d) map.row(d) = derived[d].on_measured;
  full_mean.head(measured_count) = mean;
  full_mean.tail(derived_count) = map * mean;
  for (int d = 0; d < derived_count; ++d) full_mean[measured_count + d] += derived[d].offset;
  full.topLeftCorner(measured_count, measured_count) = covariance;
  full.bottomLeftCorner(derived_count, measured_count) = map * covariance;
  full.topRightCorner(measured_count, derived_count) = (map * covariance).transpose();
  full.bottomRightCorner(derived_count, derived_count) = map * covariance * map.transpose() + own;

  nlohmann::ordered_json out;
  out["format"] = "aplomb-prior";
  out["format_version"] = prior_format_version;
  out["about"] =
      "Dimensions of standing feet of adult women, mm and deg. Made by tools/prior; correlation lists each row up to "
      "itself.";
  for (int i = 0; i < dimension_count; ++i) {
    nlohmann::ordered_json row;
    const double sd = std::sqrt(full(i, i));
    // Six figures are far beyond what 497 feet can tell and keep the file readable.
    const auto rounded = [](double value) { return std::stod(fmt::format("{:.6g}", value)); };
    row["key"] = number_table()[i].key;
    row["mean"] = rounded(full_mean[i]);
    row["sd"] = rounded(sd);
    row["source"] = i < measured_count ? ansur : derived[i - measured_count].source;
    for (int j = 0; j <= i; ++j) row["correlation"].push_back(rounded(full(i, j) / sd / std::sqrt(full(j, j))));
    out["dimensions"].push_back(row);
  }
  std::string text = "{\n";
  text += fmt::format("\"format\": {},\n\"format_version\": {},\n\"about\": {},\n\"dimensions\": [\n",
                      out["format"].dump(), out["format_version"].dump(), out["about"].dump());
  for (int i = 0; i < dimension_count; ++i)
    text += out["dimensions"][i].dump() + (i + 1 < dimension_count ? ",\n" : "\n");
  text += "]\n}\n";
  if (const auto written = aplomb::io::write_file(argv[2], text); !written) {
    fmt::print(stderr, "{}\n", aplomb::io::to_line(written.error()));
    return aplomb::io::exit_code(written.error().kind);
  }
  return 0;
}
