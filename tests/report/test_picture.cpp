// Pictures, looked at by pixel: what is drawn where, the same bits twice, and every way in which drawing is refused.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <filesystem>
#include <functional>
#include <limits>

#include "../../src/report/offscreen.h"
#include "aplomb/io/files.h"
#include "aplomb/report/picture.h"
#include "aplomb/report/scene_renderer.h"
#include "drawing.h"
#include "pixels.h"
#include "sample.h"
#include "scene.h"

namespace fs = std::filesystem;
using namespace aplomb;
using namespace aplomb::report;
using namespace aplomb::report::test;
using aplomb::scratch::Folder;

namespace {

const fs::path shaders = fs::path(APLOMB_SOURCE_DIR) / "shaders";
const PictureOptions options{.shader_folder = shaders, .scale_end_kPa = 500};

Pixels picture_of(const findings::Scene& scene, const findings::Findings& f = sample_findings()) {
  const Folder folder;
  const auto done = write_picture(scene, f, folder.path / "p.png", options);
  INFO((done ? std::string() : io::to_line(done.error())));
  REQUIRE(done);
  return read_png(folder.path / "p.png");
}

// The panels of front and side view.
constexpr int side_left = 622, side_middle = 965, side_right = 1308;
constexpr int front_left = 42, front_right = 598, front_middle = 320, panel_top = 160, panel_bottom = 1010;

}  // namespace

namespace {

/// The longest level line in ink between these rows; what is drawn over it may hide so many pixels of it at a time.
int ink_px(const Pixels& picture, int x0, int y0, int x1, int y1, int hidden) {
  const Rgb ink = rgb({0.13, 0.14, 0.16});
  int longest = 0;
  for (int y = y0; y < y1; ++y) {
    int first = -1, last = -1;
    for (int x = x0; x < x1; ++x) {
      if (picture.at(x, y).distance(ink) >= 40) continue;
      if (first < 0 || x - last > hidden + 1) first = x;
      last = x;
      longest = std::max(longest, last - first + 1);
    }
  }
  return longest;
}

}  // namespace

TEST_CASE("The scale's 50 mm are 50 mm of what is drawn under it", "[report][picture]") {
  if (!graphics()) return;
  const findings::Scene scene = sample_scene();
  double half_mm = 0;
  for (const auto& p : scene.platform_outline) half_mm = std::max(half_mm, std::abs(p.y()));
  const Pixels picture = picture_of(scene);
  const int scale_px = ink_px(picture, front_left, 125, front_right, 200, 0);
  const int platform_px = ink_px(picture, front_left, 850, front_right, panel_bottom, 40);
  CHECK(scale_px > 60);
  // Each line ends within its own width of where it should.
  CHECK(std::abs(scale_px - platform_px * 50 / (2 * half_mm)) < 5);
}

TEST_CASE("The picture: size, numbered bar, pressure on the side it is on", "[report][picture]") {
  if (!graphics()) return;
  const Pixels right = picture_of(sample_scene());
  CHECK(right.width == 2000);
  CHECK(right.height == 1100);

  // A row that holds the map from its light to its dark end, evenly.
  int bar_row = -1, begin = 0, end = 0;
  const auto& map = pressure_map();
  for (int y = 400; y < 1000 && bar_row < 0; ++y) {
    begin = end = 0;
    for (int x = 1300; x < 1990; ++x) {
      if (begin == 0 && right.at(x, y).distance(rgb(map.front())) <= 3) begin = x;
      if (right.at(x, y).distance(rgb(map.back())) <= 3) end = x;
    }
    if (begin > 0 && end > begin + 300 && right.at((begin + end) / 2, y).distance(rgb(map[128])) <= 12) bar_row = y;
  }
  CHECK(bar_row > 0);

  // The pressed toe is the medial one: on the right of a right foot seen from the front, on the left of a left one.
  CHECK(right.count_pressed(front_middle, panel_top, front_right, panel_bottom) > 800);
  CHECK(right.count_pressed(front_left, panel_top, front_middle, panel_bottom) == 0);
  findings::Findings f = sample_findings();
  f.side = foot::Side::left;
  const Pixels left = picture_of(mirrored(sample_scene()), f);
  CHECK(left.count_pressed(front_left, panel_top, front_middle, panel_bottom) > 800);
  CHECK(left.count_pressed(front_middle, panel_top, front_right, panel_bottom) == 0);
  // The badge differs too.
  int badge = 0;
  for (int y = 30; y < 100; ++y)
    for (int x = 40; x < 220; ++x) badge += right.at(x, y).distance(left.at(x, y)) > 60 ? 1 : 0;
  CHECK(badge > 300);
}

TEST_CASE("Without pressure no skin is coloured", "[report][picture]") {
  if (!graphics()) return;
  findings::Scene scene = sample_scene();
  scene.pressure_kPa.assign(scene.skin.vertices.size(), 0);
  CHECK(picture_of(scene).count_pressed(front_left, panel_top, front_right, panel_bottom) == 0);
}

TEST_CASE("Box, marks and findings all show, and the skin shows through the box", "[report][picture]") {
  if (!graphics()) return;
  const Pixels whole = picture_of(sample_scene());
  const auto changed_by = [&](const std::function<void(findings::Scene&)>& change) {
    findings::Scene scene = sample_scene();
    change(scene);
    return whole.differing(picture_of(scene));
  };
  // Faces only: the views keep their place.
  CHECK(changed_by([](auto& s) { s.shell.faces.clear(); }) > 20000);
  CHECK(changed_by([](auto& s) { s.sole.faces.clear(); }) > 5000);
  // Pressed skin is still seen as pressed behind the wall.
  CHECK(whole.count_pressed(front_middle, panel_top, front_right, panel_bottom) > 800);
  // A mark of its own moves, legend and labels stay.
  CHECK(changed_by([](auto& s) { s.break_point->x() += 8; }) > 100);
  CHECK(changed_by([](auto& s) { s.arch_apex->x() += 8; }) > 60);
  CHECK(changed_by([](auto& s) { s.centre_of_pressure->x() += 8; }) > 100);
  CHECK(changed_by([](auto& s) { s.ankle_centre.y() += 8; }) > 100);
  CHECK(changed_by([](auto& s) { s.platform_outline.clear(); }) > 100);
  findings::Findings f = sample_findings();
  f.goes_in = false;
  CHECK(whole.differing(picture_of(sample_scene(), f)) > 500);
}

TEST_CASE("The side view is from the inner side: its sole on the right for a right foot", "[report][picture]") {
  if (!graphics()) return;
  findings::Scene scene = sample_scene();
  scene.pressure_kPa.assign(scene.skin.vertices.size(), 0);
  const auto brown = [](const Pixels& pixels, int x0, int x1) {
    int count = 0;
    for (int y = panel_top; y < panel_bottom; ++y)
      for (int x = x0; x < x1; ++x) {
        const Rgb c = pixels.at(x, y);
        count += c.r > c.b + 30 && c.r > 90 && c.r < 190 ? 1 : 0;
      }
    return count;
  };
  const Pixels right = picture_of(scene);
  CHECK(brown(right, side_middle, side_right) > 1000);
  CHECK(brown(right, side_left, side_middle) < 20);
  findings::Findings f = sample_findings();
  f.side = foot::Side::left;
  const Pixels left = picture_of(mirrored(scene), f);
  CHECK(brown(left, side_left, side_middle) > 1000);
  CHECK(brown(left, side_middle, side_right) < 20);
}

TEST_CASE("The same picture twice has the same bits", "[report][picture]") {
  if (!graphics()) return;
  const Folder folder;
  REQUIRE(write_picture(sample_scene(), sample_findings(), folder.path / "a.png", options));
  REQUIRE(write_picture(sample_scene(), sample_findings(), folder.path / "b.png", options));
  CHECK(*io::read_file(folder.path / "a.png") == *io::read_file(folder.path / "b.png"));
  CHECK(folder.files() == 2);
}

TEST_CASE("OpenGL draws a point where the camera says it is", "[report][picture]") {
  if (!graphics()) return;
  const auto offscreen = Offscreen::open();
  auto renderer = SceneRenderer::make(shaders);
  REQUIRE(renderer);
  findings::Scene scene;
  add_ellipsoid(scene.skin, {12, 30, 80}, {2, 2, 2}, 16, 12);
  REQUIRE(renderer->set_scene(scene));
  for (const Aspect aspect : {Aspect::front, Aspect::inner_side, Aspect::outer_side, Aspect::below, Aspect::above}) {
    Camera camera = camera_for(aspect, foot::Side::right);
    camera.width_px = 300;
    camera.height_px = 400;
    camera.target_S = {0, 0, 60};
    camera.mm_per_px = 0.5;
    const auto image = offscreen->render(300, 400, {1, 1, 1}, [&] { renderer->draw(camera, {}); });
    REQUIRE(image);
    Vec2 sum = Vec2::Zero();
    int count = 0;
    for (int y = 0; y < 400; ++y)
      for (int x = 0; x < 300; ++x)
        if ((image->pixels[static_cast<std::size_t>(y) * 300 + x] & 0xffffff) != 0xffffff) {
          sum += Vec2(x + 0.5, y + 0.5);
          ++count;
        }
    REQUIRE(count > 20);
    CHECK((sum / count - camera.project({12, 30, 80})).norm() < 0.3);
  }
}

TEST_CASE("Pictures that cannot be drawn are refused, with nothing left behind", "[report][picture]") {
  if (!graphics()) return;
  const Folder folder;
  const fs::path file = folder.path / "p.png";
  const auto refused = [&](const findings::Scene& scene, const findings::Findings& f,
                           const PictureOptions& o = options) -> std::string {
    const auto done = write_picture(scene, f, file, o);
    return done ? "drawn" : io::to_line(done.error());
  };
  const double nan = std::nan("");
  const auto has = [](const std::string& text, const char* words) { return text.find(words) != std::string::npos; };

  CHECK(has(refused(sample_scene(), stopped_findings()), "no map"));
  findings::Findings f = sample_findings();
  f.sink_mm = nan;
  CHECK(has(refused(sample_scene(), f), "sink_mm"));
  f = sample_findings();
  f.side = foot::Side::left;
  CHECK(has(refused(sample_scene(), f), "different feet"));

  findings::Scene scene = sample_scene();
  scene.pressure_kPa[3] = nan;
  CHECK(has(refused(scene, sample_findings()), "not finite"));
  scene = sample_scene();
  scene.pressure_kPa.pop_back();
  CHECK(has(refused(scene, sample_findings()), "pressures for"));
  scene = sample_scene();
  scene.shell.faces[0][1] = 1 << 20;
  CHECK(has(refused(scene, sample_findings()), "shell"));
  scene = sample_scene();
  scene.skin.vertices[5].z() = std::numeric_limits<double>::infinity();
  CHECK(has(refused(scene, sample_findings()), "skin"));
  scene = sample_scene();
  scene.ankle_centre.x() = nan;
  CHECK(has(refused(scene, sample_findings()), "not finite"));
  scene.skin = {};
  CHECK(has(refused(scene, sample_findings()), "no skin"));
  CHECK(has(refused(sample_scene(), sample_findings(), {.shader_folder = folder.path}), "surface.vert"));
  REQUIRE(io::write_file(folder.path / "surface.vert", "#version 330 core\nvoid main() { nonsense }\n"));
  CHECK(has(refused(sample_scene(), sample_findings(), {.shader_folder = folder.path}), "does not compile"));
  CHECK(folder.files() == 1);

  const auto nowhere = write_picture(sample_scene(), sample_findings(), folder.path / "none" / "p.png", options);
  REQUIRE_FALSE(nowhere);
  CHECK(nowhere.error().kind == io::ErrorKind::cannot_write);
}

TEST_CASE("Shaders are found beside installed data and in the source tree", "[report][picture]") {
  CHECK(fs::exists(shader_folder_of(fs::path(APLOMB_SOURCE_DIR) / "meshes") / "skin.frag"));
  const Folder folder;
  fs::create_directory(folder.path / "shaders");
  CHECK(shader_folder_of(folder.path) == folder.path / "shaders");
}

// Run by the next case in a process of its own: the libraries look for drivers once.
TEST_CASE("No drivers: inner", "[.without-graphics]") {
  const Folder folder;
  const auto done = write_picture(sample_scene(), sample_findings(), folder.path / "p.png", options);
  REQUIRE_FALSE(done);
  CHECK(done.error().kind == io::ErrorKind::cannot_write);
  CHECK(done.error().remedy.find("libegl1") != std::string::npos);
  CHECK(folder.files() == 0);
}

TEST_CASE("A machine without graphics drivers is told what to install", "[report][picture]") {
  const std::string self = fs::read_symlink("/proc/self/exe").string();
  const std::string command = "__EGL_VENDOR_LIBRARY_DIRS=/nonexistent '" + self + "' '[.without-graphics]' > /dev/null";
  CHECK(std::system(command.c_str()) == 0);
}
