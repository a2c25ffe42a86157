// Everything is read before anything is changed: a visit is opened whole or not at all.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "visits.h"

#include <fmt/format.h>

#include "aplomb/foot/foot_file.h"
#include "aplomb/io/json.h"
#include "aplomb/scan/raw_scan.h"
#include "opening.h"
#include "solve_job.h"

namespace aplomb::viewer {

namespace {

namespace fs = std::filesystem;

io::Result<foot::Side> side_of(const Source& foot) {
  if (foot.is_card()) return card_of(foot).map([](const foot::Card& card) { return card.side; });
  const io::Json json = io::Json::parse(foot.text, nullptr, false);
  const bool left = json.is_object() && json.value("side", io::Json()) == "left";
  return left ? foot::Side::left : foot::Side::right;
}

io::Error not_that(const std::string& file, const char* field, std::string message, const char* remedy) {
  return {.file = file, .field = field, .message = std::move(message), .remedy = remedy};
}

io::Result<Source> foot_named(const std::string& file, foot::Side side) {
  const char* field = side == foot::Side::left ? "left" : "right";
  auto opened = open_file(file);
  if (!opened) return tl::unexpected(opened.error());
  auto* foot = std::get_if<OpenedFoot>(&*opened);
  if (foot == nullptr)
    return io::fail(not_that(file, field, "is no foot", "name a card (.toml), a foot file or a scan in the visit"));
  const auto its = side_of(foot->source);
  if (!its) return tl::unexpected(its.error());
  if (*its != side)
    return io::fail(not_that(file, "side", fmt::format("is not {}, but the visit names it as that foot", field),
                             "exchange the two files in the visit, or correct the side in the file"));
  return std::move(foot->source);
}

}  // namespace

io::Result<OpenedVisit> read_visit_files(const Source& source) {
  auto visit = shop::parse_visit(source.text, source.file);
  if (!visit) return tl::unexpected(visit.error());
  OpenedVisit opened{source, std::move(*visit), {}, {}, {}, {}};
  for (const foot::Side side : {foot::Side::left, foot::Side::right}) {
    const std::size_t i = side == foot::Side::left ? 0 : 1;
    const std::string& file = i == 0 ? opened.visit.left : opened.visit.right;
    if (file.empty()) continue;
    if (is_scan(file)) {
      opened.scans[i] = file;
      continue;
    }
    auto foot = foot_named(file, side);
    if (!foot) return tl::unexpected(foot.error());
    if (std::string words = lay_mass(opened.visit, *foot); !words.empty()) opened.told.push_back(std::move(words));
    opened.feet[i] = std::move(*foot);
  }
  if (opened.visit.present_shoe.empty()) return opened;
  auto present = open_file(opened.visit.present_shoe);
  if (!present) return tl::unexpected(present.error());
  auto* shoe = std::get_if<OpenedShoe>(&*present);
  if (shoe == nullptr)
    return io::fail(not_that(opened.visit.present_shoe, "shoe", "is no shoe", "name a shoe file under [present]"));
  opened.shoe = std::move(shoe->source);
  return opened;
}

std::string lay_mass(const shop::Visit& visit, Source& foot) {
  if (!visit.mass_kg) return {};
  const auto of_file = foot::mass_in(foot.text);
  // A number that is the file's own is no change by hand.
  if (of_file != visit.mass_kg) foot.changes["mass_kg"] = *visit.mass_kg;
  return shop::mass_words(visit, foot.file, of_file);
}

bool names_foot(const shop::Visit& visit, const fs::path& file) {
  for (const std::string& named : {visit.left, visit.right}) {
    std::error_code code;
    if (!named.empty() && (named == file || fs::equivalent(named, file, code))) return true;
  }
  return false;
}

std::vector<std::string> own_cautions(const shop::Visit& visit, const std::optional<double>& age_of_card) {
  std::vector<std::string> own = shop::cautions_of(visit, age_of_card);
  for (const std::string& everybody : shop::cautions_of(shop::Visit{})) std::erase(own, everybody);
  return own;
}

}  // namespace aplomb::viewer
