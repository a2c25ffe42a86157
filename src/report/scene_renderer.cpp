// OpenGL side of the pictures: order of drawing, and what each part of the scene looks like.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/report/scene_renderer.h"

#include <epoxy/gl.h>

#include <algorithm>
#include <cmath>

#include "aplomb/report/colour.h"
#include "gl_program.h"
#include "prepared_scene.h"

namespace aplomb::report {

namespace {

struct Veil {
  Colour tint;
  float clear_alpha, edge_alpha;
};
constexpr Veil box_veil{box_tint, 0.05f, 0.62f};
constexpr Veil upper_veil{upper_tint, 0.05f, 0.34f};
constexpr Veil sole_veil{sole_tint, 1.0f, 1.0f};
constexpr Veil bone_veil{{0.93, 0.90, 0.82}, 1.0f, 1.0f};
constexpr Veil box_solid{{0.62, 0.68, 0.74}, 1.0f, 1.0f};

void set(GLuint program, const char* name, const Colour& colour) {
  glUniform3f(glGetUniformLocation(program, name), static_cast<float>(colour.r), static_cast<float>(colour.g),
              static_cast<float>(colour.b));
}

void set(GLuint program, const Camera& camera) {
  const Eigen::Matrix4f clip = camera.clip_S().cast<float>();
  glUniformMatrix4fv(glGetUniformLocation(program, "clip_from_S"), 1, GL_FALSE, clip.data());
  Eigen::Matrix3f eye;
  eye.row(0) = camera.right_S().cast<float>();
  eye.row(1) = camera.up_S.cast<float>();
  eye.row(2) = -camera.forward_S.cast<float>();
  glUniformMatrix3fv(glGetUniformLocation(program, "eye_from_S"), 1, GL_FALSE, eye.data());
}

/// With no plane everything is kept.
void set(GLuint program, const std::optional<CutPlane>& cut) {
  const CutPlane plane = cut.value_or(CutPlane{Vec3::Zero(), 1});
  glUniform4f(glGetUniformLocation(program, "cut"), static_cast<float>(plane.normal.x()),
              static_cast<float>(plane.normal.y()), static_cast<float>(plane.normal.z()),
              static_cast<float>(plane.offset_mm));
}

constexpr int map_count = 2;  // one-sided, two-sided

GLuint map_texture(const std::vector<Colour>& colours) {
  std::vector<unsigned char> texels;
  for (const Colour& colour : colours)
    for (const double part : {colour.r, colour.g, colour.b})
      texels.push_back(static_cast<unsigned char>(std::lround(255 * part)));
  GLuint texture = 0;
  glGenTextures(1, &texture);
  glBindTexture(GL_TEXTURE_2D, texture);
  glPixelStorei(GL_UNPACK_ALIGNMENT, 1);
  glTexImage2D(GL_TEXTURE_2D, 0, GL_RGB8, static_cast<GLsizei>(colours.size()), 1, 0, GL_RGB, GL_UNSIGNED_BYTE,
               texels.data());
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MIN_FILTER, GL_LINEAR);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MAG_FILTER, GL_LINEAR);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_WRAP_S, GL_CLAMP_TO_EDGE);
  return texture;
}

}  // namespace

struct SceneRenderer::Parts {
  GLuint skin_program = 0, veil_program = 0;
  GLuint maps[map_count] = {0, 0};
  GlMesh skin, shell, sole, upper, bones;

  ~Parts() {
    for (GlMesh* mesh : {&skin, &shell, &sole, &upper, &bones}) mesh->release();
    if (skin_program != 0) glDeleteProgram(skin_program);
    if (veil_program != 0) glDeleteProgram(veil_program);
    if (maps[0] != 0) glDeleteTextures(map_count, maps);
  }

  void make_maps() {
    maps[0] = map_texture({pressure_map().begin(), pressure_map().end()});
    std::vector<Colour> two_sided;
    for (int k = 0; k < pressure_map_size; ++k)
      two_sided.push_back(two_sided_colour(2.0 * k / (pressure_map_size - 1) - 1));
    maps[1] = map_texture(two_sided);
  }

  void use_veil(const Veil& veil) const {
    set(veil_program, "tint", veil.tint);
    glUniform1f(glGetUniformLocation(veil_program, "clear_alpha"), veil.clear_alpha);
    glUniform1f(glGetUniformLocation(veil_program, "edge_alpha"), veil.edge_alpha);
  }

  void draw_skin(const Camera& camera, const DrawOptions& options) const {
    glUseProgram(skin_program);
    set(skin_program, camera);
    set(skin_program, std::optional<CutPlane>());
    set(skin_program, "bare", bare_skin);
    glUniform1f(glGetUniformLocation(skin_program, "scale_end_kPa"), static_cast<float>(options.scale_end_kPa));
    float lines[4] = {};
    for (std::size_t i = 0; i < std::min<std::size_t>(4, options.lines_kPa.size()); ++i)
      lines[i] = static_cast<float>(options.lines_kPa[i]);
    glUniform1fv(glGetUniformLocation(skin_program, "line_kPa"), 4, lines);
    const bool two_sided = options.map != SkinMap::pressure;
    glUniform1i(glGetUniformLocation(skin_program, "two_sided"), two_sided ? 1 : 0);
    // Between skin that is shown and skin that is not the value leaps so far that no colour is left between them.
    const double bare_from = options.map == SkinMap::gap        ? 0.9 * findings::beyond_gap_mm
                             : options.map == SkinMap::residual ? 1e-3 * unseen_mm
                                                                : 1e9;
    glUniform1f(glGetUniformLocation(skin_program, "hatch_px"), options.map == SkinMap::residual ? 11.0f : 0.0f);
    glUniform1f(glGetUniformLocation(skin_program, "bare_from"), static_cast<float>(bare_from));
    glUniform1f(glGetUniformLocation(skin_program, "alpha"), options.bones ? 0.42f : 1.0f);
    glActiveTexture(GL_TEXTURE0);
    glBindTexture(GL_TEXTURE_2D, maps[two_sided ? 1 : 0]);
    glUniform1i(glGetUniformLocation(skin_program, "pressure_map"), 0);
    if (!options.bones) return skin.draw();
    // One layer of skin only: its nearest faces are found first, then blended.
    glColorMask(GL_FALSE, GL_FALSE, GL_FALSE, GL_FALSE);
    skin.draw();
    glColorMask(GL_TRUE, GL_TRUE, GL_TRUE, GL_TRUE);
    glEnable(GL_BLEND);
    glBlendFuncSeparate(GL_SRC_ALPHA, GL_ONE_MINUS_SRC_ALPHA, GL_ONE, GL_ONE_MINUS_SRC_ALPHA);
    skin.draw();
    glDisable(GL_BLEND);
  }

  void draw_solids(const DrawOptions& options) const {
    if (options.sole) use_veil(sole_veil), sole.draw();
    if (options.shell == ShellLook::cut_away && options.cut) use_veil(box_solid), shell.draw();
  }

  /// Blended without writing depth: order among the layers of one surface matters little, they share one tint.
  void draw_veils(const DrawOptions& options) const {
    glDepthMask(GL_FALSE);
    glEnable(GL_BLEND);
    glBlendFuncSeparate(GL_SRC_ALPHA, GL_ONE_MINUS_SRC_ALPHA, GL_ONE, GL_ONE_MINUS_SRC_ALPHA);
    glEnable(GL_CULL_FACE);
    const bool veiled =
        options.shell == ShellLook::see_through || (options.shell == ShellLook::cut_away && !options.cut);
    for (const GLenum hidden : {GL_FRONT, GL_BACK}) {
      glCullFace(hidden);
      if (options.upper) use_veil(upper_veil), upper.draw();
      if (veiled) use_veil(box_veil), shell.draw();
    }
    glDisable(GL_CULL_FACE);
    glDisable(GL_BLEND);
    glDepthMask(GL_TRUE);
  }
};

SceneRenderer::SceneRenderer(std::unique_ptr<Parts> parts) : parts_(std::move(parts)) {}
SceneRenderer::SceneRenderer(SceneRenderer&&) noexcept = default;
SceneRenderer& SceneRenderer::operator=(SceneRenderer&&) noexcept = default;
SceneRenderer::~SceneRenderer() = default;

io::Result<SceneRenderer> SceneRenderer::make(const std::filesystem::path& shader_folder) {
  auto parts = std::make_unique<Parts>();
  const auto skin = link_program(shader_folder / "surface.vert", shader_folder / "skin.frag");
  if (!skin) return tl::unexpected(skin.error());
  parts->skin_program = *skin;
  const auto veil = link_program(shader_folder / "surface.vert", shader_folder / "veil.frag");
  if (!veil) return tl::unexpected(veil.error());
  parts->veil_program = *veil;
  parts->make_maps();
  return SceneRenderer(std::move(parts));
}

io::Result<void> SceneRenderer::set_scene(const findings::Scene& scene) {
  const auto prepared = PreparedScene::make(scene);
  if (!prepared) return tl::unexpected(prepared.error());
  set_scene(*prepared);
  return {};
}

void SceneRenderer::set_scene(const PreparedScene& scene) {
  parts_->skin.fill(scene.meshes_->skin);
  parts_->shell.fill(scene.meshes_->shell);
  parts_->sole.fill(scene.meshes_->sole);
  parts_->upper.fill(scene.meshes_->upper);
  parts_->bones.fill(scene.meshes_->bones);
}

void SceneRenderer::draw(const Camera& camera, const DrawOptions& options) const {
  glEnable(GL_DEPTH_TEST);
  glDepthFunc(GL_LEQUAL);
  glDepthMask(GL_TRUE);
  glDisable(GL_BLEND);
  glDisable(GL_CULL_FACE);
  glEnable(GL_CLIP_DISTANCE0);

  glUseProgram(parts_->veil_program);
  set(parts_->veil_program, camera);
  set(parts_->veil_program, std::optional<CutPlane>());
  if (options.bones) parts_->use_veil(bone_veil), parts_->bones.draw();
  if (options.skin) parts_->draw_skin(camera, options);

  glUseProgram(parts_->veil_program);
  set(parts_->veil_program, options.cut);
  parts_->draw_solids(options);
  parts_->draw_veils(options);
  glDisable(GL_CLIP_DISTANCE0);
  glBindVertexArray(0);
}

}  // namespace aplomb::report
