// Foot files: the same foot comes back bit for bit, and what is damaged is refused.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/foot/foot_file.h"

#include <fstream>

#include "../temporary_folder.h"
#include "aplomb/io/files.h"
#include "feet.h"

using namespace aplomb;
using namespace aplomb::foot;
using aplomb::scratch::Folder;
using testing::model;
using testing::need;

TEST_CASE("foot file: geometry comes back bit for bit", "[foot_file]") {
  const Folder folder;
  for (const Load load : {Load::standing, Load::none}) {
    Card card;
    card.side = Side::left;
    card.load = load;
    card.numbers[foot_length] = 236.7;
    card.numbers[foot_breadth] = 89.3;
    card.numbers[toe_bend + 1] = 12.5;
    card.numbers[toe_lift + 4] = 2.5;
    card.numbers[plantarflexion] = 88.1;
    card.numbers[mass] = 47.3;
    if (load == Load::standing) card.numbers[breadth_relaxed] = 86.2;
    const Foot foot = need(fit_card(card, model(), testing::prior()));
    const auto file = folder.path / "one.foot.json";
    REQUIRE(write_foot_file(foot, file));
    const Foot back = need(load_foot(file, testing::meshes()));
    CHECK(back.side == Side::left);
    CHECK(back.shape == foot.shape);
    CHECK(back.covariance == foot.covariance);
    CHECK(back.residual == foot.residual);
    CHECK(back.mass_kg == foot.mass_kg);
    CHECK(mass_in(foot_json(foot).dump()) == 47.3);
    const Foot heavier = need(load_foot(file, testing::meshes(), {.mass_kg = 60}));
    CHECK(heavier.mass_kg == 60);
    CHECK(heavier.shape == foot.shape);
    CHECK(back.age_years == foot.age_years);
    CHECK(back.length_mm == foot.length_mm);
    CHECK(back.breadth_mm == foot.breadth_mm);
    CHECK(back.plantarflexion_deg == foot.plantarflexion_deg);
    CHECK(back.template_hash == foot.template_hash);
    REQUIRE(back.measurements.size() == foot.measurements.size());
    for (const auto& [name, m] : foot.measurements) {
      CHECK(back.measurements.at(name).value == m.value);
      CHECK(back.measurements.at(name).sd == m.sd);
      CHECK(back.measurements.at(name).source == m.source);
    }
    REQUIRE(back.skin.vertices_F.size() == foot.skin.vertices_F.size());
    for (std::size_t v = 0; v < foot.skin.vertices_F.size(); ++v)
      REQUIRE(back.skin.vertices_F[v] == foot.skin.vertices_F[v]);
    CHECK(back.skin.thickness_mm == foot.skin.thickness_mm);
    for (std::size_t i = 0; i < foot.contact_points.size(); ++i) {
      REQUIRE(back.contact_points[i].area_mm2 == foot.contact_points[i].area_mm2);
      REQUIRE(back.contact_points[i].thickness_mm == foot.contact_points[i].thickness_mm);
    }
    for (std::size_t j = 0; j < foot.joints.size(); ++j) {
      CHECK(back.joints[j].centre_F == foot.joints[j].centre_F);
      CHECK(back.joints[j].axis_F == foot.joints[j].axis_F);
      CHECK(back.joints[j].straight_deg == foot.joints[j].straight_deg);
      CHECK(back.joints[j].max_deg == foot.joints[j].max_deg);
    }
    // Written again it is the same file.
    CHECK(io::to_text(foot_json(back)) == io::to_text(foot_json(foot)));
  }
}

TEST_CASE("foot file: damage is refused by name with a remedy", "[foot_file]") {
  const Folder folder;
  Card card;
  card.numbers[foot_length] = 240;
  card.numbers[foot_breadth] = 91;
  const io::Json sound = foot_json(need(fit_card(card, model(), testing::prior())));
  const auto file = folder.path / "one.foot.json";
  const auto refused = [&](const std::string& field, auto&& damage) {
    io::Json json = sound;
    damage(json);
    std::ofstream(file) << json.dump();
    const auto foot = load_foot(file, testing::meshes());
    CAPTURE(field, json.dump().substr(0, 200));
    REQUIRE_FALSE(foot);
    CHECK(foot.error().kind == io::ErrorKind::bad_input);
    CHECK_FALSE(foot.error().remedy.empty());
    const std::string line = io::to_line(foot.error());
    CAPTURE(line);
    CHECK(line.find(field) != std::string::npos);
  };
  refused("template_hash", [](io::Json& j) { j["template_hash"] = "0000000000000000"; });
  refused("side", [](io::Json& j) { j["side"] = "both"; });
  refused("shape", [](io::Json& j) { j.erase("shape"); });
  refused("shape", [](io::Json& j) { j["shape"].push_back(1.0); });
  refused("shape", [](io::Json& j) { j["shape"][3] = 1e9; });
  refused("shape", [](io::Json& j) { j["shape"][0] = 3.0; });
  refused("", [](io::Json& j) { j["shape"][3] = nullptr; });
  refused("covariance", [](io::Json& j) { j["covariance"].erase(2); });
  refused("plantarflexion_deg", [](io::Json& j) { j["measurements"]["plantarflexion_deg"]["value"] = 1.4; });
  refused("sd", [](io::Json& j) { j["measurements"]["foot_length_mm"]["sd"] = -1; });
  refused("format_version", [](io::Json& j) { j["format_version"] = 2; });
  refused("format", [](io::Json& j) { j["format"] = "aplomb-shoe"; });
  // Cut short, empty, something else.
  for (const std::string& text :
       {sound.dump().substr(0, 900), std::string(), std::string("[1, 2]"), std::string("side = 1")}) {
    std::ofstream(file) << text;
    CHECK_FALSE(load_foot(file, testing::meshes()));
  }
}

TEST_CASE("foot file: only cards and foot files are loaded", "[foot_file]") {
  const Folder folder;
  const auto other = folder.path / "foot.step";
  std::ofstream(other) << "x";
  const auto foot = load_foot(other, testing::meshes());
  REQUIRE_FALSE(foot);
  CHECK(foot.error().message.find(".step") != std::string::npos);
  CHECK_FALSE(load_foot(folder.path / "none.toml", testing::meshes()));
  CHECK_FALSE(load_foot(testing::meshes() / "feet" / "sample.toml", folder.path));
}

TEST_CASE("foot file: the sample card loads", "[foot_file]") {
  const Foot foot = need(load_foot(testing::meshes() / "feet" / "sample.toml", testing::meshes()));
  for (const auto& [key, residual] : foot.residual) {
    CAPTURE(key);
    CHECK(std::abs(residual) < (key == "foot_length_mm" || key == "foot_breadth_mm" ? 0.5 : 1.5));
  }
}

TEST_CASE("A body mass said elsewhere counts before the card's, as if it stood there", "[foot_file]") {
  Card card;
  card.numbers[foot_length] = 236.7;
  card.numbers[foot_breadth] = 89.3;
  card.numbers[mass] = 47.3;
  CHECK(mass_in(card_text(card)) == 47.3);
  const Foot said = need(fit_card(card, model(), testing::prior(), {.mass_kg = 62}));
  CHECK(said.mass_kg == 62);
  Card written = card;
  written.numbers[mass] = 62;
  CHECK(said.shape == need(fit_card(written, model(), testing::prior())).shape);
  CHECK(said.shape !=
        need(fit_card(card, model(), testing::prior())).shape);  // a heavier foot is usually a broader one
  written.numbers[mass].reset();
  CHECK_FALSE(mass_in(card_text(written)));
  CHECK_FALSE(mass_in("neither of the two"));
  CHECK_FALSE(mass_in("{\"measurements\": {\"mass_kg\": 52}}"));
}
