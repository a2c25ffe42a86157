// A stand costs a second, an answer is some dozens of numbers: remembering them is what makes alternatives cheap.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/shop/solver.h"

#include <fmt/format.h>

#include <filesystem>
#include <fstream>

#include "aplomb/findings/assess.h"
#include "aplomb/io/files.h"
#include "aplomb/io/json.h"
#include "aplomb/shoe/shoe.h"

namespace aplomb::shop {

namespace {

/// To be raised whenever a foot in a shoe is answered with other numbers than before.
constexpr int answers_version = 1;

/// First line of a file of answers. Names of findings are part of it: an answer without one that a rule asks for would
/// pass for a good one.
std::string file_head() {
  std::string names;
  for (const ValueName& name : solved_names()) names += name.name + " " + name.unit + "\n";
  return fmt::format("aplomb-answers {} {}", answers_version, io::content_hash(names));
}

io::Json line_of(const std::string& key, const Solved& solved) {
  io::Json json;
  json["key"] = key;
  json["converged"] = solved.converged;
  json["reason"] = solved.reason;
  json["goes_in"] = solved.goes_in;
  json["values"] = io::Json::object();
  for (const auto& [name, value] : solved.values) json["values"][name] = value;
  json["peak_kPa"] = solved.peak_kPa ? io::Json(*solved.peak_kPa) : io::Json(nullptr);
  return json;
}

}  // namespace

Solve stand_solver(const stance::Constants& constants, const contact::SolveOptions& options,
                   const io::Progress& progress) {
  return [constants, options, cancel = progress.cancel](const FootPtr& foot, const shoe::ShoeParameters& parameters,
                                                        const std::string& position) -> io::Result<Solved> {
    auto shoe = shoe::make_shoe(parameters);
    if (!shoe) return tl::unexpected(shoe.error());
    stance::StandOptions stand;
    stand.position = *stance::position_named(position);
    stand.constants = constants;
    stand.solve = options;
    const auto stance = stance::stand(foot, std::make_shared<const shoe::Shoe>(std::move(*shoe)), stand,
                                      {.report = {}, .cancel = cancel});
    if (!stance) return tl::unexpected(stance.error());
    const findings::Findings findings = findings::assess(*stance);
    return Solved{findings.converged, findings.reason, findings.goes_in, values_of(findings), findings.peak_kPa};
  };
}

std::string shoe_hash(const shoe::ShoeParameters& p) {
  std::string text = fmt::format("{},{}", static_cast<int>(p.cut), static_cast<int>(p.throat));
  for (const shoe::NumberField& field : shoe::number_fields()) text += fmt::format(",{}", p.*field.member);
  for (const shoe::StiffnessPoint& point : p.shank_EI_table)
    text += fmt::format(";{},{}", point.from_heel_mm, point.EI_Nm2);
  const auto layer = [&](const shoe::SoftLayer& one) {
    text += fmt::format("|{},{}", one.thickness_mm, one.modulus_MPa);
  };
  layer(p.layers.tights);
  for (const auto& one : p.layers.padding) layer(one);
  for (const auto& one : p.layers.spacer) layer(one);
  for (const auto& one : p.layers.tape) layer(one);
  return io::content_hash(text);
}

io::Result<Solved> Memory::ask(const std::string& foot_key, const FootPtr& foot, const shoe::ShoeParameters& shoe,
                               const std::string& position) {
  const std::string key = fmt::format("{}/{}/{}/{}", basis_, foot_key, shoe_hash(shoe), position);
  {
    const std::lock_guard lock(mutex_);
    if (const auto found = answers_.find(key); found != answers_.end()) {
      ++known_;
      return found->second;
    }
  }
  auto solved = solve_(foot, shoe, position);
  if (!solved) return solved;
  const std::lock_guard lock(mutex_);
  ++solved_;
  if (answers_.emplace(key, *solved).second && !file_.empty()) {
    std::ofstream out(file_, std::ios::app | std::ios::binary);
    out << line_of(key, *solved).dump() << '\n' << std::flush;
    if (!out)
      return io::fail({.kind = io::ErrorKind::cannot_write,
                       .file = file_,
                       .message = "an answer could not be added",
                       .remedy = "make room, or leave out --resume"});
  }
  return solved;
}

io::Result<void> Memory::keep_in(const std::string& file) {
  std::error_code none;
  if (std::filesystem::exists(file, none) && std::filesystem::file_size(file, none) > 0) {
    const auto text = io::read_file(file, "--resume", io::max_json_bytes);
    if (!text) return tl::unexpected(text.error());
    std::size_t at = text->find('\n');
    if (const std::string head = text->substr(0, at); head != file_head() || at == std::string::npos)
      return io::fail({.file = file,
                       .line = 1,
                       .field = "--resume",
                       .message = head.starts_with("aplomb-answers") ? "holds answers of another version of aplomb"
                                                                     : "holds no answers of a comparison",
                       .remedy = "name a file of an earlier run of this version, or a new one"});
    while (at != std::string::npos && at + 1 < text->size()) {
      const std::size_t end = text->find('\n', at + 1);
      if (end == std::string::npos) break;  // cut off while it was written
      const io::Json json = io::Json::parse(text->substr(at + 1, end - at - 1), nullptr, false);
      at = end;
      if (json.is_discarded() || !json.contains("key")) continue;
      const auto solved = io::guard_json(file, [&] {
        Solved one{
            json.at("converged").get<bool>(), json.at("reason").get<std::string>(), json.at("goes_in").get<bool>(), {}};
        for (const auto& [name, value] : json.at("values").items()) one.values[name] = value.get<double>();
        // A line of before there was one is solved anew.
        if (const io::Json& peak = json.at("peak_kPa"); !peak.is_null()) one.peak_kPa = peak.get<double>();
        return one;
      });
      if (solved) answers_[json.at("key").get<std::string>()] = *solved;
    }
    // What was cut off goes, so that the next line begins on its own.
    std::filesystem::resize_file(file, text->rfind('\n') + 1, none);
  } else {
    std::ofstream out(file, std::ios::binary);
    out << file_head() << '\n';
    if (!out)
      return io::fail({.kind = io::ErrorKind::cannot_write,
                       .file = file,
                       .message = "cannot be written",
                       .remedy = "choose a folder that exists and that you may write to"});
  }
  file_ = file;
  return {};
}

}  // namespace aplomb::shop
