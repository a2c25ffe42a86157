#version 330 core
// SPDX-License-Identifier: GPL-3.0-or-later
// The floor: a square of 600 mm round the shoe at z = 0, made from the vertex number alone.
uniform mat4 clip_from_S;
out vec2 at_mm;
void main() {
  at_mm = 300.0 * vec2((gl_VertexID & 1) * 2 - 1, (gl_VertexID >> 1) * 2 - 1);
  gl_Position = clip_from_S * vec4(at_mm, 0.0, 1.0);
}
