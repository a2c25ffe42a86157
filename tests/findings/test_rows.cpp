// Rows of stands along one cause: findings that have to go one way all along it, for the samples.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "../stance/stands.h"

using namespace aplomb;
using namespace aplomb::findings;
using namespace aplomb::stance;
using namespace aplomb::stance::test;
using shoe::ShoeParameters;

namespace {

struct Cause {
  const char* what;
  std::vector<double> at;
  std::function<void(double, foot::Card&)> card;
  std::function<void(double, ShoeParameters&)> shoe;
  std::function<void(double, StandOptions&)> stand;
};

std::vector<double> even(double from, double to, int steps) {
  std::vector<double> at;
  for (int i = 0; i < steps; ++i) at.push_back(from + (to - from) * i / (steps - 1));
  return at;
}

/// A finding that follows the cause from `from` on; before that, or in other shoes, it is only told.
struct Follows {
  const char* what;
  std::function<Number(const Findings&)> read;
  int sign;
  double from = -1e9, to = 1e9;
};

/// Largest step the wrong way between neighbours, in shares of the span.
double backstep(const std::vector<double>& values, int sign) {
  const auto [low, high] = std::minmax_element(values.begin(), values.end());
  double worst = 0;
  for (std::size_t i = 1; i < values.size(); ++i) worst = std::max(worst, -sign * (values[i] - values[i - 1]));
  return *high > *low ? worst / (*high - *low) : 1;
}

void walk(const char* shoe, bool demand, const Cause& cause, const std::vector<Follows>& findings) {
  REQUIRE(cause.at.size() >= 9);
  std::vector<Findings> row;
  for (const double x : cause.at) {
    StandOptions options;
    if (cause.stand) cause.stand(x, options);
    const FootPtr foot = cause.card ? make_foot([&](foot::Card& c) { cause.card(x, c); }) : sample_foot();
    const ShoePtr made = make_shoe(shoe, [&](ShoeParameters& p) {
      if (cause.shoe) cause.shoe(x, p);
    });
    const Stance stance = need(stance::stand(foot, made, options));
    row.push_back(assess(stance));
    CAPTURE(shoe, cause.what, x, stance.rest().reason);
    CHECK(stance.rest().converged);
  }
  for (const Follows& finding : findings) {
    std::string text;
    std::vector<double> values;
    for (std::size_t i = 0; i < row.size(); ++i) {
      const Number value = finding.read(row[i]);
      text += value ? fmt::format(" {:.5g}", *value) : " -";
      if (value && cause.at[i] >= finding.from - 1e-9 && cause.at[i] <= finding.to + 1e-9) values.push_back(*value);
    }
    REQUIRE(values.size() >= 2);
    // Which stretch of the row is judged, where it is not the whole.
    std::string judged;
    if (finding.from > cause.at.front() || finding.to < cause.at.back())
      judged = fmt::format(", judged from {:g} to {:g}", std::max(finding.from, cause.at.front()),
                           std::min(finding.to, cause.at.back()));
    const double worst = backstep(values, finding.sign), span = std::abs(values.back() - values.front());
    fmt::print("result: {}, {} {:g} to {:g}: {}{}; {}{}\n", shoe, cause.what, cause.at.front(), cause.at.back(),
               finding.what, text,
               worst <= 1e-3 ? "one way" : fmt::format("largest step the wrong way {:.1f} % of the span", 100 * worst),
               judged);
    CAPTURE(shoe, cause.what, finding.what, text, worst);
    if (demand) {
      CHECK(worst <= 1e-3);
      CHECK(span > 0);
      CHECK(finding.sign * (values.back() - values.front()) > 0);
    }
  }
}

Number platform(const Findings& f) { return f.load_share->platform; }
Number shank(const Findings& f) { return f.load_share->shank_heel; }
Number wall_friction(const Findings& f) { return f.load_share->wall_friction; }
Number back_offset(const Findings& f) { return f.break_point.back_offset_mm; }

/// `demand`: the sample in which the toes stay straight all along; in the others rows may cross from one way of
/// standing to another.
void walk_all(const char* shoe, bool demand) {
  // Depth lays the toes straight but leaves them turned sideways as they are. Below a friction of about 0.15 the taper
  // slides the big toe across (26 deg at its joint at 0.05, 20 at 0.15, 18 at 0.35); lying across, it reaches less far
  // down, and depth turns back although its head comes down all the way, as `sink` says.
  walk(shoe, demand, {"friction", even(0.05, 0.6, 12), {}, {}, [](double x, StandOptions& o) { o.friction = x; }},
       {{"depth mm", &Findings::depth_mm, -1, 0.15},
        {"sink mm", &Findings::sink_mm, -1},
        {"wall friction %", wall_friction, 1}});
  walk(
      shoe, demand, {"load N", even(130, 520, 9), {}, {}, [](double x, StandOptions& o) { o.load_N = x; }},
      {{"depth mm", &Findings::depth_mm, 1}, {"peak kPa", &Findings::peak_kPa, 1}, {"sink mm", &Findings::sink_mm, 1}});
  walk(
      shoe, demand,
      {"box wider by mm",
       even(-4, 6, 9),
       {},
       [](double x, ShoeParameters& p) { p.ball_breadth_mm += x, p.platform_breadth_mm += x; },
       {}},
      {{"depth mm", &Findings::depth_mm, 1}, {"platform %", platform, 1}, {"crowding", &Findings::crowding_index, -1}});
  // A beam's shape under a load depends on load / EI alone, as the wrap of a beam on a circle shows: the break has to
  // go one way with EI and the other way with the pull.
  walk(shoe, demand,
       {"shank EI N m^2", even(0.03, 0.2, 9), {}, [](double x, ShoeParameters& p) { p.shank_EI_Nm2 = x; }, {}},
       {{"shank and heel %", shank, 1}, {"break from arch back mm", back_offset, 1}});
  // Under about 15 N the pull lays the shank against the arch no more: it bends most where it leaves the box, and the
  // break, the place of the largest bend, leaps from one place to the other as the two are equal.
  walk(shoe, demand,
       {"heel pull N",
        even(4, 60, 15),
        {},
        [](double x, ShoeParameters& p) { p.drawstring_N = 0.4 * x, p.elastic_N = 0.6 * x; },
        {}},
       {{"shank and heel %", shank, 1}, {"break from arch back mm", back_offset, -1, 16}});
  walk(shoe, demand,
       {"hallux length mm", even(50, 66, 9), [](double x, foot::Card& c) { c.numbers[foot::toe_length] = x; }, {}, {}},
       {{"its load %", [](const Findings& f) { return f.toes[0].load_share; }, 1}});
  // Past 62 mm the second toe is the longest and stands alone: it gives way at its joints (bend) at the moment its
  // muscles can hold, and carries no more however long it is.
  walk(shoe, demand,
       {"second toe length mm",
        even(52, 68, 9),
        [](double x, foot::Card& c) { c.numbers[foot::toe_length + 1] = x; },
        {},
        {}},
       {{"its load %", [](const Findings& f) { return f.toes[1].load_share; }, 1, 0, 62},
        {"its bend deg", [](const Findings& f) { return f.toes[1].bend_deg; }, 1, 60}});
}

}  // namespace

TEST_CASE("Rows of stands in the tapered sample", "[.][long][rows]") { walk_all("tapered", true); }

// Told, not demanded. In these wider boxes little holds the toes while the foot is seated with 10 N, so that neighbours
// on a row start from seats up to 2 mm apart, which friction remembers; the big toe gives way at its joint in some of
// them (friction about 0.2) and not in others; and where the search for the ankle's aim ends within its 2 mm of the
// platform's centre instead of on it, the ankle stands some millimetres off.
TEST_CASE("Rows of stands in the parallel and deep samples", "[.][long][rows]") {
  walk_all("parallel", false);
  walk_all("deep_box", false);
}
