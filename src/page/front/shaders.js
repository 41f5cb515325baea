// The drawing's shaders. Space is mm; `right`, `up` and `to` (towards the eye) are the axes of the view, which is
// parallel: measures keep their proportion.
const VIEW = `#version 300 es
precision highp float;
uniform vec3 right, up, to, middle, scale;
vec4 seen(vec3 point) {
  vec3 from = point - middle;
  return vec4(dot(from, right) * scale.x, dot(from, up) * scale.y, -dot(from, to) * scale.z, 1.0);
}
`;

export const BODY_VERTEX = `${VIEW}
in vec3 position;
in vec3 normal;
out vec3 facing;
void main() {
  facing = vec3(dot(normal, right), dot(normal, up), dot(normal, to));
  gl_Position = seen(position);
}`;

export const BODY_FRAGMENT = `#version 300 es
precision highp float;
in vec3 facing;
out vec4 colour;
const vec3 PAPER = vec3(0.980, 0.969, 0.939);
const vec3 SHADE = vec3(0.775, 0.762, 0.730);
const vec3 INK = vec3(0.11, 0.11, 0.14);
void main() {
  vec3 n = normalize(facing);
  float light = dot(n, normalize(vec3(-0.45, 0.55, 0.70)));
  vec3 paper = mix(SHADE, PAPER, smoothstep(-0.35, 0.75, light));
  float outline = 1.0 - smoothstep(0.08, 0.22, abs(n.z));
  colour = vec4(mix(paper, INK, outline * 0.85), 1.0);
}`;

export const DOT_VERTEX = `${VIEW}
uniform float size;
in vec3 position;
const float NEARER = 1.5;
void main() {
  gl_Position = seen(position + to * NEARER);
  gl_PointSize = size;
}`;

export const DOT_FRAGMENT = `#version 300 es
precision highp float;
out vec4 colour;
void main() {
  if (length(gl_PointCoord - 0.5) > 0.5) discard;
  colour = vec4(0.30, 0.29, 0.31, 1.0);
}`;

// The tape is drawn a little nearer to the eye than it lies, so that the surface under it does not cut it.
export const TAPE_VERTEX = `${VIEW}
uniform vec2 width;
in vec3 position;
in vec3 along;
in float side;
const float NEARER = 3.0;
void main() {
  vec4 at = seen(position + to * NEARER);
  vec2 way = vec2(dot(along, right) * scale.x / width.x, dot(along, up) * scale.y / width.y);
  float size = length(way);
  vec2 across = size > 1e-9 ? vec2(-way.y, way.x) / size : vec2(0.0, 1.0);
  gl_Position = at + vec4(across * side * width, 0.0, 0.0);
}`;

export const TAPE_FRAGMENT = `#version 300 es
precision highp float;
out vec4 colour;
void main() { colour = vec4(0.07, 0.07, 0.11, 1.0); }`;
