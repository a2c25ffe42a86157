// Cairo for shapes, Pango for words.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "canvas.h"

#include <fmt/format.h>

#include <algorithm>

namespace aplomb::report {

Canvas::Canvas(cairo_surface_t* surface)
    : cairo_(cairo_create(surface)), layout_(pango_cairo_create_layout(cairo_.get())) {
  // Grid-fitted letters differ from size to size; unfitted ones keep their shapes in pictures of any scale.
  cairo_font_options_t* options = cairo_font_options_create();
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
  pango_cairo_context_set_font_options(pango_layout_get_context(layout_.get()), options);
  cairo_font_options_destroy(options);
  // Letters rounded to whole units would stand apart on a page measured in points.
  pango_context_set_round_glyph_positions(pango_layout_get_context(layout_.get()), FALSE);
  // Sizes are canvas units whatever the screen's resolution.
  pango_cairo_context_set_resolution(pango_layout_get_context(layout_.get()), 72);
}

void Canvas::set(const Colour& colour, double alpha) {
  cairo_set_source_rgba(cairo_.get(), colour.r, colour.g, colour.b, alpha);
}

void Canvas::path(const Rect& r, double corner) {
  cairo_t* c = cairo_.get();
  cairo_new_path(c);
  if (corner <= 0) {
    cairo_rectangle(c, r.x, r.y, r.w, r.h);
    return;
  }
  const double quarter = geometry::pi / 2;
  cairo_arc(c, r.x + r.w - corner, r.y + corner, corner, -quarter, 0);
  cairo_arc(c, r.x + r.w - corner, r.y + r.h - corner, corner, 0, quarter);
  cairo_arc(c, r.x + corner, r.y + r.h - corner, corner, quarter, 2 * quarter);
  cairo_arc(c, r.x + corner, r.y + corner, corner, 2 * quarter, 3 * quarter);
  cairo_close_path(c);
}

void Canvas::fill(const Rect& rect, const Colour& colour, double corner) {
  path(rect, corner);
  set(colour);
  cairo_fill(cairo_.get());
}

void Canvas::frame(const Rect& rect, const Colour& colour, double line_width, double corner) {
  path(rect, corner);
  set(colour);
  cairo_set_line_width(cairo_.get(), line_width);
  cairo_stroke(cairo_.get());
}

void Canvas::line(const std::vector<Vec2>& points, const Colour& colour, double line_width, bool closed,
                  const std::vector<double>& dashes) {
  cairo_t* c = cairo_.get();
  cairo_new_path(c);
  for (const Vec2& p : points) cairo_line_to(c, p.x(), p.y());
  if (closed) cairo_close_path(c);
  set(colour);
  cairo_set_line_width(c, line_width);
  cairo_set_line_join(c, CAIRO_LINE_JOIN_ROUND);
  cairo_set_line_cap(c, dashes.empty() ? CAIRO_LINE_CAP_ROUND : CAIRO_LINE_CAP_BUTT);
  cairo_set_dash(c, dashes.data(), static_cast<int>(dashes.size()), 0);
  cairo_stroke(c);
  cairo_set_dash(c, nullptr, 0, 0);
}

void Canvas::fill_polygon(const std::vector<Vec2>& points, const Colour& colour, double alpha) {
  cairo_t* c = cairo_.get();
  cairo_new_path(c);
  for (const Vec2& p : points) cairo_line_to(c, p.x(), p.y());
  cairo_close_path(c);
  set(colour, alpha);
  cairo_fill(c);
}

void Canvas::disc(const Vec2& centre, double radius, const Colour& fill_colour, const Colour& rim, double rim_width) {
  cairo_t* c = cairo_.get();
  cairo_new_path(c);
  cairo_arc(c, centre.x(), centre.y(), radius, 0, 2 * geometry::pi);
  set(fill_colour);
  cairo_fill_preserve(c);
  set(rim);
  cairo_set_line_width(c, rim_width);
  cairo_stroke(c);
}

void Canvas::image(const Image& picture, const Rect& rect) {
  // Cairo reads the pixels while painting to a picture, but a page keeps the surface until it is finished: it gets a
  // copy.
  const Surface copy(cairo_image_surface_create(CAIRO_FORMAT_RGB24, picture.width, picture.height));
  if (cairo_surface_status(copy.get()) != CAIRO_STATUS_SUCCESS) return;
  unsigned char* rows = cairo_image_surface_get_data(copy.get());
  const int stride = cairo_image_surface_get_stride(copy.get());
  for (int row = 0; row < picture.height; ++row) {
    const auto* begin =
        reinterpret_cast<const unsigned char*>(picture.pixels.data() + static_cast<std::size_t>(row) * picture.width);
    std::copy(begin, begin + std::size_t{4} * picture.width, rows + static_cast<std::ptrdiff_t>(row) * stride);
  }
  cairo_surface_mark_dirty(copy.get());
  cairo_t* c = cairo_.get();
  cairo_save(c);
  cairo_translate(c, rect.x, rect.y);
  cairo_scale(c, rect.w / picture.width, rect.h / picture.height);
  cairo_set_source_surface(c, copy.get(), 0, 0);
  cairo_paint(c);
  cairo_restore(c);
}

void Canvas::ramp(const Rect& rect) {
  // Narrow strips rather than a gradient: exact at every strip, and the same in a picture and on a page.
  for (int i = 0; i < pressure_map_size; ++i) {
    const double left = rect.x + rect.w * i / pressure_map_size;
    const double overlap = i + 1 < pressure_map_size ? 0.6 : 0.0;
    fill({left, rect.y, rect.w / pressure_map_size + overlap, rect.h}, pressure_map()[i]);
  }
}

void Canvas::prepare(const std::string& words, const TextStyle& style) {
  PangoLayout* layout = layout_.get();
  PangoFontDescription* font = pango_font_description_new();
  pango_font_description_set_family_static(font, "Inter, sans-serif");
  pango_font_description_set_absolute_size(font, style.size * PANGO_SCALE);
  pango_font_description_set_weight(font, style.bold ? PANGO_WEIGHT_SEMIBOLD : PANGO_WEIGHT_NORMAL);
  pango_layout_set_font_description(layout, font);
  pango_font_description_free(font);
  pango_layout_set_width(layout, style.width > 0 ? static_cast<int>(style.width * PANGO_SCALE) : -1);
  pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
  pango_layout_set_height(layout, style.height > 0 ? static_cast<int>(style.height * PANGO_SCALE) : -1);
  pango_layout_set_ellipsize(layout, style.height > 0 ? PANGO_ELLIPSIZE_END : PANGO_ELLIPSIZE_NONE);
  pango_layout_set_alignment(layout, style.align == Align::left     ? PANGO_ALIGN_LEFT
                                     : style.align == Align::centre ? PANGO_ALIGN_CENTER
                                                                    : PANGO_ALIGN_RIGHT);
  // File names may hold any bytes; Pango wants UTF-8.
  char* valid = g_utf8_make_valid(words.data(), static_cast<gssize>(words.size()));
  pango_layout_set_text(layout, valid, -1);
  g_free(valid);
}

Vec2 Canvas::text_size(const std::string& words, const TextStyle& style) {
  prepare(words, style);
  PangoRectangle logical;
  pango_layout_get_extents(layout_.get(), nullptr, &logical);
  return {static_cast<double>(logical.width) / PANGO_SCALE, static_cast<double>(logical.height) / PANGO_SCALE};
}

double Canvas::text(double x, double y, const std::string& words, const TextStyle& style) {
  const Vec2 size = text_size(words, style);
  cairo_t* c = cairo_.get();
  double left = x;
  if (style.width <= 0 && style.align == Align::centre) left -= size.x() / 2;
  if (style.width <= 0 && style.align == Align::right) left -= size.x();
  if (style.halo) {
    cairo_move_to(c, left, y);
    pango_cairo_layout_path(c, layout_.get());
    set(theme.paper, 0.9);
    cairo_set_line_width(c, style.size * 0.22);
    cairo_set_line_join(c, CAIRO_LINE_JOIN_ROUND);
    cairo_stroke(c);
  }
  cairo_move_to(c, left, y);
  set(style.colour);
  pango_cairo_show_layout(c, layout_.get());
  return size.y();
}

void Canvas::clip(const Rect& rect) {
  cairo_save(cairo_.get());
  cairo_rectangle(cairo_.get(), rect.x, rect.y, rect.w, rect.h);
  cairo_clip(cairo_.get());
}

void Canvas::unclip() { cairo_restore(cairo_.get()); }

void Canvas::push(double x, double y, double scale) {
  cairo_save(cairo_.get());
  cairo_translate(cairo_.get(), x, y);
  cairo_scale(cairo_.get(), scale, scale);
}

void Canvas::pop() { cairo_restore(cairo_.get()); }

std::string Canvas::fault() const {
  const cairo_status_t status = cairo_status(cairo_.get());
  return status == CAIRO_STATUS_SUCCESS ? "" : cairo_status_to_string(status);
}

}  // namespace aplomb::report
