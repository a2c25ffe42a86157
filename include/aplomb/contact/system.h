// The out-of-balance forces of a problem and their tangent at one q.
//
// Slowly varying quantities are frozen while a step is tried and refreshed between steps, so that inside a step there
// is an energy to lower: the skin area projected on each surface, the partner planes of skin pairs, the cover of the
// rod and, in the friction potential, the pressure that limits it. At a converged state they are those of the state
// itself. Newton lets the projected areas follow instead, which no energy does but which closes in a few steps.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <span>
#include <vector>

#include "aplomb/contact/equilibrium.h"
#include "aplomb/contact/friction.h"
#include "aplomb/contact/link_columns.h"
#include "aplomb/contact/link_sums.h"
#include "aplomb/contact/pair_side.h"
#include "aplomb/contact/problem.h"
#include "aplomb/contact/skin.h"

namespace aplomb::contact {

/// How friction enters.
enum class FrictionMode {
  none,       ///< frictionless: everything derives from one energy
  potential,  ///< stick-slip energy with the limit mu p frozen: symmetric tangent, can be minimised
  exact       ///< limit mu p(x): the true law, unsymmetric tangent
};

class System {
 public:
  explicit System(const Problem& problem);
  System(const System&) = delete;  // views point into items

  /// Refreshes what is frozen, at q.
  void freeze(const Eigen::VectorXd& q);

  /// Whether assemble() lets the projected areas follow q (with their derivatives in K) or keeps the frozen ones.
  void let_areas_follow(bool follow) { areas_follow_ = follow; }

  /// Energy at q with the frozen quantities.
  double energy(const Eigen::VectorXd& q, double load_factor, FrictionMode mode);

  /// Out-of-balance R = d(energy)/dq (zero at rest) and tangent K = dR/dq when asked for.
  /// `energy` as energy() gives it, when areas do not follow.
  void assemble(const Eigen::VectorXd& q, double load_factor, FrictionMode mode, Eigen::VectorXd& R, Eigen::MatrixXd* K,
                double* energy = nullptr);

  /// Aim of each Problem::steering: the target of its spring's tone. Starts at the spring's own.
  void set_aim(int steering, double target) { spring_target_[problem_.steering[steering].spring] = target; }
  double aim(int steering) const { return spring_target_[problem_.steering[steering].spring]; }
  /// Where its line shall pass; starts at the problem's own.
  void set_line(int steering, double at_mm) { line_mm_[steering] = at_mm; }
  double line(int steering) const { return line_mm_[steering]; }
  /// Where the line of force passes minus where it shall, mm, after an assemble() at q that gave R; and its gradient by
  /// q when K is given.
  double off_line(int steering, double load_factor, const Eigen::VectorXd& R, const Eigen::MatrixXd* K,
                  Eigen::VectorXd* gradient) const;
  /// d R[its spring's unknown] / d aim.
  double aim_slope(int steering, const Eigen::VectorXd& q, double load_factor) const;

  /// Stores positions and elastic slips of this q as the state that friction remembers.
  void accept(const Eigen::VectorXd& q, FrictionMode mode);
  /// Forgets all slips: friction starts here, unstressed.
  void reset_friction(const Eigen::VectorXd& q);

  /// Everything that touches at q (with the frozen quantities of the last freeze()).
  std::vector<ContactState> contacts(const Eigen::VectorXd& q, FrictionMode mode);

  /// Largest bending moment in the rod's residuals and largest elastic force in those of what gives, in the last
  /// assemble(): the measure of their balance.
  struct LargestTerms {
    double rod = 0, give = 0;
  };
  const LargestTerms& largest_terms() const { return largest_terms_; }
  /// Every band at q.
  std::vector<BandState> bands(const Eigen::VectorXd& q);
  const SkinKinematics& skin() const { return skin_; }

 private:
  /// Tissue with what lies over it, pressed together by d.
  static SeriesJet press(const Layer& tissue, const std::vector<Layer>& over, double d);
  static SeriesJet press(const SkinPoint& point, double d) { return press(point.layer, point.over, d); }

  struct SurfaceItem {  ///< one point against one surface
    int point = 0, surface = 0;
    int frozen = -1;              ///< freeze() that area to cover are of
    double area = 0;              ///< frozen projected area
    bool faces_away = false;      ///< frozen: touches, but on the far side of the skin; sees nothing
    double pressure = 0;          ///< frozen, for the friction potential
    Vec3 normal = Vec3::UnitZ();  ///< frozen surface normal and cover, for the friction potential
    double cover = 1;
    int accepted = -1;             ///< accept() that slip is of; without one it touched nothing then and has no slip
    Vec3 slip = Vec3::Zero();      ///< stored elastic slip
    bool known = false;            ///< samples_[sample] is the answer at x_cached
    int sample = -1;               ///< none yet
    Vec3 x_cached = Vec3::Zero();  ///< where gap_cached was measured
    double gap_cached = -1e9;
    Vec3 normal_cached = Vec3::Zero();  ///< nought: far
  };
  /// Where an item stood clear of its surface. It comes nearer by at most `slope` per mm of its own way from there and
  /// by what the surface gives: it touches nothing while slope |x - at| < until_mm - given so far.
  struct Clearance {
    Vec3 at = Vec3::Zero();
    double slope = 0, until_mm = -1e9;
  };
  /// A point of the rod's contact as it was last looked at: not again before it could come near.
  struct RodItem {
    int point = 0;
    bool in_reach = false;
    double area = 0;        ///< frozen projected area times cover
    double cover = 0;       ///< frozen
    double gap_mm = 0;      ///< when looked at
    Vec3 x = Vec3::Zero();  ///< there
    double travel_mm = 0;   ///< of the rod, until then
    double clear_mm = -1;   ///< how far point and rod may move together before it is looked at again
  };
  struct PairItem {         ///< a point against the partner patch, seen as a plane
    bool in_reach = false;  ///< what follows is set
    int point = 0;
    Layer partner_layer;
    const SkinPair* pair = nullptr;
    double between_mm = 0;
    double area = 0;              ///< frozen, already halved
    Vec3 normal = Vec3::UnitZ();  ///< frozen, away from the partner
    double bulge_mm = 0;          ///< frozen: the partner patch before the plane through its mean, < 0 when convex
    std::vector<LinkHold> hold;   ///< the vector from the plane to the point, as it hangs on the links
    // How the normal turns, for Newton's tangent: raw normal = partners' mean normal - own.
    std::vector<LinkHold> normal_hold;  ///< the raw normal, as it hangs on the links (weights 0)
    double raw_length = 2;              ///< of the raw normal
    Mat3 bend = Mat3::Zero();           ///< d (partners' mean normal) / d (point over the patch)
  };
  struct Evaluation;  ///< accumulators of one pass
  struct WallView {   ///< what a point sees of a surface that may have given
    SurfaceItem* item = nullptr;
    Vec3 skin_normal = Vec3::UnitZ();  ///< outward
    geometry::SurfaceSample at_rest;
    double gap_mm = 0;
    Vec3 gradient = Vec3::UnitZ();  ///< d gap / d x; no longer quite a unit vector where the surface has given
    Mat3 hessian = Mat3::Zero();
    Vec3 normal = Vec3::UnitZ();  ///< gradient made a unit vector
    Mat3 turn = Mat3::Zero();     ///< d normal / d x
    double gradient_length = 1;
    const Give* give = nullptr;  ///< null: rigid, or nothing moves here
    geometry::GiveSample shapes;
  };

  /// What touches a surface at the q last asked about.
  std::span<WallView> touching() { return {views_.data(), touching_count_}; }
  void freeze_surfaces();
  void freeze_rod(const PosedRod& rod);
  void freeze_pairs();
  double pair_gap(const PairItem& item) const;
  SeriesJet press_pair(const PairItem& item, double d) const;
  /// Adds to what the item hangs on that of some points of one side, by their weights.
  void hold(const PairSide& side, std::span<const int> which, const double* weights, PairItem& item, bool normals);
  /// Sets the plane that point k of a side sees of these partners, and returns how far it is from mattering; 0 when it
  /// does.
  double see_plane(const PairSide& from, std::size_t k, const PairSide& onto, std::span<const int> partners,
                   const Mat3& R_world_pair, PairItem& item);
  void pass(const Eigen::VectorXd& q, double load_factor, FrictionMode mode, Evaluation& out);
  void pass_surfaces(FrictionMode mode, Evaluation& out);
  void pass_rod(const PosedRod& rod, Evaluation& out);
  void pass_rod_floor(const PosedRod& rod, Evaluation& out);
  void pass_pairs(Evaluation& out);
  void pass_springs(const Eigen::VectorXd& q, double load_factor, Evaluation& out) const;
  void pass_bands(const PosedRod* rod, Evaluation& out);
  Vec3 band_point(const BandPoint& point, const PosedRod* rod) const;
  void pass_load(double load_factor, Evaluation& out);
  /// Poses skin and surfaces at q and finds what touching() gives.
  void find_touching(const Eigen::VectorXd& q);
  bool samples(SurfaceItem& item, double within_mm, geometry::SurfaceSample& sample);
  bool touches(SurfaceItem& item, Clearance& clearance, WallView& view);
  /// What friction is asked at an item, but for normal and pressure.
  FrictionInput rubbing(const SurfaceItem& item) const;
  void pose_give(const Eigen::VectorXd& q);
  void pass_give(Evaluation& out);
  struct Press {  ///< how one point presses, for its share in what gives
    double area = 0, pressure = 0, stiffness = 0;
    Vec3 force_per_area = Vec3::Zero();  ///< on the skin, friction included
    Mat3 by_normal = Mat3::Zero();       ///< of friction, times its cover
    Vec3 by_pressure = Vec3::Zero();
  };
  /// `area_by_q`: d area / d the point's own columns where areas follow, else empty.
  void add_give(int point, const Hanging& at, const WallView& view, const Press& press, const LinkSums::Row& area_by_q,
                Evaluation& out);
  /// R and geometric stiffness.
  void add_point_force(int point, const PointJacobian& J, const Vec3& force, Evaluation& out);
  /// d A / d the point's own columns of the projected area A = - area skin normal . wall normal.
  void area_gradient(const Hanging& at, int point, const WallView& view, LinkSums::Row& out) const;

  const Problem& problem_;
  SkinKinematics skin_;
  std::vector<SurfaceItem> surface_items_;
  std::vector<LinkSums> sums_;                    ///< of each surface, while assembling
  std::vector<Clearance> clearances_;             ///< of each of surface_items_
  std::vector<geometry::SurfaceSample> samples_;  ///< of those that came near
  std::vector<WallView> views_;                   ///< the first touching_count_ are all that touches at touching_at_
  std::size_t touching_count_ = 0;
  Eigen::VectorXd touching_at_;
  int freezes_ = 0, accepts_ = 0;
  std::vector<Vec3> x_stored_;      ///< of each point, where friction last remembered it
  std::vector<RodItem> rod_items_;  ///< of each point of the rod's contact
  PosedRod rod_frozen_;
  double rod_travel_mm_ = 0;     ///< the most that the rod has moved between freezes, added up
  std::vector<double> over_mm_;  ///< of each point: thickness of what lies over it
  /// What is known of one pair. Motion is that in a frame which goes with one of the two toes, as toes that move
  /// together come no nearer to each other.
  struct PairView {
    const SkinPair* pair = nullptr;
    int link = 0;  ///< whose frame
    PairSide a, b;
    LinkColumns columns;   ///< of all links that either side hangs on
    double travel_mm = 0;  ///< the most that skin of a and of b has moved between freezes, added up
    std::vector<PairItem> items;
  };
  std::vector<PairView> pair_views_;
  std::vector<double> partner_weights_, plane_room_;  ///< room for one look
  std::vector<Eigen::Vector4d> held_, held_normals_;  ///< of each link of one side: moment and weight
  std::vector<int> paired_;                           ///< every point that is in a pair
  std::vector<double> spring_target_;                 ///< tone target of each spring
  std::vector<double> line_mm_;                       ///< of each steering
  bool areas_follow_ = false;
  LargestTerms largest_terms_;
  std::vector<Eigen::VectorXd> give_amounts_;  ///< of each surface, at the pose; empty: rigid
  Eigen::VectorXd frozen_at_;
  std::vector<double> give_bound_;  ///< no point of that surface has moved further
  std::vector<double> given_;       ///< sum of the bounds of all changes of its amounts so far, there and back
};

}  // namespace aplomb::contact
