// GLB (glTF 2.0 in one file, Khronos specification): the triangles and points of all nodes of the scene, in metres by
// that standard, though scanners write what they like. Compressed meshes are refused by name.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <optional>

#include "aplomb/io/json.h"
#include "reading.h"

namespace aplomb::scan {

namespace {

using geometry::Isometry;
using io::Json;

constexpr std::uint32_t magic = 0x46546C67, json_chunk = 0x4E4F534A, binary_chunk = 0x004E4942;

struct Fault {
  std::string message;
  const char* remedy = "export the scan without compression, or as PLY";
};

/// Scalars of an accessor, row by row.
class Accessor {
 public:
  Accessor(const Json& json, std::string_view binary, std::size_t index, std::size_t columns) : columns_(columns) {
    const Json& accessor = json.at("accessors").at(index);
    count = accessor.at("count").get<std::size_t>();
    component_ = accessor.at("componentType").get<int>();
    normalized_ = accessor.value("normalized", false);
    size_ = component_ == 5120 || component_ == 5121   ? 1
            : component_ == 5122 || component_ == 5123 ? 2
            : component_ == 5125 || component_ == 5126 ? 4
                                                       : 0;
    if (size_ == 0) throw Fault{fmt::format("has numbers of type {}", component_)};
    if (accessor.contains("sparse") || !accessor.contains("bufferView"))
      throw Fault{"holds its points in a sparse or compressed way"};
    const Json& view = json.at("bufferViews").at(accessor.at("bufferView").get<std::size_t>());
    const auto view_offset = view.value("byteOffset", std::size_t{0}),
               view_length = view.at("byteLength").get<std::size_t>();
    const auto offset = accessor.value("byteOffset", std::size_t{0});
    stride_ = view.value("byteStride", size_ * columns);
    if (view.value("buffer", 0) != 0) throw Fault{"keeps its points in another file"};
    // Each bound by itself, so that no sum overflows.
    if (view_offset > binary.size() || view_length > binary.size() - view_offset || stride_ < size_ * columns ||
        offset > view_length ||
        (count > 0 &&
         (view_length - offset < size_ * columns || (count - 1) > (view_length - offset - size_ * columns) / stride_)))
      throw Fault{fmt::format("promises {} values that do not fit its {} bytes", count, binary.size())};
    data_ = binary.substr(view_offset + offset);
  }
  double at(std::size_t row, std::size_t column) const {
    const std::size_t place = row * stride_ + column * size_;
    switch (component_) {
      case 5120:
        return scaled(value_at<std::int8_t>(data_, place), 127);
      case 5121:
        return scaled(value_at<std::uint8_t>(data_, place), 255);
      case 5122:
        return scaled(value_at<std::int16_t>(data_, place), 32767);
      case 5123:
        return scaled(value_at<std::uint16_t>(data_, place), 65535);
      case 5125:
        return value_at<std::uint32_t>(data_, place);
      default:
        return value_at<float>(data_, place);
    }
  }
  std::size_t count = 0;

 private:
  double scaled(double value, double most) const { return normalized_ ? value / most : value; }
  std::size_t columns_, size_ = 0, stride_ = 0;
  int component_ = 0;
  bool normalized_ = false;
  std::string_view data_;
};

Eigen::Affine3d motion_of(const Json& node) {
  Eigen::Affine3d T = Eigen::Affine3d::Identity();
  if (node.contains("matrix")) {
    for (int c = 0; c < 4; ++c)
      for (int r = 0; r < 3; ++r) T.matrix()(r, c) = node.at("matrix").at(4 * c + r).get<double>();
    return T;
  }
  const auto numbers = [&](const char* key, std::vector<double> otherwise) {
    return node.contains(key) ? node.at(key).get<std::vector<double>>() : otherwise;
  };
  const auto t = numbers("translation", {0, 0, 0}), q = numbers("rotation", {0, 0, 0, 1}),
             s = numbers("scale", {1, 1, 1});
  if (t.size() != 3 || q.size() != 4 || s.size() != 3) throw Fault{"has a node that is not placed by whole numbers"};
  T.translate(Vec3(t[0], t[1], t[2]));
  T.rotate(Eigen::Quaterniond(q[3], q[0], q[1], q[2]).normalized());
  T.scale(Vec3(s[0], s[1], s[2]));
  return T;
}

void add_primitive(const Json& json, std::string_view binary, const Json& primitive, const Eigen::Affine3d& T,
                   RawScan& scan) {
  if (primitive.contains("extensions") && primitive.at("extensions").contains("KHR_draco_mesh_compression"))
    throw Fault{"is compressed (Draco)"};
  if (!primitive.at("attributes").contains("POSITION")) return;
  const Accessor points(json, binary, primitive.at("attributes").at("POSITION").get<std::size_t>(), 3);
  scan.points_in_file += points.count;
  if (scan.points_in_file > most_points) return;  // refused by the caller
  const std::size_t step = thinning(scan.points_in_file);
  const auto first = static_cast<int>(scan.mesh.vertices.size());
  for (std::size_t i = 0; i < points.count; i += step)
    scan.mesh.vertices.push_back(T * Vec3(points.at(i, 0), points.at(i, 1), points.at(i, 2)));
  const int mode = primitive.value("mode", 4);
  if (step > 1 || mode < 4) return;
  std::optional<Accessor> indices;
  if (primitive.contains("indices")) indices.emplace(json, binary, primitive.at("indices").get<std::size_t>(), 1);
  const std::size_t corners = indices ? indices->count : points.count;
  if (scan.mesh.faces.size() + corners / (mode == 4 ? 3 : 1) > most_faces)
    throw Fault{fmt::format("has more than the {} triangles that are read", most_faces),
                "thin the scan before it is read"};
  const auto corner = [&](std::size_t i) {
    const double at = indices ? indices->at(i, 0) : static_cast<double>(i);
    if (!(at >= 0 && at < static_cast<double>(points.count)))
      throw Fault{fmt::format("names point {} of {}", at, points.count)};
    return first + static_cast<int>(at);
  };
  const bool turned = T.linear().determinant() < 0;
  for (std::size_t i = 0; i + 2 < corners; i += mode == 4 ? 3 : 1) {
    std::array<int, 3> face{corner(mode == 6 ? 0 : i), corner(i + 1), corner(i + 2)};
    if ((mode == 5 && i % 2 == 1) != turned) std::swap(face[1], face[2]);
    scan.mesh.faces.push_back(face);
  }
}

}  // namespace

io::Result<RawScan> read_glb(const Source& source) {
  const std::string_view bytes = source.bytes;
  if (bytes.size() < 20 || value_at<std::uint32_t>(bytes, 0) != magic)
    return source.refuse("does not begin like a GLB", "give the file its right ending");
  if (const auto version = value_at<std::uint32_t>(bytes, 4); version != 2)
    return source.refuse(fmt::format("is glTF {}, not 2", version), export_again);
  if (const std::size_t length = value_at<std::uint32_t>(bytes, 8); length > bytes.size())
    return source.refuse(fmt::format("promises {} bytes and has {}", length, bytes.size()),
                         "copy the file again: it is cut off");
  std::string_view text, binary;
  for (std::size_t at = 12; at + 8 <= bytes.size();) {
    const std::size_t length = value_at<std::uint32_t>(bytes, at);
    const auto kind = value_at<std::uint32_t>(bytes, at + 4);
    if (length > bytes.size() - at - 8)
      return source.refuse("has a part longer than the file", "copy the file again: it is cut off");
    if (kind == json_chunk && text.empty()) text = bytes.substr(at + 8, length);
    if (kind == binary_chunk && binary.empty()) binary = bytes.substr(at + 8, length);
    at += 8 + length;
  }
  RawScan scan;
  try {
    const Json json = Json::parse(text);
    int visits = 0;
    const std::function<void(std::size_t, const Eigen::Affine3d&)> visit = [&](std::size_t index,
                                                                               const Eigen::Affine3d& T_parent) {
      if (++visits > 10000) throw Fault{"has nodes without end"};
      const Json& node = json.at("nodes").at(index);
      const Eigen::Affine3d T = T_parent * motion_of(node);
      if (node.contains("mesh"))
        for (const Json& primitive : json.at("meshes").at(node.at("mesh").get<std::size_t>()).at("primitives"))
          add_primitive(json, binary, primitive, T, scan);
      if (node.contains("children"))
        for (const Json& child : node.at("children")) visit(child.get<std::size_t>(), T);
    };
    if (json.contains("scenes") && !json.at("scenes").empty()) {
      for (const Json& node : json.at("scenes").at(json.value("scene", std::size_t{0})).at("nodes"))
        visit(node.get<std::size_t>(), Eigen::Affine3d::Identity());
    } else if (json.contains("meshes")) {
      for (const Json& mesh : json.at("meshes"))
        for (const Json& primitive : mesh.at("primitives"))
          add_primitive(json, binary, primitive, Eigen::Affine3d::Identity(), scan);
    }
  } catch (const Fault& fault) {
    return source.refuse(fault.message, fault.remedy);
  } catch (const nlohmann::json::exception& error) {
    return source.refuse(fmt::format("is no sound glTF ({})", error.what()), export_again);
  }
  if (const auto error = too_many(source, scan.points_in_file)) return tl::unexpected(*error);
  if (scan.points_in_file > kept_points) scan.mesh.faces.clear();
  return scan;
}

}  // namespace aplomb::scan
