// Ranges, proportions and contradictions of shoe parameters.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/shoe/parameters.h"

#include <fmt/format.h>

#include <cmath>

#include "aplomb/shoe/read_layers.h"
#include "profile.h"

namespace aplomb::shoe {

const std::vector<NumberField>& number_fields() {
  using P = ShoeParameters;
  static const std::vector<NumberField> fields{
      {"inner_length_mm", &P::inner_length_mm, {120, 340}, true},
      {"ball_breadth_mm", &P::ball_breadth_mm, {40, 140}, true},
      {"ball_height_mm", &P::ball_height_mm, {20, 110}, false},
      {"platform_breadth_mm", &P::platform_breadth_mm, {15, 80}, true},
      {"platform_height_mm", &P::platform_height_mm, {8, 60}, true},
      {"platform_tilt_deg", &P::platform_tilt_deg, {-20, 20}, false},
      {"platform_thickness_mm", &P::platform_thickness_mm, {1, 15}, false},
      {"wall_thickness_mm", &P::wall_thickness_mm, {0.5, 8}, false},
      {"wall_E_GPa", &P::wall_E_GPa, {0.02, 100}, false},
      {"edge_radius_mm", &P::edge_radius_mm, {1, 12}, false},
      {"plan_taper", &P::plan_taper, {0, 1}, false},
      {"profile_taper", &P::profile_taper, {0, 1}, false},
      {"crown_height_mm", &P::crown_height_mm, {20, 90}, true},
      {"squareness", &P::squareness, {2, 4}, false},
      {"sole_flatness", &P::sole_flatness, {0, 1}, false},
      {"wing_medial_mm", &P::wing_medial_mm, {15, 300}, true},
      {"wing_lateral_mm", &P::wing_lateral_mm, {15, 300}, true},
      {"wing_medial_softened", &P::wing_medial_softened, {0, 0.9}, false},
      {"wing_lateral_softened", &P::wing_lateral_softened, {0, 0.9}, false},
      {"vamp_length_mm", &P::vamp_length_mm, {15, 300}, true},
      {"cap_length_mm", &P::cap_length_mm, {5, 300}, false},
      {"vamp_slack_mm", &P::vamp_slack_mm, {0, 10}, false},
      {"vamp_drawn_mm", &P::vamp_drawn_mm, {0, 10}, false},
      {"vamp_loose_N_per_mm", &P::vamp_loose_N_per_mm, {0.1, 1000}, false},
      {"vamp_tight_N_per_mm", &P::vamp_tight_N_per_mm, {0.1, 10000}, false},
      {"sole_edge_mm", &P::sole_edge_mm, {15, 120}, false},
      {"heel_seat_breadth_mm", &P::heel_seat_breadth_mm, {25, 110}, false},
      {"heel_seat_depth_mm", &P::heel_seat_depth_mm, {0, 30}, false},
      {"back_seam_height_mm", &P::back_seam_height_mm, {15, 110}, false},
      {"heel_tuck_mm", &P::heel_tuck_mm, {0, 40}, false},
      {"shank_length_mm", &P::shank_length_mm, {15, 320}, false},
      {"shank_EI_Nm2", &P::shank_EI_Nm2, {0.002, 2}, false},
      {"sole_EI_Nm2", &P::sole_EI_Nm2, {0.001, 1}, false},
      {"sole_thickness_mm", &P::sole_thickness_mm, {1, 15}, false},
      {"prebend_deg", &P::prebend_deg, {-10, 60}, false},
      {"break_zone_from_mm", &P::break_zone_from_mm, {0, 320}, false},
      {"break_zone_to_mm", &P::break_zone_to_mm, {0, 320}, false},
      {"break_zone_softening", &P::break_zone_softening, {0, 0.95}, false},
      {"wear_hours", &P::wear_hours, {0, 100}, false},
      {"moisture", &P::moisture, {0, 1}, false},
      {"lining_friction", &P::lining_friction, {0, 1.5}, false},
      {"drawstring_N", &P::drawstring_N, {0, 150}, false},
      {"elastic_N", &P::elastic_N, {0, 150}, false},
      {"ribbon_from_heel_mm", &P::ribbon_from_heel_mm, {10, 200}, false},
      {"upper_stiffness_N_per_mm", &P::upper_stiffness_N_per_mm, {0.1, 200}, false},
  };
  return fields;
}

void fill_proportional(ShoeParameters& p) {
  const auto fill = [](double& value, double rule) {
    if (std::isnan(value)) value = rule;
  };
  fill(p.ball_height_mm, 0.26 * p.inner_length_mm);
  fill(p.sole_edge_mm, 0.95 * p.ball_height_mm);
  fill(p.cap_length_mm, 0.5 * p.vamp_length_mm);
  fill(p.heel_seat_breadth_mm, 0.23 * p.inner_length_mm);
  fill(p.ribbon_from_heel_mm, 0.27 * p.inner_length_mm);
  fill(p.back_seam_height_mm, 0.215 * p.inner_length_mm);
  fill(p.shank_length_mm, p.inner_length_mm - p.sole_edge_mm);
}

double shank_EI_Nm2(double thickness_mm) { return 0.10 * std::pow(thickness_mm / 2.0, 3); }
double shank_thickness_mm(double EI_Nm2) { return 2.0 * std::cbrt(EI_Nm2 / 0.10); }

double stiffness_left(const ShoeParameters& p) { return std::exp2(-p.wear_hours / 8) * (1 - 0.55 * p.moisture); }

namespace {

tl::unexpected<io::Error> contradiction(const char* key, std::string message, std::string remedy) {
  return io::fail({.field = key, .message = std::move(message), .remedy = std::move(remedy)});
}

io::Result<void> check_box(const ShoeParameters& p) {
  // The fillet takes this much on each side of the flat before the wall begins.
  const double edge = fillet_extent(p.edge_radius_mm);
  if (p.platform_breadth_mm >= p.ball_breadth_mm)
    return contradiction("platform_breadth_mm",
                         fmt::format("the platform ({:g} mm) is as broad as the ball ({:g} mm) or broader",
                                     p.platform_breadth_mm, p.ball_breadth_mm),
                         "measure the flat of the platform, and the ball breadth inside the box");
  if (p.platform_breadth_mm + 2 * edge > p.ball_breadth_mm)
    return contradiction(
        "platform_breadth_mm",
        fmt::format("platform {:g} mm with its rounded edge ({:.1f} mm a side) is broader than the ball "
                    "({:g} mm)",
                    p.platform_breadth_mm, edge, p.ball_breadth_mm),
        "make edge_radius_mm or the platform smaller");
  if (p.platform_height_mm + 2 * edge > p.crown_height_mm)
    return contradiction(
        "crown_height_mm",
        fmt::format("crown {:g} mm is lower than the platform {:g} mm with its rounded edge ({:.1f} mm a "
                    "side) needs",
                    p.crown_height_mm, p.platform_height_mm, edge),
        "measure the inner height at the ball, and the flat of the platform from top to sole");
  if (p.crown_height_mm > p.ball_breadth_mm)
    return contradiction(
        "crown_height_mm",
        fmt::format("crown {:g} mm is higher than the ball is broad ({:g} mm)", p.crown_height_mm, p.ball_breadth_mm),
        "check whether the two were exchanged");
  if (p.platform_height_mm > p.platform_breadth_mm)
    return contradiction(
        "platform_height_mm",
        fmt::format("platform {:g} mm high but only {:g} mm broad", p.platform_height_mm, p.platform_breadth_mm),
        "check whether the two were exchanged");
  if (p.wall_thickness_mm > 0.25 * p.platform_height_mm)
    return contradiction("wall_thickness_mm",
                         fmt::format("wall {:g} mm is thicker than a quarter of the platform's height ({:g} mm)",
                                     p.wall_thickness_mm, p.platform_height_mm),
                         "give the thickness of one wall in mm");
  // Also keeps the outer face of the platform the lowest part of the shell.
  if (p.wall_thickness_mm > p.platform_thickness_mm)
    return contradiction("wall_thickness_mm",
                         fmt::format("wall {:g} mm is thicker than the platform ({:g} mm)", p.wall_thickness_mm,
                                     p.platform_thickness_mm),
                         "check whether the two were exchanged");
  if (p.ball_height_mm < 0.15 * p.inner_length_mm || p.ball_height_mm > 0.45 * p.inner_length_mm)
    return contradiction(
        "ball_height_mm",
        fmt::format("ball line {:g} mm above the platform does not suit an inner length of {:g} mm", p.ball_height_mm,
                    p.inner_length_mm),
        fmt::format("give {:.0f} to {:.0f} mm, or leave it out", 0.15 * p.inner_length_mm, 0.45 * p.inner_length_mm));
  return {};
}

io::Result<void> check_ends(const ShoeParameters& p) {
  const struct {
    const char* key;
    double value;
    const char* what;
  } ends[] = {
      {"wing_medial_mm", p.wing_medial_mm, "medial wing"},
      {"wing_lateral_mm", p.wing_lateral_mm, "lateral wing"},
      {"vamp_length_mm", p.vamp_length_mm, "throat"},
  };
  const double edge = fillet_extent(p.edge_radius_mm);
  for (const auto& end : ends) {
    if (end.value >= p.inner_length_mm)
      return contradiction(end.key,
                           fmt::format("the {} ({:g} mm) passes the heel ({:g} mm from the platform)", end.what,
                                       end.value, p.inner_length_mm),
                           "measure along the box from the inner platform face");
    if (end.value > 0.6 * p.inner_length_mm)
      return contradiction(end.key,
                           fmt::format("the {} ({:g} mm) lies past the middle of the foot ({:g} mm shoe)", end.what,
                                       end.value, p.inner_length_mm),
                           fmt::format("give at most {:.0f} mm", 0.6 * p.inner_length_mm));
    if (end.value < 2 * edge + 4)
      return contradiction(end.key,
                           fmt::format("the {} ({:g} mm) ends in the platform's rounded edge", end.what, end.value),
                           fmt::format("give at least {:.0f} mm", 2 * edge + 4));
  }
  if (p.cut == Cut::straight && p.wing_medial_mm != p.wing_lateral_mm)
    return contradiction("cut",
                         fmt::format("a straight cut has equal wings, these are {:g} (medial) and {:g} mm (lateral)",
                                     p.wing_medial_mm, p.wing_lateral_mm),
                         "set cut to \"left\" or \"right\", or make the wings equal");
  if (p.cap_length_mm > p.vamp_length_mm)
    return contradiction(
        "cap_length_mm",
        fmt::format("the stiff cap ({:g} mm) reaches past the throat ({:g} mm)", p.cap_length_mm, p.vamp_length_mm),
        "make it shorter than vamp_length_mm");
  if (p.sole_edge_mm > 0.5 * p.inner_length_mm || p.sole_edge_mm < 2 * edge + 4)
    return contradiction(
        "sole_edge_mm",
        fmt::format("the box cannot end {:g} mm up the sole of a {:g} mm shoe", p.sole_edge_mm, p.inner_length_mm),
        fmt::format("give {:.0f} to {:.0f} mm", 2 * edge + 4, 0.5 * p.inner_length_mm));
  if (p.back_seam_height_mm > 0.5 * p.inner_length_mm)
    return contradiction("back_seam_height_mm",
                         fmt::format("a back seam of {:g} mm is over half the inner length", p.back_seam_height_mm),
                         "measure from the heel seat to the binding");
  if (p.heel_seat_breadth_mm > p.ball_breadth_mm)
    return contradiction("heel_seat_breadth_mm",
                         fmt::format("the heel seat ({:g} mm) is broader than the ball ({:g} mm)",
                                     p.heel_seat_breadth_mm, p.ball_breadth_mm),
                         "check whether the two were exchanged");
  return {};
}

io::Result<void> check_shank(const ShoeParameters& p) {
  const double room = p.inner_length_mm - p.sole_edge_mm;
  if (p.shank_length_mm > room + 1e-9)
    return contradiction(
        "shank_length_mm",
        fmt::format("a shank of {:g} mm passes the heel: sole edge to heel is {:.1f} mm", p.shank_length_mm, room),
        "give its length from the sole edge, or shank_fraction");
  if (p.break_zone_from_mm > p.break_zone_to_mm)
    return contradiction(
        "break_zone_from_mm",
        fmt::format("the break zone runs from {:g} back to {:g} mm", p.break_zone_from_mm, p.break_zone_to_mm),
        "both are distances from the heel; give the smaller first");
  if (p.break_zone_to_mm > room)
    return contradiction(
        "break_zone_to_mm",
        fmt::format("the break zone ends {:g} mm from the heel, in the box ({:.1f} mm)", p.break_zone_to_mm, room),
        "measure from the rear of the heel seat");
  if (p.break_zone_softening > 0 && p.break_zone_from_mm == p.break_zone_to_mm)
    return contradiction("break_zone_softening", "softening is given but the break zone has no length",
                         "give break_zone_from_mm and break_zone_to_mm");
  for (std::size_t i = 0; i < p.shank_EI_table.size(); ++i) {
    const StiffnessPoint& point = p.shank_EI_table[i];
    if (!(point.from_heel_mm >= 0 && point.from_heel_mm <= 340) || !(point.EI_Nm2 >= 0.001 && point.EI_Nm2 <= 2))
      return contradiction(
          "shank_stiffness",
          fmt::format("entry {}: {:g} mm, {:g} N m^2 is out of range", i + 1, point.from_heel_mm, point.EI_Nm2),
          "distances 0 to 340 mm, stiffness 0.001 to 2 N m^2");
    if (i > 0 && point.from_heel_mm <= p.shank_EI_table[i - 1].from_heel_mm)
      return contradiction("shank_stiffness", fmt::format("entry {}: distances from the heel must rise", i + 1),
                           "sort the entries");
  }
  return {};
}

}  // namespace

io::Result<void> check(const ShoeParameters& p) {
  for (const NumberField& field : number_fields())
    if (auto error = io::check_range(field.key, p.*field.member, field.range)) return tl::unexpected(*error);
  if (auto r = check_box(p); !r) return r;
  if (auto r = check_ends(p); !r) return r;
  if (auto r = check_layers(p); !r) return r;
  return check_shank(p);
}

}  // namespace aplomb::shoe
