// The order decides only how much is solved, never what is found: any order of the positions bounds a cost from below.
// A good one asks first where the shoe is likely to fail, as like shoes did, for little time.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "rounds.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace aplomb::shop {

namespace {

constexpr std::size_t few = 4, most_jobs = 12;
constexpr double lanes = 2;           // threads that a round should keep busy; more find work too, its size allows
constexpr double unknown_gain = 0.3;  // points, where no like shoe was asked yet [G]

/// Of a stand on the sample foot and shoe, rounded [C: aplomb stand, two-core desktop]. Only ratios count.
double seconds_of(const std::string& position) {
  if (position == "on-box") return 0.1;
  if (position == "full-pointe-two") return 0.4;
  if (position == "demi-plie") return 0.6;
  if (position == "full-pointe-one") return 0.7;
  if (position == "demi-pointe") return 1.3;
  if (position == "roll-down") return 2.7;
  return 0.5;
}

/// How unlike two shoes are: steps of size and shank; another design is far off.
double unlike(const StockItem& a, const StockItem& b) {
  return (a.design == b.design ? 0 : 100) + std::abs(a.length_mm - b.length_mm) / 5.0 +
         std::abs(a.breadth_mm - b.breadth_mm) / 3.0 + std::abs(a.shank_mm - b.shank_mm) / 0.2;
}

/// What the shoe most like this one gained there, this one on the other foot counting as very like.
double likely_gain(const Node& node, const std::vector<Node>& nodes, const std::vector<Stage>& stages,
                   std::size_t stage) {
  double gain = unknown_gain, nearest = std::numeric_limits<double>::infinity();
  for (const Node& other : nodes)
    for (std::size_t s = 0; s < stages.size(); ++s) {
      if (stages[s].position != stages[stage].position || !other.gains[s]) continue;
      const double far = unlike(*node.item, *other.item) + (stages[s].wearer == stages[stage].wearer ? 0 : 0.5);
      if (far < nearest) nearest = far, gain = *other.gains[s];
    }
  return gain;
}

/// Stages of a node in the order in which they are worth asking, as far as `count`.
std::vector<std::size_t> worth_asking(const Node& node, const std::vector<Node>& nodes,
                                      const std::vector<Stage>& stages, double limit, std::size_t count) {
  const double missing = limit - node.standing.cost;  // points that would reject it
  std::vector<std::pair<double, std::size_t>> open;
  for (std::size_t s = 0; s < stages.size(); ++s)
    if (!node.gains[s])
      open.emplace_back(-std::min(likely_gain(node, nodes, stages, s), missing) / stages[s].seconds, s);
  std::sort(open.begin(), open.end());
  std::vector<std::size_t> first;
  for (std::size_t i = 0; i < std::min(count, open.size()); ++i) first.push_back(open[i].second);
  return first;
}

void longest_first(std::vector<Job>& jobs, const std::vector<Stage>& stages) {
  std::stable_sort(jobs.begin(), jobs.end(),
                   [&](const Job& a, const Job& b) { return stages[a.stage].seconds > stages[b.stage].seconds; });
}

}  // namespace

std::vector<Stage> stages_of(const std::vector<std::string>& positions, std::size_t wearers) {
  std::vector<Stage> stages;
  for (const std::string& position : cheap_first(positions))
    for (std::size_t w = 0; w < wearers; ++w) stages.push_back({position, w, seconds_of(position)});
  return stages;
}

bool ranks_before(const Standing& a, const Standing& b) {
  if (a.complete != b.complete) return a.complete;
  return a.cost != b.cost ? a.cost < b.cost : a.item < b.item;
}

std::vector<Job> next_round(std::vector<Node>& nodes, const std::vector<Stage>& stages, double limit) {
  std::vector<Node*> open;
  for (Node& node : nodes)
    if (!node.standing.complete && node.standing.cost <= limit) open.push_back(&node);
  std::sort(open.begin(), open.end(),
            [](const Node* a, const Node* b) { return ranks_before(a->standing, b->standing); });
  std::vector<Job> jobs;
  double longest = 0, sum = 0;
  // One job each; where few shoes are open, more of each, so that no thread waits.
  for (std::size_t turn = 0; turn < stages.size() && jobs.size() < few; ++turn)
    for (Node* node : open) {
      if (jobs.size() >= most_jobs || (jobs.size() >= few && sum >= lanes * longest)) break;
      const auto order = worth_asking(*node, nodes, stages, limit, turn + 1);
      if (order.size() <= turn) continue;
      jobs.push_back({node, order[turn]});
      longest = std::max(longest, stages[order[turn]].seconds);
      sum += stages[order[turn]].seconds;
    }
  longest_first(jobs, stages);
  return jobs;
}

std::vector<Job> first_round(std::vector<Node>& nodes, const std::vector<Stage>& stages) {
  std::vector<Node*> leaders;
  for (Node& node : nodes) leaders.push_back(&node);
  std::sort(leaders.begin(), leaders.end(),
            [](const Node* a, const Node* b) { return ranks_before(a->standing, b->standing); });
  if (leaders.size() > few) leaders.resize(few);
  std::vector<Job> jobs;
  for (Node* node : leaders)
    for (std::size_t s = 0; s < stages.size() && stages[s].position == stages[0].position; ++s)
      jobs.push_back({node, s});
  return jobs;
}

}  // namespace aplomb::shop
