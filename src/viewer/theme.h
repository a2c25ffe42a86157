// Colours, fonts and the one spacing scale.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <imgui.h>

#include <filesystem>
#include <string>

namespace aplomb::viewer {

/// Sizes in pixels at the present scale; all spacing is a multiple of `unit`.
struct Theme {
  float scale = 1;
  float unit = 8;
  ImFont *body = nullptr, *strong = nullptr, *small = nullptr, *title = nullptr, *big = nullptr;

  float px(float at_scale_1) const { return at_scale_1 * scale; }
};

namespace ink {
inline constexpr ImU32 paper = IM_COL32(251, 250, 248, 255);
inline constexpr ImU32 panel = IM_COL32(245, 243, 240, 255);
inline constexpr ImU32 stage = IM_COL32(250, 249, 246, 255);
inline constexpr ImU32 line = IM_COL32(217, 214, 208, 255);
inline constexpr ImU32 text = IM_COL32(33, 36, 41, 255);
inline constexpr ImU32 quiet = IM_COL32(98, 101, 106, 255);
inline constexpr ImU32 mark = IM_COL32(13, 71, 107, 255);
inline constexpr ImU32 soft_mark = IM_COL32(221, 232, 240, 255);
inline constexpr ImU32 alarm = IM_COL32(158, 26, 26, 255);
inline constexpr ImU32 soft_alarm = IM_COL32(250, 232, 228, 255);
inline constexpr ImU32 white = IM_COL32(255, 255, 255, 255);
}  // namespace ink

/// Loads Inter at `scale` into the current ImGui context and sets its style. Without Inter the built-in font is used
/// and `complaint` says so. Call before the renderer makes its font texture.
Theme make_theme(float scale, std::string& complaint);

}  // namespace aplomb::viewer
