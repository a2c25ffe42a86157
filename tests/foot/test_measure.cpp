// Measuring: derivatives by differences, and agreement with other code that measures the same mesh.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "feet.h"

using namespace aplomb;
using namespace aplomb::foot;
using Catch::Detail::Approx;
using testing::model;
using testing::sites;

namespace {

/// A shape off the mean in every parameter, so that no derivative vanishes by symmetry.
Shape some_shape() {
  Shape shape;
  shape[0] = 0.03;
  for (int k = 1; k < shape_count; ++k) shape[k] = 0.35 * ((k * 7) % 5 - 2) + 0.05;
  return shape;
}

double slope_of(const MeasuredValue& value, const Shape& shape, const Body& body, int k) {
  double slope = 0;
  for (const MeasureTerm& term : value.gradient) {
    const bool skin = term.of == MeasureTerm::Of::skin, joint = term.of == MeasureTerm::Of::joint;
    const auto& fields = skin ? model().skin : joint ? model().joints : model().landmarks;
    const auto& points = skin ? body.skin : joint ? body.joints : body.landmarks;
    slope += k == 0 ? term.weight.dot(points.col(term.index))
                    : std::exp(shape[0]) * term.weight.dot(fields.block<3, 1>(3 * term.index, k));
  }
  return slope;
}

}  // namespace

TEST_CASE("measure: derivatives agree with central differences", "[measure]") {
  const Shape shape = some_shape();
  const Body body = body_at(model(), shape);
  for (const double smoothing : {0.0, 0.3}) {
    const auto values = measure(sites(), body, smoothing);
    for (int k = 0; k < shape_count; ++k) {
      const double h = k == 0 ? 1e-7 : 1e-5;
      Shape up = shape, down = shape;
      up[k] += h;
      down[k] -= h;
      const auto above = measure(sites(), body_at(model(), up), smoothing),
                 below = measure(sites(), body_at(model(), down), smoothing);
      for (int i = 0; i < dimension_count; ++i) {
        CAPTURE(smoothing, number_table()[i].key, number_table()[k].key);
        const double by_difference = (above[i].value - below[i].value) / (2 * h);
        // Toe breadth and height leave out the turning of their directions, the two tapes the sliding of the points
        // they are laid through (said in measure.cpp).
        const bool laid = i == ball_girth || i == heel_ankle_girth;
        const double unit = k == 0 ? 200 : 1;  // the scale moves everything by its size
        const double allowed = i >= toe_breadth ? 0.05
                               : laid           ? 0.1 * unit
                                                : 2e-6 * std::max(1.0, std::abs(by_difference));
        CHECK(std::abs(slope_of(values[i], shape, body, k) - by_difference) < allowed);
      }
    }
  }
}

TEST_CASE("measure: sections and bounds by the geometry library give the same numbers", "[measure]") {
  const Shape shape = some_shape();
  const Body body = body_at(model(), shape);
  geometry::TriMesh mesh{.vertices = {}, .faces = model().mean.skin.faces};
  for (Eigen::Index v = 0; v < body.skin.cols(); ++v) mesh.vertices.push_back(body.skin.col(v));
  const auto values = measure(sites(), body);
  const double heel = body.skin.row(0).minCoeff();
  const auto taken = testing::take(mesh, body.joints(0, sites().mtp[0]) + ball_medial_ahead_mm,
                                   body.joints(0, sites().mtp[4]) + ball_lateral_ahead_mm);
  CHECK(heel == Approx(0).margin(0.3));
  CHECK(taken.length == Approx(values[foot_length].value).margin(1e-9));
  CHECK(taken.breadth == Approx(values[foot_breadth].value).margin(0.3));
  CHECK(taken.heel_breadth == Approx(values[heel_breadth].value).margin(0.1));
  CHECK(taken.instep == Approx(values[instep_height].value).margin(0.1));
  CHECK(taken.ball_girth == Approx(values[ball_girth].value).margin(1.0));
  CHECK(taken.ankle_girth == Approx(values[ankle_girth].value).margin(0.1));
}

TEST_CASE("measure: a foot twice as large measures twice as much, angles the same", "[measure]") {
  const auto once = measure(sites(), body_at(model(), Shape::Zero()));
  Shape twice = Shape::Zero();
  twice[0] = std::log(2.0);
  const auto large = measure(sites(), body_at(model(), twice));
  for (int i = 0; i < dimension_count; ++i)
    CHECK(large[i].value == Approx((i == hallux_angle ? 1 : 2) * once[i].value).epsilon(1e-12));
}

TEST_CASE("measure: smoothing overestimates by a little and fades", "[measure]") {
  const Body body = body_at(model(), some_shape());
  const double sharp = measure(sites(), body)[foot_breadth].value;
  const double soft = measure(sites(), body, 0.3)[foot_breadth].value,
               softer = measure(sites(), body, 0.6)[foot_breadth].value;
  CHECK(soft > sharp);
  CHECK(softer > soft);
  CHECK(soft - sharp < 0.3 * 2 * std::log(200.0));
  CHECK(measure(sites(), body, 1e-4)[foot_breadth].value == Approx(sharp).margin(1e-3));
}

TEST_CASE("measure: the plan box of a turned rectangle is the rectangle", "[measure]") {
  Eigen::Matrix3Xd corners(3, 6);
  corners << 0, 200, 200, 0, 100, 400,  //
      0, 0, 80, 80, 40, 400,            //
      0, 0, 0, 0, 10, 100;              // the last lies above the limit
  const Eigen::AngleAxisd turn(0.4, Vec3::UnitZ());
  const Eigen::Matrix3Xd turned = turn.toRotationMatrix() * corners;
  const auto box = plan_box(turned);
  CHECK(box[0] == Approx(200));
  CHECK(box[1] == Approx(80));
}
