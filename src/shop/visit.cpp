// Reading a visit, and the cautions that go with every answer.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/shop/visit.h"

#include <fmt/format.h>

#include "aplomb/io/files.h"
#include "aplomb/io/toml.h"
#include "aplomb/shoe/read_layers.h"
#include "plain_text.h"

namespace aplomb::shop {

namespace {

const io::FileFormat format{.name = "aplomb-visit", .version = 1};

/// As written from the visit's own folder.
std::string beside(const std::filesystem::path& visit, const std::string& named) {
  if (named.empty()) return {};
  return std::filesystem::path(named).is_absolute() ? named : (visit.parent_path() / named).string();
}

io::Result<Visit> visit_from(std::string_view text, const std::filesystem::path& file) {
  if (const auto fault = not_utf8(text, file.string())) return io::fail(*fault);
  auto reader = io::TomlReader::parse(text, file.string(), format);
  if (!reader) return tl::unexpected(reader.error());
  Visit visit;
  visit.file = reader->file_name();
  visit.hash = reader->hash();
  visit.client = plain_text(*reader, "client");
  visit.left = beside(file, plain_text(*reader, "left", most_path));
  visit.right = beside(file, plain_text(*reader, "right", most_path));
  visit.left_line = reader->line("left"), visit.right_line = reader->line("right");
  visit.mass_kg = reader->optional_number("mass_kg", {12, 200});
  visit.age_years = reader->optional_number("age_years", {4, 100});
  visit.dance_years = reader->optional_number("dance_years", {0, 80});
  visit.hours_per_week = reader->optional_number("hours_per_week", {0, 80});
  visit.evening = reader->choice_or("measured", {"morning", "evening"}, 0) == 1;
  if (auto present = reader->table("present")) {
    visit.present_shoe = beside(file, plain_text(*present, "shoe", most_path));
    visit.present_line = present->line("shoe");
    if (const std::string hurts = plain_text(*present, "hurts", most_said); !hurts.empty())
      visit.hurts.push_back(hurts);
  }
  shoe::read_layers(*reader, visit.layers);
  visit.readiness.resize(readiness_questions().size());
  if (auto readiness = reader->table("readiness"))
    for (std::size_t k = 0; k < readiness_questions().size(); ++k)
      if (const char* key = readiness_questions()[k].key; readiness->has(key))
        visit.readiness[k] = readiness->boolean_or(key, false);
  if (visit.age_years && visit.dance_years && *visit.dance_years > *visit.age_years)
    reader->refuse(
        "dance_years",
        fmt::format("{:g} years of dance are more than her age of {:g}", *visit.dance_years, *visit.age_years),
        "check whether the two were exchanged");
  if (const auto done = reader->finish(); !done) return tl::unexpected(done.error());
  return visit;
}

}  // namespace

io::Result<Visit> read_visit(const std::filesystem::path& file) {
  const auto text = io::read_file(file, "--visit");
  return text ? visit_from(*text, file) : tl::unexpected(text.error());
}

io::Result<Visit> parse_visit(std::string_view text, const std::string& file_name) {
  return visit_from(text, file_name);
}

std::string mass_words(const Visit& visit, const std::string& foot_file, const std::optional<double>& file_kg) {
  if (!visit.mass_kg || !file_kg || *visit.mass_kg == *file_kg) return {};
  return fmt::format("Body mass: {:g} kg as the visit says, not {:g} kg as {} does.", *visit.mass_kg, *file_kg,
                     std::filesystem::path(foot_file).filename().string());
}

std::vector<std::string> cautions_of(const Visit& visit, const std::optional<double>& age_of_card) {
  std::vector<std::string> all = {
      "An estimate to talk over and to narrow the choice, never a clearance to dance on pointe.",
      "The fitter, the teacher, dance-medicine clinicians and local rules decide."};
  for (std::size_t k = 0; k < visit.readiness.size(); ++k)
    if (visit.readiness[k] && !*visit.readiness[k]) all.emplace_back(readiness_questions()[k].caution);
  if (std::string training = training_caution(visit); !training.empty()) all.push_back(std::move(training));
  // Usual start and growth: literature G1, G3, E3; growth said to go on to 15 or so in girls.
  const std::optional<double>& age = visit.age_years ? visit.age_years : age_of_card;
  if (age && *age < 16) {
    all.push_back(fmt::format("Age alone decides nothing, and {:g} years do not either way.", *age));
    all.emplace_back("A growing foot: no room to grow is left in a pointe shoe; measure again in three months.");
  }
  if (visit.evening)
    all.emplace_back("Measured late in the day, when feet are fuller: try again in the morning before you order.");
  for (const std::string& words : visit.hurts)
    all.push_back(fmt::format("She says it hurts: {}. That is for a clinician to judge, not for a shoe.", words));
  all.emplace_back(
      "Stop and ask for help on numbness, colour change, nail bleeding, local bone pain or pain behind the ankle.");
  return all;
}

}  // namespace aplomb::shop
