#version 330 core
// SPDX-License-Identifier: GPL-3.0-or-later
// Floor with a line every 10 mm and a stronger one every 50, fading out; as thin on the screen from near as from far.
in vec2 at_mm;
out vec4 colour;
float lines(float step_mm) {
  vec2 width = fwidth(at_mm) * 1.1;
  vec2 off = abs(fract(at_mm / step_mm + 0.5) - 0.5) * step_mm;
  vec2 on = (1.0 - smoothstep(vec2(0.0), width, off)) * clamp(0.12 * step_mm / width, 0.0, 1.0);
  return max(on.x, on.y);
}
void main() {
  float fade = 1.0 - smoothstep(90.0, 240.0, length(at_mm));
  float ink = max(0.35 * lines(10.0), 0.75 * lines(50.0));
  colour = vec4(mix(vec3(0.945, 0.937, 0.918), vec3(0.74, 0.72, 0.69), ink), fade);
}
