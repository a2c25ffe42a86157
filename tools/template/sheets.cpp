// aplomb_template_sheets: the stored template from eight sides, standing, pointed and on demi-pointe.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cstdio>
#include <exception>
#include <filesystem>
#include <string>

#include "aplomb/foot/pose.h"
#include "aplomb/foot/template.h"
#include "report/png.h"
#include "report/views.h"

namespace aplomb::template_tool {

namespace {

using geometry::Vec3;
using report::View;

struct Side {
  const char* words;
  Vec3 forward_F, up_F;
};

const std::array<Side, 8> sides{{{"from above", {0, 0, -1}, {0, 1, 0}},
                                 {"from below", {0, 0, 1}, {0, -1, 0}},
                                 {"inner side", {0, -1, 0}, {0, 0, 1}},
                                 {"outer side", {0, 1, 0}, {0, 0, 1}},
                                 {"from the front", {-1, 0, 0}, {0, 0, 1}},
                                 {"from behind", {1, 0, 0}, {0, 0, 1}},
                                 {"front and outer side, from above", {-1, 0.9, -0.7}, {0, 0, 1}},
                                 {"back and inner side, from below", {0.9, -1, 0.35}, {0, 0, 1}}}};

io::Result<void> draw(const std::string& title, const geometry::TriMesh& skin_F, const std::filesystem::path& shaders,
                      const std::filesystem::path& file) {
  constexpr double edge = 30, gap = 12, top = 84, w = 480, h = 470, width = 2 * edge + 4 * w + 3 * gap,
                   height = top + 2 * h + gap + edge;
  constexpr report::MarkStyle marks{.text = 18, .line = 2, .dot = 7};
  findings::Scene scene;
  scene.skin = skin_F;
  const report::Extent extent = report::extent_of(skin_F.vertices);
  std::vector<View> views;
  double mm_per_px = 0;
  for (std::size_t i = 0; i < sides.size(); ++i) {
    View view;
    view.rect = {edge + static_cast<double>(i % 4) * (w + gap), top + static_cast<double>(i / 4) * (h + gap), w, h};
    view.camera.forward_S = sides[i].forward_F.normalized();
    view.camera.up_S = (sides[i].up_F - sides[i].up_F.dot(view.camera.forward_S) * view.camera.forward_S).normalized();
    view.camera.width_px = w;
    view.camera.height_px = h;
    view.camera = report::fitted(view.camera, extent, i < 6 ? 26 : 0);
    mm_per_px = std::max(mm_per_px, view.camera.mm_per_px);
    views.push_back(std::move(view));
  }
  for (View& view : views) view.camera.mm_per_px = mm_per_px;
  if (auto rendered = report::render(views, scene, shaders, {}, 1); !rendered) return rendered;

  report::PngPicture picture(static_cast<int>(width), static_cast<int>(height));
  report::Canvas& canvas = picture.canvas();
  canvas.fill({0, 0, width, height}, report::theme.paper);
  canvas.text(edge, 24, title, {.size = 30, .bold = true});
  report::draw_scale_bar(canvas, width - edge, 44, views.front().camera, {.text = 22, .line = 2, .dot = 7});
  for (std::size_t i = 0; i < views.size(); ++i) {
    const report::Rect& r = views[i].rect;
    canvas.image(views[i].image, r);
    canvas.frame(r, report::theme.hairline, 1);
    canvas.text(r.x + 12, r.y + 8, sides[i].words, {.size = marks.text, .bold = true, .halo = true});
  }
  return picture.write(file);
}

/// Ankle and midfoot pointed, toes bent up at their roots until they lie as they do standing: flat on the floor under
/// an upright leg.
foot::JointAngles on_demi_pointe(const foot::Foot& foot, double ankle_deg) {
  foot::JointAngles q = foot::pointed(foot);
  const auto at = [&](const std::string& name) -> double& {
    return q[static_cast<std::size_t>(foot::joint_index(foot, name))];
  };
  at("ankle") = ankle_deg * geometry::rad_per_deg;
  for (int k = 1; k <= 5; ++k) {
    const std::string n = std::to_string(k);
    // The rays of the fourth and fifth toe hang on the cuboid, in front of the midtarsal joint.
    at("MTP" + n) = -(at("ankle") + at("midtarsal") + (k <= 3 ? at("naviculocuneiform") : 0) + at("TMT" + n));
    at(k == 1 ? "IP1" : "PIP" + n) = 0;
    if (k > 1) at("DIP" + n) = 0;
  }
  return q;
}

int run(const std::string& folder, const std::filesystem::path& shaders, const std::filesystem::path& pictures) {
  const auto foot = foot::load_template(folder);
  if (!foot) {
    fmt::print(stderr, "{}\n", io::to_line(foot.error()));
    return io::exit_code(foot.error().kind);
  }
  const foot::JointAngles standing(foot->joints.size(), 0.0);
  foot::JointAngles pointed = foot::pointed(*foot);
  pointed[static_cast<std::size_t>(foot::joint_index(*foot, "ankle"))] = 50 * geometry::rad_per_deg;
  const struct {
    const char *title, *file;
    foot::JointAngles q;
  } sheets[] = {{"Template, standing", "template_standing.png", standing},
                {"Template, pointed: ankle 50°, midfoot 25°, toes straight", "template_pointed.png", pointed},
                {"Template, demi-pointe: ankle 35°, midfoot 25°, toes flat", "template_demi_pointe.png",
                 on_demi_pointe(*foot, 35)}};
  for (const auto& sheet : sheets) {
    const auto skin = foot::pose_skin(foot->skin, foot::pose_bones(*foot, sheet.q));
    if (const auto drawn = draw(sheet.title, {skin, foot->skin.faces}, shaders, pictures / sheet.file); !drawn) {
      fmt::print(stderr, "{}\n", io::to_line(drawn.error()));
      return io::exit_code(drawn.error().kind);
    }
  }
  return 0;
}

}  // namespace

}  // namespace aplomb::template_tool

int main(int argc, char** argv) {
  if (argc != 4) {
    fmt::print(stderr,
               "usage: aplomb_template_sheets TEMPLATE_FOLDER SHADER_FOLDER PICTURE_FOLDER\n"
               "Draws the stored template from eight sides in three positions.\n");
    return 2;
  }
  try {
    return aplomb::template_tool::run(argv[1], argv[2], argv[3]);
  } catch (const std::exception& error) {
    fmt::print(stderr, "{}\n", error.what());
    return 1;
  }
}
