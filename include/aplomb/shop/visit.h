// A dancer's visit: who she is, what she dances in, what she lays into the shoe, and whether she is ready at all.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "aplomb/foot/foot.h"
#include "aplomb/io/error.h"
#include "aplomb/shoe/parameters.h"

namespace aplomb::shop {

/// Questions of readiness, each answered yes, no or not at all.
struct ReadinessQuestion {
  const char* key;       ///< in [readiness]
  const char* question;  ///< asked of the client
  const char* caution;   ///< said when the answer is no
};
const std::vector<ReadinessQuestion>& readiness_questions();

struct Visit {
  std::string client;       ///< free text
  std::string left, right;  ///< cards or foot files, as paths from where the program runs; may be empty
  std::optional<double> mass_kg, age_years, dance_years, hours_per_week;
  std::string present_shoe;                             ///< shoe file she dances in now; may be empty
  std::vector<std::string> hurts;                       ///< her own words: "left little toe"
  shoe::Layers layers;                                  ///< tights, padding, spacer, tape: on in every solve
  std::vector<std::optional<bool>> readiness;           ///< as readiness_questions()
  bool evening = false;                                 ///< measured late in the day
  int left_line = 0, right_line = 0, present_line = 0;  ///< where the file names them
  std::string file, hash;
};

/// TOML, format "aplomb-visit": client, left, right (paths from the visit file), mass_kg, age_years, dance_years,
/// hours_per_week, measured ("morning" or "evening"); [present] shoe, hurts (text); [tights],
/// [padding.REGION], [spacer.FIRST_SECOND], [tape.TOE] as in a shoe file; [readiness] true or false by key. Errors: see
/// io::TomlReader; a text that is not one plain line, client of at most 80 characters, hurts of 240.
io::Result<Visit> read_visit(const std::filesystem::path& file);
/// The same of a text that was read already.
io::Result<Visit> parse_visit(std::string_view text, const std::string& file_name);

/// The visit's weight counts before that of a foot's file: what is told of it where the two differ, else empty.
std::string mass_words(const Visit& visit, const std::string& foot_file, const std::optional<double>& file_kg);

/// What the shop says whatever fits: who decides, what age means, no room to grow, the signs on which to stop; and what
/// the answers add; `age_of_card` counts where the visit gives no age. Never a clearance.
std::vector<std::string> cautions_of(const Visit& visit, const std::optional<double>& age_of_card = {});

/// What the visit says of her, a few words each: "17 years old", "9 hours of dance a week".
std::vector<std::string> facts_of(const Visit& visit);
/// Readiness questions without an answer, as they are asked.
std::vector<std::string> not_asked(const Visit& visit);
/// Where a question of training was left out and years or hours are few; else empty.
std::string training_caution(const Visit& visit);
/// She has pain, or a readiness question was answered no: cautions come first.
bool stops(const Visit& visit);

/// A trait named from the numbers of a foot.
struct Trait {
  std::string name;   ///< "toe pattern", "hand squeeze", "arch", "toe lift"
  std::string words;  ///< "Greek: the second toe is the longest"
};
std::vector<Trait> traits_of(const foot::Foot& foot);

}  // namespace aplomb::shop
