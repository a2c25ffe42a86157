// Draws scenes into a texture that the panels show; again only when something about it changed.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <filesystem>
#include <memory>
#include <string>

#include "aplomb/io/error.h"
#include "aplomb/report/scene_renderer.h"

namespace aplomb::viewer {

/// A frame's picture of one seat. Use with the OpenGL context current that it was made in.
class Stage {
 public:
  /// Errors (bad_input): shaders missing or faulty.
  static io::Result<Stage> make(const std::filesystem::path& shader_folder);

  /// What is drawn; `prepared` is kept until the next call and uploaded only when it is another one.
  void set(std::shared_ptr<const report::PreparedScene> prepared);
  /// The texture of OpenGL with the picture, top row last (v runs up). 0 when nothing was set or the size is refused.
  /// `moving`: it will be drawn again at once, so time counts more than smooth edges.
  unsigned texture(const report::Camera& camera, const report::DrawOptions& options, bool moving);

  Stage(Stage&&) noexcept;
  Stage& operator=(Stage&&) noexcept;
  ~Stage();

 private:
  struct Parts;
  explicit Stage(std::unique_ptr<Parts> parts);
  std::unique_ptr<Parts> parts_;
};

}  // namespace aplomb::viewer
