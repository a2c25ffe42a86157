// From a card to a foot: what the card asks is checked, a shape is searched, the foot that it makes is checked again.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/foot/fit.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "aplomb/foot/loading.h"
#include "aplomb/foot/measure.h"
#include "aplomb/foot/template.h"
#include "aplomb/geometry/exact.h"
#include "posture.h"
#include "shape_search.h"

namespace aplomb::foot {

namespace {

/// Length and breadth are met within this, or the card is refused.
constexpr double must_meet_mm = 0.5;
/// Every other number within this many SDs of the caliper: two honest readings of one thing can differ so much.
constexpr double caliper_sds_met = 2.5;
/// Where the skin of a foot with bent or lifted toes crosses itself, these are suspected before a dimension that is not
/// farther than this many SDs from usual.
constexpr double posture_suspect_sds = 2.5;

using Values = std::array<double, dimension_count>;

/// Dimensions of a foot as it lies.
Values values_of(const ShapeModel& model, const Foot& foot) {
  const auto measured = measure(*model.sites, body_of(foot));
  Values values;
  for (int i = 0; i < dimension_count; ++i) values[i] = measured[i].value;
  return values;
}

/// The same of the unloaded foot, its heights above the floor that it would lie on.
Values unloaded_values_of(const ShapeModel& model, const Foot& foot) {
  Values values = values_of(model, foot);
  const Values floor = unloaded_floor_z(model, values[foot_length]);
  for (int i = 0; i < dimension_count; ++i) values[i] -= floor[i];
  return values;
}

bool is_bent(const Build& build) {
  return std::any_of(build.bend_deg.begin(), build.bend_deg.end(), [](double bend) { return bend != 0; }) ||
         std::any_of(build.lift_mm.begin(), build.lift_mm.end(), [](const auto& lift) { return lift.has_value(); });
}

/// By how much each toe is longer straight than as it lies, from the template at the foot's size.
Numbers with_straight_toes(const Numbers& standing, const ShapeModel& model, const Build& build) {
  if (!is_bent(build)) return standing;
  Numbers straight = standing;
  const Sizes sizes = sizes_at(model, build.shape, false);
  const Values lying = values_of(model, foot_under(model, build, Load::standing));
  for (int i = toe_length; i < toe_breadth; ++i)
    if (straight[i]) straight[i] = *straight[i] * sizes.value[i] / lying[i];
  return straight;
}

/// The breadths without load against what the other breadths make likely.
std::vector<Surprise> breadth_surprises(const Prior& prior, Numbers standing) {
  std::vector<Surprise> out;
  for (const int number : {int{breadth_relaxed}, int{breadth_squeezed}}) {
    const Usual usual = usual_of(prior, number, standing);
    if (standing[number])
      out.push_back({number, *standing[number], usual.value, std::hypot(usual.sd, number_table()[number].caliper_sd)});
    else
      standing[number] = usual.value;
  }
  return out;
}

/// All surprises, largest first.
std::vector<Surprise> all_surprises(const Prior& prior, const Numbers& straight) {
  std::vector<Surprise> out = surprises(prior, straight);
  for (const Surprise& surprise : breadth_surprises(prior, straight)) out.push_back(surprise);
  std::stable_sort(out.begin(), out.end(),
                   [](const Surprise& a, const Surprise& b) { return std::abs(a.sds()) > std::abs(b.sds()); });
  return out;
}

io::Result<void> check_likely(const Card& card, const std::vector<Surprise>& surprising, const FitOptions& options) {
  std::vector<std::string> keys;
  for (const auto& info : number_table()) keys.push_back(info.key);
  for (const std::string& name : options.accept_unlikely) {
    if (find_number(name)) continue;
    const std::string nearest = io::nearest_name(name, keys);
    return io::fail(
        {.field = "--accept-unlikely",
         .message = fmt::format("{} is not a key of a card", name),
         .remedy = nearest.empty() ? "name a key as it stands on the card" : fmt::format("did you mean {}?", nearest)});
  }
  const auto& accepted = options.accept_unlikely;
  for (const Surprise& surprise : surprising) {
    if (std::abs(surprise.sds()) <= options.unlikely_sds) break;
    const std::string& key = number_table()[surprise.number].key;
    if (std::find(accepted.begin(), accepted.end(), key) != accepted.end()) continue;
    return tl::unexpected(
        card_error(card, surprise.number,
                   fmt::format("{:.4g} lies {:.1f} SD from {:.4g}, which the other numbers make likely",
                               *card.numbers[surprise.number], std::abs(surprise.sds()), surprise.expected),
                   fmt::format("measure again, or give --accept-unlikely {} if it is meant", key),
                   io::ErrorKind::decision_needed));
  }
  return {};
}

/// Covariance of the shape, of the foot itself and not of reading it: the prior without the doubt of reading, and every
/// number on the card with it.
Eigen::MatrixXd shape_covariance(const Sizes& sizes, const Conditional& prior, const std::vector<int>& known) {
  const Eigen::MatrixXd J = sizes.slope(prior.index, Eigen::all);
  Eigen::MatrixXd information = J.transpose() * without_reading_doubt(prior).covariance.llt().solve(J);
  for (const int i : known) {
    const double sd = number_table()[i].caliper_sd;
    information += sizes.slope.row(i).transpose() * sizes.slope.row(i) / (sd * sd);
  }
  information.diagonal() += ridge(prior).cwiseAbs2().cwiseInverse();
  const Eigen::MatrixXd covariance =
      information.llt().solve(Eigen::MatrixXd::Identity(int{shape_count}, int{shape_count}));
  return (covariance + covariance.transpose()) / 2;
}

/// What is not a dimension of the shape: as the card says, else what is usual, with its doubt.
/// `standing` holds the foot's dimensions and its relaxed breadth.
void add_other_numbers(const Card& card, const Prior& prior, const Numbers& standing, Foot& foot) {
  for (int number = dimension_count; number < number_count; ++number) {
    const auto& info = number_table()[number];
    if (card.numbers[number]) {
      foot.measurements[info.key] = {*card.numbers[number], info.caliper_sd, "card"};
    } else if (number != mass && number != age) {
      const Usual usual = usual_of(prior, number, standing);
      const double value = number == breadth_relaxed ? foot.breadth_relaxed_mm : usual.value;
      foot.measurements[info.key] = {value, usual.sd, "prior"};
    }
  }
}

/// What of the card acts beside the shape.
Build build_for(const Card& card, const Numbers& standing, const ShapeModel& model, const Prior& prior) {
  Build build;
  build.shape[0] = std::log(*standing[foot_length] / model.mean.length_mm);
  for (int toe = 0; toe < toe_count; ++toe) {
    build.bend_deg[toe] = card.numbers[toe_bend + toe].value_or(0);
    build.lift_mm[toe] = card.numbers[toe_lift + toe];
  }
  build.breadth_relaxed_mm = card.numbers[breadth_relaxed];
  build.breadth_squeezed_mm = card.numbers[breadth_squeezed];
  if (card.load == Load::none) {
    // Two readings of one breadth.
    const double breadth = *card.numbers[foot_breadth];
    build.breadth_relaxed_mm = (breadth + build.breadth_relaxed_mm.value_or(breadth)) / 2;
  }
  build.plantarflexion_deg = card.numbers[plantarflexion].value_or(usual_of(prior, plantarflexion, standing).value);
  return build;
}

/// The first number of the card that the foot misses by more than honest readings differ, as an error.
io::Result<void> check_met(const Card& card, const Values& values, const ShapeModel& model, const Foot& standing,
                           const Foot& unloaded) {
  int worst = -1, missed = -1;
  double strain = 0, most = 1;
  for (int i = 0; i < dimension_count; ++i) {
    if (!card.numbers[i]) continue;
    const bool tight = i == foot_length || i == foot_breadth;
    const double miss = std::abs(values[i] - *card.numbers[i]);
    const double caliper = number_table()[i].caliper_sd;
    const double share = miss / (tight ? must_meet_mm : caliper_sds_met * caliper);
    if (!(share <= most)) missed = i, most = share;
    // Length and breadth are held hardest: what strains is what does not go with them.
    if (!tight && miss / caliper > strain) worst = i, strain = miss / caliper;
  }
  if (missed >= 0) {
    if (worst < 0) worst = missed;
    const double miss = values[missed] - *card.numbers[missed];
    return tl::unexpected(
        card_error(card, worst,
                   fmt::format("{:.4g} does not go with the other numbers: the nearest foot misses {} by {:+.1f}",
                               *card.numbers[worst], number_table()[missed].key, miss),
                   "measure this number again, and the lengths of toes and ball"));
  }
  if (card.numbers[breadth_relaxed]) {
    const double relaxed = values_of(model, unloaded)[foot_breadth];
    if (!(std::abs(relaxed - unloaded.breadth_relaxed_mm) <= must_meet_mm))
      return tl::unexpected(card_error(card, breadth_relaxed,
                                       fmt::format("no foot of these numbers is {:.4g} mm broad without load, the "
                                                   "nearest is {:.1f} mm",
                                                   *card.numbers[breadth_relaxed], relaxed),
                                       "measure both breadths again"));
  }
  for (int toe = 0; toe < toe_count; ++toe) {
    const auto& lift = card.numbers[toe_lift + toe];
    if (!lift) continue;
    const double reached = toe_clearance_mm(standing, *model.sites, toe);
    if (std::abs(reached - *lift) > must_meet_mm)
      return tl::unexpected(card_error(card, toe_lift + toe,
                                       fmt::format("this toe cannot stand {:.4g} mm above the floor, the nearest is "
                                                   "{:.1f} mm",
                                                   *lift, reached),
                                       "measure the clearance and the bend of the toe again"));
  }
  return {};
}

/// A skin that crosses itself is no foot: the number that is farthest from usual has to be looked at.
io::Result<void> check_sound(const Card& card, const Foot& standing, const Foot& unloaded,
                             const std::vector<Surprise>& surprising) {
  int suspect = surprising.empty() ? int{foot_breadth} : surprising.front().number;
  if (surprising.empty() || std::abs(surprising.front().sds()) < posture_suspect_sds)
    for (int toe = 0; toe < toe_count; ++toe)
      for (const int i : {toe_bend + toe, toe_lift + toe})
        if (card.numbers[i].value_or(0) != 0) suspect = i;
  const auto finite = [](const Foot& foot) {
    return std::all_of(foot.skin.vertices_F.begin(), foot.skin.vertices_F.end(),
                       [](const Vec3& p) { return p.allFinite(); });
  };
  for (const Foot* foot : {&standing, &unloaded}) {
    if (finite(*foot) && !geometry::crosses_itself({foot->skin.vertices_F, foot->skin.faces})) continue;
    return tl::unexpected(card_error(
        card, suspect,
        fmt::format("with {:.4g} and the other numbers the skin would pass through itself", *card.numbers[suspect]),
        "measure again; if it is right, leave out what is least sure"));
  }
  return {};
}

}  // namespace

io::Result<Foot> fit_card(const Card& card, const Foot& mean, const Prior& prior, const FitOptions& options) {
  return fit_card(card, make_shape_model(mean), prior, options);
}

io::Result<Foot> fit_card(const Card& given, const ShapeModel& model, const Prior& prior, const FitOptions& options) {
  Card card = given;
  if (options.mass_kg) card.numbers[mass] = options.mass_kg;
  if (const auto found = contradiction_in(card))
    return tl::unexpected(card_error(card, found->number, found->message, found->remedy));
  const Numbers standing = to_standing(card.numbers, card.load);
  Build build = build_for(card, standing, model, prior);
  const Numbers straight = with_straight_toes(standing, model, build);
  const std::vector<Surprise> surprising = all_surprises(prior, straight);
  if (auto likely = check_likely(card, surprising, options); !likely) return tl::unexpected(likely.error());

  const Conditional by_length = given_length(prior, *standing[foot_length], standing[mass]);
  std::vector<int> known;
  for (int i = 0; i < dimension_count; ++i)
    if (standing[i]) known.push_back(i);
  Eigen::VectorXd target(known.size()), sd(known.size());
  for (std::size_t i = 0; i < known.size(); ++i) {
    target[static_cast<Eigen::Index>(i)] = *straight[known[i]];
    sd[static_cast<Eigen::Index>(i)] = number_table()[known[i]].caliper_sd / options.card_tightening;
  }

  // The shape is of the foot with straight toes, the numbers of the foot as it lies: what bending changes is added to
  // the target until both agree.
  Question question{model, by_length, known, target, sd, build.shape};
  for (int round = 0; round < 6; ++round) {
    const auto best = best_shape(question, build.shape, options.max_iterations);
    if (!best)
      return io::fail({.kind = io::ErrorKind::bad_input,
                       .file = card.file,
                       .field = number_table()[surprising.empty() ? int{foot_breadth} : surprising.front().number].key,
                       .message = "no foot was found that has this and the other numbers",
                       .remedy = "check the numbers against each other"});
    build.shape = *best;
    if (!is_bent(build)) break;
    const Values lying = values_of(model, foot_under(model, build, Load::standing));
    const Sizes now = sizes_at(model, build.shape, false);
    double change = 0;
    for (std::size_t i = 0; i < known.size(); ++i) {
      const auto k = static_cast<Eigen::Index>(i);
      const double as_straight = *standing[known[i]] + now.value[known[i]] - lying[known[i]];
      change = std::max(change, std::abs(as_straight - question.target[k]));
      question.target[k] = as_straight;
    }
    if (change < 0.05) break;
  }

  const Foot as_standing = foot_under(model, build, Load::standing);
  // What was not known is settled once, so that a foot read back from its file is the same foot.
  Numbers settled;
  const Values lying = values_of(model, as_standing);
  for (int i = 0; i < dimension_count; ++i) settled[i] = lying[i];
  build.breadth_relaxed_mm = settled[breadth_relaxed] = as_standing.breadth_relaxed_mm;
  if (!build.breadth_squeezed_mm) build.breadth_squeezed_mm = usual_of(prior, breadth_squeezed, settled).value;
  Foot foot = build_foot(model, build);
  const Values values = card.load == Load::standing ? lying
                        : card.load == Load::none   ? unloaded_values_of(model, foot)
                                                    : values_of(model, foot_under(model, build, card.load));
  if (auto met = check_met(card, values, model, as_standing, foot); !met) return tl::unexpected(met.error());
  if (auto sound = check_sound(card, as_standing, foot, surprising); !sound) return tl::unexpected(sound.error());
  foot.side = card.side;
  foot.mass_kg = card.numbers[mass];
  foot.age_years = card.numbers[age];

  const Sizes sizes = sizes_at(model, build.shape, true);
  const Eigen::MatrixXd covariance = shape_covariance(sizes, by_length, known);
  foot.covariance.assign(covariance.data(), covariance.data() + covariance.size());
  const Eigen::VectorXd variance = (sizes.slope * covariance * sizes.slope.transpose()).diagonal();
  for (int i = 0; i < dimension_count; ++i) {
    const bool from_card = card.numbers[i].has_value();
    foot.measurements[number_table()[i].key] = {values[i], std::sqrt(variance[i]), from_card ? "card" : "prior"};
    if (from_card) foot.residual[number_table()[i].key] = values[i] - *card.numbers[i];
  }
  const auto box = plan_box(body_of(as_standing).skin);
  foot.measurements["plan_box_length_mm"] = {box[0], std::sqrt(variance[foot_length]), "prior"};
  foot.measurements["plan_box_breadth_mm"] = {box[1], std::sqrt(variance[foot_breadth]), "prior"};
  add_other_numbers(card, prior, settled, foot);
  // Unloaded, two readings of one breadth are settled in their mean.
  foot.measurements[number_table()[breadth_relaxed].key].value = foot.breadth_relaxed_mm;
  return foot;
}

Build build_of(const Foot& foot) {
  Build build;
  std::copy(foot.shape.begin(), foot.shape.end(), build.shape.data());
  const auto value = [&](int number) -> const Measurement* {
    const auto found = foot.measurements.find(number_table()[number].key);
    return found == foot.measurements.end() ? nullptr : &found->second;
  };
  for (int toe = 0; toe < toe_count; ++toe) {
    if (const auto* bend = value(toe_bend + toe)) build.bend_deg[toe] = bend->value;
    if (const auto* lift = value(toe_lift + toe); lift != nullptr && lift->source == "card")
      build.lift_mm[toe] = lift->value;
  }
  if (const auto* relaxed = value(breadth_relaxed)) build.breadth_relaxed_mm = relaxed->value;
  if (const auto* squeezed = value(breadth_squeezed)) build.breadth_squeezed_mm = squeezed->value;
  if (const auto* range = value(plantarflexion)) build.plantarflexion_deg = range->value;
  build.skin_offset_mm = foot.skin_offset_mm;
  return build;
}

}  // namespace aplomb::foot
