// Draws a Scene with OpenGL 3.3 into whatever framebuffer is bound, from any camera. Pictures use it without a display;
// the window uses the same.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <memory>
#include <optional>
#include <vector>

#include "aplomb/findings/findings.h"
#include "aplomb/io/error.h"
#include "aplomb/report/camera.h"

namespace aplomb::report {

/// What is looked at on the skin, and through which map.
enum class SkinMap {
  pressure,    ///< kPa, from 0; bare skin where nothing presses
  gap,         ///< mm between skin and box: pressed (< 0) in warm colours, clear (> 0) in cool ones, touching in light
  difference,  ///< the same two-sided map for a difference of pressures
  residual,    ///< mm from fitted skin to a scan: + the scan lies outside; hatched from `unseen_mm` on
};

/// The residual of skin that the scan does not show.
inline constexpr double unseen_mm = 1e6;

enum class ShellLook {
  see_through,
  cut_away,  ///< solid where it is not cut off on the viewer's side of `cut`, or see-through without a cut
  hidden,
};

/// Everything on the far side of the plane is kept: normal . x <= offset.
struct CutPlane {
  Vec3 normal = Vec3::UnitX();
  double offset_mm = 0;
};

struct DrawOptions {
  double scale_end_kPa = 500;       ///< value at the dark end of the map; two-sided maps reach it on either side
  std::vector<double> lines_kPa{};  ///< contour lines on the skin, at most 4
  SkinMap map = SkinMap::pressure;
  bool skin = true, bones = false;  ///< with bones the skin is see-through
  ShellLook shell = ShellLook::see_through;
  bool upper = true, sole = true;
  std::optional<CutPlane> cut;  ///< of box, upper and sole
};

/// A scene made ready for drawing, without OpenGL: may be made on any thread.
class PreparedScene {
 public:
  /// `values` (one per skin vertex, or none) take the place of the pressures on the skin. Errors (bad_input): indices
  /// out of range, coordinates or values that are not finite, a list that is not one number for each skin vertex.
  static io::Result<PreparedScene> make(const findings::Scene& scene, const std::vector<double>& values);
  static io::Result<PreparedScene> make(const findings::Scene& scene) { return make(scene, scene.pressure_kPa); }

  PreparedScene(PreparedScene&&) noexcept;
  PreparedScene& operator=(PreparedScene&&) noexcept;
  ~PreparedScene();

 private:
  friend class SceneRenderer;
  struct Meshes;
  explicit PreparedScene(std::unique_ptr<Meshes> meshes);
  std::unique_ptr<Meshes> meshes_;
};

/// Holds programs and buffers of the OpenGL context that was current when it was made; use and destroy it with that
/// context current.
class SceneRenderer {
 public:
  /// Compiles the shaders in `shader_folder`. Errors (bad_input): a shader is missing or does not compile.
  static io::Result<SceneRenderer> make(const std::filesystem::path& shader_folder);

  /// Uploads the scene. Errors: see PreparedScene::make().
  io::Result<void> set_scene(const findings::Scene& scene);
  void set_scene(const PreparedScene& scene);

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
