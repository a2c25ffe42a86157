// Compiling with the compiler's first complaint kept; buffers laid out as the vertex shader takes them.
// SPDX-License-Identifier: GPL-3.0-or-later
#include "gl_program.h"

#include <fmt/format.h>

#include "aplomb/io/files.h"

namespace aplomb::report {

namespace {

io::Result<GLuint> compile(GLenum kind, const std::filesystem::path& file) {
  const auto text = io::read_file(file);
  if (!text) return tl::unexpected(text.error());
  const GLuint shader = glCreateShader(kind);
  const char* source = text->c_str();
  glShaderSource(shader, 1, &source, nullptr);
  glCompileShader(shader);
  GLint compiled = GL_FALSE;
  glGetShaderiv(shader, GL_COMPILE_STATUS, &compiled);
  if (compiled == GL_TRUE) return shader;
  char log[512] = "";
  glGetShaderInfoLog(shader, sizeof log, nullptr, log);
  glDeleteShader(shader);
  return io::fail({.file = file.string(),
                   .message = fmt::format("this shader does not compile ({})",
                                          std::string(log).substr(0, std::string(log).find('\n'))),
                   .remedy = "install the program's data anew"});
}

}  // namespace

io::Result<GLuint> link_program(const std::filesystem::path& vertex_file, const std::filesystem::path& fragment_file) {
  const auto vertex = compile(GL_VERTEX_SHADER, vertex_file);
  if (!vertex) return vertex;
  const auto fragment = compile(GL_FRAGMENT_SHADER, fragment_file);
  if (!fragment) {
    glDeleteShader(*vertex);
    return fragment;
  }
  const GLuint program = glCreateProgram();
  glAttachShader(program, *vertex);
  glAttachShader(program, *fragment);
  glLinkProgram(program);
  glDeleteShader(*vertex);
  glDeleteShader(*fragment);
  GLint linked = GL_FALSE;
  glGetProgramiv(program, GL_LINK_STATUS, &linked);
  if (linked == GL_TRUE) return program;
  glDeleteProgram(program);
  return io::fail({.file = fragment_file.string(),
                   .message = "this shader does not link",
                   .remedy = "install the program's data anew"});
}

void GlMesh::fill(const DrawMesh& mesh) {
  if (array == 0) {
    glGenVertexArrays(1, &array);
    glGenBuffers(1, &vertices);
    glGenBuffers(1, &indices);
  }
  count = static_cast<GLsizei>(mesh.indices.size());
  glBindVertexArray(array);
  glBindBuffer(GL_ARRAY_BUFFER, vertices);
  glBufferData(GL_ARRAY_BUFFER, static_cast<GLsizeiptr>(mesh.vertices.size() * sizeof(DrawVertex)),
               mesh.vertices.data(), GL_STATIC_DRAW);
  glBindBuffer(GL_ELEMENT_ARRAY_BUFFER, indices);
  glBufferData(GL_ELEMENT_ARRAY_BUFFER, static_cast<GLsizeiptr>(mesh.indices.size() * sizeof(std::uint32_t)),
               mesh.indices.data(), GL_STATIC_DRAW);
  const auto attribute = [](GLuint index, GLint size, std::size_t offset) {
    glEnableVertexAttribArray(index);
    glVertexAttribPointer(index, size, GL_FLOAT, GL_FALSE, sizeof(DrawVertex), reinterpret_cast<const void*>(offset));
  };
  attribute(0, 3, offsetof(DrawVertex, position));
  attribute(1, 3, offsetof(DrawVertex, normal));
  attribute(2, 1, offsetof(DrawVertex, pressure_kPa));
  attribute(3, 1, offsetof(DrawVertex, hollow_mm));
  glBindVertexArray(0);
}

void GlMesh::draw() const {
  if (count == 0) return;
  glBindVertexArray(array);
  glDrawElements(GL_TRIANGLES, count, GL_UNSIGNED_INT, nullptr);
}

void GlMesh::release() {
  if (array == 0) return;
  glDeleteVertexArrays(1, &array);
  glDeleteBuffers(1, &vertices);
  glDeleteBuffers(1, &indices);
  array = 0;
}

}  // namespace aplomb::report
