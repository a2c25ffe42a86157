// Cards: what is read, what is refused and how.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "aplomb/foot/new_card.h"
#include "feet.h"

using namespace aplomb;
using namespace aplomb::foot;

namespace {

const std::string head = "format = \"aplomb-card\"\nformat_version = 1\n";
const std::string sound = head + "side = \"left\"\nfoot_length_mm = 240\nfoot_breadth_mm = 90\n";

io::Result<Card> parsed(const std::string& text) { return parse_card(text, "card.toml"); }

std::string refusal(const std::string& text) {
  const auto card = parsed(text);
  if (card) return "";
  CHECK(card.error().kind == io::ErrorKind::bad_input);
  CHECK_FALSE(card.error().remedy.empty());
  return io::to_line(card.error());
}

}  // namespace

TEST_CASE("card: required keys are enough, all else stays unknown", "[card]") {
  const auto card = parsed(sound);
  REQUIRE(card);
  CHECK(card->side == Side::left);
  CHECK(card->load == Load::standing);
  CHECK(*card->numbers[foot_length] == 240);
  CHECK(std::count_if(card->numbers.begin(), card->numbers.end(), [](const auto& n) { return n.has_value(); }) == 2);
  CHECK(card->line[foot_breadth] == 5);
}

TEST_CASE("card: every number is read back from its text", "[card]") {
  Card card = testing::usual_card(240);
  card.side = Side::left;
  card.load = Load::full;
  card.numbers[toe_length] = 62.25;
  for (int toe = 0; toe < toe_count; ++toe)
    card.numbers[toe_bend + toe] = 5 + toe, card.numbers[toe_lift + toe] = 0.5 * toe;
  card.numbers[breadth_relaxed] = *card.numbers[foot_breadth] - 2.7;
  card.numbers[breadth_squeezed] = *card.numbers[foot_breadth] - 6.1;
  card.numbers[plantarflexion] = 91.5;
  card.numbers[mass] = 48.7;
  card.numbers[age] = 13;
  for (int i = 0; i < number_count; ++i) REQUIRE(card.numbers[i]);
  const auto back = parsed(card_text(card));
  if (!back) FAIL(io::to_line(back.error()));
  CHECK(back->side == card.side);
  CHECK(back->load == card.load);
  for (int i = 0; i < number_count; ++i) CHECK(back->numbers[i] == card.numbers[i]);
}

TEST_CASE("card: the new card names every key, says how each is taken, and reads back", "[card]") {
  const std::string text = new_card_text();
  std::string words = text;  // in one line, as a sentence may be wrapped
  for (std::size_t at = words.find('\n'); at != std::string::npos; at = words.find('\n'))
    words.erase(at, words.find_first_not_of(" \n#", at) - at), words.insert(at, " ");
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    CAPTURE(line);
    CHECK(line.size() <= 110);
    CHECK(std::all_of(line.begin(), line.end(), [](char c) { return c >= ' ' && c <= '~'; }));
  }
  for (const auto& info : number_table()) {
    const std::string key = info.key.substr(info.key.find_last_of('.') + 1);
    CHECK(text.find(key + " = ") != std::string::npos);
    CAPTURE(key, info.how);
    CHECK(words.find(info.how) != std::string::npos);
  }
  REQUIRE(parsed(text));
  // With every line taken in, its examples are one possible foot.
  std::string all = text;
  for (std::size_t at = all.find("\n# "); at != std::string::npos; at = all.find("\n# ", at + 1)) {
    const std::size_t equals = all.find('=', at), end = all.find('\n', at + 1);
    if (equals < end && all.find("_", at) < equals) all.erase(at + 1, 2);
  }
  const auto full = parsed(all);
  if (!full) FAIL(io::to_line(full.error()) + "\n" + all);
  for (int i = 0; i < number_count; ++i) CHECK(full->numbers[i].has_value());
  CHECK(fit_card(*full, testing::model(), testing::prior()).has_value());
}

TEST_CASE("card: wrong values are refused by name with a remedy", "[card]") {
  struct Wrong {
    std::string text, field, says;
  };
  const std::string side = head + "side = \"right\"\n";
  const auto with = [&](const std::string& more) { return sound + more + "\n"; };
  const Wrong wrong[] = {
      {side + "foot_length_mm = 24.0\nfoot_breadth_mm = 90\n", "foot_length_mm", "looks like cm"},
      {side + "foot_length_mm = 9.45\nfoot_breadth_mm = 90\n", "foot_length_mm", "looks like inches"},
      {side + "foot_length_mm = 0.24\nfoot_breadth_mm = 90\n", "foot_length_mm", "looks like m"},
      {side + "foot_length_mm = nan\nfoot_breadth_mm = 90\n", "foot_length_mm", "nan"},
      {side + "foot_length_mm = inf\nfoot_breadth_mm = 90\n", "foot_length_mm", "infinity"},
      {side + "foot_length_mm = 1e300\nfoot_breadth_mm = 90\n", "foot_length_mm", ""},
      {side + "foot_length_mm = -240\nfoot_breadth_mm = 90\n", "foot_length_mm", ""},
      {side + "foot_length_mm = \"240\"\nfoot_breadth_mm = 90\n", "foot_length_mm", "a text"},
      {side + "foot_length_mm = 240\n", "foot_breadth_mm", "missing"},
      {side + "foot_length_mm = 130\nfoot_breadth_mm = 138\n", "foot_breadth_mm", "not less than the foot's length"},
      {head + "foot_length_mm = 240\nfoot_breadth_mm = 90\n", "side", "missing"},
      {head + "side = \"rihgt\"\nfoot_length_mm = 240\nfoot_breadth_mm = 90\n", "side", "did you mean \"right\""},
      {head + "side = \"both\"\nfoot_length_mm = 240\nfoot_breadth_mm = 90\n", "side", "is not one of"},
      {with("load = \"standng\""), "load", "did you mean \"standing\""},
      {with("ball_grith_mm = 220"), "ball_grith_mm", "did you mean ball_girth_mm"},
      {with("shoe_size = 38"), "shoe_size", "is not a key"},
      {with("ball_girth_mm = 150"), "ball_girth_mm", "cannot go round"},
      {with("ball_length_mm = 245"), "ball_length_mm", "not less than"},
      {with("plantarflexion_deg = 1.4"), "plantarflexion_deg", "looks like radians"},
      {with("mass_kg = 52000"), "mass_kg", "looks like grams"},
      {with("foot_breadth_relaxed_mm = 84\nfoot_breadth_squeezed_mm = 88"), "foot_breadth_squeezed_mm",
       "broader than relaxed"},
      {with("foot_breadth_relaxed_mm = 95"), "foot_breadth_relaxed_mm", "broader than under load"},
      {with("load = \"none\"\nfoot_breadth_relaxed_mm = 85"), "foot_breadth_relaxed_mm", "unloaded"},
      {with("arch_height_mm = 66\ninstep_height_mm = 62"), "arch_height_mm", "not below the instep"},
      {with("heel_breadth_mm = 100\nheel_ankle_girth_mm = 190"), "heel_ankle_girth_mm", "cannot go round"},
      {with("[toes.hallux]\nlength_mm = 6.2"), "toes.hallux.length_mm", "looks like cm"},
      {with("[toes.hallux]\nlength_mm = 300"), "toes.hallux.length_mm", ""},
      {side + "foot_length_mm = 150\nfoot_breadth_mm = 60\n[toes.second]\nlength_mm = 80\n", "toes.second.length_mm",
       "longer than its metatarsal"},
      {with("ball_length_mm = 200\n[toes.hallux]\nlength_mm = 64"), "toes.hallux.length_mm",
       "beyond the foot's length"},
      {with("[toes.big]\nlength_mm = 60"), "toes.big", "is not a key"},
      {with("[toes.hallux]\nlenght_mm = 60"), "toes.hallux.lenght_mm", "did you mean length_mm"},
      {"format = \"aplomb-card\"\nformat_version = 2\nside = \"left\"\n", "format_version", "newer"},
      {"format = \"aplomb-shoe\"\nformat_version = 1\nside = \"left\"\n", "format", ""},
      {"", "", ""},
      {sound.substr(0, sound.size() - 3) + "=", "", ""},
  };
  for (const Wrong& w : wrong) {
    const std::string line = refusal(w.text);
    CAPTURE(w.text, line);
    CHECK_FALSE(line.empty());
    CHECK(line.find("card.toml") != std::string::npos);
    CHECK(line.find(w.field) != std::string::npos);
    CHECK(line.find(w.says) != std::string::npos);
  }
}

TEST_CASE("card: a missing file is told, a folder is no card", "[card]") {
  CHECK_FALSE(read_card("no/such/card.toml"));
  CHECK_FALSE(read_card(testing::meshes()));
}
