// OpenGL side of the pictures: programs, buffers, order of drawing.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "aplomb/report/scene_renderer.h"

#include <epoxy/gl.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "aplomb/io/files.h"
#include "aplomb/report/colour.h"
#include "shading.h"

namespace aplomb::report {

namespace {

using findings::Scene;

/// The sharp rims of box and sole are steeper than this, the turns of their walls are not.
constexpr double crease_deg = 40;
/// Skin is smooth but for the flat cut above the ankle.
constexpr double skin_crease_deg = 70;

struct Veil {
  Colour tint;
  float clear_alpha, edge_alpha;
};
constexpr Veil box_veil{box_tint, 0.05f, 0.62f};
constexpr Veil upper_veil{upper_tint, 0.05f, 0.34f};
constexpr Veil sole_veil{sole_tint, 1.0f, 1.0f};

io::Result<GLuint> compile(GLenum kind, const std::filesystem::path& file) {
  const auto text = io::read_file(file);
  if (!text) return tl::unexpected(text.error());
  const GLuint shader = glCreateShader(kind);
  const char* source = text->c_str();
  glShaderSource(shader, 1, &source, nullptr);
  glCompileShader(shader);
  GLint compiled = GL_FALSE;
  glGetShaderiv(shader, GL_COMPILE_STATUS, &compiled);
  if (compiled == GL_TRUE) return shader;
  char log[512] = "";
  glGetShaderInfoLog(shader, sizeof log, nullptr, log);
  glDeleteShader(shader);
  return io::fail({.file = file.string(),
                   .message = fmt::format("this shader does not compile ({})",
                                          std::string(log).substr(0, std::string(log).find('\n'))),
                   .remedy = "install the program's data anew"});
}

io::Result<GLuint> link(const std::filesystem::path& vertex_file, const std::filesystem::path& fragment_file) {
  const auto vertex = compile(GL_VERTEX_SHADER, vertex_file);
  if (!vertex) return vertex;
  const auto fragment = compile(GL_FRAGMENT_SHADER, fragment_file);
  if (!fragment) {
    glDeleteShader(*vertex);
    return fragment;
  }
  const GLuint program = glCreateProgram();
  glAttachShader(program, *vertex);
  glAttachShader(program, *fragment);
  glLinkProgram(program);
  glDeleteShader(*vertex);
  glDeleteShader(*fragment);
  GLint linked = GL_FALSE;
  glGetProgramiv(program, GL_LINK_STATUS, &linked);
  if (linked == GL_TRUE) return program;
  glDeleteProgram(program);
  return io::fail({.file = fragment_file.string(),
                   .message = "this shader does not link",
                   .remedy = "install the program's data anew"});
}

/// One mesh on the graphics side.
struct Buffer {
  GLuint array = 0, vertices = 0, indices = 0;
  GLsizei count = 0;

  void fill(const DrawMesh& mesh) {
    if (array == 0) {
      glGenVertexArrays(1, &array);
      glGenBuffers(1, &vertices);
      glGenBuffers(1, &indices);
    }
    count = static_cast<GLsizei>(mesh.indices.size());
    glBindVertexArray(array);
    glBindBuffer(GL_ARRAY_BUFFER, vertices);
    glBufferData(GL_ARRAY_BUFFER, static_cast<GLsizeiptr>(mesh.vertices.size() * sizeof(DrawVertex)),
                 mesh.vertices.data(), GL_STATIC_DRAW);
    glBindBuffer(GL_ELEMENT_ARRAY_BUFFER, indices);
    glBufferData(GL_ELEMENT_ARRAY_BUFFER, static_cast<GLsizeiptr>(mesh.indices.size() * sizeof(std::uint32_t)),
                 mesh.indices.data(), GL_STATIC_DRAW);
    const auto attribute = [](GLuint index, GLint size, std::size_t offset) {
      glEnableVertexAttribArray(index);
      glVertexAttribPointer(index, size, GL_FLOAT, GL_FALSE, sizeof(DrawVertex), reinterpret_cast<const void*>(offset));
    };
    attribute(0, 3, offsetof(DrawVertex, position));
    attribute(1, 3, offsetof(DrawVertex, normal));
    attribute(2, 1, offsetof(DrawVertex, pressure_kPa));
    attribute(3, 1, offsetof(DrawVertex, hollow_mm));
    glBindVertexArray(0);
  }
  void draw() const {
    if (count == 0) return;
    glBindVertexArray(array);
    glDrawElements(GL_TRIANGLES, count, GL_UNSIGNED_INT, nullptr);
  }
  void release() {
    if (array == 0) return;
    glDeleteVertexArrays(1, &array);
    glDeleteBuffers(1, &vertices);
    glDeleteBuffers(1, &indices);
    array = 0;
  }
};

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

}  // namespace

struct SceneRenderer::Parts {
  GLuint skin_program = 0, veil_program = 0, map_texture = 0;
  Buffer skin, shell, sole, upper;

  ~Parts() {
    for (Buffer* buffer : {&skin, &shell, &sole, &upper}) buffer->release();
    if (skin_program != 0) glDeleteProgram(skin_program);
    if (veil_program != 0) glDeleteProgram(veil_program);
    if (map_texture != 0) glDeleteTextures(1, &map_texture);
  }

  void make_map() {
    std::vector<unsigned char> texels;
    for (const Colour& colour : pressure_map())
      for (const double part : {colour.r, colour.g, colour.b})
        texels.push_back(static_cast<unsigned char>(std::lround(255 * part)));
    glGenTextures(1, &map_texture);
    glBindTexture(GL_TEXTURE_2D, map_texture);
    glPixelStorei(GL_UNPACK_ALIGNMENT, 1);
    glTexImage2D(GL_TEXTURE_2D, 0, GL_RGB8, pressure_map_size, 1, 0, GL_RGB, GL_UNSIGNED_BYTE, texels.data());
    glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MIN_FILTER, GL_LINEAR);
    glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MAG_FILTER, GL_LINEAR);
    glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_WRAP_S, GL_CLAMP_TO_EDGE);
  }

  void use_veil(const Veil& veil) const {
    set(veil_program, "tint", veil.tint);
    glUniform1f(glGetUniformLocation(veil_program, "clear_alpha"), veil.clear_alpha);
    glUniform1f(glGetUniformLocation(veil_program, "edge_alpha"), veil.edge_alpha);
  }
};

SceneRenderer::SceneRenderer(std::unique_ptr<Parts> parts) : parts_(std::move(parts)) {}
SceneRenderer::SceneRenderer(SceneRenderer&&) noexcept = default;
SceneRenderer& SceneRenderer::operator=(SceneRenderer&&) noexcept = default;
SceneRenderer::~SceneRenderer() = default;

io::Result<SceneRenderer> SceneRenderer::make(const std::filesystem::path& shader_folder) {
  auto parts = std::make_unique<Parts>();
  const auto skin = link(shader_folder / "surface.vert", shader_folder / "skin.frag");
  if (!skin) return tl::unexpected(skin.error());
  parts->skin_program = *skin;
  const auto veil = link(shader_folder / "surface.vert", shader_folder / "veil.frag");
  if (!veil) return tl::unexpected(veil.error());
  parts->veil_program = *veil;
  parts->make_map();
  return SceneRenderer(std::move(parts));
}

io::Result<void> SceneRenderer::set_scene(const Scene& scene) {
  const std::pair<const geometry::TriMesh*, const char*> meshes[] = {
      {&scene.skin, "skin"}, {&scene.shell, "shell"}, {&scene.sole, "sole"}, {&scene.upper, "upper"}};
  for (const auto& [mesh, name] : meshes)
    if (auto checked = check(*mesh, name); !checked) return checked;
  if (!scene.pressure_kPa.empty() && scene.pressure_kPa.size() != scene.skin.vertices.size())
    return io::fail({.field = "pressure",
                     .message = fmt::format("{} pressures for {} skin vertices", scene.pressure_kPa.size(),
                                            scene.skin.vertices.size()),
                     .remedy = "please report it with the files given"});
  if (!std::all_of(scene.pressure_kPa.begin(), scene.pressure_kPa.end(), [](double p) { return std::isfinite(p); }))
    return io::fail({.field = "pressure",
                     .message = "a pressure on the skin is not finite",
                     .remedy = "please report it with the files given"});
  parts_->skin.fill(draw_mesh(scene.skin, scene.pressure_kPa, hollows_mm(scene.skin), skin_crease_deg));
  parts_->shell.fill(draw_mesh(scene.shell, {}, {}, crease_deg));
  parts_->sole.fill(draw_mesh(scene.sole, {}, {}, crease_deg));
  parts_->upper.fill(draw_mesh(scene.upper, {}, {}, crease_deg));
  return {};
}

void SceneRenderer::draw(const Camera& camera, const DrawOptions& options) const {
  glEnable(GL_DEPTH_TEST);
  glDepthFunc(GL_LEQUAL);
  glDepthMask(GL_TRUE);
  glDisable(GL_BLEND);
  glDisable(GL_CULL_FACE);

  glUseProgram(parts_->skin_program);
  set(parts_->skin_program, camera);
  set(parts_->skin_program, "bare", bare_skin);
  glUniform1f(glGetUniformLocation(parts_->skin_program, "scale_end_kPa"), static_cast<float>(options.scale_end_kPa));
  float lines[4] = {};
  for (std::size_t i = 0; i < std::min<std::size_t>(4, options.lines_kPa.size()); ++i)
    lines[i] = static_cast<float>(options.lines_kPa[i]);
  glUniform1fv(glGetUniformLocation(parts_->skin_program, "line_kPa"), 4, lines);
  glActiveTexture(GL_TEXTURE0);
  glBindTexture(GL_TEXTURE_2D, parts_->map_texture);
  glUniform1i(glGetUniformLocation(parts_->skin_program, "pressure_map"), 0);
  parts_->skin.draw();

  glUseProgram(parts_->veil_program);
  set(parts_->veil_program, camera);
  parts_->use_veil(sole_veil);
  parts_->sole.draw();

  // Blended without writing depth: order among the layers of one surface matters little, they share one tint.
  glDepthMask(GL_FALSE);
  glEnable(GL_BLEND);
  glBlendFuncSeparate(GL_SRC_ALPHA, GL_ONE_MINUS_SRC_ALPHA, GL_ONE, GL_ONE_MINUS_SRC_ALPHA);
  glEnable(GL_CULL_FACE);
  for (const GLenum hidden : {GL_FRONT, GL_BACK}) {
    glCullFace(hidden);
    parts_->use_veil(upper_veil);
    parts_->upper.draw();
    parts_->use_veil(box_veil);
    parts_->shell.draw();
  }
  glDisable(GL_CULL_FACE);
  glDisable(GL_BLEND);
  glDepthMask(GL_TRUE);
  glBindVertexArray(0);
}

}  // namespace aplomb::report
