#version 330 core
// SPDX-License-Identifier: GPL-3.0-or-later
// A point of a surface in frame S (mm) to the screen; its normal and pressure go along.
layout(location = 0) in vec3 position;
layout(location = 1) in vec3 normal;
layout(location = 2) in float pressure_kPa;
layout(location = 3) in float hollow_mm;
uniform mat4 clip_from_S;
uniform vec4 cut;          // kept where cut.xyz . position <= cut.w
uniform mat3 eye_from_S;   // rows: right, up, toward the eye
out vec3 eye_normal;
out float kPa;
out float hollow;
void main() {
  eye_normal = eye_from_S * normal;
  kPa = pressure_kPa;
  hollow = hollow_mm;
  gl_ClipDistance[0] = cut.w - dot(cut.xyz, position);
  gl_Position = clip_from_S * vec4(position, 1.0);
}
