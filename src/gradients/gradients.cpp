// A number moves by so little that what touches stays what it is, and by so much that rounding does not show.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/gradients/gradients.h"

#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <functional>
#include <map>
#include <optional>

#include "aplomb/findings/assess.h"
#include "aplomb/foot/build.h"
#include "aplomb/foot/fit.h"
#include "aplomb/foot/numbers.h"
#include "aplomb/foot/sizes.h"
#include "aplomb/stance/neighbours.h"
#include "parallel.h"

namespace aplomb::gradients {

namespace {

using findings::Gradient;
using stance::Standing;

constexpr double hair = 1e-5;          // of a number's size
constexpr double tight = 1e-10;        // balance of the answer that slopes are taken of
constexpr double hair_of_foot = 1e-5;  // mm, deg

/// A number, and what stands when it is moved.
struct Moved {
  Gradient::Of of;
  std::string key;
  double value;
  double by;
  std::function<io::Result<Standing>(double)> to;
};

double size_of(double value, const io::Range& range) {
  const double span = range.max - range.min;
  return value != 0 ? std::abs(value) : std::isfinite(span) && span < 1e6 ? span : 1;
}

std::vector<Moved> of_stand(const Standing& from, double load_N, double friction) {
  std::vector<Moved> out;
  out.push_back(
      {Gradient::Of::stand, "load_N", load_N, hair * load_N, [from, load_N](double by) -> io::Result<Standing> {
         Standing moved = from;
         moved.options.load_N = load_N + by;
         return moved;
       }});
  out.push_back({Gradient::Of::stand, "friction", friction, hair * std::max(friction, 0.1),
                 [from, friction](double by) -> io::Result<Standing> {
                   Standing moved = from;
                   moved.options.friction = friction + by;
                   return moved;
                 }});
  return out;
}

std::vector<Moved> of_shoe(const Standing& from) {
  std::vector<Moved> out;
  for (const shoe::NumberField& field : shoe::number_fields()) {
    const double value = from.shoe->parameters.*field.member;
    out.push_back({Gradient::Of::shoe, field.key, value, hair * size_of(value, field.range),
                   [from, &field](double by) -> io::Result<Standing> {
                     shoe::ShoeParameters parameters = from.shoe->parameters;
                     parameters.*field.member += by;
                     if (const auto good = shoe::check(parameters); !good) return tl::unexpected(good.error());
                     auto made = shoe::make_shoe(parameters);
                     if (!made) return tl::unexpected(made.error());
                     return Standing{from.foot, std::make_shared<const shoe::Shoe>(std::move(*made)), from.options};
                   }});
  }
  return out;
}

std::vector<Moved> of_foot(const Standing& from, const foot::ShapeModel& model) {
  const auto build = std::make_shared<const foot::Build>(foot::build_of(*from.foot));
  const foot::Sizes sizes = foot::sizes_of(model, foot::body_at(model, build->shape), build->shape, false);
  std::vector<Moved> out;
  for (int i = 0; i < foot::dimension_count; ++i)
    out.push_back({Gradient::Of::foot, foot::number_table()[static_cast<std::size_t>(i)].key, sizes.value[i],
                   hair_of_foot, [from, build, &model, i](double by) -> io::Result<Standing> {
                     foot::Foot foot = foot::build_foot_with_more(model, *build, i, by);
                     foot.side = from.foot->side;
                     foot.mass_kg = from.foot->mass_kg;
                     foot.age_years = from.foot->age_years;
                     return Standing{std::make_shared<const foot::Foot>(std::move(foot)), from.shoe, from.options};
                   }});
  return out;
}

std::vector<findings::NamedNumber> numbers_of(const stance::Stance& stance) {
  const findings::Findings found = findings::assess(stance);
  std::vector<findings::NamedNumber> all = findings::named_numbers(found);
  for (findings::NamedNumber& height : findings::named_heights(found)) all.push_back(std::move(height));
  return all;
}

Gradient gradient_of(const Moved& number, const stance::Stance& middle, const Standing& from) {
  Gradient out{number.of, number.key, number.value, {}, {}};
  const auto minus = number.to(-number.by), plus = number.to(number.by);
  if (!minus || !plus) {
    out.why_not = "it cannot move both ways: " + (minus ? plus.error() : minus.error()).message;
    return out;
  }
  const auto sides = stance::neighbours(middle, from, *minus, *plus);
  if (!sides || !*sides) {
    out.why_not = sides ? "what touches is about to change" : sides.error().message;
    return out;
  }
  const auto below = numbers_of((*sides)->minus), above = numbers_of((*sides)->plus);
  for (std::size_t i = 0; i < below.size(); ++i) {
    if (!below[i].value || !above[i].value) continue;
    const double slope = (*above[i].value - *below[i].value) / (2 * number.by);
    if (std::isfinite(slope)) out.slopes.push_back({below[i].key, slope});
  }
  return out;
}

}  // namespace

io::Result<std::vector<Gradient>> gradients(std::shared_ptr<const foot::Foot> foot,
                                            std::shared_ptr<const shoe::Shoe> shoe, const stance::StandOptions& options,
                                            const foot::ShapeModel& model, const Options& which,
                                            const io::Progress& progress) {
  Standing from{std::move(foot), std::move(shoe), options};
  from.options.solve.residual_tolerance = tight;
  from.options.solve.tolerance_on_the_way = tight;
  from.options.solve.trusted_step_mm = 0;
  from.options.solve.settle = false;
  from.options.solve.beside = nullptr;
  const auto middle = stance::stand(from.foot, from.shoe, from.options, progress);
  if (!middle) return tl::unexpected(middle.error());
  if (!middle->rest().converged)
    return io::fail({.field = "--position", .message = middle->rest().reason, .remedy = "gradients are of an answer"});

  std::vector<Moved> numbers = of_stand(from, middle->load_N, middle->friction);
  for (auto more : {of_shoe(from), of_foot(from, model)})
    numbers.insert(numbers.end(), std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
  for (const std::string& key : which.keys)
    if (std::none_of(numbers.begin(), numbers.end(), [&](const Moved& one) { return one.key == key; }))
      return io::fail({.field = key,
                       .message = "is no number of foot, shoe or stand that gradients are taken by",
                       .remedy = "leave it out for all of them, or see the names in the answer"});
  if (!which.keys.empty())
    std::erase_if(numbers, [&](const Moved& one) {
      return std::find(which.keys.begin(), which.keys.end(), one.key) == which.keys.end();
    });

  std::vector<Gradient> columns(numbers.size());
  std::atomic<bool> stop{false};
  std::atomic<int> done{0};
  study::for_each_index(static_cast<int>(numbers.size()), which.threads, &stop, [&](int i) {
    if (progress.cancelled()) stop = true;
    if (stop) return;
    const auto k = static_cast<std::size_t>(i);
    columns[k] = gradient_of(numbers[k], *middle, from);
    progress(static_cast<double>(++done) / static_cast<double>(numbers.size()), "gradients");
  });
  if (stop)
    return io::fail(
        {.kind = io::ErrorKind::cancelled, .message = "stopped", .remedy = "run it again to get gradients"});
  return columns;
}

}  // namespace aplomb::gradients
