// EGL without a surface; ImGui fed a size and no hand.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <backends/imgui_impl_opengl3.h>
#include <imgui.h>

#include <chrono>
#include <thread>

#include "report/offscreen.h"
#include "report/png.h"
#include "surfaces.h"

namespace aplomb::viewer {

namespace {

/// ImGui with its OpenGL side, for as long as the context is there.
struct Screenless {
  Screenless(float width, float height) {
    ImGui::CreateContext();
    ImGuiIO& io = ImGui::GetIO();
    io.IniFilename = nullptr;
    io.DisplaySize = {width, height};
    io.DeltaTime = 1.0f / 60;
    io.MousePos = {-1, -1};
    for (int key = 0; key < ImGuiKey_COUNT; ++key) io.KeyMap[key] = -1;
  }
  ~Screenless() {
    if (ImGui::GetIO().BackendRendererUserData != nullptr) ImGui_ImplOpenGL3_Shutdown();
    ImGui::DestroyContext();
  }
};

void one_frame(App& app) {
  ImGui_ImplOpenGL3_NewFrame();
  ImGui::NewFrame();
  app.frame();
  ImGui::Render();
}

}  // namespace

io::Result<void> write_screenshot(App& app, const ViewOptions& options, const io::Progress& progress) {
  const auto offscreen = report::Offscreen::open();
  if (!offscreen) return tl::unexpected(offscreen.error());
  const Screenless screenless(static_cast<float>(options.width_px), static_cast<float>(options.height_px));
  app.set_theme(1);
  if (!ImGui_ImplOpenGL3_Init("#version 330 core"))
    return io::fail({.kind = io::ErrorKind::cannot_write,
                     .message = "OpenGL 3.3 does not start here",
                     .remedy = "install libgl1 and libgl1-mesa-dri"});
  if (auto started = app.start_graphics(); !started) return started;
  std::optional<UiStateFile> ui_state;
  if (!options.ui_state.empty()) ui_state.emplace(options.ui_state);
  one_frame(app);
  for (const std::string& file : options.drops) app.drop(file);
  while (!app.settled()) {
    if (progress.cancelled()) {
      app.stop_graphics();
      return io::fail({.kind = io::ErrorKind::cancelled, .message = "stopped", .remedy = "run it again"});
    }
    progress(0.9 * app.screen().work.fraction, app.screen().work.what);
    std::this_thread::sleep_for(std::chrono::milliseconds(20));
    one_frame(app);
  }
  // Panels take a frame to find their sizes.
  for (int i = 0; i < 3; ++i) one_frame(app);
  const auto image = offscreen->render(options.width_px, options.height_px, {0.984, 0.980, 0.972}, [&] {
    one_frame(app);
    ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
  });
  app.stop_graphics();
  if (!image) return tl::unexpected(image.error());
  if (ui_state && !ui_state->write(app.record()))
    return io::fail({.kind = io::ErrorKind::cannot_write,
                     .file = options.ui_state,
                     .message = "cannot be written",
                     .remedy = "choose another folder"});
  report::PngPicture picture(options.width_px, options.height_px);
  picture.canvas().image(*image, {0, 0, static_cast<double>(options.width_px), static_cast<double>(options.height_px)});
  return picture.write(options.screenshot);
}

}  // namespace aplomb::viewer
