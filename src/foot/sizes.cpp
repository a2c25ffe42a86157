// Chain rule from the points that a dimension rests on to the shape that moves them.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/foot/sizes.h"

#include <cmath>

namespace aplomb::foot {

Sizes sizes_of(const ShapeModel& model, const Body& body, const Shape& shape, bool with_slope, double smoothing_mm) {
  const auto measured = measure(*model.sites, body, smoothing_mm);
  const double scale = std::exp(shape[0]);
  Sizes sizes;
  sizes.slope.setZero();
  for (int i = 0; i < dimension_count; ++i) {
    sizes.value[i] = measured[i].value;
    if (!with_slope) continue;
    for (const MeasureTerm& term : measured[i].gradient) {
      const Eigen::MatrixXd& fields = term.of == MeasureTerm::Of::skin    ? model.skin
                                      : term.of == MeasureTerm::Of::joint ? model.joints
                                                                          : model.landmarks;
      const Eigen::Matrix3Xd& points = term.of == MeasureTerm::Of::skin    ? body.skin
                                       : term.of == MeasureTerm::Of::joint ? body.joints
                                                                           : body.landmarks;
      sizes.slope.row(i) += scale * term.weight.transpose() * fields.middleRows<3>(3 * term.index);
      sizes.slope(i, 0) += term.weight.dot(points.col(term.index));
    }
  }
  return sizes;
}

}  // namespace aplomb::foot
