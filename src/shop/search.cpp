// Best first by lower bounds. Rounds have a fixed size, so that what is solved, and every sum, is the same for any
// number of threads.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/shop/search.h"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <mutex>
#include <optional>

#include "parallel.h"

namespace aplomb::shop {

namespace {

constexpr std::size_t round_size = 4;

struct Stage {
  std::string position;
  std::size_t wearer = 0;
};

struct Node {
  Standing standing;
  std::size_t next = 0;  ///< stage
};

double sum_cost(const Rules& rules, const std::vector<Answers>& answers) {
  double sum = 0;
  for (const Answers& one : answers) sum += cost(rules, one);
  return sum;
}

bool before(const Standing& a, const Standing& b) {
  if (a.complete != b.complete) return a.complete;
  return a.cost != b.cost ? a.cost < b.cost : a.item < b.item;
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

std::vector<Node*> next_round(std::vector<Node>& nodes, double limit) {
  std::vector<Node*> open;
  for (Node& node : nodes)
    if (!node.standing.complete && node.standing.cost <= limit) open.push_back(&node);
  std::sort(open.begin(), open.end(), [](const Node* a, const Node* b) { return before(a->standing, b->standing); });
  if (open.size() > round_size) open.resize(round_size);
  return open;
}

std::vector<Standing> ranking_of(const std::vector<Node>& nodes) {
  std::vector<Standing> ranking;
  for (const Node& node : nodes) ranking.push_back(node.standing);
  std::sort(ranking.begin(), ranking.end(), before);
  return ranking;
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

double doubt(const Rules& rules, const std::vector<Wearer>& wearers, const Standing& a, const Standing& b) {
  const auto moved = [&](const Standing& standing, std::size_t w, const char* spare, double by) {
    Answers answers = standing.answers[w];
    if (const auto at = answers[by_measure].values.find(spare); at != answers[by_measure].values.end())
      at->second += by;
    return cost(rules, answers) - cost(rules, standing.answers[w]);
  };
  double most = 0;
  for (std::size_t w = 0; w < wearers.size(); ++w)
    for (const auto& [number, spare] :
         {std::pair{"foot_length_mm", "spare_length_mm"}, {"foot_breadth_mm", "spare_breadth_mm"}}) {
      const auto found = wearers[w].foot->measurements.find(number);
      if (found == wearers[w].foot->measurements.end()) continue;
      for (const double sign : {-1.0, 1.0}) {
        const double by = sign * found->second.sd;
        most = std::max(most, std::abs(moved(a, w, spare, by) - moved(b, w, spare, by)));
      }
    }
  return most;
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
  std::vector<Stage> stages;
  for (const std::string& position : cheap_first(options.positions.empty() ? rules.positions() : options.positions))
    for (std::size_t w = 0; w < wearers.size(); ++w) stages.push_back({position, w});

  std::vector<Node> nodes;
  for (std::size_t i = 0; i < items.size(); ++i) {
    if (items[i].pairs <= 0) continue;
    Node node;
    node.standing.item = static_cast<int>(i);
    for (const Wearer& wearer : wearers) {
      Answers answers;
      answers[by_measure] = {true, "", true, measure(*wearer.foot, worn(items[i].shoe, wearer))};
      node.standing.answers.push_back(std::move(answers));
    }
    node.standing.cost = sum_cost(rules, node.standing.answers);
    node.standing.complete = stages.empty();
    nodes.push_back(std::move(node));
  }
  if (options.on_ranking) options.on_ranking(ranking_of(nodes));

  Search out;
  for (;;) {
    const std::vector<Node*> round = next_round(nodes, limit_of(nodes, options));
    if (round.empty()) break;
    std::optional<io::Error> fault;
    std::mutex mutex;
    study::for_each_index(static_cast<int>(round.size()), options.threads, options.progress.cancel, [&](int i) {
      Node& node = *round[static_cast<std::size_t>(i)];
      const Stage& stage = stages[node.next];
      const Wearer& wearer = wearers[stage.wearer];
      const StockItem& item = items[static_cast<std::size_t>(node.standing.item)];
      auto solved = memory.ask(wearer.key, wearer.foot, worn(item.shoe, wearer), stage.position);
      if (!solved) {
        const std::lock_guard lock(mutex);
        if (!fault) fault = solved.error();
        return;
      }
      node.standing.answers[stage.wearer][stage.position] = std::move(*solved);
    });
    if (options.progress.cancelled())
      return io::fail({.kind = io::ErrorKind::cancelled,
                       .message = fmt::format("stopped after {} solves", out.solves),
                       .remedy = "run it again; with --resume it goes on from here"});
    if (fault) return tl::unexpected(*fault);
    for (Node* node : round) {
      ++node->next;
      node->standing.solved = true;
      node->standing.cost = sum_cost(rules, node->standing.answers);
      node->standing.complete = node->next == stages.size();
    }
    out.solves += static_cast<int>(round.size());
    const std::vector<Standing> now = ranking_of(nodes);
    if (options.on_ranking) options.on_ranking(now);
    const auto complete = std::count_if(now.begin(), now.end(), [](const Standing& s) { return s.complete; });
    options.progress(std::min(0.99, static_cast<double>(complete) / std::max(1, options.top)),
                     fmt::format("{} solves, {} shoes complete", out.solves, complete));
  }
  out.ranking = ranking_of(nodes);
  for (const Standing& one : out.ranking) {
    if (!one.solved) ++out.never_solved;
    if (!one.complete) ++out.not_complete;
  }
  return out;
}

}  // namespace aplomb::shop
