// EGL on Mesa's surfaceless platform: works in a container, in a job without a screen, and over a remote shell alike.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "offscreen.h"

#include <epoxy/egl.h>
#include <epoxy/gl.h>
#include <fmt/format.h>

#include <algorithm>

namespace aplomb::report {

namespace {

constexpr int wanted_samples = 4;

io::Error no_graphics(const std::string& what) {
  return {.kind = io::ErrorKind::cannot_write,
          .message = fmt::format("no picture can be drawn here: {}", what),
          .remedy = "install libegl1 and libgl1-mesa-dri, or leave out the picture"};
}

}  // namespace

struct Offscreen::Context {
  EGLDisplay display = EGL_NO_DISPLAY;
  EGLContext context = EGL_NO_CONTEXT;

  Context() = default;
  Context(const Context&) = delete;
  Context& operator=(const Context&) = delete;
  ~Context() {
    if (display == EGL_NO_DISPLAY) return;
    eglMakeCurrent(display, EGL_NO_SURFACE, EGL_NO_SURFACE, EGL_NO_CONTEXT);
    if (context != EGL_NO_CONTEXT) eglDestroyContext(display, context);
    eglTerminate(display);
  }
};

Offscreen::Offscreen(std::unique_ptr<Context> context) : context_(std::move(context)) {}
Offscreen::Offscreen(Offscreen&&) noexcept = default;
Offscreen& Offscreen::operator=(Offscreen&&) noexcept = default;
Offscreen::~Offscreen() = default;

io::Result<Offscreen> Offscreen::open() {
  // Asked first: the loader behind eglGetPlatformDisplayEXT ends the program when the extension is not there.
  if (!epoxy_has_egl_extension(EGL_NO_DISPLAY, "EGL_MESA_platform_surfaceless") ||
      !epoxy_has_egl_extension(EGL_NO_DISPLAY, "EGL_EXT_platform_base"))
    return io::fail(no_graphics("EGL has no platform without a display"));
  auto made = std::make_unique<Context>();
  const EGLDisplay display = eglGetPlatformDisplayEXT(EGL_PLATFORM_SURFACELESS_MESA, EGL_DEFAULT_DISPLAY, nullptr);
  if (display == EGL_NO_DISPLAY || eglInitialize(display, nullptr, nullptr) != EGL_TRUE)
    return io::fail(no_graphics("EGL does not start"));
  made->display = display;
  if (!epoxy_has_egl_extension(display, "EGL_KHR_surfaceless_context") ||
      !epoxy_has_egl_extension(display, "EGL_KHR_no_config_context"))
    return io::fail(no_graphics("EGL wants a surface"));
  if (eglBindAPI(EGL_OPENGL_API) != EGL_TRUE) return io::fail(no_graphics("EGL has no OpenGL"));
  const EGLint wanted[] = {
      EGL_CONTEXT_MAJOR_VERSION,           3,       EGL_CONTEXT_MINOR_VERSION, 3, EGL_CONTEXT_OPENGL_PROFILE_MASK,
      EGL_CONTEXT_OPENGL_CORE_PROFILE_BIT, EGL_NONE};
  made->context = eglCreateContext(display, EGL_NO_CONFIG_KHR, EGL_NO_CONTEXT, wanted);
  if (made->context == EGL_NO_CONTEXT) return io::fail(no_graphics("there is no OpenGL 3.3"));
  if (eglMakeCurrent(display, EGL_NO_SURFACE, EGL_NO_SURFACE, made->context) != EGL_TRUE)
    return io::fail(no_graphics("OpenGL does not start without a surface"));
  return Offscreen(std::move(made));
}

io::Result<Image> Offscreen::render(int width_px, int height_px, const Colour& background,
                                    const std::function<void()>& draw) const {
  GLint most_samples = 0, most_pixels = 0;
  glGetIntegerv(GL_MAX_SAMPLES, &most_samples);
  glGetIntegerv(GL_MAX_RENDERBUFFER_SIZE, &most_pixels);
  if (width_px < 1 || height_px < 1 || std::max(width_px, height_px) > most_pixels)
    return io::fail(no_graphics(fmt::format("{} x {} pixels is no size for a picture", width_px, height_px)));

  GLuint frames[2], buffers[3];  // drawn into with samples; read from without
  glGenFramebuffers(2, frames);
  glGenRenderbuffers(3, buffers);
  const auto attach = [&](int buffer, GLenum format, int samples, GLenum where) {
    glBindRenderbuffer(GL_RENDERBUFFER, buffers[buffer]);
    glRenderbufferStorageMultisample(GL_RENDERBUFFER, samples, format, width_px, height_px);
    glFramebufferRenderbuffer(GL_FRAMEBUFFER, where, GL_RENDERBUFFER, buffers[buffer]);
  };
  const int samples = std::min<int>(wanted_samples, most_samples);
  glBindFramebuffer(GL_FRAMEBUFFER, frames[1]);
  attach(2, GL_RGBA8, 0, GL_COLOR_ATTACHMENT0);
  glBindFramebuffer(GL_FRAMEBUFFER, frames[0]);
  attach(0, GL_RGBA8, samples, GL_COLOR_ATTACHMENT0);
  attach(1, GL_DEPTH_COMPONENT24, samples, GL_DEPTH_ATTACHMENT);
  const bool complete = glCheckFramebufferStatus(GL_FRAMEBUFFER) == GL_FRAMEBUFFER_COMPLETE;

  Image image;
  if (complete) {
    glViewport(0, 0, width_px, height_px);
    glClearColor(static_cast<float>(background.r), static_cast<float>(background.g), static_cast<float>(background.b),
                 1);
    glClear(GL_COLOR_BUFFER_BIT | GL_DEPTH_BUFFER_BIT);
    draw();
    glBindFramebuffer(GL_READ_FRAMEBUFFER, frames[0]);
    glBindFramebuffer(GL_DRAW_FRAMEBUFFER, frames[1]);
    glBlitFramebuffer(0, 0, width_px, height_px, 0, 0, width_px, height_px, GL_COLOR_BUFFER_BIT, GL_NEAREST);
    glBindFramebuffer(GL_FRAMEBUFFER, frames[1]);
    image = {width_px, height_px, std::vector<std::uint32_t>(static_cast<std::size_t>(width_px) * height_px)};
    // Opaque everywhere, so that premultiplied and plain are the same.
    glPixelStorei(GL_PACK_ALIGNMENT, 4);
    glReadPixels(0, 0, width_px, height_px, GL_BGRA, GL_UNSIGNED_INT_8_8_8_8_REV, image.pixels.data());
    for (int row = 0; row < height_px / 2; ++row)
      std::swap_ranges(image.pixels.begin() + static_cast<std::ptrdiff_t>(row) * width_px,
                       image.pixels.begin() + static_cast<std::ptrdiff_t>(row + 1) * width_px,
                       image.pixels.begin() + static_cast<std::ptrdiff_t>(height_px - 1 - row) * width_px);
    for (std::uint32_t& pixel : image.pixels) pixel |= 0xff000000u;
  }
  glBindFramebuffer(GL_FRAMEBUFFER, 0);
  glDeleteFramebuffers(2, frames);
  glDeleteRenderbuffers(3, buffers);
  if (!complete) return io::fail(no_graphics("the framebuffer is refused"));
  return image;
}

}  // namespace aplomb::report
