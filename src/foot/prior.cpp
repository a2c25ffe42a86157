// Gaussian conditioning over the dimensions of the foot.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/foot/prior.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "aplomb/io/files.h"

namespace aplomb::foot {

namespace {

using nlohmann::json;

/// Splits `of` into wanted and known and conditions by the Schur complement.
Conditional conditioned(const Conditional& of, const std::vector<int>& keep, const std::vector<int>& condition,
                        const Eigen::VectorXd& values) {
  Conditional out;
  const Eigen::MatrixXd between = of.covariance(keep, condition);
  const Eigen::MatrixXd gain = of.covariance(condition, condition).ldlt().solve(between.transpose()).transpose();
  out.mean = of.mean(keep) + gain * (values - of.mean(condition));
  out.covariance = of.covariance(keep, keep) - gain * between.transpose();
  for (const int k : keep) out.index.push_back(of.index[k]);
  return out;
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
  prior.mean.resize(dimension_count);
  prior.covariance.resize(dimension_count, dimension_count);
  try {
    const json root = json::parse(*text);
    if (root.at("format") != "aplomb-prior") return refuse("format", "is not \"aplomb-prior\"");
    if (root.at("format_version") != prior_format_version)
      return refuse("format_version", "is not one this program reads");
    const json& rows = root.at("dimensions");
    if (rows.size() != dimension_count) return refuse("dimensions", "are not the dimensions of this program");
    Eigen::VectorXd sd(dimension_count);
    for (int i = 0; i < dimension_count; ++i) {
      if (rows[i].at("key") != number_table()[i].key)
        return refuse("dimensions", fmt::format("row {} is not {}", i + 1, number_table()[i].key));
      prior.mean[i] = rows[i].at("mean").get<double>();
      sd[i] = rows[i].at("sd").get<double>();
      prior.source.push_back(rows[i].at("source").get<std::string>());
      const json& correlation = rows[i].at("correlation");
      for (int j = 0; j <= i; ++j)
        prior.covariance(i, j) = prior.covariance(j, i) = sd[i] * sd[j] * correlation.at(j).get<double>();
    }
  } catch (const json::exception& error) {
    return refuse("", fmt::format("is not a prior ({})", error.what()));
  }
  if (!prior.mean.allFinite() || prior.covariance.llt().info() != Eigen::Success)
    return refuse("dimensions", "do not make a positive definite covariance");
  return prior;
}

Conditional given_length(const Prior& prior, double length_mm) {
  const double mean = prior.mean[foot_length], sd = std::sqrt(prior.covariance(foot_length, foot_length));
  const double sampled = std::clamp(length_mm, mean - 2 * sd, mean + 2 * sd);
  Conditional all{.index = {}, .mean = prior.mean, .covariance = prior.covariance};
  std::vector<int> keep;
  for (int i = 0; i < dimension_count; ++i) {
    all.index.push_back(i);
    if (i != foot_length) keep.push_back(i);
  }
  Conditional out = conditioned(all, keep, {foot_length}, Eigen::VectorXd::Constant(1, sampled));
  // Lengths scale beyond the sample, the angle does not.
  Eigen::VectorXd scale = Eigen::VectorXd::Constant(out.mean.size(), length_mm / sampled);
  for (std::size_t k = 0; k < out.index.size(); ++k)
    if (out.index[k] == hallux_angle) scale[static_cast<Eigen::Index>(k)] = 1;
  out.mean = scale.cwiseProduct(out.mean);
  out.covariance = scale.asDiagonal() * out.covariance * scale.asDiagonal();
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

std::vector<Surprise> surprises(const Prior& prior, const Numbers& numbers) {
  const Conditional by_length = given_length(prior, *numbers[foot_length]);
  std::vector<Surprise> out;
  for (const int i : by_length.index) {
    if (!numbers[i]) continue;
    Numbers others = numbers;
    others[i].reset();
    const Conditional rest = given(by_length, others);
    const auto k = std::find(rest.index.begin(), rest.index.end(), i) - rest.index.begin();
    // The prior speaks of true dimensions; the number on the card also carries the doubt of taking it.
    const double caliper = number_table()[i].caliper_sd;
    out.push_back({i, *numbers[i], rest.mean[k], std::sqrt(rest.covariance(k, k) + caliper * caliper)});
  }
  std::sort(out.begin(), out.end(),
            [](const Surprise& a, const Surprise& b) { return std::abs(a.sds()) > std::abs(b.sds()); });
  return out;
}

}  // namespace aplomb::foot
