// Reading and writing cards, and the geometry that no set of numbers may break.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/foot/card.h"

#include <fmt/format.h>

#include "aplomb/io/files.h"
#include "aplomb/io/toml.h"

namespace aplomb::foot {

const char* const load_names[3] = {"none", "standing", "full"};

namespace {

const char* const side_names[2] = {"right", "left"};

/// Half a millimetre or degree either way: two honest readings of one thing can differ by this much.
constexpr double reading_slack = 1.0;

/// Of the foot's length. Hallux and second toe are a quarter of it; tarsus and metatarsals take the rest, and no toe is
/// as long as its metatarsal, .3 of it [guess from the proportions of meshes/anatomy].
constexpr double longest_toe_share = 0.34;

io::Result<Card> card_from(io::TomlReader& reader) {
  Card card;
  card.file = reader.file_name();
  const auto& table = number_table();
  card.side = static_cast<Side>(reader.choice("side", {side_names[0], side_names[1]}));
  card.load = static_cast<Load>(
      reader.choice_or("load", {load_names[0], load_names[1], load_names[2]}, static_cast<int>(Load::standing)));
  for (int i = 0; i < number_count; ++i) {
    const std::string& key = table[i].key;
    if (key.starts_with("toes.")) continue;
    if (i == foot_length || i == foot_breadth)
      card.numbers[i] = reader.number(key, table[i].range);
    else
      card.numbers[i] = reader.optional_number(key, table[i].range);
    if (reader.has(key)) card.line[i] = reader.line(key);
  }
  if (auto toes = reader.table("toes")) {
    for (int toe = 0; toe < toe_count; ++toe) {
      auto row = toes->table(toe_names[toe]);
      if (!row) continue;
      for (const int first : {int{toe_length}, int{toe_breadth}, int{toe_height}, int{toe_bend}, int{toe_lift}}) {
        const int i = first + toe;
        const std::string key = table[i].key.substr(table[i].key.rfind('.') + 1);
        card.numbers[i] = row->optional_number(key, table[i].range);
        if (row->has(key)) card.line[i] = row->line(key);
      }
    }
  }
  if (auto done = reader.finish(); !done) return tl::unexpected(done.error());
  if (const auto found = contradiction_in(card))
    return tl::unexpected(card_error(card, found->number, found->message, found->remedy));
  return card;
}

constexpr int card_version = card_format_version;

const io::FileFormat& card_format() {
  static const io::FileFormat format{.name = "aplomb-card", .version = card_version};
  return format;
}

/// Lines of the numbers that are known, in reading order: the root keys, then toe by toe.
std::string number_lines(const Numbers& numbers) {
  std::string text;
  for (int i = 0; i < number_count; ++i) {
    const std::string& key = number_table()[i].key;
    if (numbers[i] && !key.starts_with("toes.")) text += fmt::format("{} = {}\n", key, *numbers[i]);
  }
  for (int toe = 0; toe < toe_count; ++toe) {
    std::string rows;
    for (const int first : {int{toe_length}, int{toe_breadth}, int{toe_height}, int{toe_lift}, int{toe_bend}}) {
      const std::string& key = number_table()[first + toe].key;
      if (numbers[first + toe]) rows += fmt::format("{} = {}\n", key.substr(key.rfind('.') + 1), *numbers[first + toe]);
    }
    if (!rows.empty()) text += fmt::format("\n[toes.{}]\n{}", toe_names[toe], rows);
  }
  return text;
}

}  // namespace

io::Result<Card> read_card(const std::filesystem::path& file) {
  auto reader = io::TomlReader::open(file, card_format(), "--foot");
  if (!reader) return tl::unexpected(reader.error());
  return card_from(*reader);
}

io::Result<Card> parse_card(std::string_view text, const std::string& file_name) {
  auto reader = io::TomlReader::parse(text, file_name, card_format());
  if (!reader) return tl::unexpected(reader.error());
  return card_from(*reader);
}

std::optional<Contradiction> contradiction_in(const Numbers& n) {
  const auto& table = number_table();
  const auto both = [&n](int a, int b) { return n[a].has_value() && n[b].has_value(); };
  const auto shown = [&](int i) { return fmt::format("{} ({})", *n[i], table[i].key); };
  const char* const check = "measure both again and check their units";

  // A part is shorter than the whole.
  for (const int part :
       {int{foot_breadth}, int{ball_length}, int{heel_breadth}, int{instep_height}, int{lateral_malleolus_height}})
    if (both(part, foot_length) && *n[part] >= *n[foot_length])
      return Contradiction{part,
                           fmt::format("{} mm is not less than the foot's length, {} mm", *n[part], *n[foot_length]),
                           "check that the two were not exchanged"};
  for (int toe = 0; toe < toe_count; ++toe)
    if (both(toe_length + toe, foot_length) && *n[toe_length + toe] > longest_toe_share * *n[foot_length])
      return Contradiction{
          toe_length + toe,
          fmt::format("a toe of {} mm on a foot of {} mm is longer than its metatarsal leaves room for",
                      *n[toe_length + toe], *n[foot_length]),
          "measure from the joint where the toe meets the ball to its tip"};
  // Counted from the wrong end: the little toe is the shortest but for rare feet, and nobody's is the longest.
  int toes_known = 0, growing = 0, last = -1;
  for (int toe = 0; toe < toe_count; ++toe) {
    if (!n[toe_length + toe]) continue;
    ++toes_known;
    if (last >= 0 && *n[toe_length + toe] > *n[toe_length + last]) ++growing;
    last = toe;
  }
  if (last == toe_count - 1 && toes_known > 1 && growing == toes_known - 1 && (toes_known > 2 || n[toe_length]))
    return Contradiction{
        toe_length + last,
        fmt::format("with {} mm the little toe is the longest, and the toes grow from the hallux to it",
                    *n[toe_length + last]),
        "the lengths look written in the wrong order: hallux is the big toe"};
  // The big toe starts at the ball; its joint centre lies within a few mm of the bulge that the ball length ends at.
  if (both(toe_length, ball_length) && n[foot_length] && *n[ball_length] + *n[toe_length] > *n[foot_length] * 1.06)
    return Contradiction{
        toe_length,
        fmt::format("with {} mm to the ball the big toe would end at {} mm, beyond the foot's length, {} mm",
                    *n[ball_length], *n[ball_length] + *n[toe_length], *n[foot_length]),
        check};
  // A tape round something is longer than twice the breadth of it.
  for (const auto& [girth, breadth] : {std::pair<int, int>{ball_girth, foot_breadth},
                                       {heel_ankle_girth, heel_breadth},
                                       {heel_ankle_girth, bimalleolar_breadth}})
    if (both(girth, breadth) && *n[girth] <= 2 * *n[breadth])
      return Contradiction{
          girth, fmt::format("a tape of {} mm cannot go round a breadth of {} mm", *n[girth], *n[breadth]), check};
  if (both(arch_height, instep_height) && *n[arch_height] >= *n[instep_height])
    return Contradiction{
        arch_height, fmt::format("{} mm is not below the instep, {} mm", *n[arch_height], *n[instep_height]), check};
  if (both(breadth_squeezed, breadth_relaxed) && *n[breadth_squeezed] > *n[breadth_relaxed] + reading_slack)
    return Contradiction{breadth_squeezed,
                         fmt::format("{} is broader than relaxed, {}", shown(breadth_squeezed), shown(breadth_relaxed)),
                         "check that the two were not exchanged"};
  if (both(breadth_squeezed, breadth_relaxed) && *n[breadth_squeezed] < 0.8 * *n[breadth_relaxed])
    return Contradiction{
        breadth_squeezed,
        fmt::format("no hand narrows a foot from {} to {} mm", *n[breadth_relaxed], *n[breadth_squeezed]), check};
  for (const int unloaded : {int{breadth_relaxed}, int{breadth_squeezed}})
    if (both(unloaded, foot_breadth) && *n[unloaded] > *n[foot_breadth] + 2 * reading_slack)
      return Contradiction{unloaded,
                           fmt::format("{} is broader than under load, {}", shown(unloaded), shown(foot_breadth)),
                           "a foot spreads under load: measure both again"};
  double toes = 0;
  int known = 0;
  for (int toe = 0; toe < toe_count; ++toe)
    if (n[toe_breadth + toe]) toes += *n[toe_breadth + toe], ++known;
  if (known == toe_count && n[foot_breadth] && toes > 1.25 * *n[foot_breadth])
    return Contradiction{toe_breadth,
                         fmt::format("the five toes add up to {} mm on a foot {} mm broad", toes, *n[foot_breadth]),
                         "measure each toe across its pad without pressing"};
  return std::nullopt;
}

std::optional<Contradiction> contradiction_in(const Card& card) {
  if (auto found = contradiction_in(card.numbers)) return found;
  const auto &relaxed = card.numbers[breadth_relaxed], &breadth = card.numbers[foot_breadth];
  if (card.load == Load::none && relaxed && breadth && std::abs(*relaxed - *breadth) > reading_slack)
    return Contradiction{breadth_relaxed,
                         fmt::format("{} mm is not the breadth of the unloaded foot, {} mm", *relaxed, *breadth),
                         "with load = \"none\" both are one number: give it once, or say how the foot was loaded"};
  return std::nullopt;
}

io::Error card_error(const Card& card, int number, std::string message, std::string remedy, io::ErrorKind kind) {
  return {.kind = kind,
          .file = card.file,
          .line = card.line[number],
          .field = number_table()[number].key,
          .message = std::move(message),
          .remedy = std::move(remedy)};
}

std::string card_text(const Card& card) {
  std::string text =
      fmt::format("format = \"aplomb-card\"\nformat_version = {}\nside = \"{}\"\nload = \"{}\"\n", card_format_version,
                  side_names[static_cast<int>(card.side)], load_names[static_cast<int>(card.load)]);
  return text + number_lines(card.numbers);
}

}  // namespace aplomb::foot
