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
#include "aplomb/foot/loading.h"
#include "aplomb/foot/numbers.h"
#include "aplomb/foot/prior.h"
#include "aplomb/io/files.h"

namespace {

using namespace aplomb::foot;

/// The table's columns that the prior takes: the nine dimensions, which come first in Number, and then mass.
constexpr int column_count = sampled_count + 1, mass_column = sampled_count;
constexpr const char* ansur = "ANSUR II (2012) women, every second of 993 records, public domain";
/// What the literature and the tables speak of was brought to this foot length.
constexpr double template_length = 240;

/// Rows of the table as numbers; the columns are looked up by the card's own keys. Exits on a table it does not know.
Eigen::MatrixXd read_table(const std::string& file) {
  const auto text = aplomb::io::read_file(file);
  if (!text) {
    fmt::print(stderr, "{}\n", aplomb::io::to_line(text.error()));
    std::exit(2);
  }
  std::string unix_text = *text;
  std::erase(unix_text, '\r');
  std::istringstream lines(unix_text);
  std::string line, cell;
  std::getline(lines, line);
  std::vector<int> column_number;
  for (std::istringstream header(line); std::getline(header, cell, ',');) {
    const auto number = find_number(cell);
    const bool wanted = number && (*number < sampled_count || *number == mass);
    column_number.push_back(!wanted ? -1 : *number == mass ? mass_column : *number);
  }
  std::vector<Eigen::VectorXd> rows;
  for (int row = 0; std::getline(lines, line); ++row) {
    if (row % 2 != 0) continue;
    Eigen::VectorXd values = Eigen::VectorXd::Constant(column_count, std::nan(""));
    std::istringstream cells(line);
    for (std::size_t c = 0; c < column_number.size() && std::getline(cells, cell, ','); ++c)
      if (column_number[c] >= 0) values[column_number[c]] = std::stod(cell);
    if (!values.allFinite()) {
      fmt::print(stderr, "{}:{}: not nine foot dimensions and mass_kg\n", file, row + 2);
      std::exit(2);
    }
    rows.push_back(values);
  }
  Eigen::MatrixXd table(rows.size(), column_count);
  for (std::size_t r = 0; r < rows.size(); ++r) table.row(static_cast<Eigen::Index>(r)) = rows[r];
  return table;
}

/// A dimension nobody measured in that sample: linear in the measured ones, plus its own spread.
struct Derived {
  Eigen::VectorXd on_sampled = Eigen::VectorXd::Zero(column_count);
  double offset = 0;
  PriorMark mark = PriorMark::guess;
  std::string source;
};

constexpr int derived_count = dimension_count - sampled_count;
int at(int number) { return number - sampled_count; }

/// All derived dimensions, and the covariance of what is their own.
struct DerivedRows {
  std::array<Derived, derived_count> row;
  Eigen::MatrixXd own = Eigen::MatrixXd::Zero(derived_count, derived_count);
};

/// Navicular height 39 +- 4 (controls), 44 +- 5 (college dancers), Matsumoto 2022; it hardly goes with foot length
/// (Hill 2017). Dorsum at half length .340 +- .030 of the heel-to-ball length standing, Butler 2008 (from memory); the
/// tables under meshes/anatomy have .2625 of the whole length. That the two go together, and that a foot with much
/// girth round heel and ankle is in proportion higher at the instep: guess.
void add_arch(const Eigen::VectorXd& mean, DerivedRows& rows) {
  rows.row[at(arch_height)].offset = 42;
  rows.row[at(arch_height)].mark = PriorMark::published;
  rows.row[at(arch_height)].source =
      "navicular height 39 +- 4 (controls) and 44 +- 5 mm (college dancers), Matsumoto 2022: between the two; does not "
      "go with the length, Hill 2017";
  Derived& instep = rows.row[at(instep_height)];
  const double share = 0.2625;
  instep.on_sampled[foot_length] = share / 2;
  instep.on_sampled[heel_ankle_girth] = share / 2 * mean[foot_length] / mean[heel_ankle_girth];
  instep.mark = PriorMark::published;
  instep.source =
      "arch height index .340 +- .030, Butler 2008 (from memory), on the 240 mm anatomy tables; half of it goes with "
      "the "
      "heel-ankle girth [guess]";
  const double arch_sd = 5, instep_sd = 0.022 * mean[foot_length], together = 0.5;
  rows.own(at(arch_height), at(arch_height)) = arch_sd * arch_sd;
  rows.own(at(instep_height), at(instep_height)) = instep_sd * instep_sd;
  rows.own(at(arch_height), at(instep_height)) = rows.own(at(instep_height), at(arch_height)) =
      together * arch_sd * instep_sd;
}

/// Feet whose big toe leans more are broader (39 specimens, Foot Ankle Int 1996;17:548, pubmed 8886782): a quarter of a
/// degree for each mm beyond what is usual at the length [guess].
void add_hallux_angle(const Eigen::VectorXd& mean, const Eigen::MatrixXd& covariance, DerivedRows& rows) {
  const double mean_deg = 11, sd_deg = 4.5, deg_per_mm = 0.25;
  const double broader = covariance(foot_breadth, foot_length) / covariance(foot_length, foot_length);
  Derived& row = rows.row[at(hallux_angle)];
  row.on_sampled[foot_breadth] = deg_per_mm;
  row.on_sampled[foot_length] = -deg_per_mm * broader;
  row.offset = mean_deg - row.on_sampled.dot(mean);
  row.mark = PriorMark::guess;
  row.source =
      "anatomy tables 9.5, abnormal from 15 (clinical cut-off); ballet dancers 18.0 +- 3.3, modern dancers 13.5 +- 3.8 "
      "(JKOA 1996); more on a broader foot (direction: pubmed 8886782)";
  const double shared = row.on_sampled.dot(covariance * row.on_sampled);
  rows.own(at(hallux_angle), at(hallux_angle)) = sd_deg * sd_deg - shared;
}

/// Toes fill what the ball leaves of the length; about that, the mixture of patterns and a spread of each toe's own.
void add_toe_lengths(const Eigen::VectorXd& mean, DerivedRows& rows) {
  const double grow = mean[foot_length] / template_length;
  const double ahead = mean[foot_length] - mean[ball_length];
  std::array<double, toe_count> shift{};
  for (int p = 0; p < 3; ++p)
    for (int toe = 0; toe < toe_count; ++toe) shift[toe] += toe_pattern_share[p] * toe_pattern_shift_mm[p][toe];
  for (int toe = 0; toe < toe_count; ++toe) {
    Derived& row = rows.row[at(toe_length + toe)];
    const double slope = (egyptian_toe_length_mm[toe] + shift[toe]) * grow / ahead;
    row.on_sampled[foot_length] = slope;
    row.on_sampled[ball_length] = -slope;
    row.source =
        "anatomy tables (phalanges from radiographs, PMC5713710, and from memory) with shares of toe patterns; spread "
        "guessed";
    for (int other = 0; other < toe_count; ++other) {
      double mixed = toe == other ? toe_length_own_sd_mm * toe_length_own_sd_mm : 0;
      for (int p = 0; p < 3; ++p)
        mixed += toe_pattern_share[p] * (toe_pattern_shift_mm[p][toe] - shift[toe]) *
                 (toe_pattern_shift_mm[p][other] - shift[other]);
      rows.own(at(toe_length + toe), at(toe_length + other)) = grow * grow * mixed;
    }
  }
}

/// Toe breadths and heights go mostly with breadth and girth, a little with the length: five toes lie abreast in front
/// of the ball. 1.5 % common and 4 % of their own [guess].
void add_toe_sizes(const Eigen::VectorXd& mean, DerivedRows& rows) {
  const double grow = mean[foot_length] / template_length;
  constexpr std::array<double, 5> breadth = {25, 15, 14, 13.5, 14}, height = {20, 14, 14, 13, 12.8};
  constexpr double common = 0.015, single = 0.04, with_length = 0.2;
  for (int toe = 0; toe < toe_count; ++toe) {
    for (const auto& [first, size, with] : {std::tuple{int{toe_breadth}, breadth[toe], int{foot_breadth}},
                                            std::tuple{int{toe_height}, height[toe], int{ball_girth}}}) {
      Derived& row = rows.row[at(first + toe)];
      row.on_sampled[foot_length] = with_length * size * grow / mean[foot_length];
      row.on_sampled[with] = (1 - with_length) * size * grow / mean[with];
      row.source =
          "phalanx head widths 9.74, 9.00, 8.49, 8.67 mm of toes 2-5 (150 feet, japmaonline 21-211) with 2.5 mm of "
          "tissue "
          "on each side; hallux and heights estimated";
    }
    for (int other = 0; other < toe_count; ++other) {
      const double shared = common * common + (toe == other ? single * single : 0);
      rows.own(at(toe_breadth + toe), at(toe_breadth + other)) = shared * breadth[toe] * breadth[other] * grow * grow;
      rows.own(at(toe_height + toe), at(toe_height + other)) = shared * height[toe] * height[other] * grow * grow;
    }
  }
}

/// Mean and covariance of all rows of the prior.
Prior gaussian(const Eigen::MatrixXd& table) {
  const Eigen::VectorXd mean = table.colwise().mean();
  const Eigen::MatrixXd centred = table.rowwise() - mean.transpose();
  const Eigen::MatrixXd covariance = centred.transpose() * centred / static_cast<double>(table.rows() - 1);
  DerivedRows derived;
  add_arch(mean, derived);
  add_hallux_angle(mean, covariance, derived);
  add_toe_lengths(mean, derived);
  add_toe_sizes(mean, derived);

  // Every row is a linear map of the sampled columns, with an offset and a spread of its own.
  Eigen::MatrixXd map = Eigen::MatrixXd::Zero(prior_count, column_count);
  Eigen::VectorXd offset = Eigen::VectorXd::Zero(prior_count);
  Prior prior;
  prior.mark.fill(PriorMark::computed);
  prior.source.fill(ansur);
  for (int i = 0; i < sampled_count; ++i) map(i, i) = 1;
  map(prior_mass, mass_column) = 1;
  for (int d = 0; d < derived_count; ++d) {
    const Derived& row = derived.row[d];
    map.row(sampled_count + d) = row.on_sampled.transpose();
    offset[sampled_count + d] = row.offset;
    prior.mark[sampled_count + d] = row.mark;
    prior.source[sampled_count + d] = row.source;
  }
  prior.mean = map * mean + offset;
  // What was read carries the doubt of reading; the derived dimensions go with the dimensions themselves.
  Eigen::VectorXd reading = Eigen::VectorXd::Zero(prior_count);
  for (int i = 0; i < sampled_count; ++i) reading[i] = std::pow(number_table()[i].caliper_sd, 2);
  Eigen::MatrixXd of_feet = covariance;
  of_feet.diagonal() -= reading.head(column_count);
  prior.covariance = map * of_feet * map.transpose();
  prior.covariance.diagonal() += reading;
  prior.covariance.block(sampled_count, sampled_count, derived_count, derived_count) += derived.own;
  prior.population = fmt::format("{} women of the US Army (ANSUR II, 2012)", table.rows());
  return prior;
}

/// How body mass grows with foot length in the table: slope of its logarithms.
double mass_power(const Eigen::MatrixXd& table) {
  const Eigen::ArrayXd length = table.col(foot_length).array().log(), kg = table.col(mass_column).array().log();
  const Eigen::ArrayXd centred = length - length.mean();
  return (centred * (kg - kg.mean())).sum() / centred.square().sum();
}

/// The numbers that are no dimensions.
std::vector<UsualRow> usual_rows(const Eigen::MatrixXd& table) {
  std::vector<UsualRow> rows;
  for (int toe = 0; toe < toe_count; ++toe)
    rows.push_back({.number = toe_bend + toe,
                    .value = 0,
                    .sd = 5,
                    .with = {},
                    .source = "straight but for the template's own bend"});
  for (int toe = 0; toe < toe_count; ++toe)
    rows.push_back({.number = toe_lift + toe, .value = 0, .sd = 1, .with = {}, .source = "on the floor, standing"});
  rows.push_back({.number = breadth_relaxed,
                  .value = 1 / load_ratios(Load::standing).foot_breadth,
                  .sd = 0.015,
                  .with = foot_breadth,
                  .power = 1,
                  .mark = PriorMark::published,
                  .source =
                      "a foot with half the weight on it is 2.9 % broader than without, Tsung 2003 (from memory); "
                      "spread guessed"});
  rows.push_back({.number = breadth_squeezed,
                  .value = 1 - 3.5 / 90,
                  .sd = 1.5 / 90,
                  .with = breadth_relaxed,
                  .power = 1,
                  .source = "a hand takes 2 mm from a firm foot and 5 from a soft one (common practice, no source), of "
                            "90 mm"});
  rows.push_back({.number = plantarflexion,
                  .value = 83,
                  .sd = 8,
                  .with = {},
                  .mark = PriorMark::published,
                  .source =
                      "83 +- 2.2 deg standing on pointe, 15 dancers, Russell 2010; spread between 2.2 sqrt(15) = 8.5, "
                      "taken as a standard error, and 5.2 / .70 = 7.4 of 7 dancers' ankles on X-rays (Russell)"});
  rows.push_back({.number = mass,
                  .value = 54,
                  .sd = 7,
                  .with = foot_length,
                  .at = template_length,
                  .power = mass_power(table),
                  .mark = PriorMark::published,
                  .source =
                      "dancers: college students 57.2 +- 6.9 kg (Matsumoto 2022), vocational students 16.5 years old "
                      "53.1 +- 8.8 kg (lida.sport-iat.de 4093271); growth with length as in ANSUR II women"});
  return rows;
}

/// Six figures are far beyond what 497 feet can tell and keep the file readable.
double rounded(double value) { return std::stod(fmt::format("{:.6g}", value)); }

std::string one_row_each(const std::vector<nlohmann::ordered_json>& rows) {
  std::string text;
  for (std::size_t i = 0; i < rows.size(); ++i) text += rows[i].dump() + (i + 1 < rows.size() ? ",\n" : "\n");
  return text;
}

std::string file_text(const Prior& prior) {
  using Row = nlohmann::ordered_json;
  std::vector<Row> dimensions, usual;
  for (int i = 0; i < prior_count; ++i) {
    Row row;
    const double sd = std::sqrt(prior.covariance(i, i));
    row["key"] = number_table()[i == prior_mass ? int{mass} : i].key;
    row["mean"] = rounded(prior.mean[i]);
    row["sd"] = rounded(sd);
    row["mark"] = std::string(1, static_cast<char>(prior.mark[i]));
    row["source"] = prior.source[i];
    for (int j = 0; j <= i; ++j)
      row["correlation"].push_back(rounded(prior.covariance(i, j) / sd / std::sqrt(prior.covariance(j, j))));
    dimensions.push_back(row);
  }
  for (const UsualRow& each : prior.usual) {
    Row row;
    row["key"] = number_table()[each.number].key;
    row["value"] = rounded(each.value);
    row["sd"] = rounded(each.sd);
    if (each.with) {
      row["with"] = number_table()[*each.with].key;
      row["at"] = rounded(each.at);
      row["power"] = rounded(each.power);
    }
    row["mark"] = std::string(1, static_cast<char>(each.mark));
    row["source"] = each.source;
    usual.push_back(row);
  }
  return fmt::format(
      "{{\n\"format\": \"aplomb-prior\",\n\"format_version\": {},\n\"population\": {},\n\"about\": "
      "{},\n\"dimensions\": "
      "[\n{}],\n\"usual\": [\n{}]\n}}\n",
      prior_format_version, Row(prior.population).dump(),
      Row("Dimensions of standing feet of adult women and body mass, mm, deg, kg, as they are read with caliper and "
          "tape. Made by tools/prior. Marks: S published, C computed from open data, G guess. correlation lists each "
          "row "
          "up to itself; a usual value with another number goes as (number / at)^power.")
          .dump(),
      one_row_each(dimensions), one_row_each(usual));
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 3) {
    fmt::print(stderr, "usage: make_prior ANTHROPOMETRY.csv OUT.json\n");
    return 2;
  }
  const Eigen::MatrixXd table = read_table(argv[1]);
  Prior prior = gaussian(table);
  prior.usual = usual_rows(table);
  if (const auto written = aplomb::io::write_file(argv[2], file_text(prior)); !written) {
    fmt::print(stderr, "{}\n", aplomb::io::to_line(written.error()));
    return aplomb::io::exit_code(written.error().kind);
  }
  return 0;
}
