// Where the balances of a path are likely to be, told by the path of a problem much like it.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

#include "ahead.h"
#include "aplomb/contact/equilibrium.h"

namespace aplomb::contact {

class Beside {
 public:
  /// Nothing is told where `path` is null or has other unknowns or aims; where it balanced in its seat only, nothing
  /// but the seat.
  Beside(const Problem& problem, const LoadPath* path);

  std::optional<Ahead::Guess> seat() const;
  /// At `target`, a share of the load, from the balance `q` at `done`. Nullopt where the neighbour has no balance at
  /// the same shares of its way.
  std::optional<Ahead::Guess> loaded(const Eigen::VectorXd& q, double done, double target) const;
  /// At the full load with the aims found, from the balance `q` before they are. Aims at an end of their range are at
  /// the same end of this problem's.
  std::optional<Ahead::Guess> steered(const Eigen::VectorXd& q) const;
  /// Whether some line of force was left off where it shall pass.
  bool stopped_short() const;
  /// At Problem::further_aims[k], from the balance `q` before it.
  std::optional<Ahead::Guess> further(const Eigen::VectorXd& q, std::size_t k) const;

 private:
  const Eigen::VectorXd* at(double factor) const;
  Ahead::Guess guess(const Eigen::VectorXd& q, const Eigen::VectorXd& from, const Eigen::VectorXd& to) const;

  const Problem& problem_;
  const Eigen::VectorXd* seat_ = nullptr;
  const LoadPath* path_ = nullptr;
};

}  // namespace aplomb::contact
