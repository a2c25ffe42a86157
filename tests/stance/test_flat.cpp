// Standing on the sole: the foot lengthens as measured; toe room follows the shoe's length; what a fitter knows.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "flat.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "aplomb/contact/skin.h"
#include "foot_linkage.h"
#include "stands.h"

using namespace aplomb;
using namespace aplomb::stance;
using namespace aplomb::stance::test;
using geometry::Mat3;
using geometry::Vec3;
using U = FootUnknowns;

namespace {

/// A hard floor at z = 0.
class Floor : public geometry::Surface {
 public:
  bool sample(const Vec3& x, double band_mm, geometry::SurfaceSample& out) const override {
    out = {};
    out.gap_mm = x.z();
    return out.gap_mm < band_mm;
  }
};

/// Length of a bare foot that stands on the floor under `load_N`, from the rearmost to the foremost skin along x.
double bare_length_mm(const foot::Foot& foot, double load_N, const Constants& constants = {}) {
  static const Floor floor;
  contact::Problem p;
  p.linkage = need(foot_linkage(foot, constants, Mat3::Identity()));
  p.dof_count = U::count;
  p.dof_is_length.assign(U::count, false);
  for (int k = 0; k < 3; ++k) p.dof_is_length[U::slide_x + k] = true;
  p.points = skin_points(foot, constants);
  contact::SurfaceContact sole;
  sole.surface = &floor;
  sole.friction = 0;  // people shift until nothing rubs
  for (std::size_t i = 0; i < p.points.size(); ++i)
    if (p.points[i].normal_rest.z() < -0.2 && foot.contact_points[i].region != foot::Region::ankle)
      sole.points.push_back(static_cast<int>(i));
  p.surfaces = {sole};
  p.springs = flat_springs(foot, constants);
  for (const int slide : {U::slide_x, U::slide_y}) {
    contact::JointSpring stay{slide, "stay"};
    stay.passive_stiffness = 0.1;
    p.springs.push_back(stay);
  }
  p.bands = plantar_bands(foot, constants);
  p.locked = {U::tilt_x, U::tilt_y};
  const Vec3 ankle = foot.landmarks.at("ankle_centre").position_F;
  p.load = {foot::tibia, ankle, Vec3(0, 0, -load_N)};
  p.load_N = load_N;
  const auto spring = std::find_if(p.springs.begin(), p.springs.end(), [](auto& s) { return s.dof == U::ankle; });
  contact::Steering steer{static_cast<int>(spring - p.springs.begin()), U::tilt_y, Vec3::UnitX(), 1,
                          constants.flat_cop_share * foot.length_mm - ankle.x()};
  p.steering = {steer};
  Eigen::VectorXd q = Eigen::VectorXd::Zero(p.dof_count);
  q[U::slide_z] = ankle.z();
  for (int k = 0; k < foot::toe_count; ++k) {
    const auto joint = foot::joint_index(foot, (k == 0 ? "IP" : "PIP") + std::to_string(k + 1));
    q[U::ip + k] = -foot.joints[static_cast<std::size_t>(joint)].straight_deg * geometry::rad_per_deg;
  }
  contact::SolveOptions options;
  options.seat_load_N = std::min(10.0, load_N);
  const contact::LoadPath path = contact::solve(p, q, options);
  INFO(path.loaded.reason);
  REQUIRE(path.loaded.converged);
  contact::SkinKinematics skin(p);
  skin.pose(path.loaded.q);
  double front = -1e9, rear = 1e9;
  for (const Vec3& x : skin.positions()) front = std::max(front, x.x()), rear = std::min(rear, x.x());
  return front - rear;
}

Stood flat(const ShoePtr& shoe, Position position, const FootPtr& foot = sample_foot()) {
  StandOptions options;
  options.position = position;
  return stood(foot, shoe, options);
}

}  // namespace

TEST_CASE("A standing foot lengthens with its load as Xiong 2009 measured") {
  // 30 adults, 14.56 / 14.72 / 14.77 % of stature without load, with half and with full body weight: +1.1 and +1.4 %.
  // The constants of the plantar bands were set on the template; the sample foot is another one.
  const double weight_N = 52 * 9.80665;
  const double none = bare_length_mm(*sample_foot(), 2), half = bare_length_mm(*sample_foot(), weight_N / 2),
               full = bare_length_mm(*sample_foot(), weight_N);
  CAPTURE(none, half, full);
  CHECK(100 * (half / none - 1) == Approx(1.1).margin(0.15));
  CHECK(100 * (full / none - 1) == Approx(1.4).margin(0.15));
}

TEST_CASE("Flat positions balance, carry the load, and say nothing of pointe") {
  for (const Position position : {Position::parallel, Position::demi_plie}) {
    const Stood stand = flat(make_shoe("parallel"), position);
    CAPTURE(name(position));
    const findings::Findings& f = stand.findings;
    CHECK(f.force_balance_error <= 1e-4);
    check_residuals(stand.stance.rest());
    CHECK(std::abs(f.load_share->sum() - 100) <= 0.1);
    CHECK(f.load_N == Approx(52 * 9.80665 / 2).epsilon(1e-12));
    CHECK_FALSE((f.depth_mm || f.sink_mm || f.plumb.margin_mm || f.side_roll_deg || f.break_point.front_offset_mm));
    CHECK_FALSE((f.break_point.applies || f.plumb.applies));
    CHECK((f.toe_room_mm && f.heel_slack_mm && f.crowding_index && f.peak_kPa));
    // The load stands where it was said to: that far before the heel.
    const Stance& s = stand.stance;
    CHECK(s.rest().off_line_mm.at(0) == Approx(0).margin(0.01));
    const Vec3 cop = centre_of_pressure(*s.problem, s.rest(), s.ground, Vec3::Zero());
    CHECK(s.ground.forward_S().dot(cop) == Approx(s.problem->steering[0].at_mm).margin(0.05));
  }
}

TEST_CASE("Standing flat the toes lie flat and long, and in plie the foot is longest") {
  // Common practice, no source.
  const Stood parallel = flat(make_shoe("parallel"), Position::parallel),
              plie = flat(make_shoe("parallel"), Position::demi_plie);
  for (const findings::ToeFindings& toe : parallel.findings.toes) CHECK(toe.bend_deg.value() < 5);  // none curls
  CHECK(*plie.findings.toe_room_mm < *parallel.findings.toe_room_mm - 0.5);
  CHECK(*plie.findings.toe_room_mm > *parallel.findings.toe_room_mm - 3);
  // Shin before the vertical, as prescribed; the talocrural joint has nearly all of it (24.6 of 30 deg, Russell 2011
  // group; a chain of stiff bones leaves the arch less of it than was measured over skin).
  const double talocrural = -plie.stance.rest().q[U::ankle] * geometry::deg_per_rad;
  CHECK(talocrural < 30);
  CHECK(talocrural > 24);
}

TEST_CASE("A shoe longer by a millimetre gives a millimetre of toe room") {
  std::vector<double> room, slack;
  for (int step = 0; step < 9; ++step) {
    const Stood stand = flat(make_shoe("deep_box",
                                       [step](shoe::ShoeParameters& p) {
                                         p.inner_length_mm = 244 + step;
                                         p.ball_breadth_mm = 104;  // so wide that only the heel places the foot
                                         p.platform_breadth_mm = 60;
                                       }),
                             Position::parallel);
    room.push_back(*stand.findings.toe_room_mm);
    slack.push_back(*stand.findings.heel_slack_mm);
  }
  // The heel stands against stretching cloth and the ball rubs, so that a step may fall short by what the next makes
  // up.
  for (std::size_t i = 1; i < room.size(); ++i) {
    CAPTURE(i, room[i], room[i - 1], slack[i], slack[i - 1]);
    CHECK(room[i] - room[i - 1] == Approx(1).margin(0.35));
    CHECK(room[i] + slack[i] - room[i - 1] - slack[i - 1] > 0.6);
  }
  CHECK((room.back() - room.front()) / 8 == Approx(1).margin(0.06));
}
