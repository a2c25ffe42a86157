// EGL without a surface; ImGui fed a size and no hand.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <backends/imgui_impl_opengl3.h>
#include <imgui.h>

#include <chrono>
#include <thread>

#include "report/png.h"
#include "surfaces.h"

namespace aplomb::viewer {

struct Headless::Parts {
  report::Offscreen offscreen;
  App& app;
  int width_px, height_px;
  bool renderer = false;

  Parts(report::Offscreen opened, App& shown, int width, int height)
      : offscreen(std::move(opened)), app(shown), width_px(width), height_px(height) {
    ImGui::CreateContext();
    ImGuiIO& io = ImGui::GetIO();
    io.IniFilename = nullptr;
    io.DisplaySize = {static_cast<float>(width), static_cast<float>(height)};
    io.DeltaTime = 1.0f / 60;
    io.MousePos = {-1, -1};
    for (int key = 0; key < ImGuiKey_COUNT; ++key) io.KeyMap[key] = -1;
  }
  Parts(const Parts&) = delete;
  Parts& operator=(const Parts&) = delete;
  ~Parts() {
    app.stop_graphics();
    if (renderer) ImGui_ImplOpenGL3_Shutdown();
    ImGui::DestroyContext();
  }
};

Headless::Headless(std::unique_ptr<Parts> parts) : parts_(std::move(parts)) {}
Headless::Headless(Headless&&) noexcept = default;
Headless& Headless::operator=(Headless&&) noexcept = default;
Headless::~Headless() = default;

io::Result<Headless> Headless::open(App& app, int width_px, int height_px) {
  auto offscreen = report::Offscreen::open();
  if (!offscreen) return tl::unexpected(offscreen.error());
  auto parts = std::make_unique<Parts>(std::move(*offscreen), app, width_px, height_px);
  app.set_theme(1);
  parts->renderer = ImGui_ImplOpenGL3_Init("#version 330 core");
  if (!parts->renderer)
    return io::fail({.kind = io::ErrorKind::cannot_write,
                     .message = "OpenGL 3.3 does not start here",
                     .remedy = "install libgl1 and libgl1-mesa-dri"});
  if (auto started = app.start_graphics(); !started) return tl::unexpected(started.error());
  return Headless(std::move(parts));
}

void Headless::frame(App& app) const {
  ImGui_ImplOpenGL3_NewFrame();
  ImGui::NewFrame();
  app.frame();
  ImGui::Render();
}

io::Result<report::Image> Headless::picture(App& app) const {
  return parts_->offscreen.render(parts_->width_px, parts_->height_px, {0.984, 0.980, 0.972}, [&] {
    frame(app);
    ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
  });
}

io::Result<void> write_screenshot(App& app, const ViewOptions& options, const io::Progress& progress) {
  const auto headless = Headless::open(app, options.width_px, options.height_px);
  if (!headless) return tl::unexpected(headless.error());
  headless->frame(app);
  app.drop({options.drops.begin(), options.drops.end()});
  while (!app.settled()) {
    if (progress.cancelled())
      return io::fail({.kind = io::ErrorKind::cancelled, .message = "stopped", .remedy = "run it again"});
    if (const auto& doubts = app.screen().doubts; doubts && doubts->running)
      progress(0.9 * doubts->fraction, doubts->what);
    else
      progress(0.9 * app.screen().work.fraction, app.screen().work.what);
    std::this_thread::sleep_for(std::chrono::milliseconds(20));
    headless->frame(app);
  }
  // Panels take a frame to find their sizes; then what was framed in a view of another size is framed again.
  for (int i = 0; i < 3; ++i) headless->frame(app);
  if (app.screen().framed_by_itself) app.screen().asked.frame_all = true;
  headless->frame(app);
  const auto image = headless->picture(app);
  if (!image) return tl::unexpected(image.error());
  if (!options.ui_state.empty() && !UiStateFile(options.ui_state).write(app.record()))
    return io::fail({.kind = io::ErrorKind::cannot_write,
                     .file = options.ui_state,
                     .message = "cannot be written",
                     .remedy = "choose another folder"});
  report::PngPicture picture(options.width_px, options.height_px);
  picture.canvas().image(*image, {0, 0, static_cast<double>(options.width_px), static_cast<double>(options.height_px)});
  return picture.write(options.screenshot);
}

}  // namespace aplomb::viewer
