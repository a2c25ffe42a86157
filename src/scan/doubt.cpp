// With the shape s and the field f given the points, a dimension is d = J s + g f, and f answers a change of s where
// there are points: f(s) = f(0) - P^-1 D N s, with P the field's precision given the points, D what the points add to
// it, N what the shape moves outward. So var d = g P^-1 g' + h C h' with h = J - g P^-1 D N.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "doubt.h"

#include <Eigen/SVD>

#include "aplomb/foot/measure.h"

namespace aplomb::scan {

namespace {

/// Ways of the shape that move the dimensions by less than this share of the most are none of the dimensions' own.
constexpr double no_way = 1e-3;

}  // namespace

Eigen::MatrixXd slope_by_offset(const foot::ShapeModel& model, const foot::Shape& shape, const Eigen::Matrix3Xd& skin,
                                const foot::Body& body, const Eigen::Matrix3Xd& direction, foot::Sizes& sizes) {
  foot::Body there = body;
  there.skin = skin;
  sizes = foot::sizes_of(model, there, shape, true);
  const auto measured = foot::measure(*model.sites, there);
  Eigen::MatrixXd slope = Eigen::MatrixXd::Zero(skin.cols(), int{foot::dimension_count});
  for (int i = 0; i < foot::dimension_count; ++i)
    for (const foot::MeasureTerm& term : measured[i].gradient)
      if (term.of == foot::MeasureTerm::Of::skin) slope(term.index, i) += term.weight.dot(direction.col(term.index));
  return slope;
}

Eigen::MatrixXd covariance_with_field(const Eigen::MatrixXd& shape_covariance, const foot::Sizes& sizes,
                                      const FieldDoubt& field, const Eigen::MatrixXd& skin_by_shape,
                                      const KnownSizes& shown) {
  const Eigen::MatrixXd through = sizes.slope - field.made_up.transpose() * skin_by_shape;
  Eigen::MatrixXd dimensions = field.covariance + through * shape_covariance * through.transpose();
  // The field was brought to the edges as to something known; they are as sure as they are.
  for (std::size_t i = 0; i < shown.number.size(); ++i) {
    const double sd = shown.sd[static_cast<Eigen::Index>(i)];
    dimensions(shown.number[i], shown.number[i]) += sd * sd;
  }
  const Eigen::JacobiSVD<Eigen::MatrixXd> svd(sizes.slope, Eigen::ComputeFullU | Eigen::ComputeFullV);
  const auto& s = svd.singularValues();
  Eigen::MatrixXd inverse = Eigen::MatrixXd::Zero(shape_covariance.rows(), dimensions.rows());
  Eigen::MatrixXd rest = Eigen::MatrixXd::Identity(shape_covariance.rows(), shape_covariance.cols());
  for (Eigen::Index i = 0; i < s.size(); ++i) {
    if (s[i] < no_way * s[0]) continue;
    const Eigen::VectorXd v = svd.matrixV().col(i);
    inverse += v * svd.matrixU().col(i).transpose() / s[i];
    rest -= v * v.transpose();
  }
  const Eigen::MatrixXd out = rest * shape_covariance * rest.transpose() + inverse * dimensions * inverse.transpose();
  return (out + out.transpose()) / 2;
}

}  // namespace aplomb::scan
