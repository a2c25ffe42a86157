// Views of a scene laid out on a canvas: rendered pixels with marks drawn over them.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "aplomb/findings/findings.h"
#include "aplomb/io/error.h"
#include "aplomb/report/camera.h"
#include "aplomb/report/picture.h"
#include "aplomb/report/scene_renderer.h"
#include "aplomb/report/sequence.h"
#include "canvas.h"

namespace aplomb::report {

/// One view: where it goes and from where it is taken. The camera's pixels are canvas units.
struct View {
  std::optional<Aspect> aspect = Aspect::front;  ///< none: from anywhere between
  Rect rect;
  Camera camera;
  Image image;  ///< filled by render()
};

/// Sizes of words and marks, in canvas units.
struct MarkStyle {
  double text = 20;
  double line = 2;
  double dot = 6;
};

/// Fills the images, `pixel_ratio` pixels for a canvas unit. Errors: see SceneRenderer and Offscreen.
io::Result<void> render(std::vector<View>& views, const findings::Scene& scene,
                        const std::filesystem::path& shader_folder, const DrawOptions& options, double pixel_ratio);

/// Panel, image, floor, platform, load line and marks of one view.
void draw_view(Canvas& canvas, const View& view, const findings::Scene& scene, const MarkStyle& style);

/// "50 mm" and a bar of that length (20 mm where 50 would be long); the bar ends at `right`.
void draw_scale_bar(Canvas& canvas, double right, double y, const Camera& camera, const MarkStyle& style);

/// What the marks mean, one a line, with the tints of the shoe beside; returns the height used.
double draw_mark_legend(Canvas& canvas, double x, double y, const findings::Scene& scene, const MarkStyle& style);

/// The numbered bar of pressures in kPa, contour lines marked; returns the height used.
double draw_pressure_bar(Canvas& canvas, const Rect& rect, const DrawOptions& options, const MarkStyle& style);

/// Front, inner side and below with their pixels, laid out in `stance_width` x `stance_height` canvas units; rendered
/// once for picture and page.
struct Stance {
  std::vector<View> views;
  DrawOptions draw;
  std::vector<Step> steps;  ///< one for each view; empty: the three views of one state
};
inline constexpr double stance_width = 1920, stance_height = 890;

/// One view of a scene by itself, with what its pressure bar needs.
struct OneView {
  View view;
  DrawOptions draw;
};
/// The inner side in `rect`, or as `camera` looks. Errors: see render().
io::Result<OneView> render_one(const findings::Scene& scene, const PictureOptions& options, const Rect& rect,
                               const std::optional<Camera>& camera = {});

/// Front and inner side share scale and floor, so that heights can be compared. Errors: see render().
io::Result<Stance> render_stance(const findings::Scene& scene, const PictureOptions& options);

/// The inner side of every step, in one scale. Errors: see render().
io::Result<Stance> render_steps(const std::vector<Step>& steps, const PictureOptions& options);

/// Views, pressure bar and legend. Returns what is left free under the legend, in canvas units.
Rect draw_stance(Canvas& canvas, const Stance& stance, const findings::Scene& scene, const MarkStyle& style);

}  // namespace aplomb::report
