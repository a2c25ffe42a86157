// Words over the picture.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <imgui.h>

#include <string>

namespace aplomb::viewer {

/// On a ground of their own, a little broader than they are; nothing where there are no words.
void chip(ImDrawList& draw, ImFont* font, const ImVec2& at, ImU32 colour, const std::string& words);

}  // namespace aplomb::viewer
