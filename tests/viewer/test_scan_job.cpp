// Scans in the window: the foot in them, what is asked, cancelling. The scan is the template's own skin as points.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>
#include <catch2/catch.hpp>
#include <chrono>
#include <fstream>
#include <thread>

#include "aplomb/foot/template.h"
#include "aplomb/io/files.h"
#include "patience.h"
#include "viewer/scan_job.h"
#include "viewer/solve_job.h"

using namespace aplomb;
using namespace aplomb::viewer;

namespace {

const std::filesystem::path meshes = std::filesystem::path(APLOMB_SOURCE_DIR) / "meshes";

const Library& library() {
  static const Library loaded = load_library(meshes, {}, "test").value();
  return loaded;
}

/// The template standing, mirrored to a left foot, so many units long.
std::filesystem::path left_foot(double length) {
  const auto& skin = library().model->mean.skin.vertices_F;
  double low = 1e9, high = -1e9;
  for (const auto& p : skin) low = std::min(low, p.x()), high = std::max(high, p.x());
  const double scale = length / (high - low);
  const auto file = std::filesystem::temp_directory_path() / fmt::format("aplomb_scan_{}.xyz", length);
  std::ofstream out(file);
  for (const auto& p : skin) out << scale * p.x() << ' ' << -scale * p.y() << ' ' << scale * p.z() << '\n';
  return file;
}

}  // namespace

TEST_CASE("a scan becomes the foot that is in it, kept whole in its source", "[scan_job]") {
  const auto file = left_foot(244);
  ScanJob job(library(), {file, 0, {}}, [] {});
  while (!job.ended()) std::this_thread::sleep_for(std::chrono::milliseconds(5));
  const auto made = job.take();
  std::filesystem::remove(file);
  REQUIRE(made);
  CHECK(made->told.find("a left foot") != std::string::npos);
  CHECK_FALSE(made->source.is_card());
  CHECK(made->source.file == file.string());
  // The file is gone: what is solved comes from the source alone. A scan says nothing of the body's mass.
  Solver solver(library());
  Choice choice{made->source,
                {(meshes / "shoes/tapered.toml").string(), io::read_file(meshes / "shoes/tapered.toml").value()}};
  const Solved without = solver.solve({choice, stance::Position::on_box}, {});
  REQUIRE(without.error);
  CHECK(without.error->field == "mass_kg");
  REQUIRE(without.foot);
  CHECK(without.foot->side == foot::Side::left);
  CHECK(std::abs(without.foot->measurements.at("foot_length_mm").value - 244) < 2);
  CHECK(without.foot->measurements.at("foot_length_mm").source == "scan");
  choice.foot.changes = {{"mass_kg", 48}};
  const Solved with = solver.solve({choice, stance::Position::on_box}, {});
  CHECK_FALSE(with.error);
  CHECK(with.shown());
  choice.foot.changes = {{"mass_kg", 480}};
  CHECK(solver.solve({choice, stance::Position::on_box}, {}).error->field == "mass_kg");
}

TEST_CASE("what a scan does not tell is asked, and a scan can be left", "[scan_job]") {
  const auto file = left_foot(12.5);  // 125 mm in cm, 318 mm in inches: both are lengths of feet
  const auto asked = foot_of_scan(library(), file, {}, {});
  REQUIRE_FALSE(asked);
  CHECK(asked.error().kind == io::ErrorKind::decision_needed);
  CHECK(asked.error().field == "--unit");
  {
    ScanJob job(library(), {file, 0, {}}, [] {});
    while (job.so_far().fraction < 0.01 && !job.ended()) std::this_thread::sleep_for(std::chrono::milliseconds(1));
    job.cancel();
    const auto start = std::chrono::steady_clock::now();
    while (!job.ended()) std::this_thread::sleep_for(std::chrono::milliseconds(1));
    CHECK(std::chrono::steady_clock::now() - start < test::patience * std::chrono::seconds(5));
    const auto left = job.take();
    REQUIRE_FALSE(left);
    CHECK(left.error().kind == io::ErrorKind::cancelled);
  }
  ScanJob forgotten(library(), {file, 0, {}}, [] {});  // its end waits for the thread
  std::filesystem::remove(file);
}
