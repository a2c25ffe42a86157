// Inter with figures of one width, so that columns of numbers align; a light, quiet style.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "theme.h"

#include <algorithm>
#include <cstdlib>
#include <vector>

namespace aplomb::viewer {

namespace {

namespace fs = std::filesystem;

/// Folder that holds Inter; empty when there is none.
fs::path font_folder() {
  std::vector<fs::path> folders;
  if (const char* named = std::getenv("APLOMB_FONTS"); named != nullptr && *named != '\0') {
    folders = {named};  // only there
  } else {
    folders = {"/usr/share/fonts/opentype/inter", "/usr/local/share/fonts/inter", "/usr/share/fonts/inter"};
  }
  std::error_code code;
  for (const fs::path& folder : folders)
    if (fs::is_regular_file(folder / "Inter-Regular.otf", code)) return folder;
  return {};
}

/// Latin, and what units, ranges and names need: dashes, quotes, arrows, super-scripts.
const ImWchar* glyph_ranges() {
  static const ImWchar ranges[] = {0x20, 0x17f, 0x2010, 0x2026, 0x2070, 0x2094, 0x2190, 0x2193, 0x2212, 0x2212, 0};
  return ranges;
}

/// All figures as wide as the widest.
void tabular_figures(ImFont* font) {
  float widest = 0;
  for (ImWchar c = '0'; c <= '9'; ++c) widest = std::max(widest, font->GetCharAdvance(c));
  for (ImFontGlyph& glyph : font->Glyphs) {
    if (glyph.Codepoint < '0' || glyph.Codepoint > '9') continue;
    const float shift = 0.5f * (widest - glyph.AdvanceX);
    glyph.X0 += shift, glyph.X1 += shift;
    glyph.AdvanceX = widest;
  }
  font->BuildLookupTable();
}

ImVec4 colour(ImU32 value) { return ImGui::ColorConvertU32ToFloat4(value); }

void set_style(const Theme& theme) {
  ImGuiStyle style;
  ImGui::StyleColorsLight(&style);
  style.WindowPadding = {2 * theme.unit, 1.5f * theme.unit};
  style.FramePadding = {theme.unit, 0.5f * theme.unit};
  style.ItemSpacing = {theme.unit, theme.unit};
  style.ItemInnerSpacing = {0.5f * theme.unit, 0.5f * theme.unit};
  style.ScrollbarSize = 1.25f * theme.unit;
  style.GrabMinSize = 1.5f * theme.unit;
  style.WindowRounding = style.ChildRounding = 0;
  style.FrameRounding = style.GrabRounding = style.PopupRounding = style.ScrollbarRounding = 0.5f * theme.unit;
  style.WindowBorderSize = 0;
  style.ChildBorderSize = 0;
  style.PopupBorderSize = 1;
  ImVec4* c = style.Colors;
  c[ImGuiCol_Text] = colour(ink::text);
  c[ImGuiCol_TextDisabled] = colour(ink::quiet);
  c[ImGuiCol_WindowBg] = colour(ink::panel);
  c[ImGuiCol_ChildBg] = {0, 0, 0, 0};
  c[ImGuiCol_PopupBg] = colour(ink::paper);
  c[ImGuiCol_Border] = colour(ink::line);
  c[ImGuiCol_FrameBg] = colour(ink::white);
  c[ImGuiCol_FrameBgHovered] = colour(ink::soft_mark);
  c[ImGuiCol_FrameBgActive] = colour(ink::soft_mark);
  c[ImGuiCol_SliderGrab] = colour(IM_COL32(70, 116, 148, 255));
  c[ImGuiCol_SliderGrabActive] = colour(ink::mark);
  c[ImGuiCol_Button] = colour(ink::white);
  c[ImGuiCol_ButtonHovered] = colour(ink::soft_mark);
  c[ImGuiCol_ButtonActive] = colour(IM_COL32(190, 212, 227, 255));
  c[ImGuiCol_Header] = c[ImGuiCol_HeaderHovered] = c[ImGuiCol_HeaderActive] = colour(ink::soft_mark);
  c[ImGuiCol_Separator] = colour(ink::line);
  c[ImGuiCol_NavHighlight] = colour(ink::mark);
  c[ImGuiCol_ScrollbarBg] = {0, 0, 0, 0};
  c[ImGuiCol_ScrollbarGrab] = colour(ink::line);
  c[ImGuiCol_ModalWindowDimBg] = {0.1f, 0.1f, 0.12f, 0.25f};
  ImGui::GetStyle() = style;
}

}  // namespace

Theme make_theme(float scale, std::string& complaint) {
  Theme theme;
  theme.scale = std::clamp(scale, 0.5f, 4.0f);
  theme.unit = std::max(4.0f, 8 * theme.scale);
  ImFontAtlas& atlas = *ImGui::GetIO().Fonts;
  atlas.Clear();
  const fs::path folder = font_folder();
  const auto load = [&](const char* file, float size) {
    return atlas.AddFontFromFileTTF((folder / file).c_str(), std::max(8.0f, size * theme.scale), nullptr,
                                    glyph_ranges());
  };
  if (!folder.empty() && fs::is_regular_file(folder / "Inter-SemiBold.otf")) {
    theme.body = load("Inter-Regular.otf", 16);
    theme.strong = load("Inter-SemiBold.otf", 16);
    theme.small = load("Inter-Regular.otf", 13.5f);
    theme.title = load("Inter-SemiBold.otf", 19);
    theme.big = load("Inter-SemiBold.otf", 30);
  }
  if (theme.big == nullptr) {
    complaint = "The font Inter was not found, so letters look plain; install fonts-inter.";
    ImFontConfig config;
    config.SizePixels = std::max(8.0f, 13 * theme.scale);
    atlas.Clear();
    theme.body = theme.strong = theme.small = theme.title = theme.big = atlas.AddFontDefault(&config);
  }
  atlas.Build();
  for (ImFont* font : atlas.Fonts) tabular_figures(font);
  ImGui::GetIO().FontDefault = theme.body;
  set_style(theme);
  return theme;
}

}  // namespace aplomb::viewer
