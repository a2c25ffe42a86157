#version 330 core
// SPDX-License-Identifier: GPL-3.0-or-later
// See-through surfaces (box, upper) and solid ones (sole): clear where looked through squarely, denser toward the edge.
in vec3 eye_normal;
in float kPa;
uniform vec3 tint;
uniform float clear_alpha;
uniform float edge_alpha;
out vec4 colour;
void main() {
  vec3 n = normalize(eye_normal);
  float facing = abs(n.z);
  float alpha = mix(clear_alpha, edge_alpha, pow(1.0 - facing, 3.0));
  float key = max(dot(n.z < 0.0 ? -n : n, normalize(vec3(-0.45, 0.55, 0.70))), 0.0);
  colour = vec4(tint * (0.70 + 0.32 * key), alpha);
}
