// SPDX-License-Identifier: GPL-3.0-or-later
#include "scan_numbers.h"

#include <algorithm>
#include <cmath>

#include "aplomb/foot/loading.h"
#include "aplomb/foot/measure.h"
#include "aplomb/foot/sizes.h"

namespace aplomb::scan {

namespace {

using namespace foot;

/// A number comes from the scan when the scan leaves less than this share of what the prior alone leaves open.
constexpr double told_share = 0.7;

}  // namespace

Foot foot_of_scan(const ShapeModel& model, const Prior& prior, const ShapeKnown& known, Side side, const Card* card,
                  bool toes_fused) {
  Build build;
  build.skin_offset_mm = known.skin_offset_mm;
  build.shape = known.load == Load::none ? standing_shape(model, known.shape) : known.shape;
  if (known.load == Load::full) build.shape = known.shape;  // shape_under() has no way back from it; within 1 %
  const Foot standing = foot_under(model, build, Load::standing);
  const auto measured = measure(*model.sites, body_of(standing));
  Numbers numbers;
  for (int i = 0; i < dimension_count; ++i) numbers[i] = measured[i].value;
  const auto said = [card](int number) { return card != nullptr ? card->numbers[number] : std::nullopt; };
  build.breadth_relaxed_mm = numbers[breadth_relaxed] = said(breadth_relaxed).value_or(standing.breadth_relaxed_mm);
  build.breadth_squeezed_mm = said(breadth_squeezed).value_or(usual_of(prior, breadth_squeezed, numbers).value);
  build.plantarflexion_deg = said(plantarflexion).value_or(usual_of(prior, plantarflexion, numbers).value);
  Foot out = build_foot(model, build);
  out.side = side;

  const Sizes sizes = sizes_of(model, body_at(model, build.shape), build.shape, true);
  const Eigen::VectorXd variance = (sizes.slope * known.covariance * sizes.slope.transpose()).diagonal();
  out.covariance.assign(known.covariance.data(), known.covariance.data() + known.covariance.size());
  const Numbers as_scanned = from_standing(numbers, known.load);
  const Conditional usual = without_reading_doubt(given_length(prior, *numbers[foot_length]));
  for (int i = 0; i < dimension_count; ++i) {
    double sd = std::sqrt(std::max(0.0, variance[i]));
    const auto at = std::find(usual.index.begin(), usual.index.end(), i) - usual.index.begin();
    const std::string& key = number_table()[i].key;
    bool told = i == foot_length || sd * sd < told_share * told_share * usual.covariance(at, at);
    if (toes_fused && i >= toe_length && i < toe_height) {
      told = false;
      sd = std::sqrt(usual.covariance(at, at));
    }
    out.measurements[key] = {*as_scanned[i], sd, told ? "scan" : "prior"};
    if (said(i))
      out.residual[key] = *as_scanned[i] - *from_standing(to_standing(card->numbers, card->load), known.load)[i];
  }
  const auto box = plan_box(body_of(standing).skin);
  out.measurements["plan_box_length_mm"] = {box[0], std::sqrt(variance[foot_length]), "scan"};
  out.measurements["plan_box_breadth_mm"] = {box[1], std::sqrt(variance[foot_breadth]), "scan"};
  for (int number = dimension_count; number < number_count; ++number) {
    const std::string& key = number_table()[number].key;
    if (said(number)) {
      out.measurements[key] = {*said(number), number_table()[number].caliper_sd, "card"};
      continue;
    }
    if (number == mass || number == age) continue;
    const Usual is = usual_of(prior, number, numbers);
    const double value = number == breadth_relaxed    ? out.breadth_relaxed_mm
                         : number == breadth_squeezed ? *build.breadth_squeezed_mm
                         : number == plantarflexion   ? build.plantarflexion_deg
                                                      : is.value;
    out.measurements[key] = {value, is.sd, "prior"};
  }
  out.mass_kg = said(mass);
  out.age_years = said(age);
  return out;
}

}  // namespace aplomb::scan
