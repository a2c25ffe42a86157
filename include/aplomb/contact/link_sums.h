// Forces and stiffness of many points, summed by the links that they hang on before they are spread over the unknowns.
//
// All that a rigid link carries moves with its twist: of one point only six columns are of its own, however many axes
// move the link. Twists are about the world's origin, so that what hangs on a link is simply added to what its parent
// carries, and each pair of axes is asked for once, at the inner one's link.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "aplomb/contact/skin.h"
#include "aplomb/geometry/give.h"

namespace aplomb::contact {

class LinkSums {
 public:
  static constexpr int max_columns = Hanging::max_columns;
  using Columns = Eigen::Matrix<double, 3, Eigen::Dynamic, 0, 3, max_columns>;
  using Row = Eigen::Matrix<double, Eigen::Dynamic, 1, 0, max_columns>;
  /// A vector for each shape of what gives, x, y and z each in a column.
  using OfShapes = Eigen::Matrix<double, Eigen::Dynamic, 3, 0, geometry::GiveSample::max_count, 3>;
  using Shapes = Eigen::Matrix<double, Eigen::Dynamic, 1, 0, geometry::GiveSample::max_count>;

  /// R -= what the force does on the unknowns that move the point.
  void add_force(const Hanging& at, const Vec3& force);
  /// K += for the point pulled by `pull` for each of its own columns.
  void add(const Hanging& at, const Columns& pull);
  /// K += for the point pulled by `skin` for each of the unknowns from first_dof on; and for each of those pushed, for
  /// a motion dx of the point and dq of its columns, by shapes dx - phi (along dq). Pre: the same first_dof and count
  /// until spread().
  void add(const Hanging& at, int first_dof, const OfShapes& skin, const OfShapes& shapes, const Shapes& phi,
           const Row& along);
  /// K += phi psi^T among the unknowns from first_dof on.
  void add_among(int first_dof, const Shapes& phi, const Shapes& psi);
  /// Adds all of it to R and, where not null, to K; and forgets it. Pre: `skin` is posed as when the points were added.
  void spread(const SkinKinematics& skin, Eigen::VectorXd& R, Eigen::MatrixXd* K);

 private:
  struct Sum {  ///< of the points of one chain, by its columns: six of its link's twist, then those beyond
    bool used = false, pulled = false, gives = false;
    int link = 0;
    const std::vector<int>* dofs = nullptr;  ///< of the columns beyond
    Eigen::VectorXd force;
    Eigen::MatrixXd among;
    Eigen::MatrixXd felt, pushed;  ///< shapes x columns: by the skin of the shapes, by the shapes of the skin
  };
  using Twist = Eigen::Matrix<double, 6, 1>;
  struct Carried {  ///< by one link, itself and all that hangs below it
    bool any = false;
    Twist force = Twist::Zero();
    Eigen::Matrix<double, 6, 6> among = Eigen::Matrix<double, 6, 6>::Zero();
    Eigen::Matrix<double, Eigen::Dynamic, 6, 0, geometry::GiveSample::max_count, 6> felt, pushed;
  };
  Sum& of(const Hanging& at);
  void spread_beyond(const Sum& sum, const std::vector<PosedAxis>& axes, Eigen::VectorXd& R, Eigen::MatrixXd* K) const;
  void carry(const Sum& sum);

  std::vector<Sum> sums_;  ///< by chain
  std::vector<int> used_;
  std::vector<Carried> carried_;  ///< by link
  int first_dof_ = -1, count_ = 0;
  std::vector<double> phi_, psi_;  ///< count_ each of as many points as press on what gives
};

/// Stiffness times each of the point's own columns.
void pull_of(const Mat3& stiffness, const Hanging& at, LinkSums::Columns& out);

/// What a unit of each of the point's own columns does along `direction`.
void row_of(const Hanging& at, const Vec3& direction, LinkSums::Row& out);

}  // namespace aplomb::contact
