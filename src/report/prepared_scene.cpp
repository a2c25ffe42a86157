// Everything slow about showing a scene, done where no frame waits for it.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "prepared_scene.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "bone_mesh.h"

namespace aplomb::report {

namespace {

/// The sharp rims of box and sole are steeper than this, the turns of their walls are not.
constexpr double crease_deg = 40;
/// Skin is smooth but for the flat cut above the ankle.
constexpr double skin_crease_deg = 70;

io::Result<void> check(const geometry::TriMesh& mesh, const char* name) {
  const auto refuse = [&](const std::string& message) {
    return io::fail({.field = name, .message = message, .remedy = "please report it with the files given"});
  };
  const int count = static_cast<int>(mesh.vertices.size());
  for (const auto& face : mesh.faces)
    for (const int v : face)
      if (v < 0 || v >= count) return refuse("a face of the mesh to draw names a vertex that is not there");
  for (const Vec3& p : mesh.vertices)
    if (!p.allFinite()) return refuse("the mesh to draw has a coordinate that is not finite");
  return {};
}

}  // namespace

PreparedScene::PreparedScene(std::unique_ptr<Meshes> meshes) : meshes_(std::move(meshes)) {}
PreparedScene::PreparedScene(PreparedScene&&) noexcept = default;
PreparedScene& PreparedScene::operator=(PreparedScene&&) noexcept = default;
PreparedScene::~PreparedScene() = default;

io::Result<PreparedScene> PreparedScene::make(const findings::Scene& scene, const std::vector<double>& values) {
  const std::pair<const geometry::TriMesh*, const char*> meshes[] = {
      {&scene.skin, "skin"}, {&scene.shell, "shell"}, {&scene.sole, "sole"}, {&scene.upper, "upper"}};
  for (const auto& [mesh, name] : meshes)
    if (auto checked = check(*mesh, name); !checked) return tl::unexpected(checked.error());
  if (!values.empty() && values.size() != scene.skin.vertices.size())
    return io::fail(
        {.field = "pressure",
         .message = fmt::format("{} pressures for {} skin vertices", values.size(), scene.skin.vertices.size()),
         .remedy = "please report it with the files given"});
  if (!std::all_of(values.begin(), values.end(), [](double p) { return std::isfinite(p); }))
    return io::fail({.field = "pressure",
                     .message = "a pressure on the skin is not finite",
                     .remedy = "please report it with the files given"});
  auto made = std::make_unique<Meshes>();
  made->skin = draw_mesh(scene.skin, values, hollows_mm(scene.skin), skin_crease_deg);
  made->shell = draw_mesh(scene.shell, {}, {}, crease_deg);
  made->sole = draw_mesh(scene.sole, {}, {}, crease_deg);
  made->upper = draw_mesh(scene.upper, {}, {}, crease_deg);
  made->bones = draw_mesh(bone_mesh(scene.bones), {}, {}, 2 * crease_deg);
  return PreparedScene(std::move(made));
}

}  // namespace aplomb::report
