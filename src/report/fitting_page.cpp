// Lays a fitting page out: heading, picture, then parts from top to bottom; where there is much to say the picture
// gives way first, then the letters, then the one sheet.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/report/fitting_page.h"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <optional>
#include <sstream>
#include <string>
#include <vector>

#include "dates.h"
#include "pdf_file.h"
#include "views.h"

namespace aplomb::report {

namespace {

constexpr double edge = 40;
constexpr double largest = 10.5, least = 9.0;                      // points: read without glasses, and with them
constexpr double units = 1000;                                     // of the picture, across the page
constexpr double tallest = 0.48 * units, flattest = 0.26 * units;  // of the picture
constexpr double first_top = edge + 62, further_top = edge + 24;

/// The parts at letters of one size, sheet after sheet; run() draws them and says how many sheets they took.
class Parts {
 public:
  /// `turn` begins a further sheet of that number.
  Parts(Canvas& canvas, const PaperSize& sheet, double size, std::function<void(int)> turn)
      : canvas_(canvas),
        width_(sheet.width - 2 * edge),
        bottom_(sheet.height - edge - 12),
        size_(size),
        turn_(std::move(turn)) {}

  int run(const std::vector<PagePart>& parts, double top) {
    y_ = top;
    for (const PagePart& part : parts) one(part);
    return sheets_;
  }

 private:
  void one(const PagePart& part) {
    // A heading does not stand alone at the foot of a sheet.
    const double begin = part.lines.empty()
                             ? part.grid.rows.empty() ? 0 : 2 * row_height(part.grid.rows[0], column_widths(part.grid))
                             : line_height(part.lines[0]);
    make_room(2.1 * size_ + begin);
    canvas_.text(edge, y_, part.title, {.size = 1.15 * size_, .bold = true});
    canvas_.line({{edge, y_ + 1.7 * size_}, {edge + width_, y_ + 1.7 * size_}}, theme.ink, 0.7);
    y_ += 2.1 * size_;
    for (const std::string& words : part.lines) {
      make_room(line_height(words));
      canvas_.text(edge, y_, "\u2022", {.size = size_});
      canvas_.text(edge + 1.2 * size_, y_, words, line_style());
      y_ += line_height(words);
    }
    if (!part.grid.rows.empty()) grid(part.grid);
    y_ += 0.7 * size_;
  }

  void make_room(double height) {
    if (y_ + height <= bottom_) return;
    turn_(++sheets_);
    y_ = further_top;
  }

  TextStyle line_style() const { return {.size = size_, .width = width_ - 1.2 * size_}; }
  double line_height(const std::string& words) { return canvas_.text_size(words, line_style()).y() + 0.25 * size_; }

  double broadest(const Grid& grid, std::size_t column) {
    double broad = canvas_.text_size(grid.columns[column], {.size = 0.9 * size_, .bold = true}).x();
    for (const auto& row : grid.rows) broad = std::max(broad, canvas_.text_size(row[column], {.size = size_}).x());
    return broad + size_;
  }
  double longest_word(const Grid& grid, std::size_t column) {
    double longest = 0;
    const auto look = [&](const std::string& cell, const TextStyle& style) {
      std::istringstream words(cell);
      for (std::string word; words >> word;) longest = std::max(longest, canvas_.text_size(word, style).x());
    };
    look(grid.columns[column], {.size = 0.9 * size_, .bold = true});
    for (const auto& row : grid.rows) look(row[column], {.size = size_});
    return longest + size_;
  }

  /// Each column has room for its longest word; what is left goes where the most words would else wrap. The first one
  /// does not wrap up to two fifths of the sheet.
  std::vector<double> column_widths(const Grid& grid) {
    const std::size_t count = grid.columns.size();
    std::vector<double> widths(count), wishes(count);
    double given = 0, wished = 0;
    for (std::size_t c = 0; c < count; ++c) {
      const double whole = broadest(grid, c);
      widths[c] = c == 0 ? std::min(whole, 0.4 * width_) : longest_word(grid, c);
      wishes[c] = c == 0 ? 0 : std::max(0.0, whole - widths[c]);
      given += widths[c], wished += wishes[c];
    }
    const double rest = width_ - given;
    for (std::size_t c = 0; c < count; ++c)
      if (rest < 0)
        widths[c] *= width_ / given;  // words that no sheet has room for side by side
      else
        widths[c] += wished > 0 ? rest * wishes[c] / wished : c > 0 ? rest / static_cast<double>(count) : 0;
    return widths;
  }
  TextStyle cell_style(double width, bool head) {
    return {.size = head ? 0.9 * size_ : size_, .bold = head, .width = width - 0.5 * size_};
  }
  double row_height(const std::vector<std::string>& cells, const std::vector<double>& widths, bool head = false) {
    double height = 0;
    for (std::size_t c = 0; c < cells.size(); ++c)
      height = std::max(height, canvas_.text_size(cells[c], cell_style(widths[c], head)).y());
    return height + 0.2 * size_;
  }

  void row(const std::vector<std::string>& cells, const std::vector<double>& widths, bool head) {
    double x = edge;
    for (std::size_t c = 0; c < cells.size(); ++c) {
      canvas_.text(x, y_, cells[c], cell_style(widths[c], head));
      x += widths[c];
    }
    y_ += row_height(cells, widths, head);
    canvas_.line({{edge, y_ - 0.05 * size_}, {edge + width_, y_ - 0.05 * size_}}, theme.hairline, 0.4);
  }

  void grid(const Grid& grid) {
    const std::vector<double> widths = column_widths(grid);
    row(grid.columns, widths, true);
    for (const auto& cells : grid.rows) {
      const int before = sheets_;
      make_room(row_height(cells, widths));
      if (sheets_ != before) row(grid.columns, widths, true);
      row(cells, widths, false);
    }
  }

  Canvas& canvas_;
  double width_, bottom_, size_, y_ = 0;
  int sheets_ = 1;
  std::function<void(int)> turn_;
};

/// Where the parts begin under a picture of that height.
double below_picture(double high, const PaperSize& sheet) {
  return first_top + (high + 120) * (sheet.width - 2 * edge) / units + 34;
}

struct Layout {
  double size = largest, high = tallest;
  int sheets = 1;
};

/// As large as fits on one sheet: the picture gives way first, then the letters. What fits on none goes on, at letters
/// that take no sheet more.
Layout layout_of(const FittingPage& page, const PaperSize& sheet) {
  const Surface scratch(cairo_image_surface_create(CAIRO_FORMAT_A8, 1, 1));
  Canvas nowhere(scratch.get());
  const auto sheets_at = [&](double size, double high) {
    const double top = page.scene != nullptr ? below_picture(high, sheet) : first_top;
    return Parts(nowhere, sheet, size, [](int) {}).run(page.parts, top);
  };
  Layout layout;
  if (page.scene != nullptr)
    while (layout.high > flattest && sheets_at(largest, layout.high) > 1) layout.high -= 0.02 * units;
  layout.sheets = sheets_at(least, layout.high);
  while (layout.size > least && sheets_at(layout.size, layout.high) > layout.sheets) layout.size -= 0.25;
  return layout;
}

void draw_picture(Canvas& canvas, const FittingPage& page, const OneView& picture, const PaperSize& sheet) {
  const double scale = (sheet.width - 2 * edge) / units;
  canvas.push(edge, first_top, scale);
  const MarkStyle marks{.text = 17, .line = 2, .dot = 7};
  draw_view(canvas, picture.view, *page.scene, marks);
  draw_scale_bar(canvas, picture.view.rect.w - 14, 20, picture.view.camera, marks);
  draw_pressure_bar(canvas, {0, picture.view.rect.h + 14, picture.view.rect.w, 0}, picture.draw, marks);
  canvas.pop();
  canvas.text(edge, below_picture(picture.view.rect.h, sheet) - 34, page.caption,
              {.size = 9, .width = sheet.width - 2 * edge, .height = 26});
}

}  // namespace

io::Result<void> write_fitting_page(const FittingPage& page, Paper paper, const std::filesystem::path& file,
                                    const std::filesystem::path& shader_folder) {
  if (auto date = check_date(page.date); !date) return date;
  const PaperSize sheet = size_of(paper);
  const double width = sheet.width - 2 * edge;
  const Layout layout = layout_of(page, sheet);
  std::optional<OneView> picture;
  if (page.scene != nullptr) {
    auto view = render_one(*page.scene, {.shader_folder = shader_folder}, {0, 0, units, layout.high}, page.camera);
    if (!view) return tl::unexpected(view.error());
    picture = std::move(*view);
  }
  return write_pdf({sheet.width, sheet.height, page.title, page.version, page.date}, file, [&](Canvas& canvas) {
    const auto foot = [&](int number) {
      canvas.text(edge, sheet.height - edge, fmt::format("aplomb {}", page.version),
                  {.size = 6, .colour = theme.quiet});
      if (layout.sheets > 1)
        canvas.text(edge + width, sheet.height - edge - 2, fmt::format("sheet {} of {}", number, layout.sheets),
                    {.size = 9, .align = Align::right});
    };
    canvas.text(edge, edge, page.title, {.size = 20, .bold = true, .width = width - 80, .height = 24});
    canvas.text(edge, edge + 28, page.subtitle, {.size = 10.5, .width = width, .height = 26});
    canvas.text(edge + width, edge + 6, page.date, {.size = 10.5, .align = Align::right});
    if (picture) draw_picture(canvas, page, *picture, sheet);
    foot(1);
    Parts(canvas, sheet, layout.size, [&](int number) {
      cairo_show_page(canvas.cairo());
      canvas.text(edge, edge, page.title, {.size = 11, .bold = true, .width = width - 80, .height = 14});
      canvas.text(edge + width, edge, page.date, {.size = 10.5, .align = Align::right});
      foot(number);
    }).run(page.parts, picture ? below_picture(layout.high, sheet) : first_top);
  });
}

}  // namespace aplomb::report
