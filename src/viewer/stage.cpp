// A framebuffer with samples to draw into, one without to show. While the view moves it is drawn without samples where
// that is what a slow machine can do in time.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "stage.h"

#include <epoxy/gl.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <vector>

#include "report/gl_program.h"

namespace aplomb::viewer {

namespace {

constexpr int wanted_samples = 4;
/// Slower than this with samples, and moving pictures go without: the rest of a frame needs as long again.
constexpr double slow_ms = 12;
/// Pixels of a moving picture there, of those of a resting one, along each side.
constexpr double coarse = 0.65;

/// Drawn pictures differ when any byte of this does.
std::vector<double> fingerprint(const report::Camera& c, const report::DrawOptions& o) {
  std::vector<double> all = {c.target_S.x(),
                             c.target_S.y(),
                             c.target_S.z(),
                             c.forward_S.x(),
                             c.forward_S.y(),
                             c.forward_S.z(),
                             c.up_S.x(),
                             c.up_S.y(),
                             c.up_S.z(),
                             c.mm_per_px,
                             c.width_px,
                             c.height_px,
                             o.scale_end_kPa,
                             static_cast<double>(o.map),
                             static_cast<double>(o.shell)};
  for (const bool flag : {o.skin, o.bones, o.upper, o.sole, o.cut.has_value()}) all.push_back(flag);
  if (o.cut) all.insert(all.end(), {o.cut->normal.x(), o.cut->normal.y(), o.cut->normal.z(), o.cut->offset_mm});
  all.insert(all.end(), o.lines_kPa.begin(), o.lines_kPa.end());
  return all;
}

}  // namespace

struct Stage::Parts {
  report::SceneRenderer renderer;
  GLuint floor_program = 0, no_vertices = 0;
  std::shared_ptr<const report::PreparedScene> prepared;
  int width = 0, height = 0, samples = 0;
  GLuint drawn = 0, shown = 0, buffers[2] = {0, 0}, texture = 0;
  std::vector<double> last;
  bool last_smooth = true, slow = false;

  explicit Parts(report::SceneRenderer made) : renderer(std::move(made)) {}
  ~Parts() {
    release();
    glDeleteProgram(floor_program);
    glDeleteVertexArrays(1, &no_vertices);
  }

  /// Seen from above it lies behind everything, so it needs no depth; from below it is looked through.
  void draw_floor(const report::Camera& camera) const {
    if (camera.forward_S.z() >= -1e-3) return;
    glDisable(GL_DEPTH_TEST);
    glEnable(GL_BLEND);
    glBlendFuncSeparate(GL_SRC_ALPHA, GL_ONE_MINUS_SRC_ALPHA, GL_ONE, GL_ONE_MINUS_SRC_ALPHA);
    glUseProgram(floor_program);
    const Eigen::Matrix4f clip = camera.clip_S().cast<float>();
    glUniformMatrix4fv(glGetUniformLocation(floor_program, "clip_from_S"), 1, GL_FALSE, clip.data());
    glBindVertexArray(no_vertices);
    glDrawArrays(GL_TRIANGLE_STRIP, 0, 4);
    glBindVertexArray(0);
    glDisable(GL_BLEND);
  }

  void release() {
    if (drawn != 0) glDeleteFramebuffers(1, &drawn);
    if (shown != 0) glDeleteFramebuffers(1, &shown);
    if (buffers[0] != 0) glDeleteRenderbuffers(2, buffers);
    if (texture != 0) glDeleteTextures(1, &texture);
    drawn = shown = texture = buffers[0] = buffers[1] = 0;
  }

  bool resize(int w, int h, int wanted) {
    if (w == width && h == height && wanted == samples && drawn != 0) return true;
    release();
    width = w, height = h, samples = wanted;
    GLint most = 0;
    glGetIntegerv(GL_MAX_RENDERBUFFER_SIZE, &most);
    if (w < 1 || h < 1 || std::max(w, h) > most) return false;
    glGenTextures(1, &texture);
    glBindTexture(GL_TEXTURE_2D, texture);
    glTexImage2D(GL_TEXTURE_2D, 0, GL_RGBA8, w, h, 0, GL_RGBA, GL_UNSIGNED_BYTE, nullptr);
    glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MIN_FILTER, GL_LINEAR);
    glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MAG_FILTER, GL_LINEAR);
    glGenFramebuffers(1, &shown);
    glBindFramebuffer(GL_FRAMEBUFFER, shown);
    glFramebufferTexture2D(GL_FRAMEBUFFER, GL_COLOR_ATTACHMENT0, GL_TEXTURE_2D, texture, 0);
    glGenFramebuffers(1, &drawn);
    glBindFramebuffer(GL_FRAMEBUFFER, drawn);
    glGenRenderbuffers(2, buffers);
    const auto attach = [&](GLuint buffer, GLenum format, GLenum where) {
      glBindRenderbuffer(GL_RENDERBUFFER, buffer);
      glRenderbufferStorageMultisample(GL_RENDERBUFFER, samples, format, w, h);
      glFramebufferRenderbuffer(GL_FRAMEBUFFER, where, GL_RENDERBUFFER, buffer);
    };
    attach(buffers[0], GL_RGBA8, GL_COLOR_ATTACHMENT0);
    attach(buffers[1], GL_DEPTH_COMPONENT24, GL_DEPTH_ATTACHMENT);
    return glCheckFramebufferStatus(GL_FRAMEBUFFER) == GL_FRAMEBUFFER_COMPLETE;
  }
};

Stage::Stage(std::unique_ptr<Parts> parts) : parts_(std::move(parts)) {}
Stage::Stage(Stage&&) noexcept = default;
Stage& Stage::operator=(Stage&&) noexcept = default;
Stage::~Stage() = default;

io::Result<Stage> Stage::make(const std::filesystem::path& shader_folder) {
  auto renderer = report::SceneRenderer::make(shader_folder);
  if (!renderer) return tl::unexpected(renderer.error());
  auto parts = std::make_unique<Parts>(std::move(*renderer));
  const auto floor = report::link_program(shader_folder / "floor.vert", shader_folder / "floor.frag");
  if (!floor) return tl::unexpected(floor.error());
  parts->floor_program = *floor;
  glGenVertexArrays(1, &parts->no_vertices);
  return Stage(std::move(parts));
}

void Stage::set(std::shared_ptr<const report::PreparedScene> prepared) {
  if (prepared == parts_->prepared) return;
  parts_->prepared = std::move(prepared);
  if (parts_->prepared) parts_->renderer.set_scene(*parts_->prepared);
  parts_->last.clear();
}

unsigned Stage::texture(const report::Camera& camera, const report::DrawOptions& options, bool moving) {
  Parts& p = *parts_;
  if (!p.prepared) return 0;
  const std::vector<double> now = fingerprint(camera, options);
  const bool smooth = !(moving && p.slow);
  if (now == p.last && (p.last_smooth || !smooth)) return p.texture;
  // Coarser while it moves on a slow machine: fewer pixels, stretched over the same place.
  report::Camera drawn_from = camera;
  if (!smooth) {
    drawn_from.width_px = std::ceil(coarse * camera.width_px),
    drawn_from.height_px = std::ceil(coarse * camera.height_px);
    drawn_from.mm_per_px = camera.mm_per_px * camera.width_px / drawn_from.width_px;
  }
  const int width = static_cast<int>(std::lround(drawn_from.width_px)),
            height = static_cast<int>(std::lround(drawn_from.height_px));
  GLint before = 0, most_samples = 0;
  glGetIntegerv(GL_DRAW_FRAMEBUFFER_BINDING, &before);
  glGetIntegerv(GL_MAX_SAMPLES, &most_samples);
  if (!p.resize(width, height, smooth ? std::min<int>(wanted_samples, most_samples) : 0)) return 0;
  glBindFramebuffer(GL_FRAMEBUFFER, p.drawn);
  glViewport(0, 0, width, height);
  glDisable(GL_SCISSOR_TEST);
  glClearColor(250 / 255.0f, 249 / 255.0f, 246 / 255.0f, 1);
  glClear(GL_COLOR_BUFFER_BIT | GL_DEPTH_BUFFER_BIT);
  const auto start = std::chrono::steady_clock::now();
  p.draw_floor(drawn_from);
  p.renderer.draw(drawn_from, options);
  glBindFramebuffer(GL_READ_FRAMEBUFFER, p.drawn);
  glBindFramebuffer(GL_DRAW_FRAMEBUFFER, p.shown);
  glBlitFramebuffer(0, 0, width, height, 0, 0, width, height, GL_COLOR_BUFFER_BIT, GL_NEAREST);
  if (smooth) {
    glFinish();
    p.slow = std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count() > slow_ms;
  }
  glBindFramebuffer(GL_FRAMEBUFFER, static_cast<GLuint>(before));
  p.last = now;
  p.last_smooth = smooth;
  return p.texture;
}

}  // namespace aplomb::viewer
