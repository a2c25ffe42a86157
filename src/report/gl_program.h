// Shaders from files, and one mesh on the graphics side.
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <epoxy/gl.h>

#include <filesystem>

#include "aplomb/io/error.h"
#include "shading.h"

namespace aplomb::report {

/// A linked program. Errors (bad_input): a file is missing, does not compile or does not link.
io::Result<GLuint> link_program(const std::filesystem::path& vertex_file, const std::filesystem::path& fragment_file);

/// Vertices and triangles of one mesh; release() with the context current.
struct GlMesh {
  GLuint array = 0, vertices = 0, indices = 0;
  GLsizei count = 0;

  void fill(const DrawMesh& mesh);
  void draw() const;
  void release();
};

}  // namespace aplomb::report
