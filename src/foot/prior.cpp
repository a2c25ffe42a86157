// Gaussian conditioning over the dimensions of the foot.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/foot/prior.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <numeric>

#include "aplomb/io/files.h"

namespace aplomb::foot {

namespace {

using nlohmann::json;

/// Splits `of` into wanted and known and conditions by the Schur complement.
Conditional conditioned(const Conditional& of, const std::vector<int>& keep, const std::vector<int>& condition,
                        const Eigen::VectorXd& values) {
  Conditional out;
  for (const int k : keep) out.index.push_back(of.index[k]);
  if (condition.empty()) {
    out.mean = of.mean(keep);
    out.covariance = of.covariance(keep, keep);
    return out;
  }
  const Eigen::MatrixXd between = of.covariance(keep, condition);
  const Eigen::MatrixXd gain = of.covariance(condition, condition).ldlt().solve(between.transpose()).transpose();
  out.mean = of.mean(keep) + gain * (values - of.mean(condition));
  out.covariance = of.covariance(keep, keep) - gain * between.transpose();
  return out;
}

/// Row of the prior <-> Number: mass is the only one counted differently.
int number_of_row(int row) { return row == prior_mass ? int{mass} : row; }

std::optional<PriorMark> mark_of(const std::string& letter) {
  for (const PriorMark mark : {PriorMark::published, PriorMark::computed, PriorMark::guess})
    if (letter.size() == 1 && letter[0] == static_cast<char>(mark)) return mark;
  return std::nullopt;
}

void add_reading_doubt(Conditional& of, int sign) {
  for (std::size_t k = 0; k < of.index.size(); ++k) {
    if (of.index[k] >= sampled_count) continue;
    const auto i = static_cast<Eigen::Index>(k);
    of.covariance(i, i) += sign * std::pow(number_table()[of.index[k]].caliper_sd, 2);
  }
}

/// The length within two SD of the sample's mean.
double sampled_length(const Prior& prior, double length_mm) {
  const double mean = prior.mean[foot_length], sd = std::sqrt(prior.covariance(foot_length, foot_length));
  return std::clamp(length_mm, mean - 2 * sd, mean + 2 * sd);
}

/// What is wrong with the file's values; nothing when all is well.
struct Fault {
  std::string field, message;
};

std::optional<Fault> read_row(const json& row, int i, Prior& prior, Eigen::VectorXd& sd) {
  const std::string& key = number_table()[number_of_row(i)].key;
  if (row.at("key") != key) return Fault{"dimensions", fmt::format("row {} is not {}", i + 1, key)};
  const auto mark = mark_of(row.at("mark").get<std::string>());
  if (!mark) return Fault{"dimensions", fmt::format("the mark of {} is not S, C or G", key)};
  prior.mark[i] = *mark;
  prior.source[i] = row.at("source").get<std::string>();
  prior.mean[i] = row.at("mean").get<double>();
  sd[i] = row.at("sd").get<double>();
  const json& correlation = row.at("correlation");
  for (int j = 0; j <= i; ++j)
    prior.covariance(i, j) = prior.covariance(j, i) = sd[i] * sd[j] * correlation.at(j).get<double>();
  return std::nullopt;
}

std::optional<Fault> read_usual(const json& row, Prior& prior) {
  UsualRow usual;
  const auto number = find_number(row.at("key").get<std::string>());
  const auto mark = mark_of(row.at("mark").get<std::string>());
  if (!number || !mark) return Fault{"usual", "names no number of a card, or its mark is not S, C or G"};
  usual.number = *number;
  usual.mark = *mark;
  usual.source = row.at("source").get<std::string>();
  usual.value = row.at("value").get<double>();
  usual.sd = row.at("sd").get<double>();
  if (row.contains("with")) {
    usual.with = find_number(row.at("with").get<std::string>());
    usual.at = row.at("at").get<double>();
    usual.power = row.at("power").get<double>();
    if (!usual.with || !(usual.at > 0)) return Fault{"usual", "names no number of a card that it goes with"};
  }
  if (!std::isfinite(usual.value) || !(usual.sd > 0)) return Fault{"usual", "has no value, or no SD above 0"};
  prior.usual.push_back(usual);
  return std::nullopt;
}

/// Every number of a card but its dimensions and age.
std::optional<Fault> missing_usual(const Prior& prior) {
  for (int number = dimension_count; number < number_count; ++number) {
    const auto found = [number](const UsualRow& row) { return row.number == number; };
    if (number != age && std::count_if(prior.usual.begin(), prior.usual.end(), found) != 1)
      return Fault{"usual", fmt::format("has not one row of {}", number_table()[number].key)};
  }
  return std::nullopt;
}

}  // namespace

io::Result<Prior> read_prior(const std::filesystem::path& file) {
  const auto text = io::read_file(file);
  if (!text) return tl::unexpected(text.error());
  const auto refuse = [&](const std::string& field, const std::string& message) {
    return io::fail(
        {.file = file.string(),
         .field = field,
         .message = message,
         .remedy = "take the prior that came with this version of the program, or make it again with tools/prior"});
  };
  Prior prior;
  prior.mean.resize(prior_count);
  prior.covariance.resize(prior_count, prior_count);
  Eigen::VectorXd sd(int{prior_count});
  try {
    const json root = json::parse(*text);
    if (root.at("format") != "aplomb-prior") return refuse("format", "is not aplomb-prior");
    if (root.at("format_version") != prior_format_version)
      return refuse("format_version", "is not one this program reads");
    prior.population = root.at("population").get<std::string>();
    const json& rows = root.at("dimensions");
    if (rows.size() != prior_count) return refuse("dimensions", "are not the dimensions of this program");
    for (int i = 0; i < prior_count; ++i)
      if (const auto fault = read_row(rows[i], i, prior, sd)) return refuse(fault->field, fault->message);
    for (const json& row : root.at("usual"))
      if (const auto fault = read_usual(row, prior)) return refuse(fault->field, fault->message);
    if (const auto fault = missing_usual(prior)) return refuse(fault->field, fault->message);
  } catch (const json::exception& error) {
    return refuse("", fmt::format("is not a prior ({})", error.what()));
  }
  if (!prior.mean.allFinite() || prior.covariance.llt().info() != Eigen::Success)
    return refuse("dimensions", "do not make a positive definite covariance");
  return prior;
}

std::string prior_words(const Prior& prior) {
  const auto count = [&](PriorMark mark) {
    return std::count(prior.mark.begin(), prior.mark.begin() + int{dimension_count}, mark);
  };
  return fmt::format(
      "What was not measured comes from the statistics of other feet: {} of {} dimensions from {}, {} from "
      "published "
      "studies of smaller groups, {} guessed. Those women are no dancers: a foot trained on pointe, a child's or a "
      "man's "
      "may differ by more than the stated doubt, so measure what matters.",
      count(PriorMark::computed), int{dimension_count}, prior.population, count(PriorMark::published),
      count(PriorMark::guess));
}

std::string prior_source(const Prior& prior, int number) {
  const auto told = [](PriorMark mark, const std::string& source) {
    return mark == PriorMark::guess ? "guess: " + source : source;
  };
  if (number < dimension_count) return told(prior.mark[number], prior.source[number]);
  for (const UsualRow& row : prior.usual)
    if (row.number == number) return told(row.mark, row.source);
  return {};
}

Conditional given_length(const Prior& prior, double length_mm, std::optional<double> mass_kg) {
  const double sampled = sampled_length(prior, length_mm);
  Conditional all{.index = {}, .mean = prior.mean, .covariance = prior.covariance};
  std::vector<int> keep;
  for (int row = 0; row < prior_count; ++row) {
    all.index.push_back(number_of_row(row));
    if (row != foot_length) keep.push_back(row);
  }
  Conditional out = conditioned(all, keep, {foot_length}, Eigen::VectorXd::Constant(1, sampled));
  const int last = static_cast<int>(keep.size()) - 1;  // mass
  keep.resize(keep.size() - 1);
  std::iota(keep.begin(), keep.end(), 0);
  if (mass_kg) {
    const double grown = std::pow(sampled / length_mm, 3), sd = std::sqrt(out.covariance(last, last));
    const double usual = std::clamp(*mass_kg * grown, out.mean[last] - 3 * sd, out.mean[last] + 3 * sd);
    out = conditioned(out, keep, {last}, Eigen::VectorXd::Constant(1, usual));
  } else {
    out = conditioned(out, keep, {}, {});
  }
  // Lengths scale beyond the sample, the angle does not.
  Eigen::VectorXd scale = Eigen::VectorXd::Constant(out.mean.size(), length_mm / sampled);
  for (std::size_t k = 0; k < out.index.size(); ++k)
    if (out.index[k] == hallux_angle) scale[static_cast<Eigen::Index>(k)] = 1;
  // The doubt of reading belongs to hand and tape and stays what it is.
  out.mean = scale.cwiseProduct(out.mean);
  add_reading_doubt(out, -1);
  out.covariance = scale.asDiagonal() * out.covariance * scale.asDiagonal();
  add_reading_doubt(out, 1);
  return out;
}

Conditional given(const Conditional& of, const Numbers& known) {
  std::vector<int> keep, condition;
  std::vector<double> values;
  for (std::size_t k = 0; k < of.index.size(); ++k) {
    if (const auto& value = known[of.index[k]]) {
      condition.push_back(static_cast<int>(k));
      values.push_back(*value);
    } else {
      keep.push_back(static_cast<int>(k));
    }
  }
  if (condition.empty()) return of;
  return conditioned(of, keep, condition,
                     Eigen::Map<Eigen::VectorXd>(values.data(), static_cast<Eigen::Index>(values.size())));
}

Conditional without_reading_doubt(const Conditional& as_read) {
  Conditional out = as_read;
  add_reading_doubt(out, -1);
  return out;
}

std::vector<Surprise> surprises(const Prior& prior, const Numbers& numbers) {
  const Conditional by_length = given_length(prior, *numbers[foot_length], numbers[mass]);
  std::vector<Surprise> out;
  for (const int i : by_length.index) {
    if (!numbers[i]) continue;
    Numbers others = numbers;
    others[i].reset();
    const Conditional rest = given(by_length, others);
    const auto k = std::find(rest.index.begin(), rest.index.end(), i) - rest.index.begin();
    // Numbers from the literature are of the dimensions themselves; the one on the card carries the doubt of taking it.
    const double caliper = i < sampled_count ? 0 : number_table()[i].caliper_sd;
    out.push_back({i, *numbers[i], rest.mean[k], std::sqrt(rest.covariance(k, k) + caliper * caliper)});
  }
  std::sort(out.begin(), out.end(),
            [](const Surprise& a, const Surprise& b) { return std::abs(a.sds()) > std::abs(b.sds()); });
  return out;
}

Usual usual_of(const Prior& prior, int number, const Numbers& numbers) {
  const auto row = std::find_if(prior.usual.begin(), prior.usual.end(),
                                [number](const UsualRow& each) { return each.number == number; });
  double grown = 1;
  if (row->with) {
    double with = *numbers[*row->with];
    if (number == mass) {
      const double sampled = sampled_length(prior, with);
      grown = std::pow(with / sampled, 3);
      with = sampled;
    }
    grown *= std::pow(with / row->at, row->power);
  }
  return {grown * row->value, grown * row->sd};
}

}  // namespace aplomb::foot
