// Every format gives the points that were written, and what is no scan is refused in one line.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cstdint>
#include <cstring>
#include <fstream>

#include "../temporary_folder.h"
#include "aplomb/geometry/mesh.h"
#include "aplomb/scan/raw_scan.h"

using namespace aplomb;
using namespace aplomb::scan;
using Catch::Contains;
using geometry::Vec3;

namespace {

/// A ball of radius 50: area and volume known in closed form, its net made here.
geometry::TriMesh ball() {
  geometry::TriMesh mesh;
  constexpr int rings = 24, sides = 32;
  for (int i = 0; i <= rings; ++i)
    for (int j = 0; j < sides; ++j) {
      const double t = geometry::pi * i / rings, p = 2 * geometry::pi * j / sides;
      mesh.vertices.emplace_back(50 * std::sin(t) * std::cos(p), 50 * std::sin(t) * std::sin(p), 50 * std::cos(t));
    }
  for (int i = 0; i < rings; ++i)
    for (int j = 0; j < sides; ++j) {
      const int a = i * sides + j, b = i * sides + (j + 1) % sides, c = a + sides, d = b + sides;
      if (i > 0) mesh.faces.push_back({a, d, b});
      if (i + 1 < rings) mesh.faces.push_back({a, c, d});
    }
  return mesh;
}

template <class T>
std::string raw(T value, bool big = false) {
  char bytes[sizeof(T)];
  std::memcpy(bytes, &value, sizeof(T));
  std::string out(bytes, sizeof(T));
  return big ? std::string(out.rbegin(), out.rend()) : out;
}

std::string as_obj(const geometry::TriMesh& mesh, bool backward = false) {
  std::string text = "# a ball\no ball\n";
  for (const Vec3& p : mesh.vertices) text += fmt::format("v {} {} {}\n", p.x(), p.y(), p.z());
  const auto n = static_cast<int>(mesh.vertices.size());
  for (const auto& [a, b, c] : mesh.faces)
    text += backward ? fmt::format("f {} {} {}\n", a - n, b - n, c - n)
                     : fmt::format("f {}/1/1 {}//2 {}\n", a + 1, b + 1, c + 1);
  return text;
}

std::string as_off(const geometry::TriMesh& mesh) {
  std::string text = fmt::format("OFF\n# counts\n{} {} 0\n", mesh.vertices.size(), mesh.faces.size());
  for (const Vec3& p : mesh.vertices) text += fmt::format("{} {} {}\n", p.x(), p.y(), p.z());
  for (const auto& [a, b, c] : mesh.faces) text += fmt::format("3 {} {} {}\n", a, b, c);
  return text;
}

std::string as_xyz(const geometry::TriMesh& mesh) {
  std::string text = "X,Y,Z,R\n";
  for (const Vec3& p : mesh.vertices) text += fmt::format("{:e}, {:e}, {:e}, 255\r\n", p.x(), p.y(), p.z());
  return text;
}

std::string as_stl(const geometry::TriMesh& mesh, const std::string& head = "made by a test") {
  std::string bytes = head + std::string(80 - head.size(), ' ');
  bytes += raw(static_cast<std::uint32_t>(mesh.faces.size()));
  for (const auto& face : mesh.faces) {
    bytes += std::string(12, '\0');
    for (const int v : face)
      for (int k = 0; k < 3; ++k) bytes += raw(static_cast<float>(mesh.vertices[v][k]));
    bytes += std::string(2, '\0');
  }
  return bytes;
}

std::string as_text_stl(const geometry::TriMesh& mesh) {
  std::string text = "solid ball\n";
  for (const auto& face : mesh.faces) {
    text += "facet normal 0 0 0\n outer loop\n";
    for (const int v : face)
      text += fmt::format("  vertex {} {} {}\n", mesh.vertices[v].x(), mesh.vertices[v].y(), mesh.vertices[v].z());
    text += " endloop\nendfacet\n";
  }
  return text + "endsolid ball\n";
}

enum class Ply { text, little, big };
std::string as_ply(const geometry::TriMesh& mesh, Ply form) {
  const char* const names[] = {"ascii", "binary_little_endian", "binary_big_endian"};
  std::string out = fmt::format(
      "ply\nformat {} 1.0\ncomment by a test\nelement vertex {}\nproperty double y\nproperty float x\nproperty float "
      "z\n"
      "property uchar red\nelement face {}\nproperty uchar quality\nproperty list uchar int "
      "vertex_indices\nend_header\n",
      names[static_cast<int>(form)], mesh.vertices.size(), mesh.faces.size());
  const bool big = form == Ply::big;
  for (const Vec3& p : mesh.vertices)
    out += form == Ply::text
               ? fmt::format("{} {} {} 7\n", p.y(), p.x(), p.z())
               : raw(p.y(), big) + raw(static_cast<float>(p.x()), big) + raw(static_cast<float>(p.z()), big) + '\7';
  for (const auto& [a, b, c] : mesh.faces)
    out += form == Ply::text ? fmt::format("1 3 {} {} {}\n", a, b, c)
                             : std::string("\1\3") + raw(a, big) + raw(b, big) + raw(c, big);
  return out;
}

std::string as_glb(const geometry::TriMesh& mesh) {
  std::string binary;
  for (const Vec3& p : mesh.vertices)
    for (int k = 0; k < 3; ++k) binary += raw(static_cast<float>(p[k]));
  const std::size_t points = binary.size();
  for (const auto& face : mesh.faces)
    for (const int v : face) binary += raw(static_cast<std::uint16_t>(v));
  while (binary.size() % 4 != 0) binary += '\0';
  // The node is twice as large as its mesh, moved and turned about z by 90 degrees.
  std::string json = fmt::format(
      R"({{"asset":{{"version":"2.0"}},"scene":0,"scenes":[{{"nodes":[0]}}],"nodes":[{{"mesh":0,"scale":[2,2,2],)"
      R"("translation":[10,0,0],"rotation":[0,0,0.7071067811865476,0.7071067811865476]}}],"meshes":[{{"primitives":)"
      R"([{{"attributes":{{"POSITION":0}},"indices":1}}]}}],"accessors":[{{"bufferView":0,"componentType":5126,"count":{},)"
      R"("type":"VEC3"}},{{"bufferView":1,"componentType":5123,"count":{},"type":"SCALAR"}}],"bufferViews":[{{"buffer":0,)"
      R"("byteLength":{}}},{{"buffer":0,"byteOffset":{},"byteLength":{}}}],"buffers":[{{"byteLength":{}}}]}})",
      mesh.vertices.size(), 3 * mesh.faces.size(), points, points, binary.size() - points, binary.size());
  while (json.size() % 4 != 0) json += ' ';
  std::string out =
      "glTF" + raw(std::uint32_t{2}) + raw(static_cast<std::uint32_t>(12 + 8 + json.size() + 8 + binary.size()));
  out += raw(static_cast<std::uint32_t>(json.size())) + "JSON" + json;
  return out + raw(static_cast<std::uint32_t>(binary.size())) + std::string("BIN\0", 4) + binary;
}

struct Files {
  scratch::Folder folder;
  io::Result<RawScan> read(const std::string& name, const std::string& content) const {
    std::ofstream(folder.path / name, std::ios::binary) << content;
    return read_scan(folder.path / name);
  }
  std::string refusal(const std::string& name, const std::string& content) const {
    const auto scan = read(name, content);
    INFO(name);
    REQUIRE_FALSE(scan.has_value());
    CHECK(scan.error().kind == io::ErrorKind::bad_input);
    const std::string line = io::to_line(scan.error());
    CHECK(line.find('\n') == std::string::npos);
    CHECK_FALSE(scan.error().remedy.empty());
    return line;
  }
};

void swap_in(std::string& text, const std::string& what, const std::string& by) {
  const std::size_t at = text.find(what);
  REQUIRE(at != std::string::npos);
  text.replace(at, what.size(), by);
}

}  // namespace

TEST_CASE("Every format gives the same ball", "[scan][reading]") {
  const Files files;
  const geometry::TriMesh mesh = ball();
  const double area = geometry::area(mesh), volume = geometry::volume(mesh);
  CHECK(volume == Approx(4.0 / 3 * geometry::pi * 125000).epsilon(0.02));  // closed form, the net is a little smaller
  const std::pair<const char*, std::string> meshes[] = {{"a.obj", as_obj(mesh)},
                                                        {"b.OBJ", as_obj(mesh, true)},
                                                        {"c.off", as_off(mesh)},
                                                        {"d.stl", as_stl(mesh)},
                                                        {"e.stl", as_stl(mesh, "solid but of bytes")},
                                                        {"f.stl", as_text_stl(mesh)},
                                                        {"g.ply", as_ply(mesh, Ply::text)},
                                                        {"h.ply", as_ply(mesh, Ply::little)},
                                                        {"i.Ply", as_ply(mesh, Ply::big)}};
  for (const auto& [name, content] : meshes) {
    INFO(name);
    const auto scan = files.read(name, content);
    REQUIRE(scan.has_value());
    CHECK(geometry::area(scan->mesh) == Approx(area).epsilon(1e-5));
    CHECK(geometry::volume(scan->mesh) == Approx(volume).epsilon(1e-5));
    CHECK(geometry::bounds(scan->mesh).min.y() == Approx(-50).epsilon(1e-5));
  }
  const auto glb = files.read("j.glb", as_glb(mesh));
  REQUIRE(glb.has_value());
  CHECK(geometry::volume(glb->mesh) == Approx(8 * volume).epsilon(1e-5));
  CHECK(geometry::bounds(glb->mesh).min.x() == Approx(-90).epsilon(1e-5));
  CHECK(geometry::bounds(glb->mesh).min.y() == Approx(-100).epsilon(1e-5));
  const auto points = files.read("k.xyz", as_xyz(mesh));
  REQUIRE(points.has_value());
  CHECK(points->mesh.faces.empty());
  CHECK(points->mesh.vertices.size() == mesh.vertices.size());
  CHECK(geometry::bounds(points->mesh).max.z() == Approx(50));
}

TEST_CASE("What is no scan is refused in one line that says what is wrong", "[scan][reading]") {
  const Files files;
  const geometry::TriMesh mesh = ball();
  const std::string stl = as_stl(mesh), ply = as_ply(mesh, Ply::little), glb = as_glb(mesh), off = as_off(mesh),
                    obj = as_obj(mesh);
  for (const char* name : {"e.ply", "e.obj", "e.stl", "e.glb", "e.off", "e.xyz"}) {
    CHECK_FALSE(files.refusal(name, "").empty());
    CHECK_FALSE(files.refusal(name, "some words that are no scan\n").empty());
    CHECK_FALSE(files.refusal(name, std::string(300, '\0')).empty());
    CHECK_FALSE(files.refusal(name, std::string(5000, '\xff')).empty());
  }
  CHECK_THAT(files.refusal("one.obj", "v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 3\n"), Contains("3 points and 1 faces"));
  CHECK_THAT(files.refusal("foot.step", obj), Contains("not the ending of a scan"));
  CHECK_THAT(files.refusal("ply.stl", ply), Contains("begins like a ply file"));
  CHECK_THAT(files.refusal("cut.stl", stl.substr(0, stl.size() / 2)), Contains("promises 1472 triangles"));
  CHECK_THAT(files.refusal("cut.ply", ply.substr(0, ply.size() - 100)), Contains("cut off"));
  CHECK_THAT(files.refusal("cut.glb", glb.substr(0, glb.size() / 2)), Contains("promises"));
  CHECK_THAT(files.refusal("cut.off", off.substr(0, off.size() / 2)), Contains("ends after"));
  std::string more = ply;
  swap_in(more, "element vertex 800", "element vertex 4000000000");
  CHECK_THAT(files.refusal("more.ply", more), Contains("promises 4000000000"));
  std::string many = stl;
  many.replace(80, 4, raw(std::uint32_t{4000000000}));
  CHECK_THAT(files.refusal("many.stl", many), Contains("promises 4000000000 triangles"));
  std::string text = as_ply(mesh, Ply::text);
  swap_in(text, "element face", "a line of words\nelement face");
  CHECK_THAT(files.refusal("words.ply", text), Contains("words.ply:9:"));
  std::string wild = obj;
  swap_in(wild, "f 1/1/1", "f 999999/1/1");
  CHECK_THAT(files.refusal("wild.obj", wild), Contains("names point 999999/1/1 of 800"));
  std::string nan = obj;
  nan += "v 1 nan 2\n";
  CHECK_THAT(files.refusal("nan.obj", nan), Contains("which is nowhere"));
  std::string infinite = as_xyz(mesh) + "1 2 inf\n";
  CHECK_THAT(files.refusal("inf.xyz", infinite), Contains("which is nowhere"));
  std::string bad_ply = ply;
  swap_in(bad_ply, "property float z\n", "");
  CHECK_THAT(files.refusal("flat.ply", bad_ply), Contains("without x, y and z"));
}

TEST_CASE("Any byte of a scan may be wrong without more than a refusal", "[scan][reading]") {
  const Files files;
  const geometry::TriMesh mesh = ball();
  std::uint64_t state = 5;
  const auto next = [&state] { return state = state * 6364136223846793005ULL + 1442695040888963407ULL, state >> 33; };
  const std::pair<const char*, std::string> all[] = {{"f.obj", as_obj(mesh)}, {"f.off", as_off(mesh)},
                                                     {"f.stl", as_stl(mesh)}, {"f.ply", as_ply(mesh, Ply::little)},
                                                     {"f.glb", as_glb(mesh)}, {"f.xyz", as_xyz(mesh)}};
  int read = 0;
  for (const auto& [name, content] : all)
    for (int trial = 0; trial < 60; ++trial) {
      std::string spoiled = content;
      for (int k = 0; k < 3; ++k) spoiled[next() % (trial % 2 == 0 ? 400 : spoiled.size())] = static_cast<char>(next());
      if (trial % 5 == 0) spoiled.resize(next() % spoiled.size());
      const auto scan = files.read(name, spoiled);
      if (!scan) continue;
      ++read;
      for (const auto& face : scan->mesh.faces)
        for (const int v : face) REQUIRE((v >= 0 && v < static_cast<int>(scan->mesh.vertices.size())));
      for (const Vec3& p : scan->mesh.vertices) REQUIRE(p.allFinite());
    }
  CHECK(read > 20);
}
