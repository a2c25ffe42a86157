// Reads the comma-separated anatomy tables.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "tables.h"

#include <fmt/format.h>

#include <charconv>
#include <sstream>
#include <stdexcept>

#include "aplomb/io/files.h"

namespace aplomb::template_tool {

namespace {

using Row = std::map<std::string, std::string>;

/// Cells may be quoted; a doubled quote does not occur in these tables.
std::vector<std::string> split(const std::string& line) {
  std::vector<std::string> cells(1);
  bool quoted = false;
  for (const char c : line) {
    if (c == '"')
      quoted = !quoted;
    else if (c == ',' && !quoted)
      cells.emplace_back();
    else if (c != '\r')
      cells.back() += c;
  }
  return cells;
}

std::vector<Row> read_rows(const std::filesystem::path& file) {
  const auto text = io::read_file(file);
  if (!text) throw std::runtime_error(io::to_line(text.error()));
  std::istringstream in(*text);
  std::string line;
  std::getline(in, line);
  const auto header = split(line);
  std::vector<Row> rows;
  while (std::getline(in, line)) {
    if (line.empty()) continue;
    const auto cells = split(line);
    if (cells.size() != header.size())
      throw std::runtime_error(
          fmt::format("{}:{}: has {} cells, not {}", file.string(), rows.size() + 2, cells.size(), header.size()));
    Row row;
    for (std::size_t i = 0; i < header.size(); ++i) row[header[i]] = cells[i];
    rows.push_back(std::move(row));
  }
  return rows;
}

double number(const std::string& cell) {
  // from_chars takes no leading plus sign.
  const char* first = cell.data() + (!cell.empty() && cell[0] == '+' ? 1 : 0);
  double value = 0;
  const auto [end, code] = std::from_chars(first, cell.data() + cell.size(), value);
  if (code != std::errc() || end != cell.data() + cell.size())
    throw std::runtime_error(fmt::format("'{}' is not a number", cell));
  return value;
}

double number_or_zero(const std::string& cell) { return cell.empty() ? 0 : number(cell); }

Vec3 vector(const Row& row, const std::string& x, const std::string& y, const std::string& z) {
  return {number_or_zero(row.at(x)), number_or_zero(row.at(y)), number_or_zero(row.at(z))};
}

void read_joints(const std::filesystem::path& folder, Anatomy& anatomy) {
  for (const Row& row : read_rows(folder / "joints.csv")) {
    AnatomyPoint point;
    point.position_F = vector(row, "x", "y", "z");
    point.flex_axis_F = vector(row, "flex_ax", "flex_ay", "flex_az");
    point.second_axis_F = vector(row, "axis2_x", "axis2_y", "axis2_z");
    // The tables round the axes to three decimals.
    if (point.flex_axis_F.norm() > 0) point.flex_axis_F.normalize();
    if (point.second_axis_F.norm() > 0) point.second_axis_F.normalize();
    point.rest_deg = number_or_zero(row.at("rest_deg"));
    point.plantarflexion_deg = number_or_zero(row.at("rom_pf_deg"));
    point.dorsiflexion_deg = number_or_zero(row.at("rom_df_deg"));
    // "+30/-12", sometimes followed by a remark.
    const std::string range = row.at("axis2_rom_deg");
    if (const auto slash = range.find('/'); slash != std::string::npos) {
      point.second_max_deg = number(range.substr(0, slash));
      point.second_min_deg = number(range.substr(slash + 1, range.find(' ', slash) - slash - 1));
    }
    anatomy.points[row.at("id")] = point;
  }
}

void read_sections(const std::filesystem::path& folder, Anatomy& anatomy) {
  for (const Row& row : read_rows(folder / "sections.csv")) {
    const Vec3 centre = vector(row, "cx", "cy", "cz");
    const std::string kind = row.at("kind");
    if (kind == "toe") {
      anatomy.toes.at(static_cast<std::size_t>(row.at("id").back() - '1'))
          .push_back({centre, vector(row, "nx", "ny", "nz").normalized(), number(row.at("half_breadth")),
                      number(row.at("half_height")), number(row.at("squareness_n"))});
      continue;
    }
    PolarSection section{kind == "body" ? centre.x() : centre.z(), centre, number(row.at("half_breadth")), {}};
    for (int k = 0; k < 24; ++k)
      section.radius_mm[static_cast<std::size_t>(k)] = number(row.at(fmt::format("r{:02d}", k)));
    (kind == "body" ? anatomy.body : anatomy.shank).push_back(section);
  }
}

}  // namespace

io::Result<Anatomy> read_anatomy(const std::filesystem::path& folder) {
  Anatomy anatomy;
  try {
    read_joints(folder, anatomy);
    read_sections(folder, anatomy);
    for (const Row& row : read_rows(folder / "thickness.csv"))
      anatomy.thickness_mm[row.at("region")] = number(row.at("thickness_mm"));
    for (const Row& row : read_rows(folder / "plantar.csv"))
      if (row.at("curve") == "midline_heel_to_toe2")
        anatomy.midline_xz.emplace_back(number(row.at("x_stand")), number(row.at("z_stand")));
  } catch (const std::exception& error) {
    return io::fail({.file = folder.string(), .message = error.what(), .remedy = "restore the anatomy tables"});
  }
  return anatomy;
}

}  // namespace aplomb::template_tool
