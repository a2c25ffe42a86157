// Draws the two sheets of a foot by one layout: with numbers, and with the keys that say how to take them.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/report/foot_picture.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "aplomb/foot/numbers.h"
#include "aplomb/report/rows.h"
#include "foot_frame.h"
#include "foot_layout.h"
#include "png.h"
#include "residual_sheet.h"

namespace aplomb::report {

namespace {

constexpr MarkStyle marks{.text = 19, .line = 2, .dot = 7};

io::Result<void> render_panels(FootLayout& layout, const foot::Portrait& portrait,
                               const std::filesystem::path& shader_folder) {
  for (const bool pointed : {false, true}) {
    findings::Scene scene;
    scene.side = portrait.side;
    scene.skin = pointed ? portrait.pointed_F : portrait.standing_F;
    std::vector<View> views;
    for (const FootPanel& panel : layout.panels)
      if (panel.pointed == pointed) views.push_back(panel.view);
    if (auto rendered = render(views, scene, shader_folder, {}, 1); !rendered) return rendered;
    std::size_t next = 0;
    for (FootPanel& panel : layout.panels)
      if (panel.pointed == pointed) panel.view.image = std::move(views[next++].image);
  }
  return {};
}

void draw_panels(Canvas& canvas, const FootLayout& layout) {
  for (const FootPanel& panel : layout.panels) {
    const Rect& r = panel.view.rect;
    canvas.image(panel.view.image, r);
    const double floor = r.y + panel.view.camera.project(Vec3::Zero()).y();
    if (!panel.pointed && panel.view.camera.up_S.z() > 0.5)
      canvas.line({{r.x, floor}, {r.x + r.w, floor}}, theme.quiet, 1);
    canvas.frame(r, theme.hairline, 1);
    canvas.text(r.x + 12, r.y + 10, panel.title, {.size = marks.text, .bold = true, .halo = true});
    draw_scale_bar(canvas, r.x + r.w - 16, r.y + 22, panel.view.camera, marks);
  }
}

/// Panel with the toes' numbers: one row a toe, hallux first.
void draw_grid(Canvas& canvas, const FootLayout& layout, const std::vector<std::string>& under) {
  const Rect& r = layout.grid;
  canvas.fill(r, theme.panel);
  canvas.frame(r, theme.hairline, 1);
  canvas.text(r.x + 12, r.y + 10, layout.cells.empty() ? "Toes" : "Toes, mm", {.size = marks.text, .bold = true});
  std::set<double> columns;
  for (const Tag& cell : layout.cells) {
    columns.insert(cell.rect.x);
    if ((cell.number - foot::toe_length) / foot::toe_count == 0) {
      std::string name = foot::toe_names[(cell.number - foot::toe_length) % foot::toe_count];
      canvas.text(r.x + 12, cell.rect.y + 8, name, {.size = 18});
    }
    if (cell.solid) {
      canvas.fill(cell.rect, theme.white, 5);
      canvas.frame(cell.rect, theme.mark, 1.8, 5);
    }
    const TextStyle style{.size = 18,
                          .bold = cell.solid,
                          .colour = cell.remark.empty() ? theme.ink : theme.alarm,
                          .align = Align::centre};
    canvas.text(cell.rect.x + cell.rect.w / 2, cell.rect.y + 7, cell.value, style);
  }
  const char* const heads[] = {"length", "breadth", "height"};
  std::size_t i = 0;
  for (const double x : columns)
    if (i < 3 && !layout.cells.empty())
      canvas.text(x + layout.cells.front().rect.w / 2, r.y + 58, heads[i++],
                  {.size = 16, .colour = theme.quiet, .align = Align::centre});
  double y = r.y + r.h - 34 - 19 * (static_cast<double>(under.size()) - 1);
  for (const std::string& line : under) {
    canvas.text(r.x + 12, y, line, {.size = 15, .colour = theme.quiet, .width = r.w - 24, .height = 19});
    y += 19;
  }
}

/// What boxes and lines mean, at the right of the heading.
void draw_legend(Canvas& canvas, const std::string& solid, const std::string& dashed) {
  const double x = 1310;
  double y = 34;
  for (const bool is_solid : {true, false}) {
    draw(canvas, Stroke{Stroke::Kind::dimension, is_solid, {{x, y + 13}, {x + 74, y + 13}}});
    if (is_solid) {
      canvas.fill({x + 88, y, 40, 26}, theme.white, 5);
      canvas.frame({x + 88, y, 40, 26}, theme.mark, 1.8, 5);
    }
    canvas.text(x + 108, y + 2, "12", {.size = 17, .bold = is_solid, .align = Align::centre});
    canvas.text(x + 142, y + 2, is_solid ? solid : dashed, {.size = 17});
    y += 36;
  }
}

io::Result<void> check_skin(const foot::Portrait& portrait) {
  for (const geometry::TriMesh* mesh : {&portrait.standing_F, &portrait.pointed_F})
    if (mesh->vertices.empty() || mesh->faces.empty())
      return io::fail(
          {.field = "skin", .message = "there is no skin to draw", .remedy = "please report it with the files given"});
  return {};
}

/// Numbers for the tags; those of body and posture have no place on the skin.
Words words_of(const std::vector<FootSection>& sections) {
  Words words;
  for (const FootSection& section : sections) {
    for (const FootRow& row : section.rows) {
      words[row.number] = {fmt::format("{} \u00b7 {}", row.name, row.source), row.with_band(),
                           row.remark.empty() ? "" : "unusual", row.measured(),
                           row.band.empty() ? row.value : fmt::format("{} \u00b1 {}", row.value, row.band)};
    }
  }
  return words;
}

/// Bends and lifts that the card gives, toe by toe.
std::vector<std::string> postures(const std::vector<FootSection>& sections) {
  std::vector<std::string> parts;
  for (const FootSection& section : sections)
    for (const FootRow& row : section.rows)
      if (row.number >= foot::toe_bend && row.number < foot::breadth_relaxed && row.measured())
        parts.push_back(fmt::format("{} {}", row.name, row.with_band()));
  if (parts.empty()) return {"No bend or lift of a toe measured."};
  std::vector<std::string> lines;
  for (std::size_t i = 0; i < parts.size(); i += 2)
    lines.push_back(i + 1 < parts.size() ? parts[i] + "; " + parts[i + 1] : parts[i]);
  return lines;
}

std::string facts(const FootSheet& sheet) {
  std::string words = sources_counted(sheet.numbers);
  for (const FootSection& section : sheet.numbers)
    for (const FootRow& row : section.rows)
      if (row.number == foot::mass || row.number == foot::age)
        words += fmt::format("  \u00b7  {} {}", row.value.substr(0, row.value.find(".0")), row.unit);
  return words + "  \u00b7  \u00b1 holds 90 of 100";
}

/// What is unusual, then what to know, as large as it goes into `rect`.
void draw_notes(Canvas& canvas, const Rect& rect, const FootSheet& sheet) {
  std::vector<std::pair<std::string, Colour>> lines;
  for (const FootSection& section : sheet.numbers)
    for (const FootRow& row : section.rows)
      if (!row.remark.empty()) lines.emplace_back(fmt::format("{}: {}.", row.name, row.remark), theme.alarm);
  constexpr std::size_t most = 4;
  if (lines.size() > most) {
    const std::size_t left = lines.size() - most + 1;
    lines.resize(most - 1);
    lines.emplace_back(fmt::format("{} more numbers are unusual: see the table.", left), theme.alarm);
  }
  for (const std::string& note : sheet.notes) lines.emplace_back(note, theme.ink);
  TextStyle style{.size = 17, .width = rect.w};
  const auto height = [&] {
    double sum = 0;
    for (const auto& [words, colour] : lines) sum += canvas.text_size(words, style).y() + 3;
    return sum;
  };
  while (style.size > 11 && height() > rect.h) style.size -= 0.5;
  double y = rect.y;
  for (const auto& [words, colour] : lines) {
    style.colour = colour;
    y += canvas.text(rect.x, y, words, style) + 3;
  }
}

/// A number of the measuring sheet: what it is called there, its key, how it is taken.
struct HowTo {
  int number = 0;
  std::string mark, key, how;
};

std::vector<HowTo> how_to() {
  using namespace foot;
  std::vector<HowTo> all;
  for (const int number :
       {int{foot_length}, int{foot_breadth}, int{ball_length}, int{heel_breadth}, int{bimalleolar_breadth},
        int{hallux_angle}, int{ball_girth}, int{heel_ankle_girth}, int{ankle_girth}, int{lateral_malleolus_height},
        int{arch_height}, int{instep_height}, int{breadth_relaxed}, int{breadth_squeezed}, int{plantarflexion}})
    all.push_back({number, std::to_string(all.size() + 1), number_table()[number].key, number_table()[number].how});
  return all;
}

/// Key and how to take it, one under the other in columns, as large as they go into `rect`.
void draw_how_to(Canvas& canvas, const Rect& rect, const std::vector<std::string>& lines, int columns, double size) {
  const double gap = 28, width = (rect.w - gap * (columns - 1)) / columns;
  const std::size_t rows = (lines.size() + static_cast<std::size_t>(columns) - 1) / static_cast<std::size_t>(columns);
  TextStyle style{.size = size, .width = width};
  const auto run = [&](bool drawn) {
    double most = 0, y = 0;
    for (std::size_t i = 0; i < lines.size(); ++i) {
      if (i % rows == 0) y = 0;
      const double x = rect.x + static_cast<double>(i / rows) * (width + gap);
      y += (drawn ? canvas.text(x, rect.y + y, lines[i], style) : canvas.text_size(lines[i], style).y()) + 4;
      most = std::max(most, y);
    }
    return most;
  };
  while (style.size > 10 && run(false) > rect.h) style.size -= 0.25;
  run(true);
}

}  // namespace

io::Result<void> write_foot_picture(const FootSheet& sheet, const std::filesystem::path& file,
                                    const std::filesystem::path& shader_folder) {
  if (auto skin = check_skin(sheet.portrait); !skin) return skin;
  const int sheets = sheet.residuals ? 2 : 1;
  PngPicture picture(static_cast<int>(foot_sheet_width), sheets * static_cast<int>(foot_sheet_height));
  Canvas& canvas = picture.canvas();
  canvas.fill({0, 0, foot_sheet_width, foot_sheet_height}, theme.paper);
  FootLayout layout = lay_out(canvas, sheet.portrait, words_of(sheet.numbers));
  if (auto rendered = render_panels(layout, sheet.portrait, shader_folder); !rendered) return rendered;
  draw_foot_heading(canvas, sheet.portrait.side, fmt::format("Foot from {}", sheet.name), facts(sheet));
  draw_panels(canvas, layout);
  for (const Stroke& stroke : layout.strokes) draw(canvas, stroke);
  for (const Tag& tag : layout.tags) draw(canvas, tag);
  draw_grid(canvas, layout, postures(sheet.numbers));

  draw_legend(canvas, "measured", "not measured: estimated by the prior");
  draw_notes(canvas, layout.notes, sheet);
  draw_foot_cautions(canvas, sheet.version);
  if (sheet.residuals) {
    canvas.push(0, foot_sheet_height, 1);
    const auto drawn = draw_residual_sheet(canvas, sheet, shader_folder);
    canvas.pop();
    if (!drawn) return drawn;
  }
  return picture.write(file);
}

io::Result<void> write_measuring_picture(const foot::Portrait& portrait, const std::filesystem::path& file,
                                         const std::filesystem::path& shader_folder, const std::string& version) {
  if (auto skin = check_skin(portrait); !skin) return skin;
  Words words;
  std::vector<std::string> lines;
  for (const HowTo& one : how_to()) {
    const bool needed = one.number == foot::foot_length || one.number == foot::foot_breadth;
    words[one.number] = {needed ? fmt::format("{} \u00b7 needed", one.mark) : one.mark, number_name(one.number), "",
                         needed, ""};
    lines.push_back(fmt::format("{}  {}: {}", one.mark, one.key, one.how));
  }
  for (int number = foot::toe_length; number < foot::dimension_count; ++number) words[number].solid = false;
  std::vector<std::string> toes = {
      "One table a toe: [toes.hallux], [toes.second], [toes.third], [toes.fourth], [toes.little]"};
  for (const int number : {int{foot::toe_length}, int{foot::toe_breadth}, int{foot::toe_height}, int{foot::toe_lift},
                           int{foot::toe_bend}}) {
    const foot::NumberInfo& info = foot::number_table()[number];
    toes.push_back(fmt::format("{}: {}", info.key.substr(info.key.rfind('.') + 1), info.how));
  }
  PngPicture picture(static_cast<int>(foot_sheet_width), static_cast<int>(foot_sheet_height));
  Canvas& canvas = picture.canvas();
  canvas.fill({0, 0, foot_sheet_width, foot_sheet_height}, theme.paper);
  FootLayout layout = lay_out(canvas, portrait, words);
  if (auto rendered = render_panels(layout, portrait, shader_folder); !rendered) return rendered;
  draw_foot_heading(canvas, portrait.side, "How to measure a foot",
                    "caliper and tape; a left foot is measured the same way");
  draw_panels(canvas, layout);
  for (const Stroke& stroke : layout.strokes) draw(canvas, stroke);
  for (const Tag& tag : layout.tags) draw(canvas, tag);
  draw_grid(canvas, layout, {});
  const Rect& grid = layout.grid;
  draw_how_to(canvas, {grid.x + 12, grid.y + 56, grid.w - 24, grid.h - 68}, toes, 1, 17);
  draw_legend(canvas, "needed, and so is the side", "as many as you can: each narrows the rest");
  draw_how_to(canvas, layout.notes, lines, 3, 16);
  draw_foot_cautions(canvas, version);
  return picture.write(file);
}

}  // namespace aplomb::report
