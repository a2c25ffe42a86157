// What an answer costs against contact points, load steps and unknowns: times, exponents and a figure.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <fstream>

#include "aplomb/foot/foot_file.h"
#include "aplomb/stance/stand.h"
#include "setup.h"

using namespace aplomb;
using namespace aplomb::study::test;

namespace {

struct Case {
  contact::Problem problem;
  Eigen::VectorXd q;                              ///< its seat
  std::shared_ptr<const stance::Stance> belongs;  ///< keeps what the problem points to
};

Case sample_case() {
  const auto foot = std::make_shared<const foot::Foot>(need(foot::load_foot(meshes() / "feet/sample.toml", meshes())));
  const auto shoe = std::make_shared<const shoe::Shoe>(need(shoe::make_shoe(sample_shoe("tapered"))));
  const auto stance = std::make_shared<const stance::Stance>(need(stance::stand(foot, shoe, {})));
  return {*stance->problem, stance->path.seat.q, stance};
}

/// Every point `times` times over with its share of the area: the same balance at the cost of more points.
Case repeated(const Case& from, int times) {
  Case out = from;
  const auto count = static_cast<int>(from.problem.points.size());
  for (contact::SkinPoint& point : out.problem.points) point.area_mm2 /= times;
  const std::vector<contact::SkinPoint> points = out.problem.points;
  for (int k = 1; k < times; ++k) out.problem.points.insert(out.problem.points.end(), points.begin(), points.end());
  const auto repeat = [&](std::vector<int>& list) {
    const std::vector<int> once = list;
    for (int k = 1; k < times; ++k)
      for (const int i : once) list.push_back(i + k * count);
  };
  for (auto& surface : out.problem.surfaces) repeat(surface.points);
  repeat(out.problem.rod_contact.points);
  for (auto& pair : out.problem.pairs) repeat(pair.a), repeat(pair.b);
  return out;
}

/// Every element of the rod cut in `parts`: the same balance to the rod's own error, with more unknowns.
Case finer(const Case& from, int parts) {
  Case out = from;
  contact::Problem& problem = out.problem;
  contact::Rod& rod = *problem.rod;
  const contact::Rod old = rod;
  const int more = (parts - 1) * old.element_count(), end = old.first_dof + old.element_count();
  rod.length_mm.clear(), rod.EI_Nmm2.clear(), rod.rest_curvature.clear(), rod.half_breadth_mm.clear();
  std::vector<double> angle;
  for (std::size_t e = 0; e < old.length_mm.size(); ++e) {
    const double before = e == 0 ? old.start_angle : from.q[old.first_dof + static_cast<int>(e) - 1];
    const double after = from.q[old.first_dof + static_cast<int>(e)];
    for (int k = 0; k < parts; ++k) {
      const double at = static_cast<double>(k) / parts;
      rod.length_mm.push_back(old.length_mm[e] / parts);
      rod.EI_Nmm2.push_back(old.EI_Nmm2[e]);
      rod.rest_curvature.push_back(old.rest_curvature[e]);
      rod.half_breadth_mm.push_back((1 - at) * old.half_breadth_mm[e] + at * old.half_breadth_mm[e + 1]);
      angle.push_back(before + (k + 1.0) / parts * (after - before));
    }
  }
  rod.half_breadth_mm.push_back(old.half_breadth_mm.back());
  problem.dof_count += more;
  problem.dof_is_length.insert(problem.dof_is_length.begin() + end, static_cast<std::size_t>(more), false);
  const auto moved = [&](int& dof) { dof += dof >= end ? more : 0; };
  for (auto& surface : problem.surfaces)
    if (surface.give) moved(surface.give->first_dof);
  for (auto& spring : problem.springs) moved(spring.dof);
  for (auto& band : problem.bands)
    for (auto& point : band.path)
      if (point.on == contact::BandPoint::On::rod) point.index *= parts;
  out.q.resize(problem.dof_count);
  out.q << from.q.head(old.first_dof),
      Eigen::Map<Eigen::VectorXd>(angle.data(), static_cast<Eigen::Index>(angle.size())),
      from.q.tail(from.q.size() - end);
  return out;
}

struct Run {
  double ms = 0, slide_mm = 0;
  int iterations = 0;
};

/// Median of three.
Run timed(const Case& one, const contact::SolveOptions& options = {}) {
  Run out;
  std::vector<double> ms;
  for (int k = 0; k < 3; ++k) {
    const auto started = std::chrono::steady_clock::now();
    const contact::LoadPath path = contact::solve(one.problem, one.q, options);
    ms.push_back(std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - started).count());
    REQUIRE(path.loaded.converged);
    out.slide_mm = path.loaded.q[stance::FootUnknowns::slide_z];
    out.iterations = path.seat.iterations + path.loaded.iterations;
  }
  std::sort(ms.begin(), ms.end());
  out.ms = ms[1];
  return out;
}

struct Series {
  std::string what, colour;
  std::vector<double> count, ms;

  /// Of cost ~ count^exponent, by least squares of logarithms.
  double exponent() const {
    double sx = 0, sy = 0, sxx = 0, sxy = 0;
    const auto n = static_cast<double>(count.size());
    for (std::size_t i = 0; i < count.size(); ++i) {
      const double x = std::log(count[i]), y = std::log(ms[i]);
      sx += x, sy += y, sxx += x * x, sxy += x * y;
    }
    return (n * sxy - sx * sy) / (n * sxx - sx * sx);
  }
};

/// Logarithmic both ways, 10 to 100 000 and 10 ms to 10 s.
void write_figure(const std::string& path, const std::vector<Series>& all) {
  const auto x = [](double count) { return 70 + 130 * std::log10(count / 10); };
  const auto y = [](double ms) { return 330 - 100 * std::log10(ms / 10); };
  std::ofstream svg(path);
  svg << R"(<svg xmlns="http://www.w3.org/2000/svg" width="660" height="400" font-family="sans-serif" font-size="12">)"
      << "\n<rect width=\"660\" height=\"400\" fill=\"white\"/>\n";
  for (const double ms : {10., 100., 1000., 10000.})
    svg << fmt::format(
        "<path d=\"M70 {0} H590\" stroke=\"#ccc\"/><text x=\"64\" y=\"{1}\" text-anchor=\"end\">{2} ms</text>\n", y(ms),
        y(ms) + 4, ms);
  for (const double count : {10., 100., 1000., 10000., 100000.})
    svg << fmt::format(
        "<path d=\"M{0} 30 V330\" stroke=\"#ccc\"/><text x=\"{0}\" y=\"348\" text-anchor=\"middle\">{1}</text>\n",
        x(count), count);
  int line = 0;
  for (const Series& series : all) {
    svg << "<path fill=\"none\" stroke-width=\"2\" stroke=\"" << series.colour << "\" d=\"";
    for (std::size_t i = 0; i < series.count.size(); ++i)
      svg << fmt::format("{}{:.1f} {:.1f} ", i == 0 ? "M" : "L", x(series.count[i]), y(series.ms[i]));
    svg << "\"/>\n";
    for (std::size_t i = 0; i < series.count.size(); ++i)
      svg << fmt::format("<circle cx=\"{:.1f}\" cy=\"{:.1f}\" r=\"3\" fill=\"{}\"/>\n", x(series.count[i]),
                         y(series.ms[i]), series.colour);
    svg << fmt::format("<text x=\"360\" y=\"{}\" fill=\"{}\">{}: exponent {:.2f}</text>\n", 282 + 18 * line++,
                       series.colour, series.what, series.exponent());
  }
  svg << "<text x=\"330\" y=\"376\" text-anchor=\"middle\">how many of them</text>\n<text x=\"330\" y=\"20\" "
         "text-anchor=\"middle\">One answer on full pointe, from its seat</text>\n</svg>\n";
}

}  // namespace

TEST_CASE("points repeated and rods cut finer stand where they stood", "[cost]") {
  const Case sample = sample_case();
  const auto slide = [](const Case& one) {
    contact::SolveOptions options;
    options.load_steps = 4;
    const contact::LoadPath path = contact::solve(one.problem, one.q, options);
    REQUIRE(path.loaded.converged);
    return path.loaded.q[stance::FootUnknowns::slide_z];
  };
  const double as_it_is = slide(sample);
  CHECK(std::abs(slide(repeated(sample, 2)) - as_it_is) < 0.01);
  CHECK(std::abs(slide(finer(sample, 2)) - as_it_is) < 0.05);
  CHECK(repeated(sample, 2).problem.points.size() == 2 * sample.problem.points.size());
  CHECK(finer(sample, 2).problem.dof_count == sample.problem.dof_count + sample.problem.rod->element_count());
}

TEST_CASE("cost of an answer against points, load steps and unknowns", "[.][long][cost]") {
  const Case sample = sample_case();
  Series points{"contact points", "#0072b2", {}, {}}, steps{"load steps", "#d55e00", {}, {}},
      unknowns{"unknowns", "#009e73", {}, {}};
  const auto say = [](const Series& series, double count, const Run& run) {
    fmt::print("result: {:.0f} {}: {:.0f} ms, {} steps of Newton or descent, foot at {:.3f} mm\n", count, series.what,
               run.ms, run.iterations, run.slide_mm);
    std::fflush(stdout);
  };
  const auto add = [&](Series& series, double count, const Run& run) {
    series.count.push_back(count), series.ms.push_back(run.ms);
    say(series, count, run);
  };
  for (const int times : {1, 2, 4, 8}) {
    const Case more = repeated(sample, times);
    add(points, static_cast<double>(more.problem.points.size()), timed(more));
  }
  for (const int count : {10, 20, 40, 80}) {
    contact::SolveOptions options;
    options.load_steps = count;
    add(steps, count, timed(sample, options));
  }
  for (const int parts : {1, 2, 3}) {
    if (parts * sample.problem.rod->element_count() > contact::max_rod_elements) break;
    const Case more = finer(sample, parts);
    add(unknowns, more.problem.dof_count, timed(more));
  }
  for (const Series& series : {points, steps, unknowns})
    fmt::print("result: cost ~ {}^{:.2f}\n", series.what, series.exponent());
  write_figure(APLOMB_SOURCE_DIR "/build/cost.svg", {points, steps, unknowns});
  fmt::print("result: figure: build/cost.svg\n");
  // Points are asked one by one, but skin on skin by all partners within a reach that does not shrink as they come
  // closer together: that part goes by the square of their number.
  CHECK(points.exponent() < 1.6);
  CHECK(steps.exponent() < 1.1);
}
