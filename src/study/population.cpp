// Every stand is a piece of work of its own; what the stands of one foot share (foot, graded shoes) is made by the
// first that needs it and dropped after the last, so that memory holds a few feet and not the population.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/study/population.h"

#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <memory>
#include <mutex>
#include <optional>

#include "aplomb/findings/assess.h"
#include "aplomb/shoe/shoe.h"
#include "aplomb/shoe/sizes.h"
#include "parallel.h"

namespace aplomb::study {

namespace {

/// What the stands of one foot share.
struct FootWork {
  std::once_flag once;
  std::optional<io::Result<std::shared_ptr<const foot::Foot>>> foot;
  std::vector<io::Result<std::shared_ptr<const shoe::Shoe>>> shoes;
  std::atomic<int> stands_left{0};

  void drop() {
    foot.reset();
    shoes.clear();
  }
};

io::Result<void> check(const PopulationOptions& options) {
  const auto refuse = [](const char* field, std::string message, std::string remedy) {
    return io::fail({.field = field, .message = std::move(message), .remedy = std::move(remedy)});
  };
  if (options.feet < 1 || options.feet > most_feet)
    return refuse("--feet", fmt::format("{} feet cannot be studied", options.feet),
                  fmt::format("give a count from 1 to {}", most_feet));
  if (options.threads < 0)
    return refuse("--threads", fmt::format("{} threads cannot work", options.threads), "give 0 for one on each core");
  if (options.shoes.empty()) return refuse("--shoe", "there is no shoe to study", "name at least one shoe file");
  if (options.positions.empty()) return refuse("--position", "there is no position to study", "name at least one");
  if (!(options.fits_length_mm > 0) || !(options.fits_breadth_mm > 0))
    return refuse("--fits", "the foot that the shoes fit has no size", "give its length and breadth in mm");
  return {};
}

io::Result<std::shared_ptr<const shoe::Shoe>> make_graded(const shoe::ShoeParameters& base, const foot::Foot& foot,
                                                          const PopulationOptions& options) {
  const auto graded = graded_to(base, options.fits_length_mm, options.fits_breadth_mm, foot.length_mm, foot.breadth_mm);
  if (!graded) return tl::unexpected(graded.error());
  auto shoe = shoe::make_shoe(*graded);
  if (!shoe) return tl::unexpected(shoe.error());
  return std::make_shared<const shoe::Shoe>(std::move(*shoe));
}

/// Pre: the foot of `work` is there to be judged.
void stand_one(const FootWork& work, std::size_t shoe, const PopulationOptions& options, const io::Progress& progress,
               StandRecord& record) {
  const auto refused = [&](const char* what, const io::Error& error) {
    record.findings.position = stance::name(record.position);
    record.findings.reason = fmt::format("{}: {}", what, io::to_line(error));
  };
  if (!*work.foot) return refused("no foot", work.foot->error());
  const foot::Foot& foot = ***work.foot;
  record.foot_length_mm = foot.length_mm;
  record.foot_breadth_mm = foot.breadth_mm;
  record.mass_kg = foot.mass_kg.value_or(0);
  if (!work.shoes[shoe]) return refused("no shoe", work.shoes[shoe].error());
  const auto& parameters = (*work.shoes[shoe])->parameters;
  record.inner_length_mm = parameters.inner_length_mm;
  record.ball_breadth_mm = parameters.ball_breadth_mm;

  stance::StandOptions stand = options.stand;
  stand.position = record.position;
  const auto stance = stance::stand(**work.foot, *work.shoes[shoe], stand, {.report = {}, .cancel = progress.cancel});
  if (!stance) return refused("no stand", stance.error());
  record.hold = stance->hold;
  record.iterations = stance->path.seat.iterations + stance->rest().iterations;
  record.findings = findings::assess(*stance);
}

}  // namespace

std::uint64_t foot_seed(std::uint64_t study_seed, int index) {
  // Output `index` of SplitMix64 (Steele, Lea, Flood 2014): every step can be undone, so no two are equal.
  std::uint64_t x = study_seed + (static_cast<std::uint64_t>(index) + 1) * 0x9e3779b97f4a7c15ULL;
  x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9ULL;
  x = (x ^ (x >> 27)) * 0x94d049bb133111ebULL;
  return x ^ (x >> 31);
}

io::Result<shoe::ShoeParameters> graded_to(const shoe::ShoeParameters& shoe, double fits_length_mm,
                                           double fits_breadth_mm, double foot_length_mm, double foot_breadth_mm) {
  return shoe::grade(shoe, shoe.inner_length_mm * (foot_length_mm / fits_length_mm),
                     shoe.ball_breadth_mm * (foot_breadth_mm / fits_breadth_mm));
}

io::Result<std::vector<StandRecord>> stand_population(const foot::ShapeModel& model, const foot::Prior& prior,
                                                      const PopulationOptions& options, const io::Progress& progress) {
  if (const auto good = check(options); !good) return tl::unexpected(good.error());
  const int shoes = static_cast<int>(options.shoes.size()), positions = static_cast<int>(options.positions.size());
  const int per_foot = shoes * positions, total = options.feet * per_foot;

  std::vector<StandRecord> records(static_cast<std::size_t>(total));
  std::vector<FootWork> feet(static_cast<std::size_t>(options.feet));
  for (FootWork& foot : feet) foot.stands_left = per_foot;
  std::atomic<int> done{0};
  progress(0, "drawing the first foot");
  for_each_index(total, options.threads, progress.cancel, [&](int i) {
    const int foot = i / per_foot, shoe = i % per_foot / positions;
    FootWork& work = feet[static_cast<std::size_t>(foot)];
    StandRecord& record = records[static_cast<std::size_t>(i)];
    record.foot = foot;
    record.foot_seed = foot_seed(options.seed, foot);
    record.shoe = options.shoes[static_cast<std::size_t>(shoe)].name;
    record.position = options.positions[static_cast<std::size_t>(i % positions)];
    std::call_once(work.once, [&] {
      auto drawn = foot::random_foot(model, prior, record.foot_seed, options.random);
      if (!drawn) {
        work.foot.emplace(tl::unexpected(drawn.error()));
        return;
      }
      const auto kept = std::make_shared<const foot::Foot>(std::move(*drawn));
      work.foot.emplace(kept);
      for (const auto& base : options.shoes) work.shoes.push_back(make_graded(base, *kept, options));
    });
    stand_one(work, static_cast<std::size_t>(shoe), options, progress, record);
    if (--work.stands_left == 0) work.drop();
    const int stands = ++done;
    progress(static_cast<double>(stands) / total, fmt::format("{} of {} stands", stands, total));
  });
  if (progress.cancelled())
    return io::fail({.kind = io::ErrorKind::cancelled,
                     .message = fmt::format("stopped after {} of {} stands", done.load(), total),
                     .remedy = "run it again to get an answer"});
  return records;
}

}  // namespace aplomb::study
