// The program's data with rules that are answered in a moment.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <fstream>
#include <iterator>
#include <regex>
#include <string>

#include "../source_data.h"

namespace aplomb::test {

/// The program's data, with only those of the house's rules that take a tenth of a second.
inline std::filesystem::path quick_data(const std::filesystem::path& folder) {
  namespace fs = std::filesystem;
  const fs::path data = folder / "data";
  fs::create_directory(data);
  for (const auto& entry : fs::directory_iterator(source_data::meshes()))
    if (entry.path().filename() != "rules.toml") fs::create_symlink(entry.path(), data / entry.path().filename());
  fs::create_symlink(source_data::project() / "shaders", data / "shaders");
  std::ifstream in(source_data::meshes() / "rules.toml");
  const std::string text{std::istreambuf_iterator<char>(in), {}};
  std::ofstream out(data / "rules.toml");
  out << "format = \"aplomb-rules\"\nformat_version = 1\n";
  const std::string mark = "[[rule]]";
  for (std::size_t at = text.find(mark); at != std::string::npos;) {
    const std::size_t next = text.find(mark, at + 1);
    const std::string rule = text.substr(at, next == std::string::npos ? next : next - at);
    if (std::regex_search(rule, std::regex("\nposition = \"(measure|on-box)\""))) out << rule;
    at = next;
  }
  return data;
}

}  // namespace aplomb::test
