// Draws a Scene with OpenGL 3.3 into whatever framebuffer is bound, from any camera. Pictures use it without a display;
// a window can use the same.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <memory>
#include <vector>

#include "aplomb/findings/findings.h"
#include "aplomb/io/error.h"
#include "aplomb/report/camera.h"

namespace aplomb::report {

struct DrawOptions {
  double scale_end_kPa = 500;       ///< pressure at the dark end of the map
  std::vector<double> lines_kPa{};  ///< contour lines on the skin, at most 4
};

/// Holds programs and buffers of the OpenGL context that was current when it was made; use and destroy it with that
/// context current.
class SceneRenderer {
 public:
  /// Compiles the shaders in `shader_folder`. Errors (bad_input): a shader is missing or does not compile.
  static io::Result<SceneRenderer> make(const std::filesystem::path& shader_folder);

  /// Uploads the scene. Errors (bad_input): indices out of range, coordinates or pressures that are not finite, a
  /// pressure list that is not one number for each skin vertex.
  io::Result<void> set_scene(const findings::Scene& scene);

  /// Draws over what the bound framebuffer holds, in its current viewport. Skin and sole first; then the upper and the
  /// box blended over them, far faces before near ones.
  void draw(const Camera& camera, const DrawOptions& options) const;

  SceneRenderer(SceneRenderer&&) noexcept;
  SceneRenderer& operator=(SceneRenderer&&) noexcept;
  ~SceneRenderer();

 private:
  struct Parts;
  explicit SceneRenderer(std::unique_ptr<Parts> parts);
  std::unique_ptr<Parts> parts_;
};

}  // namespace aplomb::report
