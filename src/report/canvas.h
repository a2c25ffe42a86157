// Lines, shapes and words on a Cairo surface, so that pictures and pages share one hand.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cairo.h>
#include <pango/pangocairo.h>

#include <memory>
#include <string>
#include <vector>

#include "aplomb/geometry/types.h"
#include "aplomb/report/colour.h"
#include "offscreen.h"

namespace aplomb::report {

using geometry::Vec2;

/// In canvas units: pixels of a picture, points of a page.
struct Rect {
  double x = 0, y = 0, w = 0, h = 0;
};

struct Theme {
  Colour paper{0.984, 0.980, 0.972}, panel{0.961, 0.953, 0.941}, ink{0.13, 0.14, 0.16}, quiet{0.42, 0.43, 0.45},
      hairline{0.80, 0.79, 0.77}, mark{0.05, 0.28, 0.42}, white{1, 1, 1}, alarm{0.62, 0.10, 0.10};
};
inline constexpr Theme theme{};

enum class Align { left, centre, right };

struct TextStyle {
  double size = 20;
  bool bold = false;
  Colour colour = theme.ink;
  Align align = Align::left;  ///< of the line against x; with a width, inside it
  double width = 0;           ///< > 0: wraps
  double height = 0;          ///< > 0: what does not fit ends in an ellipsis
  bool halo = false;          ///< paper-coloured rim, for words over a drawing
};

class Canvas {
 public:
  /// Draws on `surface`, which it keeps alive.
  explicit Canvas(cairo_surface_t* surface);

  void fill(const Rect& rect, const Colour& colour, double corner = 0);
  void frame(const Rect& rect, const Colour& colour, double line_width, double corner = 0);
  void line(const std::vector<Vec2>& points, const Colour& colour, double line_width, bool closed = false,
            const std::vector<double>& dashes = {});
  void fill_polygon(const std::vector<Vec2>& points, const Colour& colour, double alpha = 1);
  void disc(const Vec2& centre, double radius, const Colour& fill, const Colour& rim, double rim_width);
  /// The image stretched to `rect`.
  void image(const Image& image, const Rect& rect);
  /// A horizontal band of colours, left to right.
  void ramp(const Rect& rect);

  /// Draws with the top of the first line at `y`; returns the height used.
  double text(double x, double y, const std::string& words, const TextStyle& style);
  /// Size without drawing.
  Vec2 text_size(const std::string& words, const TextStyle& style);

  void clip(const Rect& rect);
  void unclip();
  /// From here to pop(), canvas units are `scale` times as large and counted from (x, y).
  void push(double x, double y, double scale);
  void pop();

  cairo_t* cairo() const { return cairo_.get(); }
  /// What Cairo says when something failed, else empty.
  std::string fault() const;

 private:
  void set(const Colour& colour, double alpha = 1);
  void path(const Rect& rect, double corner);
  void prepare(const std::string& words, const TextStyle& style);

  struct Unref {
    void operator()(cairo_t* p) const { cairo_destroy(p); }
    void operator()(cairo_surface_t* p) const { cairo_surface_destroy(p); }
    void operator()(PangoLayout* p) const { g_object_unref(p); }
  };
  std::unique_ptr<cairo_t, Unref> cairo_;
  std::unique_ptr<PangoLayout, Unref> layout_;
};

/// Owns a Cairo surface.
struct SurfaceDeleter {
  void operator()(cairo_surface_t* p) const { cairo_surface_destroy(p); }
};
using Surface = std::unique_ptr<cairo_surface_t, SurfaceDeleter>;

}  // namespace aplomb::report
