// What hands changed since a file was read, put onto the numbers of shoe and constants.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <utility>

#include "aplomb/shoe/parameters.h"
#include "aplomb/stance/constants.h"

namespace aplomb::viewer {

/// Keys of changed numbers: those of shoe::number_fields(); of soft layers as in a shoe file, "tights.thickness_mm",
/// "padding.toes.modulus_MPa", "spacer.hallux_second.thickness_mm"; of the shank's table "shank_stiffness.points" and,
/// counted from 1, "shank_stiffness.1.from_heel_mm", "shank_stiffness.1.EI_Nm2". A table is changed as a whole.
using Changes = std::map<std::string, double>;
/// "cut" and "throat" by the words of a shoe file.
using WordChanges = std::map<std::string, std::string>;

/// Not checked together: see shoe::check(). Errors: a key that does not exist, a number out of its range.
io::Result<void> apply(const Changes& numbers, const WordChanges& words, shoe::ShoeParameters& parameters);

/// Keys: those of constant_fields(), and "ray_flexion_Nm.1" to ".5". Errors: as above, and stance::check().
io::Result<void> apply(const Changes& numbers, stance::Constants& constants);

/// What turns the one shoe into the other: apply() of it to `from` gives `to`. Name and remarks are not numbers.
std::pair<Changes, WordChanges> changes_between(const shoe::ShoeParameters& from, const shoe::ShoeParameters& to);

/// The number of a constant by its key; null where there is none.
double* constant_of(stance::Constants& constants, std::string_view key);
io::Range constant_range(std::string_view key);

/// One soft layer by its key in a shoe file ("padding.toes"); null where there is none.
shoe::SoftLayer* layer_of(shoe::Layers& layers, std::string_view key);
/// Modulus of a layer whose file gives none.
double usual_modulus_MPa(std::string_view layer);

inline constexpr io::Range thickness_range{0, 20}, modulus_range{0.01, 50};
inline constexpr int most_shank_points = 12;

/// The table as changes; an empty one says that there is none.
Changes table_changes(const std::vector<shoe::StiffnessPoint>& table);
void erase_table(Changes& changes);

/// Shank's stiffness where the table, or the one number, has it.
double shank_EI_at(const shoe::ShoeParameters& parameters, double from_heel_mm);
/// A table of four points from the one number. With a point more, in its widest gap.
std::vector<shoe::StiffnessPoint> started_table(const shoe::ShoeParameters& parameters);
void add_point(std::vector<shoe::StiffnessPoint>& table);
/// The third at the heel thinned by a fifth: stiffness goes with the cube of the thickness. Pre: not empty.
void skive_heel_end(std::vector<shoe::StiffnessPoint>& table, double length_mm);

}  // namespace aplomb::viewer
