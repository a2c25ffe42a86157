// What the two pages of a comparison say: for the client, and for the workshop.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "aplomb/report/fitting_page.h"
#include "aplomb/shop/tell.h"

namespace aplomb::shop {

/// Plain words, no trade words without need; one picture, which is the caller's to add.
report::FittingPage client_page(const Telling& telling);

/// Feet and shoe in mm, alterations foot by foot, ribbons and elastics, and what to order.
report::FittingPage workshop_page(const Telling& telling);

}  // namespace aplomb::shop
