// Names in the file are words, never numbers of an enum: files outlive the order of an enum.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "session.h"

#include <algorithm>
#include <cmath>

#include "aplomb/io/files.h"

namespace aplomb::viewer {

namespace {

const io::FileFormat& format() {
  static const io::FileFormat session{.name = "aplomb-session", .version = session_format_version};
  return session;
}

constexpr const char* skin_names[] = {"pressure", "gap", "crowding", "difference"};
constexpr const char* box_names[] = {"see-through", "cut-away", "hidden"};
constexpr const char* slice_names[] = {"none", "across", "along"};

template <std::size_t count>
int named(const char* const (&names)[count], const std::string& name) {
  for (std::size_t i = 0; i < count; ++i)
    if (name == names[i]) return static_cast<int>(i);
  throw nlohmann::json::other_error::create(501, "\"" + name + "\" is no choice here", nullptr);
}

io::Json look_json(const Look& look) {
  const geometry::Vec3& target = look.orbit.target;
  return {{"turn_deg", look.orbit.turn_deg},
          {"rise_deg", look.orbit.rise_deg},
          {"target_mm", {target.x(), target.y(), target.z()}},
          {"mm_per_px", look.orbit.mm_per_px},
          {"skin", skin_names[static_cast<int>(look.skin)]},
          {"box", box_names[static_cast<int>(look.box)]},
          {"bones", look.bones},
          {"upper", look.upper},
          {"sole", look.sole},
          {"marks", look.marks},
          {"slice", slice_names[static_cast<int>(look.slice)]},
          {"slice_mm", look.slice_mm},
          {"slice_tilt_deg", look.slice_tilt_deg},
          {"lines", look.lines},
          {"inches", look.inches},
          {"client", look.client},
          {"band", look.band},
          {"doubts", look.doubts},
          {"advice", look.advice},
          {"way_step", look.step ? io::Json(*look.step) : io::Json(nullptr)},
          {"font_scale", look.font_scale}};
}

Look look_from(const io::Json& json) {
  Look look;
  look.orbit.turn_deg = json.at("turn_deg").get<double>();
  look.orbit.rise_deg = json.at("rise_deg").get<double>();
  for (int k = 0; k < 3; ++k) look.orbit.target[k] = json.at("target_mm").at(static_cast<std::size_t>(k)).get<double>();
  look.orbit.mm_per_px = json.at("mm_per_px").get<double>();
  look.skin = static_cast<SkinLook>(named(skin_names, json.at("skin").get<std::string>()));
  look.box = static_cast<BoxLook>(named(box_names, json.at("box").get<std::string>()));
  look.slice = static_cast<SliceAxis>(named(slice_names, json.at("slice").get<std::string>()));
  look.slice_mm = json.at("slice_mm").get<double>();
  for (const auto& [key, member] :
       {std::pair("bones", &Look::bones), std::pair("upper", &Look::upper), std::pair("sole", &Look::sole),
        std::pair("marks", &Look::marks), std::pair("lines", &Look::lines), std::pair("inches", &Look::inches),
        std::pair("client", &Look::client), std::pair("band", &Look::band)})
    look.*member = json.at(key).get<bool>();
  // These are younger than the first sessions.
  look.slice_tilt_deg = json.value("slice_tilt_deg", 0.0);
  look.advice = json.value("advice", false);
  look.doubts = json.value("doubts", false);
  // Once it was 0 where none was chosen.
  const io::Json step = json.contains("way_step") ? json.at("way_step") : json.at("step");
  if (!step.is_null() && (json.contains("way_step") || step != 0)) look.step = step.get<int>();
  look.font_scale = json.at("font_scale").get<double>();
  const auto bad = [](double value, double low, double high) { return !(value >= low && value <= high); };
  const Orbit& orbit = look.orbit;
  if (bad(orbit.turn_deg, -360, 360) || bad(orbit.rise_deg, -90, 90) || bad(orbit.mm_per_px, 0, 100) ||
      bad(orbit.target.norm(), 0, 1e5) || bad(look.slice_mm, -1e4, 1e4) || bad(look.slice_tilt_deg, -90, 90) ||
      bad(look.font_scale, 0.25, 8) || look.step.value_or(0) < 0)
    throw nlohmann::json::other_error::create(501, "the view holds a number out of range", nullptr);
  return look;
}

io::Json pair_json(const KeptPair& pair) {
  io::Json json = {{"item", pair.item}, {"stock_hash", pair.stock_hash}, {"seats", io::Json::array()}};
  for (std::size_t i = 0; i < 2; ++i)
    json["seats"].push_back({{"shoe", to_json(pair.shoe[i])}, {"hers", to_json(pair.hers[i])}});
  return json;
}

KeptPair pair_from(const io::Json& json) {
  KeptPair pair;
  pair.item = json.at("item").get<int>();
  pair.stock_hash = json.at("stock_hash").get<std::string>();
  for (std::size_t i = 0; i < 2; ++i) {
    pair.shoe[i] = source_from(json.at("seats").at(i).at("shoe"));
    pair.hers[i] = source_from(json.at("seats").at(i).at("hers"));
  }
  return pair;
}

io::Json shelf_json(const KeptShelf& shelf) {
  return {{"stock", shelf.stock}, {"first", shelf.first}, {"shown", shelf.shown}};
}

KeptShelf shelf_from(const io::Json& json) {
  return {json.at("stock").get<std::string>(), json.at("first").get<std::vector<std::string>>(),
          json.at("shown").get<bool>()};
}

Document document_from(const io::Json& json) {
  Document document;
  Subject& subject = document.subject;
  const std::size_t seats = json.at("seats").size();
  if (seats < 1 || seats > 2) throw nlohmann::json::other_error::create(501, "there are one or two seats", nullptr);
  for (std::size_t i = 0; i < seats; ++i) subject.seat[i] = choice_from(json.at("seats").at(i));
  if (seats == 1) subject.seat[1] = subject.seat[0];
  subject.side_by_side = json.at("side_by_side").get<bool>() && seats == 2;
  const auto position = stance::position_named(json.at("position").get<std::string>());
  if (!position) throw nlohmann::json::other_error::create(501, "no such position", nullptr);
  subject.position = *position;
  document.look = look_from(json.at("look"));
  subject.trying = json.value("trying", "");  // younger than the first sessions
  if (json.contains("visit")) subject.visit = source_from(json.at("visit"));
  if (json.contains("shelf")) document.shelf = shelf_from(json.at("shelf"));
  if (json.contains("pair")) document.pair = pair_from(json.at("pair"));
  return document;
}

}  // namespace

io::Json session_json(const Document& document) {
  const Subject& subject = document.subject;
  io::Json json = {{"format", format().name}, {"format_version", format().version}};
  json["position"] = stance::name(subject.position);
  json["side_by_side"] = subject.side_by_side;
  json["seats"] = io::Json::array();
  for (int i = 0; i < 2; ++i) json["seats"].push_back(to_json(subject.seat[static_cast<std::size_t>(i)]));
  json["look"] = look_json(document.look);
  if (!subject.trying.empty()) json["trying"] = subject.trying;
  if (subject.visit) json["visit"] = to_json(*subject.visit);
  if (document.shelf) json["shelf"] = shelf_json(*document.shelf);
  if (document.pair) json["pair"] = pair_json(*document.pair);
  return json;
}

io::Result<Document> parse_session(std::string_view text, const std::string& file_name) {
  const auto json = io::parse_json(text, file_name, format());
  if (!json) return tl::unexpected(json.error());
  return io::guard_json(file_name, [&] { return document_from(*json); });
}

io::Result<Document> read_session(const std::filesystem::path& file) {
  const auto json = io::read_json(file, format(), "--session");
  if (!json) return tl::unexpected(json.error());
  return io::guard_json(file.string(), [&] { return document_from(*json); });
}

io::Result<void> write_session(const Document& document, const std::filesystem::path& file) {
  return io::write_file(file, io::to_text(session_json(document)));
}

}  // namespace aplomb::viewer
