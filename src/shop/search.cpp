// Best first by lower bounds, in rounds that do not depend on the number of threads: what is solved, and every sum, is
// the same for any.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/shop/search.h"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <optional>

#include "parallel.h"
#include "rounds.h"

namespace aplomb::shop {

namespace {

double sum_cost(const Rules& rules, const std::vector<Answers>& answers) {
  double sum = 0;
  for (const Answers& one : answers) sum += cost(rules, one);
  return sum;
}

/// Cost above which a bound is of no more interest.
double limit_of(const std::vector<Node>& nodes, const SearchOptions& options) {
  std::vector<double> costs;
  for (const Node& node : nodes)
    if (node.standing.complete) costs.push_back(node.standing.cost);
  if (options.exhaustive || costs.size() < static_cast<std::size_t>(std::max(1, options.top)))
    return std::numeric_limits<double>::infinity();
  std::sort(costs.begin(), costs.end());
  return std::max(costs[static_cast<std::size_t>(std::max(1, options.top)) - 1], costs[0] + options.tie);
}

std::vector<Standing> ranking_of(const std::vector<Node>& nodes) {
  std::vector<Standing> ranking;
  for (const Node& node : nodes) ranking.push_back(node.standing);
  std::sort(ranking.begin(), ranking.end(), ranks_before);
  return ranking;
}

/// The few that were solved at all lead the first ranking: a bound by measure alone says less.
std::vector<Standing> first_ranking(const std::vector<Node>& nodes) {
  std::vector<Standing> ranking = ranking_of(nodes);
  std::stable_partition(ranking.begin(), ranking.end(), [](const Standing& one) { return one.solved; });
  return ranking;
}

/// Rises from 0 to 1: half of the way to the first shoe solved whole, then as the others are rejected.
class Share {
 public:
  double operator()(const std::vector<Node>& nodes, std::size_t stages, double limit) {
    double most = 0, open = 0;
    bool any_complete = false;
    for (const Node& node : nodes) {
      const auto done =
          std::count_if(node.gains.begin(), node.gains.end(), [](const auto& g) { return g.has_value(); });
      most = std::max(most, static_cast<double>(done) / static_cast<double>(std::max<std::size_t>(1, stages)));
      any_complete = any_complete || node.standing.complete;
      if (!node.standing.complete && node.standing.cost <= limit)
        open += 1 - 0.9 * static_cast<double>(done) / static_cast<double>(stages);
    }
    if (any_complete) at_first_ = std::max(at_first_, open);
    const double now = any_complete ? 1 - 0.5 * open / std::max(1e-9, at_first_) : 0.5 * most;
    return share_ = std::clamp(now, share_, 0.99);
  }

 private:
  double share_ = 0, at_first_ = 0;
};

std::vector<Node> measured_nodes(const std::vector<Wearer>& wearers, const std::vector<StockItem>& items,
                                 const Rules& rules, std::size_t stages) {
  std::vector<Node> nodes;
  for (std::size_t i = 0; i < items.size(); ++i) {
    if (items[i].pairs <= 0) continue;
    Node node{&items[i], {}, std::vector<std::optional<double>>(stages)};
    node.standing.item = static_cast<int>(i);
    for (const Wearer& wearer : wearers) {
      Answers answers;
      answers[by_measure] = {true, "", true, measure(*wearer.foot, worn(items[i].shoe, wearer))};
      node.standing.answers.push_back(std::move(answers));
    }
    node.standing.cost = sum_cost(rules, node.standing.answers);
    node.standing.complete = stages == 0;
    node.standing.left_at = node.standing.complete ? "" : by_measure;
    nodes.push_back(std::move(node));
  }
  return nodes;
}

/// Answers of a round, in its order.
io::Result<std::vector<Solved>> solve(const std::vector<Job>& round, const std::vector<Stage>& stages,
                                      const std::vector<Wearer>& wearers, Memory& memory,
                                      const SearchOptions& options) {
  std::vector<std::optional<io::Result<Solved>>> answers(round.size());
  study::for_each_index(static_cast<int>(round.size()), options.threads, options.progress.cancel, [&](int i) {
    const Job& job = round[static_cast<std::size_t>(i)];
    const Stage& stage = stages[job.stage];
    const Wearer& wearer = wearers[stage.wearer];
    answers[static_cast<std::size_t>(i)] =
        memory.ask(wearer.key, wearer.foot, worn(job.node->item->shoe, wearer), stage.position);
  });
  if (options.progress.cancelled())
    return io::fail({.kind = io::ErrorKind::cancelled, .remedy = "run it again; with --resume it goes on from here"});
  std::vector<Solved> solved;
  for (auto& answer : answers) {
    if (!*answer) return tl::unexpected(answer->error());
    solved.push_back(std::move(**answer));
  }
  return solved;
}

void note(const Job& job, Solved answer, const std::vector<Stage>& stages, const Rules& rules) {
  Node& node = *job.node;
  const Stage& stage = stages[job.stage];
  const double before = node.standing.cost;
  node.standing.answers[stage.wearer][stage.position] = std::move(answer);
  node.standing.cost = sum_cost(rules, node.standing.answers);
  node.gains[job.stage] = node.standing.cost - before;
  node.standing.solved = true;
  node.standing.complete =
      std::all_of(node.gains.begin(), node.gains.end(), [](const auto& g) { return g.has_value(); });
  node.standing.left_at = node.standing.complete ? "" : stage.position;
}

}  // namespace

shoe::ShoeParameters worn(const shoe::ShoeParameters& shoe, const Wearer& wearer) {
  shoe::ShoeParameters p = shoe;
  if (p.cut != shoe::Cut::straight) p.cut = wearer.foot->side == foot::Side::right ? shoe::Cut::right : shoe::Cut::left;
  const auto lay = [](shoe::SoftLayer& on, const shoe::SoftLayer& layer) {
    if (layer.thickness_mm > 0) on = layer;
  };
  lay(p.layers.tights, wearer.layers.tights);
  for (std::size_t k = 0; k < p.layers.padding.size(); ++k) lay(p.layers.padding[k], wearer.layers.padding[k]);
  for (std::size_t k = 0; k < p.layers.spacer.size(); ++k) lay(p.layers.spacer[k], wearer.layers.spacer[k]);
  for (std::size_t k = 0; k < p.layers.tape.size(); ++k) lay(p.layers.tape[k], wearer.layers.tape[k]);
  return p;
}

std::vector<std::string> cheap_first(const std::vector<std::string>& positions) {
  std::vector<std::string> ordered;
  for (const char* name :
       {"on-box", "full-pointe-two", "demi-plie", "parallel", "full-pointe-one", "demi-pointe", "roll-down"})
    if (std::find(positions.begin(), positions.end(), name) != positions.end()) ordered.emplace_back(name);
  return ordered;
}

io::Result<Search> search(const std::vector<Wearer>& wearers, const std::vector<StockItem>& items, const Rules& rules,
                          Memory& memory, const SearchOptions& options) {
  const std::vector<Stage> stages =
      stages_of(options.positions.empty() ? rules.positions() : options.positions, wearers.size());
  std::vector<Node> nodes = measured_nodes(wearers, items, rules, stages.size());
  const auto tell = [&](RankingSoFar::Step step, std::vector<Standing> ranking, int solves) {
    if (options.on_ranking) options.on_ranking({step, std::move(ranking), solves});
  };
  tell(RankingSoFar::Step::measured, ranking_of(nodes), 0);

  Search out;
  Share share;
  std::vector<Job> round = first_round(nodes, stages);
  for (bool first = true; !round.empty(); first = false) {
    auto solved = solve(round, stages, wearers, memory, options);
    if (!solved) {
      io::Error error = solved.error();
      if (error.kind == io::ErrorKind::cancelled) error.message = fmt::format("stopped after {} solves", out.solves);
      return tl::unexpected(error);
    }
    for (std::size_t i = 0; i < round.size(); ++i) note(round[i], std::move((*solved)[i]), stages, rules);
    out.solves += static_cast<int>(round.size());
    const double limit = limit_of(nodes, options);
    std::vector<Standing> now = first ? first_ranking(nodes) : ranking_of(nodes);
    if (first)
      for (std::size_t i = 0; i < std::min<std::size_t>(3, now.size()); ++i) out.first.push_back(now[i].item);
    const auto complete = std::count_if(now.begin(), now.end(), [](const Standing& s) { return s.complete; });
    tell(first ? RankingSoFar::Step::first : RankingSoFar::Step::later, std::move(now), out.solves);
    options.progress(share(nodes, stages.size(), limit),
                     fmt::format("{} solves, {} shoes complete", out.solves, complete));
    round = next_round(nodes, stages, limit);
  }
  out.ranking = ranking_of(nodes);
  for (const Standing& one : out.ranking) {
    if (!one.solved) ++out.never_solved;
    if (!one.complete) ++out.not_complete;
  }
  return out;
}

}  // namespace aplomb::shop
