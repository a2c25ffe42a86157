// The picture of a foot by itself: four views at one scale.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "aplomb/report/picture.h"
#include "png.h"
#include "views.h"

namespace aplomb::report {

namespace {

struct FootView {
  const char* words;
  Vec3 forward_F, up_F;
};

/// Toes to the right where the foot lies along the picture, but for the inner side of a right foot.
std::array<FootView, 4> foot_views(foot::Side side) {
  const double medial = side == foot::Side::left ? -1 : 1;
  return {{{"from above", -Vec3::UnitZ(), Vec3::UnitY()},
           {"inner side", -medial * Vec3::UnitY(), Vec3::UnitZ()},
           {"from below", Vec3::UnitZ(), -Vec3::UnitY()},
           {"from the front", -Vec3::UnitX(), Vec3::UnitZ()}}};
}

}  // namespace

io::Result<void> write_foot_picture(const geometry::TriMesh& skin_F, const std::filesystem::path& file,
                                    const FootPictureOptions& options) {
  if (skin_F.vertices.empty() || skin_F.faces.empty())
    return io::fail(
        {.field = "skin", .message = "there is no skin to draw", .remedy = "please report it with the files given"});
  constexpr double width = 2000, height = 1100, edge = 40, gap = 20, top = 100;
  constexpr MarkStyle marks{.text = 20, .line = 2, .dot = 7};
  const double w = (width - 2 * edge - gap) / 2, h = (height - top - edge - gap) / 2;

  findings::Scene scene;
  scene.side = options.side;
  scene.skin = skin_F;
  const Extent extent = extent_of(skin_F.vertices);
  const auto plain = foot_views(options.side);
  std::vector<View> views;
  double shared = 0;
  for (std::size_t i = 0; i < plain.size(); ++i) {
    View view;
    view.rect = {edge + static_cast<double>(i % 2) * (w + gap), top + static_cast<double>(i / 2) * (h + gap), w, h};
    view.camera.forward_S = plain[i].forward_F;
    view.camera.up_S = plain[i].up_F;
    view.camera.width_px = w;
    view.camera.height_px = h;
    view.camera = fitted(view.camera, extent, 48);
    shared = std::max(shared, view.camera.mm_per_px);
    views.push_back(std::move(view));
  }
  for (View& view : views) view.camera.mm_per_px = shared;
  if (auto rendered = render(views, scene, options.shader_folder, {}, 1); !rendered) return rendered;

  PngPicture picture(static_cast<int>(width), static_cast<int>(height));
  Canvas& canvas = picture.canvas();
  canvas.fill({0, 0, width, height}, theme.paper);
  const std::string side = options.side == foot::Side::left ? "LEFT" : "RIGHT";
  canvas.text(edge, 26, fmt::format("{} foot", side), {.size = 40, .bold = true});
  canvas.text(width - edge, 38, options.title, {.size = 24, .colour = theme.quiet, .align = Align::right});
  for (std::size_t i = 0; i < views.size(); ++i) {
    const Rect& r = views[i].rect;
    canvas.image(views[i].image, r);
    canvas.frame(r, theme.hairline, 1);
    canvas.text(r.x + 12, r.y + 10, plain[i].words, {.size = marks.text, .bold = true, .halo = true});
    draw_scale_bar(canvas, r.x + r.w - 16, r.y + 24, views[i].camera, marks);
  }
  return picture.write(file);
}

}  // namespace aplomb::report
