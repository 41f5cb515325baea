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
in float value;
out vec3 place;
out vec3 facing;
out float unsure;
void main() {
  place = position;
  facing = vec3(dot(normal, right), dot(normal, up), dot(normal, to));
  unsure = value;
  gl_Position = seen(position);
}`;

// Dots: space is cut into cells, and some of them hold a small ball; where the surface cuts a ball there is a dot. So
// dots stay where they are on the body when it turns.
export const BODY_FRAGMENT = `#version 300 es
precision highp float;
uniform float cell;
uniform vec2 sure;
in vec3 place;
in vec3 facing;
in float unsure;
out vec4 colour;
const vec3 PAPER = vec3(0.973, 0.961, 0.929);
const vec3 SHADE = vec3(0.735, 0.722, 0.690);
const vec3 INK = vec3(0.11, 0.11, 0.14);
float noise(vec3 at) {
  at = fract(at * vec3(0.1031, 0.1030, 0.0973));
  at += dot(at, at.yxz + 33.33);
  return fract((at.x + at.y) * at.z);
}
void main() {
  vec3 n = normalize(facing);
  float light = dot(n, normalize(vec3(-0.45, 0.55, 0.70)));
  vec3 paper = mix(SHADE, PAPER, smoothstep(-0.35, 0.75, light));
  vec3 at = place / cell;
  vec3 number = floor(at) + 512.0;
  vec3 jitter = 0.5 + 0.36 * (vec3(noise(number), noise(number + 71.0), noise(number + 143.0)) - 0.5);
  float density = clamp((unsure - sure.x) / (sure.y - sure.x), 0.0, 1.0);
  float away = length(fract(at) - jitter);
  float ball = 0.27;
  float edge = fwidth(away) + 0.001;
  float dot_here = step(noise(number + 211.0), density) * (1.0 - smoothstep(ball - edge, ball, away));
  float outline = 1.0 - smoothstep(0.10, 0.26, abs(n.z));
  colour = vec4(mix(paper, INK, max(dot_here * 0.72, outline * 0.85)), 1.0);
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
