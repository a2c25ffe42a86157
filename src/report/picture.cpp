// The picture for the screen: title, three views, colour bar, marks, key numbers, caution.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/report/picture.h"

#include <fmt/format.h>

#include <system_error>

#include "aplomb/report/json.h"
#include "aplomb/report/rows.h"
#include "heading.h"
#include "png.h"
#include "sheets.h"

namespace aplomb::report {

namespace {

constexpr double picture_width = 2000, picture_height = 1100, edge = 40, top = 126;
constexpr MarkStyle marks{.text = 20, .line = 2, .dot = 7};

/// What a fitter asks first. Keys of rows.h; those that do not apply are left out.
constexpr const char* key_numbers[] = {"depth_mm",          "sink_mm",
                                       "crowding_index",    "load_share.platform",
                                       "peak_kPa",          "break_point.arch_fraction",
                                       "plumb.fore_aft_mm", "plumb.margin_mm",
                                       "toe_room_mm",       "heel_slack_mm",
                                       "vamp_cover_mm",     "flesh_over_vamp_mm"};
constexpr int key_rows = 8;  // at most

/// Returns whether there were any.
bool draw_key_numbers(Canvas& canvas, const Rect& rect, const findings::Findings& findings) {
  const double step = (rect.h - 12) / key_rows;
  double y = rect.y + 6 + (step - 22) / 2;
  const auto parts = sections(findings);
  if (parts.empty()) return false;
  canvas.fill(rect, theme.panel);
  canvas.frame(rect, theme.hairline, 1);
  int rows = 0;
  for (const char* key : key_numbers) {
    for (const Section& section : parts) {
      for (const Row& row : section.rows) {
        if (row.key != key || rows == key_rows) continue;
        ++rows;
        canvas.text(rect.x + 14, y, row.name, {.size = 18, .colour = theme.quiet});
        canvas.text(rect.x + rect.w - 14, y, row.value, {.size = 18, .bold = true, .align = Align::right});
        y += step;
      }
    }
  }
  return true;
}

void draw_limits(Canvas& canvas, const Rect& rect, const findings::Findings& findings) {
  if (findings.limits.empty()) return;
  canvas.text(rect.x, rect.y, "Limits", {.size = 16, .bold = true});
  // Whole sentences, as many as there is room for.
  const TextStyle style{.size = 15, .colour = theme.quiet, .width = rect.w};
  std::string text, shown;
  for (std::size_t i = 0; i < findings.limits.size(); ++i) {
    text += (i > 0 ? "\n" : "") + findings.limits[i];
    const std::size_t left = findings.limits.size() - i - 1;
    const std::string whole = left > 0 ? fmt::format("{}\n+ {} more in table and report", text, left) : text;
    if (i > 0 && canvas.text_size(whole, style).y() > rect.h - 24) break;
    shown = whole;
  }
  canvas.text(rect.x, rect.y + 24, shown, style);
}

}  // namespace

std::filesystem::path shader_folder_of(const std::filesystem::path& data_folder) {
  std::error_code code;
  const auto installed = data_folder / "shaders";
  return std::filesystem::is_directory(installed, code) ? installed : data_folder / ".." / "shaders";
}

io::Result<void> write_picture(const findings::Scene& scene, const findings::Findings& findings,
                               const std::filesystem::path& file, const PictureOptions& options) {
  if (auto drawable = check_drawable(scene, findings); !drawable) return drawable;
  const auto stance = render_stance(scene, options);
  if (!stance) return tl::unexpected(stance.error());
  return write_picture_of(*stance, scene, findings, file);
}

io::Result<void> write_picture_of(const Stance& stance, const findings::Scene& scene,
                                  const findings::Findings& findings, const std::filesystem::path& file) {
  PngPicture picture(static_cast<int>(picture_width), static_cast<int>(picture_height));
  Canvas& canvas = picture.canvas();
  canvas.fill({0, 0, picture_width, picture_height}, theme.paper);
  draw_heading(canvas, {edge, 28, picture_width - 2 * edge, 80}, findings, 1);
  canvas.push(edge, top, 1);
  const Rect rest = draw_stance(canvas, stance, scene, marks);
  const double taken = draw_key_numbers(canvas, {rest.x, rest.y, 322, rest.h}, findings) ? 342 : 0;
  draw_limits(canvas, {rest.x + taken, rest.y, rest.w - taken, rest.h}, findings);
  canvas.pop();
  canvas.text(edge, picture_height - 62, cautions().front(), {.size = 20, .bold = true});
  canvas.text(edge, picture_height - 34, fmt::format("{} {}", cautions()[1], cautions()[2]),
              {.size = 17, .colour = theme.quiet});
  canvas.text(picture_width - edge, picture_height - 34, fmt::format("aplomb {}", findings.version),
              {.size = 17, .colour = theme.quiet, .align = Align::right});
  return picture.write(file);
}

}  // namespace aplomb::report
