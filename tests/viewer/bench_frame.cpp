// How long a frame takes on this machine while the foot is solved beside it: turned all the time, drawn to the end.
// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <catch2/catch.hpp>
#include <chrono>
#include <cstdio>

#include "viewer/surfaces.h"

#include <backends/imgui_impl_opengl3.h>
#include <epoxy/gl.h>

using namespace aplomb;
using namespace aplomb::viewer;

namespace {

/// What a window's own framebuffer is: colour without samples.
struct Target {
  GLuint frame = 0, colour = 0;
  Target(int width, int height) {
    glGenFramebuffers(1, &frame);
    glGenRenderbuffers(1, &colour);
    glBindRenderbuffer(GL_RENDERBUFFER, colour);
    glRenderbufferStorage(GL_RENDERBUFFER, GL_RGBA8, width, height);
    glBindFramebuffer(GL_FRAMEBUFFER, frame);
    glFramebufferRenderbuffer(GL_FRAMEBUFFER, GL_COLOR_ATTACHMENT0, GL_RENDERBUFFER, colour);
  }
  ~Target() {
    glDeleteFramebuffers(1, &frame);
    glDeleteRenderbuffers(1, &colour);
  }
  Target(const Target&) = delete;
  Target& operator=(const Target&) = delete;
};

}  // namespace

TEST_CASE("frames of 1280 x 800 while solving", "[.][long][view]") {
  auto library = load_library(std::filesystem::path(APLOMB_SOURCE_DIR) / "meshes", {}, "bench");
  REQUIRE(library);
  App app(std::move(*library), {.keeps_state = false, .solves_ahead = true}, [] {});
  REQUIRE(app.open_sample());
  const auto headless = Headless::open(app, 1280, 800);
  REQUIRE(headless);
  const Target target(1280, 800);
  while (app.screen().shown(0) == nullptr) headless->frame(app);
  // The other positions are solved meanwhile; the roll-down alone takes ten seconds.
  std::vector<double> busy_ms, idle_ms;
  for (int i = 0; i < 400; ++i) {
    app.screen().document.look.orbit.turn_deg = i % 360;
    app.screen().view_moving = true;
    const bool busy = app.screen().work.busy;
    const auto start = std::chrono::steady_clock::now();
    glBindFramebuffer(GL_FRAMEBUFFER, target.frame);
    headless->frame(app);
    glViewport(0, 0, 1280, 800);
    glClear(GL_COLOR_BUFFER_BIT);
    ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
    glFinish();
    const double ms = std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count();
    (busy ? busy_ms : idle_ms).push_back(ms);
  }
  const auto say = [](const char* when, std::vector<double>& ms) {
    if (ms.empty()) return;
    std::sort(ms.begin(), ms.end());
    std::printf("result: frame of 1280 x 800 turning, %s: median %.1f ms, 95 of 100 below %.1f ms (%zu frames)\n", when,
                ms[ms.size() / 2], ms[ms.size() * 95 / 100], ms.size());
  };
  say("while solving", busy_ms);
  say("at rest", idle_ms);
  REQUIRE(busy_ms.size() > 100);
  CHECK(busy_ms[busy_ms.size() / 2] < 33);
}
