// Reading a shoe file.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>
#include <limits>

#include "aplomb/shoe/parameters.h"
#include "aplomb/shoe/read_layers.h"

namespace aplomb::shoe {

namespace {

const io::FileFormat format{.name = "aplomb-shoe", .version = 1};

void read_stiffness_table(io::TomlReader& reader, ShoeParameters& p) {
  auto table = reader.table("shank_stiffness");
  if (!table) return;
  const auto at = table->optional_numbers("from_heel_mm", {0, 340});
  const auto EI = table->optional_numbers("EI_Nm2", {0.001, 2});
  if (reader.refused()) return;
  if (!at || !EI || at->empty() || at->size() != EI->size()) {
    reader.refuse("shank_stiffness", "from_heel_mm and EI_Nm2 must be arrays of one length",
                  "give one stiffness for each distance from the heel");
    return;
  }
  for (std::size_t i = 0; i < at->size(); ++i) p.shank_EI_table.push_back({(*at)[i], (*EI)[i]});
}

void refuse_both(io::TomlReader& reader, const char* one, const char* other) {
  if (reader.has(one) && reader.has(other))
    reader.refuse(one, std::string(one) + " and " + other + " say the same thing twice", "keep one of them");
}

io::Result<ShoeParameters> read(io::TomlReader& reader) {
  ShoeParameters p;
  p.name = reader.optional_string("name").value_or("");
  p.cut = static_cast<Cut>(reader.choice_or("cut", {"straight", "right", "left"}, 0));
  p.throat = static_cast<Throat>(reader.choice_or("throat", {"round", "v"}, 0));

  p.ball_height_mm = p.sole_edge_mm = p.cap_length_mm = p.heel_seat_breadth_mm = p.back_seam_height_mm =
      p.shank_length_mm = p.ribbon_from_heel_mm = std::numeric_limits<double>::quiet_NaN();
  for (const NumberField& field : number_fields()) {
    if (field.required)
      p.*field.member = reader.number(field.key, field.range);
    else if (const auto value = reader.optional_number(field.key, field.range))
      p.*field.member = *value;
  }
  refuse_both(reader, "shank_fraction", "shank_length_mm");
  refuse_both(reader, "shank_thickness_mm", "shank_EI_Nm2");
  refuse_both(reader, "shank_thickness_mm", "shank_stiffness");
  refuse_both(reader, "shank_EI_Nm2", "shank_stiffness");
  if (const auto thickness = reader.optional_number("shank_thickness_mm", {0.6, 5}))
    p.shank_EI_Nm2 = shank_EI_Nm2(*thickness);
  read_stiffness_table(reader, p);
  read_layers(reader, p.layers);
  const auto fraction = reader.optional_number("shank_fraction", {0.2, 1});

  // A misspelt key is told before the contradiction that it may have caused.
  if (const auto done = reader.finish(); !done) return tl::unexpected(done.error());
  fill_proportional(p);
  if (fraction) p.shank_length_mm = *fraction * (p.inner_length_mm - p.sole_edge_mm);
  if (const auto good = check(p); !good) {
    reader.refuse(good.error().field, good.error().message, good.error().remedy);
    return tl::unexpected(reader.finish().error());
  }
  return p;
}

}  // namespace

io::Result<ShoeParameters> read_shoe(const std::filesystem::path& file) {
  auto reader = io::TomlReader::open(file, format, "--shoe");
  if (!reader) return tl::unexpected(reader.error());
  return read(*reader);
}

io::Result<ShoeParameters> parse_shoe(std::string_view text, const std::string& file_name) {
  auto reader = io::TomlReader::parse(text, file_name, format);
  if (!reader) return tl::unexpected(reader.error());
  return read(*reader);
}

}  // namespace aplomb::shoe
