// The record as JSON.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "ui_state.h"

#include <cmath>
#include <cstdio>
#include <fstream>

namespace aplomb::viewer {

bool UiStateFile::write(const ScreenRecord& record) {
  io::Json json = record.state;
  json["items"] = io::Json::array();
  for (const ScreenItem& item : record.items) {
    io::Json one = {{"id", item.id}, {"kind", item.kind}};
    one["rect"] = {std::lround(item.x), std::lround(item.y), std::lround(item.w), std::lround(item.h)};
    if (!item.text.empty()) one["text"] = item.text;
    if (item.value) one["value"] = io::number_or_null(item.value);
    if (item.low) one["low"] = io::number_or_null(item.low);
    if (item.high) one["high"] = io::number_or_null(item.high);
    if (!item.unit.empty()) one["unit"] = item.unit;
    if (!item.enabled) one["enabled"] = false;
    if (item.selected) one["selected"] = true;
    if (!item.visible) one["visible"] = false;
    if (item.focused) one["focused"] = true;
    json["items"].push_back(std::move(one));
  }
  const std::string text = io::to_text(json);
  if (text == last_) return true;
  const std::filesystem::path next = file_.string() + ".next";
  {
    std::ofstream out(next, std::ios::binary);
    out << text;
    if (!out.flush()) return false;
  }
  if (std::rename(next.c_str(), file_.c_str()) != 0) return false;
  last_ = text;
  return true;
}

}  // namespace aplomb::viewer
