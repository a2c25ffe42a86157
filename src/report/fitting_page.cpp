// Lays a fitting page out: heading, picture, then parts from top to bottom, smaller where there is much to say.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/report/fitting_page.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "dates.h"
#include "pdf_file.h"
#include "views.h"

namespace aplomb::report {

namespace {

constexpr double edge = 40;
constexpr double largest = 10.5, least = 6.0;  // points

/// The parts at letters of one size; run() draws them and says where they end.
class Parts {
 public:
  Parts(Canvas& canvas, double width, double size) : canvas_(canvas), width_(width), size_(size) {}

  double run(const std::vector<PagePart>& parts, double y) {
    for (const PagePart& part : parts) y = one(part, y) + 0.7 * size_;
    return y;
  }

 private:
  double one(const PagePart& part, double y) {
    canvas_.text(edge, y, part.title, {.size = 1.15 * size_, .bold = true});
    canvas_.line({{edge, y + 1.7 * size_}, {edge + width_, y + 1.7 * size_}}, theme.ink, 0.7);
    y += 2.1 * size_;
    for (const std::string& words : part.lines) {
      canvas_.text(edge, y, "\u2022", {.size = size_});
      y += canvas_.text(edge + 1.2 * size_, y, words, {.size = size_, .width = width_ - 1.2 * size_}) + 0.25 * size_;
    }
    return part.grid.rows.empty() ? y : grid(part.grid, y);
  }

  /// The first column is as broad as it needs to be, up to two fifths; the others share the rest and wrap.
  double grid(const Grid& grid, double y) {
    double first = 0;
    for (const auto& row : grid.rows) first = std::max(first, canvas_.text_size(row[0], {.size = size_}).x());
    first = std::min(first + size_, 0.4 * width_);
    const double rest = (width_ - first) / static_cast<double>(std::max<std::size_t>(1, grid.columns.size() - 1));
    const auto line = [&](const std::vector<std::string>& cells, bool head) {
      double height = 0;
      for (std::size_t c = 0; c < cells.size(); ++c) {
        const double x = c == 0 ? edge : edge + first + static_cast<double>(c - 1) * rest;
        height = std::max(height, canvas_.text(x, y, cells[c],
                                               {.size = head ? 0.9 * size_ : size_,
                                                .bold = head,
                                                .width = (c == 0 ? first : rest) - 0.5 * size_}));
      }
      y += height + 0.2 * size_;
      canvas_.line({{edge, y - 0.05 * size_}, {edge + width_, y - 0.05 * size_}}, theme.hairline, 0.4);
    };
    line(grid.columns, true);
    for (const auto& row : grid.rows) line(row, false);
    return y;
  }

  Canvas& canvas_;
  double width_, size_;
};

double size_that_fits(const std::vector<PagePart>& parts, double width, double top, double bottom) {
  const Surface scratch(cairo_image_surface_create(CAIRO_FORMAT_A8, 1, 1));
  Canvas nowhere(scratch.get());
  double size = largest;
  while (size >= least && Parts(nowhere, width, size).run(parts, top) > bottom) size -= 0.25;
  return size;
}

}  // namespace

io::Result<void> write_fitting_page(const FittingPage& page, Paper paper, const std::filesystem::path& file,
                                    const std::filesystem::path& shader_folder) {
  if (auto date = check_date(page.date); !date) return date;
  const PaperSize sheet = size_of(paper);
  const double top = edge + 62, bottom = sheet.height - edge - 12;

  std::optional<OneView> picture;
  double text_top = top, caption_top = top;
  if (page.scene != nullptr) {
    constexpr double units = 1000;         // canvas units across the page
    constexpr double high = 0.48 * units;  // leaves room for letters that are read without glasses
    auto view = render_one(*page.scene, {.shader_folder = shader_folder}, {0, 0, units, high});
    if (!view) return tl::unexpected(view.error());
    picture = std::move(*view);
    caption_top = top + (high + 120) * (sheet.width - 2 * edge) / units;
    text_top = caption_top + 34;
  }
  const double size = size_that_fits(page.parts, (sheet.width - 2 * edge), text_top, bottom);
  if (size < least)
    return io::fail({.file = file.string(),
                     .message = "there is more to say than one page holds",
                     .remedy = "offer fewer changes"});

  return write_pdf({sheet.width, sheet.height, page.title, page.version, page.date}, file, [&](Canvas& canvas) {
    const double title_width = (sheet.width - 2 * edge) - 80;
    canvas.text(edge, edge, page.title, {.size = 20, .bold = true, .width = title_width, .height = 24});
    canvas.text(edge, edge + 28, page.subtitle, {.size = 10.5, .width = (sheet.width - 2 * edge), .height = 26});
    canvas.text(edge + (sheet.width - 2 * edge), edge + 6, page.date, {.size = 10.5, .align = Align::right});
    if (picture) {
      const double scale = (sheet.width - 2 * edge) / picture->view.rect.w;
      canvas.push(edge, top, scale);
      const MarkStyle marks{.text = 17, .line = 2, .dot = 7};
      draw_view(canvas, picture->view, *page.scene, marks);
      draw_scale_bar(canvas, picture->view.rect.w - 14, 20, picture->view.camera, marks);
      draw_pressure_bar(canvas, {0, picture->view.rect.h + 14, picture->view.rect.w, 0}, picture->draw, marks);
      canvas.pop();
      canvas.text(edge, caption_top, page.caption, {.size = 8.5, .width = (sheet.width - 2 * edge), .height = 24});
    }
    Parts(canvas, (sheet.width - 2 * edge), size).run(page.parts, text_top);
    canvas.text(edge, sheet.height - edge, fmt::format("aplomb {}", page.version), {.size = 6, .colour = theme.quiet});
  });
}

}  // namespace aplomb::report
