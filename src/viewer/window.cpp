// The window: GLFW, OpenGL 3.3 core, drawn when something happens, and now and then while nothing does.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <backends/imgui_impl_glfw.h>
#include <backends/imgui_impl_opengl3.h>
#include <epoxy/gl.h>
#include <fmt/format.h>
#include <imgui.h>

#define GLFW_INCLUDE_NONE
#include <GLFW/glfw3.h>

#include <algorithm>
#include <atomic>
#include <cmath>

#include "surfaces.h"

namespace aplomb::viewer {

namespace {

std::atomic<bool> window_open{false};

/// Still drawn for so many frames after the last event: ImGui needs a few to settle.
constexpr int frames_after_event = 4;
constexpr double idle_wait_s = 0.25, restless_wait_s = 1.0 / 60;

io::Error no_window(const std::string& what) {
  return {.kind = io::ErrorKind::cannot_write,
          .message = fmt::format("no window can be opened: {}", what),
          .remedy = "run it where there is a display with OpenGL 3.3, or write a picture with --screenshot FILE"};
}

std::string last_glfw_error() {
  const char* words = nullptr;
  glfwGetError(&words);
  return words != nullptr ? words : "the system gives no reason";
}

/// GLFW for as long as the window is there.
struct Glfw {
  GLFWwindow* window = nullptr;
  bool imgui = false;

  ~Glfw() {
    window_open = false;
    if (imgui) {
      ImGui_ImplOpenGL3_Shutdown();
      ImGui_ImplGlfw_Shutdown();
      ImGui::DestroyContext();
    }
    if (window != nullptr) glfwDestroyWindow(window);
    glfwTerminate();
  }

  io::Result<void> open(const ViewOptions& options) {
    if (glfwInit() != GLFW_TRUE) return io::fail(no_window(last_glfw_error()));
    glfwWindowHint(GLFW_CONTEXT_VERSION_MAJOR, 3);
    glfwWindowHint(GLFW_CONTEXT_VERSION_MINOR, 3);
    glfwWindowHint(GLFW_OPENGL_PROFILE, GLFW_OPENGL_CORE_PROFILE);
    glfwWindowHint(GLFW_OPENGL_FORWARD_COMPAT, GLFW_TRUE);
    window = glfwCreateWindow(options.width_px, options.height_px, "Aplomb", nullptr, nullptr);
    if (window == nullptr) return io::fail(no_window(last_glfw_error()));
    glfwSetWindowSizeLimits(window, 320, 240, GLFW_DONT_CARE, GLFW_DONT_CARE);
    glfwMakeContextCurrent(window);
    glfwSwapInterval(1);
    if (epoxy_gl_version() < 33)
      return io::fail(
          no_window(fmt::format("this display has OpenGL {}.{}", epoxy_gl_version() / 10, epoxy_gl_version() % 10)));
    ImGui::CreateContext();
    imgui = true;
    ImGui::GetIO().IniFilename = nullptr;
    ImGui::GetIO().ConfigFlags |= ImGuiConfigFlags_NavEnableKeyboard;
    return {};
  }
};

float content_scale(GLFWwindow* window) {
  float x = 1, y = 1;
  glfwGetWindowContentScale(window, &x, &y);
  return std::isfinite(x) && x > 0 ? x : 1;
}

void on_drop(GLFWwindow* window, int count, const char** paths) {
  auto* app = static_cast<App*>(glfwGetWindowUserPointer(window));
  app->drop(std::vector<std::filesystem::path>(paths, paths + count));
}

/// Moved to a display of another density.
void on_scale(GLFWwindow* window, float, float) { static_cast<App*>(glfwGetWindowUserPointer(window))->forget_theme(); }

void draw(App& app, GLFWwindow* window) {
  ImGui_ImplOpenGL3_NewFrame();
  ImGui_ImplGlfw_NewFrame();
  ImGui::NewFrame();
  app.frame();
  ImGui::Render();
  int width = 0, height = 0;
  glfwGetFramebufferSize(window, &width, &height);
  glViewport(0, 0, width, height);
  glClearColor(0.984f, 0.980f, 0.972f, 1);
  glClear(GL_COLOR_BUFFER_BIT);
  ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
  glfwSwapBuffers(window);
}

}  // namespace

void wake_window() {
  if (window_open) glfwPostEmptyEvent();
}

io::Result<void> run_window(App& app, const ViewOptions& options, const io::Progress& progress) {
  Glfw glfw;
  if (auto opened = glfw.open(options); !opened) return opened;
  app.set_theme(content_scale(glfw.window));
  ImGui_ImplGlfw_InitForOpenGL(glfw.window, true);
  if (!ImGui_ImplOpenGL3_Init("#version 330 core")) return io::fail(no_window("OpenGL 3.3 does not start"));
  if (auto started = app.start_graphics(); !started) return started;
  glfwSetWindowUserPointer(glfw.window, &app);
  glfwSetDropCallback(glfw.window, on_drop);
  glfwSetWindowContentScaleCallback(glfw.window, on_scale);
  window_open = true;
  std::optional<UiStateFile> ui_state;
  if (!options.ui_state.empty()) ui_state.emplace(options.ui_state);
  std::vector<std::string> drops = options.drops;
  io::Result<void> ended;
  int frames = frames_after_event;
  while (!app.closing() && !progress.cancelled()) {
    if (glfwWindowShouldClose(glfw.window) != 0) {
      glfwSetWindowShouldClose(glfw.window, GLFW_FALSE);
      app.ask_to_close();
    }
    if (app.theme_is_stale()) {
      app.set_theme(content_scale(glfw.window));
      ImGui_ImplOpenGL3_DestroyFontsTexture();
      ImGui_ImplOpenGL3_CreateFontsTexture();
    }
    draw(app, glfw.window);
    if (!drops.empty()) app.drop({drops.begin(), drops.end()}), drops.clear();
    if (ui_state && !ui_state->write(app.record())) {
      ended = io::fail({.kind = io::ErrorKind::cannot_write,
                        .file = options.ui_state,
                        .message = "cannot be written",
                        .remedy = "choose another folder"});
      break;
    }
    const double before = glfwGetTime(), wait_s = frames > 0 || app.restless() ? restless_wait_s : idle_wait_s;
    glfwWaitEventsTimeout(wait_s);
    frames = glfwGetTime() - before < 0.95 * wait_s ? frames_after_event : std::max(0, frames - 1);
  }
  app.break_off();
  app.stop_graphics();
  if (ended && progress.cancelled())
    return io::fail({.kind = io::ErrorKind::cancelled,
                     .message = "stopped",
                     .remedy = "what was not saved is offered at the next start"});
  return ended;
}

}  // namespace aplomb::viewer
