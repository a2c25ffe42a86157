// What the window writes down of itself (--ui-state), asked as a person would ask the screen.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cmath>
#include <iostream>
#include <nlohmann/json.hpp>
#include <string>

#include "desk.h"

namespace aplomb::test {

/// There is no display to be had, which is said.
inline bool skipped(const Desk& desk) {
  if (!desk.ready()) std::cout << "skipped: Xvfb or xdotool is not installed\n";
  return !desk.ready();
}

/// The full answers of the numbers as they stand are shown.
inline bool answered(const nlohmann::json& s) {
  if (!s.contains("seats") || s["dragging"] == true) return false;
  for (const nlohmann::json& seat : s["seats"])
    if (!seat.value("current", false) || seat.value("care", "") != "full") return false;
  return true;
}

/// The widget of this id; null when it is not on the screen.
inline const nlohmann::json* find(const nlohmann::json& s, const std::string& id) {
  if (s.contains("items"))
    for (const nlohmann::json& one : s["items"])
      if (one["id"] == id) return &one;
  return nullptr;
}

inline bool has(const nlohmann::json& s, const std::string& id) { return find(s, id) != nullptr; }

/// Its words; empty where there is none of that name.
inline std::string text(const nlohmann::json& s, const std::string& id) {
  const nlohmann::json* one = find(s, id);
  return one == nullptr ? "" : one->value("text", "");
}

/// Value of a control; no number where there is none of that name.
inline double value(const nlohmann::json& s, const std::string& id) {
  const nlohmann::json* one = find(s, id);
  return one == nullptr ? std::nan("") : one->value("value", std::nan(""));
}

inline bool selected(const nlohmann::json& s, const std::string& id) {
  const nlohmann::json* one = find(s, id);
  return one != nullptr && one->value("selected", false);
}

/// A message with these words stands on the screen.
inline bool says(const nlohmann::json& s, const std::string& words) {
  if (s.contains("messages"))
    for (const nlohmann::json& message : s["messages"])
      if (message.get<std::string>().find(words) != std::string::npos) return true;
  return false;
}

/// What has the keyboard; empty: nothing.
inline std::string focused(const nlohmann::json& s) {
  if (s.contains("items"))
    for (const nlohmann::json& one : s["items"])
      if (one.value("focused", false)) return one["id"];
  return "";
}

inline double depth(const nlohmann::json& s, std::size_t seat = 0) {
  return s["seats"][seat]["depth_mm"].get<double>();
}

}  // namespace aplomb::test
