// A visit file in the window: whose feet it brings, what she wears in every shoe, and what is to be said of her.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "aplomb/shop/visit.h"
#include "shelf_pairs.h"

namespace aplomb::viewer {

/// A visit with the files that it names, read and checked. By foot: 0 left, 1 right.
struct OpenedVisit {
  Source source;
  shop::Visit visit;
  std::array<std::optional<Source>, 2> feet;                  ///< none: not named, or a scan
  std::array<std::optional<std::filesystem::path>, 2> scans;  ///< feet that are to be fitted
  std::optional<Source> shoe;                                 ///< that she dances in now
  std::vector<std::string> told;                              ///< what is to be said when it is opened
};

/// Errors: as shop::parse_visit(), and as opening the files; a foot of the other side.
io::Result<OpenedVisit> read_visit_files(const Source& source);

/// Her weight as the visit says it, on a foot of hers. What is to be said of it, empty where the foot's file agrees.
std::string lay_mass(const shop::Visit& visit, Source& foot);

/// Whether this file is one of the feet that the visit names.
bool names_foot(const shop::Visit& visit, const std::filesystem::path& file);

/// The same file as a shoe in which she lays her layers, in place of what hands laid into it before; with the cut of
/// that foot. Errors: numbers that no shoe has.
io::Result<PairOn> with_layers(const Source& shoe, const shoe::Layers& layers, std::array<foot::Side, 2> sides);

/// What the visit, and age as the card gives it, add to what is said of everybody.
std::vector<std::string> own_cautions(const shop::Visit& visit, const std::optional<double>& age_of_card);

}  // namespace aplomb::viewer
