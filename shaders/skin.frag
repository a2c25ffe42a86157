#version 330 core
// SPDX-License-Identifier: GPL-3.0-or-later
// Skin: bare colour where nothing presses, the pressure map elsewhere; soft light so that colour stays readable.
in vec3 eye_normal;
in float kPa;
in float hollow;
uniform sampler2D pressure_map;
uniform vec3 bare;
uniform float scale_end_kPa;
uniform bool two_sided;      // map from -scale_end to +scale_end, its middle is nothing
uniform float bare_from;      // values from here on are no values: bare skin
uniform float hatch_px;       // > 0: bare skin is hatched, lines so far apart
uniform float alpha;
uniform float line_kPa[4];   // contour lines; 0: none
out vec4 colour;
void main() {
  vec3 n = normalize(eye_normal);
  float t = two_sided ? clamp(0.5 + 0.5 * kPa / scale_end_kPa, 0.0, 1.0) : clamp(kPa / scale_end_kPa, 0.0, 1.0);
  float pressed = two_sided ? (kPa < bare_from ? 1.0 : 0.0) : smoothstep(0.002, 0.02, t);
  vec3 base = mix(bare, texture(pressure_map, vec2((0.5 + 255.0 * t) / 256.0, 0.5)).rgb, pressed);
  float key = max(dot(n, normalize(vec3(-0.45, 0.55, 0.70))), 0.0);
  // Bare skin is modelled more strongly than the map: light from above, hollows dimmed.
  float soft_key = max((dot(n, normalize(vec3(-0.45, 0.60, 0.65))) + 0.25) / 1.25, 0.0);
  float dim = hollow > 0.0 ? 1.0 - 0.45 * (1.0 - exp(-2.0 * hollow)) : 1.0 + 0.08 * (1.0 - exp(2.0 * hollow));
  float form = (0.50 + 0.08 * (0.5 + 0.5 * n.y) + 0.48 * soft_key) * dim;
  float light = mix(form, 0.70 + 0.34 * key, pressed);
  light *= mix(1.0, 0.70, pow(1.0 - max(n.z, 0.0), 2.5));
  base *= mix(vec3(1.0, 0.965, 0.945), vec3(1.0), light) * light;   // shadows a little warmer than light
  for (int i = 0; i < 4; ++i) {
    if (line_kPa[i] <= 0.0) continue;
    float width = max(fwidth(kPa), 1e-6);
    base = mix(vec3(0.13), base, smoothstep(0.5, 1.3, abs(kPa - line_kPa[i]) / width));
  }
  if (hatch_px > 0.0 && pressed == 0.0) {
    float off = abs(fract((gl_FragCoord.x + gl_FragCoord.y) / hatch_px) - 0.5) * hatch_px;
    base = mix(vec3(0.30), mix(base, vec3(0.80), 0.4), smoothstep(0.6, 1.6, off));
  }
  colour = vec4(base, alpha);
}
