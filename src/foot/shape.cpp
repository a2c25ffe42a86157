// Builds the shape model: blends the fields by the skin weights and keeps frame F in place.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/foot/shape.h"

#include <cmath>

#include "aplomb/foot/build.h"
#include "aplomb/foot/measure.h"
#include "shape_fields.h"

namespace aplomb::foot {

namespace {

/// Toe that a bone of the body belongs to, or -1.
int toe_of(int bone) {
  if (bone >= distal0) return bone - distal0;
  if (bone >= middle1) return bone - middle1 + 1;
  if (bone >= proximal0) return bone - proximal0;
  return -1;
}

FieldAnatomy anatomy_of(const Foot& mean, const Sites& sites, const Body& body) {
  const auto sizes = measure(sites, body);
  const TapePoints tape = tape_points(sites, body, sizes[foot_length].value);
  FieldAnatomy anatomy;
  for (int toe = 0; toe < toe_count; ++toe) {
    ToeFrame& frame = anatomy.toe[toe];
    frame.root = body.joints.col(sites.mtp[toe]);
    const Vec3 tip = body.skin.col(sites.toe_tip[toe]);
    frame.along = Vec3(tip.x() - frame.root.x(), tip.y() - frame.root.y(), 0);
    frame.length_mm = frame.along.norm();
    frame.along /= frame.length_mm;
    frame.across = Vec3::UnitZ().cross(frame.along);
    frame.breadth_mm = sizes[toe_breadth + toe].value;
    frame.height_mm = sizes[toe_height + toe].value;
    const Vec3 knuckle = body.joints.col(sites.knuckle[toe]);
    frame.pad_middle = knuckle + toe_pad_station * (Vec3(body.landmarks.col(sites.tip[toe])) - knuckle);
  }
  anatomy.foot_breadth_mm = sizes[foot_breadth].value;
  anatomy.heel_breadth_mm = sizes[heel_breadth].value;
  anatomy.bimalleolar_mm = sizes[bimalleolar_breadth].value;
  anatomy.ankle_girth_mm = sizes[ankle_girth].value;
  anatomy.instep_mm = sizes[instep_height].value;
  anatomy.navicular_mm = sizes[arch_height].value;
  anatomy.heel_low = point_at(tape.heel_low, body);
  anatomy.ankle_bend = point_at(tape.ankle_bend, body);
  // Middles of the two breadths, from the points that bound them.
  const auto middle_y = [&](int number) {
    double y = 0;
    for (const auto& term : sizes[number].gradient)
      if (term.of == MeasureTerm::Of::skin) y += std::abs(term.weight.y()) * body.skin(1, term.index) / 2;
    return y;
  };
  anatomy.malleolus_middle_y = middle_y(bimalleolar_breadth);
  anatomy.leg_middle = mean.joints[0].centre_F;
  Vec3 sum = Vec3::Zero();
  int count = 0;
  for (const Vec3& x : mean.skin.vertices_F) {
    if (std::abs(x.z() - sites.ankle_level_mm) > 6) continue;
    sum += x;
    ++count;
  }
  if (count > 0) anatomy.leg_middle = sum / count;
  double heel_low = 0, heel_high = 0;
  for (const Vec3& x : mean.skin.vertices_F) {
    if (x.x() > 60 || x.z() > 40) continue;
    heel_low = std::min(heel_low, x.y());
    heel_high = std::max(heel_high, x.y());
  }
  anatomy.heel_middle_y = (heel_low + heel_high) / 2;
  return anatomy;
}

/// Takes out of a field what it does to frame F: the heel's rearmost point stays, and the second toe tip stays at y =
/// 0.
struct FrameKeeper {
  Vec3 shift = Vec3::Zero(), heel;
  double turn = 0;  // about the vertical through the heel point
  FrameKeeper(const Vec3& heel_moves, const Vec3& tip_moves, const Vec3& heel_point, const Vec3& tip)
      : heel(heel_point) {
    shift = Vec3(heel_moves.x(), heel_moves.y(), 0);
    turn = (tip_moves.y() - heel_moves.y()) / (tip.x() - heel.x());
  }
  Vec3 operator()(const Vec3& x, const Vec3& moves) const {
    return moves - shift - turn * Vec3::UnitZ().cross(x - heel);
  }
};

std::vector<Vec3> vertex_normals(const Skin& skin) {
  std::vector<Vec3> normals(skin.vertices_F.size(), Vec3::Zero());
  for (const auto& [a, b, c] : skin.faces) {
    const Vec3 n = (skin.vertices_F[b] - skin.vertices_F[a]).cross(skin.vertices_F[c] - skin.vertices_F[a]);
    for (const int v : {a, b, c}) normals[v] += n;
  }
  for (Vec3& n : normals) n.normalize();
  return normals;
}

}  // namespace

ShapeModel make_shape_model(const Foot& mean) {
  ShapeModel model;
  model.mean = mean;
  model.mean_body = body_of(mean);
  model.sites = std::make_shared<const Sites>(find_sites(mean));
  const Sites& sites = *model.sites;
  const FieldAnatomy anatomy = anatomy_of(mean, sites, model.mean_body);
  const auto V = static_cast<Eigen::Index>(mean.skin.vertices_F.size());
  const auto J = static_cast<Eigen::Index>(mean.joints.size());
  const auto K = static_cast<Eigen::Index>(mean.landmarks.size());
  model.skin = Eigen::MatrixXd::Zero(3 * V, shape_count);
  model.joints = Eigen::MatrixXd::Zero(3 * J, shape_count);
  model.landmarks = Eigen::MatrixXd::Zero(3 * K, shape_count);
  model.thickness = Eigen::MatrixXd::Zero(V, shape_count);
  const std::vector<Vec3> normals = vertex_normals(mean.skin);

  const auto bone_moves = [&](int k, int bone, const Vec3& x) {
    const int toe = toe_of(bone);
    return toe < 0 ? body_field(anatomy, k, x) : toe_field(anatomy, k, toe, x);
  };
  const auto skin_moves = [&](int k, Eigen::Index v) {
    // Weights first gathered per toe: the bones of one toe, and all others, share a field. An in-between bone gives to
    // both its ends.
    std::array<double, toe_count + 1> weight{};
    for (int i = 0; i < 4; ++i) {
      const int bone = mean.skin.bones[v][i];
      const double w = mean.skin.weights[v][i];
      if (bone < anatomical_bone_count) {
        weight[toe_of(bone) + 1] += w;
        continue;
      }
      const Between between = between_of(bone);
      weight[toe_of(between.from) + 1] += (1 - between.share) * w;
      weight[toe_of(between.to) + 1] += between.share * w;
    }
    const Vec3& x = mean.skin.vertices_F[v];
    Vec3 moves = Vec3::Zero();
    if (weight[0] > 0) moves += weight[0] * body_field(anatomy, k, x);
    for (int toe = 0; toe < toe_count; ++toe)
      if (weight[toe + 1] > 0) moves += weight[toe + 1] * toe_field(anatomy, k, toe, x);
    return moves;
  };

  const Vec3 heel = mean.skin.vertices_F[sites.heel_back], tip = mean.skin.vertices_F[sites.toe_tip[1]];
  for (int k = 1; k < shape_count; ++k) {
    const FrameKeeper keep(skin_moves(k, sites.heel_back), skin_moves(k, sites.toe_tip[1]), heel, tip);
    for (Eigen::Index v = 0; v < V; ++v) {
      const Vec3 moves = skin_moves(k, v);
      model.skin.block<3, 1>(3 * v, k) = keep(mean.skin.vertices_F[v], moves);
      if (const double share = tissue_share(k); share > 0) model.thickness(v, k) = share * moves.dot(normals[v]);
    }
    for (Eigen::Index j = 0; j < J; ++j) {
      // A joint centre lies on the bone it moves and on that bone's parent: the parent, as the fields hang from it.
      const JointAxis& joint = mean.joints[j];
      const int parent = std::max(0, bone_parent(joint.bone));
      model.joints.block<3, 1>(3 * j, k) = keep(joint.centre_F, bone_moves(k, parent, joint.centre_F));
    }
    Eigen::Index row = 0;
    for (const auto& [name, landmark] : mean.landmarks) {
      model.landmarks.block<3, 1>(3 * row, k) =
          keep(landmark.position_F, bone_moves(k, landmark.bone, landmark.position_F));
      ++row;
    }
  }
  return model;
}

Body body_at(const ShapeModel& model, const Shape& shape) {
  const double scale = std::exp(shape[0]);
  const auto moved = [&](const Eigen::Matrix3Xd& mean, const Eigen::MatrixXd& fields) {
    Eigen::Matrix3Xd out = mean;
    Eigen::Map<Eigen::VectorXd> flat(out.data(), out.size());
    flat.noalias() += fields.rightCols(shape_count - 1) * shape.tail(shape_count - 1);
    flat *= scale;
    return out;
  };
  return {moved(model.mean_body.skin, model.skin), moved(model.mean_body.joints, model.joints),
          moved(model.mean_body.landmarks, model.landmarks)};
}

}  // namespace aplomb::foot
