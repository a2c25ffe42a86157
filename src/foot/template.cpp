// Reading and writing the template's two files.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/foot/template.h"

#include <fmt/format.h>

#include <bit>
#include <cmath>
#include <cstring>
#include <nlohmann/json.hpp>
#include <string_view>

#include "aplomb/io/files.h"

namespace aplomb::foot {

namespace {

using nlohmann::json;

// The arrays are copied as they stand in memory.
static_assert(std::endian::native == std::endian::little, "template.bin is little-endian");

constexpr std::size_t max_template_bytes = std::size_t{64} << 20;
constexpr const char* table_name = "template.json";
constexpr const char* data_name = "template.bin";

struct Writer {
  std::string bytes;
  template <class T>
  void put(const T& value) {
    bytes.append(reinterpret_cast<const char*>(&value), sizeof value);
  }
  void put(const Vec3& v) {
    for (int k = 0; k < 3; ++k) put(v[k]);
  }
};

/// Reads in the order written; the caller has checked the total size before.
struct Reader {
  std::string_view bytes;
  std::size_t at = 0;
  template <class T>
  void get(T& value) {
    std::memcpy(&value, bytes.data() + at, sizeof value);
    at += sizeof value;
  }
  void get(Vec3& v) {
    for (int k = 0; k < 3; ++k) get(v[k]);
  }
};

constexpr std::size_t vertex_bytes = 3 * 8 + 4 + 4 * 8 + 8 + 1;
constexpr std::size_t face_bytes = 3 * 4;
constexpr std::size_t contact_bytes = 4 + 3 * 8 + 8 + 8 + 1;
constexpr std::size_t midline_bytes = 4 + 3 * 8;

std::string data_of(const Foot& foot) {
  Writer out;
  const Skin& skin = foot.skin;
  for (std::size_t v = 0; v < skin.vertices_F.size(); ++v) {
    out.put(skin.vertices_F[v]);
    for (const int bone : skin.bones[v]) out.put(static_cast<std::uint8_t>(bone));
    for (const double weight : skin.weights[v]) out.put(weight);
    out.put(skin.thickness_mm[v]);
    out.put(static_cast<std::uint8_t>(skin.region[v]));
  }
  for (const auto& face : skin.faces)
    for (const int v : face) out.put(static_cast<std::int32_t>(v));
  for (const ContactPoint& point : foot.contact_points) {
    out.put(static_cast<std::int32_t>(point.face));
    out.put(point.barycentric);
    out.put(point.area_mm2);
    out.put(point.thickness_mm);
    out.put(static_cast<std::uint8_t>(point.region));
  }
  for (const MidlinePoint& point : foot.plantar_midline) {
    out.put(static_cast<std::int32_t>(point.face));
    out.put(point.barycentric);
  }
  return std::move(out.bytes);
}

void read_data(std::string_view bytes, Foot& foot) {
  Reader in{bytes};
  Skin& skin = foot.skin;
  std::uint8_t small = 0;
  std::int32_t index = 0;
  for (std::size_t v = 0; v < skin.vertices_F.size(); ++v) {
    in.get(skin.vertices_F[v]);
    for (int& bone : skin.bones[v]) {
      in.get(small);
      bone = small;
    }
    for (double& weight : skin.weights[v]) in.get(weight);
    in.get(skin.thickness_mm[v]);
    in.get(small);
    skin.region[v] = static_cast<Region>(small);
  }
  for (auto& face : skin.faces) {
    for (int& v : face) {
      in.get(index);
      v = index;
    }
  }
  for (ContactPoint& point : foot.contact_points) {
    in.get(index);
    point.face = index;
    in.get(point.barycentric);
    in.get(point.area_mm2);
    in.get(point.thickness_mm);
    in.get(small);
    point.region = static_cast<Region>(small);
  }
  for (MidlinePoint& point : foot.plantar_midline) {
    in.get(index);
    point.face = index;
    in.get(point.barycentric);
  }
}

json vector_json(const Vec3& v) { return json::array({v.x(), v.y(), v.z()}); }

Vec3 vector_of(const json& value) {
  return {value.at(0).get<double>(), value.at(1).get<double>(), value.at(2).get<double>()};
}

/// Everything but the arrays and the hash.
json table_of(const Foot& foot) {
  json table;
  table["format"] = "aplomb-template";
  table["format_version"] = template_format_version;
  table["length_mm"] = foot.length_mm;
  table["breadth_mm"] = foot.breadth_mm;
  table["vertices"] = foot.skin.vertices_F.size();
  table["faces"] = foot.skin.faces.size();
  table["contact_points"] = foot.contact_points.size();
  table["midline_points"] = foot.plantar_midline.size();
  table["arch_back"] = foot.arch_back;
  table["arch_apex"] = foot.arch_apex;
  table["arch_front"] = foot.arch_front;
  table["bones"] = std::vector<std::string>(bone_names, bone_names + bone_count);
  table["regions"] = std::vector<std::string>(region_names, region_names + static_cast<int>(Region::count));
  for (const JointAxis& joint : foot.joints) {
    table["joints"].push_back({{"name", joint.name},
                               {"bone", joint.bone},
                               {"centre_F", vector_json(joint.centre_F)},
                               {"axis_F", vector_json(joint.axis_F)},
                               {"straight_deg", joint.straight_deg},
                               {"min_deg", joint.min_deg},
                               {"max_deg", joint.max_deg}});
  }
  for (const auto& [name, landmark] : foot.landmarks)
    table["landmarks"][name] = {{"bone", landmark.bone}, {"position_F", vector_json(landmark.position_F)}};
  return table;
}

void read_table(const json& table, Foot& foot) {
  foot.length_mm = table.at("length_mm").get<double>();
  foot.breadth_mm = table.at("breadth_mm").get<double>();
  foot.arch_back = table.at("arch_back").get<int>();
  foot.arch_apex = table.at("arch_apex").get<int>();
  foot.arch_front = table.at("arch_front").get<int>();
  for (const json& row : table.at("joints")) {
    JointAxis joint;
    joint.name = row.at("name").get<std::string>();
    joint.bone = row.at("bone").get<int>();
    joint.centre_F = vector_of(row.at("centre_F"));
    joint.axis_F = vector_of(row.at("axis_F"));
    joint.straight_deg = row.at("straight_deg").get<double>();
    joint.min_deg = row.at("min_deg").get<double>();
    joint.max_deg = row.at("max_deg").get<double>();
    foot.joints.push_back(std::move(joint));
  }
  for (const auto& [name, row] : table.at("landmarks").items())
    foot.landmarks[name] = {row.at("bone").get<int>(), vector_of(row.at("position_F"))};
}

std::string skin_fault(const Skin& skin) {
  const auto vertex_count = static_cast<int>(skin.vertices_F.size());
  if (vertex_count < 4 || skin.faces.size() < 4) return "the skin has too few vertices or faces";
  for (int v = 0; v < vertex_count; ++v) {
    if (!skin.vertices_F[v].allFinite()) return fmt::format("vertex {} is not a number", v);
    double sum = 0;
    for (int k = 0; k < 4; ++k) {
      if (skin.bones[v][k] < 0 || skin.bones[v][k] >= bone_count)
        return fmt::format("vertex {} names a bone that is not there", v);
      if (!(skin.weights[v][k] >= 0)) return fmt::format("vertex {} has a negative weight", v);
      sum += skin.weights[v][k];
    }
    if (!(std::abs(sum - 1) <= 1e-12)) return fmt::format("the weights of vertex {} add up to {}, not 1", v, sum);
    if (!(skin.thickness_mm[v] > 0 && std::isfinite(skin.thickness_mm[v])))
      return fmt::format("the tissue at vertex {} has no thickness", v);
    if (skin.region[v] >= Region::count) return fmt::format("vertex {} lies in a region that is not there", v);
  }
  for (std::size_t f = 0; f < skin.faces.size(); ++f) {
    for (const int v : skin.faces[f])
      if (v < 0 || v >= vertex_count) return fmt::format("face {} names a vertex that is not there", f);
  }
  return {};
}

std::string place_fault(int face, const Vec3& barycentric, std::size_t face_count) {
  if (face < 0 || face >= static_cast<int>(face_count)) return "names a face that is not there";
  if (!(barycentric.minCoeff() >= -1e-12 && std::abs(barycentric.sum() - 1) <= 1e-9)) return "does not lie in its face";
  return {};
}

std::string joint_fault(const JointAxis& joint) {
  if (joint.bone <= 0 || joint.bone >= anatomical_bone_count) return "moves a bone that is not there";
  if (!joint.centre_F.allFinite() || !(std::abs(joint.axis_F.norm() - 1) <= 1e-9)) return "has no proper axis";
  if (!(joint.min_deg <= 0 && joint.max_deg >= 0) || !std::isfinite(joint.min_deg + joint.max_deg))
    return "has a range without the standing pose";
  if (!(joint.straight_deg >= joint.min_deg && joint.straight_deg <= joint.max_deg))
    return "cannot reach its straight pose";
  return {};
}

}  // namespace

std::string template_fault(const Foot& foot) {
  if (foot.skin.vertices_F.size() != foot.skin.bones.size() ||
      foot.skin.vertices_F.size() != foot.skin.weights.size() ||
      foot.skin.vertices_F.size() != foot.skin.thickness_mm.size() ||
      foot.skin.vertices_F.size() != foot.skin.region.size())
    return "the skin's arrays differ in length";
  if (!(foot.length_mm > 0) || !(foot.breadth_mm > 0)) return "length or breadth is not positive";
  if (auto fault = skin_fault(foot.skin); !fault.empty()) return fault;
  if (foot.joints.empty()) return "there are no joints";
  for (const JointAxis& joint : foot.joints)
    if (auto fault = joint_fault(joint); !fault.empty()) return fmt::format("joint {} {}", joint.name, fault);
  for (std::size_t i = 0; i < foot.contact_points.size(); ++i) {
    const ContactPoint& point = foot.contact_points[i];
    if (auto fault = place_fault(point.face, point.barycentric, foot.skin.faces.size()); !fault.empty())
      return fmt::format("contact point {} {}", i, fault);
    if (!(point.area_mm2 > 0) || !(point.thickness_mm > 0) || point.region >= Region::count)
      return fmt::format("contact point {} has no area, thickness or region", i);
  }
  for (std::size_t i = 0; i < foot.plantar_midline.size(); ++i) {
    const MidlinePoint& point = foot.plantar_midline[i];
    if (auto fault = place_fault(point.face, point.barycentric, foot.skin.faces.size()); !fault.empty())
      return fmt::format("midline point {} {}", i, fault);
  }
  if (!(0 <= foot.arch_back && foot.arch_back < foot.arch_apex && foot.arch_apex < foot.arch_front &&
        foot.arch_front < static_cast<int>(foot.plantar_midline.size())))
    return "the arch marks do not lie in order on the midline";
  for (const auto& [name, landmark] : foot.landmarks)
    if (landmark.bone < 0 || landmark.bone >= anatomical_bone_count || !landmark.position_F.allFinite())
      return fmt::format("landmark {} is not on a bone", name);
  return {};
}

io::Result<Foot> load_template(const std::filesystem::path& folder) {
  const auto table_file = folder / table_name;
  const auto data_file = folder / data_name;
  const auto refuse = [](const std::filesystem::path& file, const std::string& field, const std::string& message) {
    return io::fail({.file = file.string(),
                     .field = field,
                     .message = message,
                     .remedy = "take the template files that came with this version of the program"});
  };
  const auto text = io::read_file(table_file, {}, max_template_bytes);
  if (!text) return tl::unexpected(text.error());
  Foot foot;
  json table;
  std::size_t expected_bytes = 0;
  try {
    table = json::parse(*text);
    if (table.at("format") != "aplomb-template") return refuse(table_file, "format", "is not \"aplomb-template\"");
    const int version = table.at("format_version").get<int>();
    if (version != template_format_version)
      return refuse(table_file, "format_version",
                    fmt::format("is {}, this program reads {}", version, template_format_version));
    if (table.at("bones") != json(std::vector<std::string>(bone_names, bone_names + bone_count)))
      return refuse(table_file, "bones", "are not the bones of this program");
    if (table.at("regions") !=
        json(std::vector<std::string>(region_names, region_names + static_cast<int>(Region::count))))
      return refuse(table_file, "regions", "are not the regions of this program");
    const auto count = [&](const char* key) {
      const auto n = table.at(key).get<std::int64_t>();
      // A count is only believed as far as a file of the largest size could hold it.
      return n < 0 || n > static_cast<std::int64_t>(max_template_bytes) ? max_template_bytes
                                                                        : static_cast<std::size_t>(n);
    };
    const std::size_t vertices = count("vertices"), faces = count("faces");
    const std::size_t contacts = count("contact_points"), midline = count("midline_points");
    expected_bytes = vertices * vertex_bytes + faces * face_bytes + contacts * contact_bytes + midline * midline_bytes;
    if (expected_bytes > max_template_bytes)
      return refuse(table_file, "vertices", "the counts are larger than any template");
    read_table(table, foot);
    foot.skin.vertices_F.resize(vertices);
    foot.skin.bones.resize(vertices);
    foot.skin.weights.resize(vertices);
    foot.skin.thickness_mm.resize(vertices);
    foot.skin.region.resize(vertices);
    foot.skin.faces.resize(faces);
    foot.contact_points.resize(contacts);
    foot.plantar_midline.resize(midline);
    foot.template_hash = table.at("content_hash").get<std::string>();
  } catch (const json::exception& error) {
    return refuse(table_file, "", fmt::format("is not a template table ({})", error.what()));
  }
  const auto data = io::read_file(data_file, {}, max_template_bytes);
  if (!data) return tl::unexpected(data.error());
  if (data->size() != expected_bytes)
    return refuse(data_file, "",
                  fmt::format("has {} bytes, not the {} that the table announces", data->size(), expected_bytes));
  table.erase("content_hash");
  if (io::content_hash(table.dump() + *data) != foot.template_hash)
    return refuse(data_file, "content_hash", "does not match: one of the two template files was changed");
  read_data(*data, foot);
  if (const auto fault = template_fault(foot); !fault.empty()) return refuse(data_file, "", fault);
  return foot;
}

std::string template_hash(const Foot& foot) { return io::content_hash(table_of(foot).dump() + data_of(foot)); }

io::Result<void> write_template(const Foot& foot, const std::filesystem::path& folder) {
  json table = table_of(foot);
  const std::string data = data_of(foot);
  table["content_hash"] = io::content_hash(table.dump() + data);
  if (auto written = io::write_file(folder / data_name, data); !written) return written;
  return io::write_file(folder / table_name, table.dump(1) + "\n");
}

}  // namespace aplomb::foot
