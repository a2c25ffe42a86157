// Accumulators of one pass over a problem: what is wanted is not null.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/contact/system.h"

namespace aplomb::contact {

struct System::Evaluation {
  double energy = 0;
  Eigen::VectorXd* R = nullptr;
  Eigen::MatrixXd* K = nullptr;
};

}  // namespace aplomb::contact
