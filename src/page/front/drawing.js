// Draws the body and the tape on it with WebGL 2: flat shading as on paper, an ink outline, stipple where less is known.
import { BODY_VERTEX, BODY_FRAGMENT, TAPE_VERTEX, TAPE_FRAGMENT, DOT_VERTEX, DOT_FRAGMENT } from "./shaders.js";
import { stipple } from "./stipple.js";

const MARGIN = 1.06;        // paper left round the body
const DOT = 2;              // a dot is so wide, pixels, where the body is drawn large
const LEAST_DOT = 1.2;      // and where it is small
const LARGE = 1.1;          // a body is drawn large when a pixel is no more than this, mm
const TAPE_WIDTH = 1.6;     // half the tape's line, pixels

function program(gl, vertex, fragment) {
  const made = gl.createProgram();
  for (const [kind, source] of [[gl.VERTEX_SHADER, vertex], [gl.FRAGMENT_SHADER, fragment]]) {
    const shader = gl.createShader(kind);
    gl.shaderSource(shader, source);
    gl.compileShader(shader);
    gl.attachShader(made, shader);
  }
  gl.linkProgram(made);
  if (!gl.getProgramParameter(made, gl.LINK_STATUS) && !gl.isContextLost()) throw new Error(gl.getProgramInfoLog(made));
  return made;
}

export class Drawing {
  // A drawing on this canvas, or null where the browser has no WebGL 2.
  static on(canvas) {
    const gl = canvas.getContext("webgl2", { antialias: true, alpha: true, preserveDrawingBuffer: true });
    return gl && new Drawing(canvas, gl);
  }

  constructor(canvas, gl) {
    this.canvas = canvas;
    this.gl = gl;
    this.surface = program(gl, BODY_VERTEX, BODY_FRAGMENT);
    this.dots = program(gl, DOT_VERTEX, DOT_FRAGMENT);
    this.line = program(gl, TAPE_VERTEX, TAPE_FRAGMENT);
    this.buffers = {};
    this.tapes = [];
    gl.enable(gl.DEPTH_TEST);
  }

  buffer(name, data, kind = this.gl.ARRAY_BUFFER) {
    const { gl } = this;
    this.buffers[name] ??= gl.createBuffer();
    gl.bindBuffer(kind, this.buffers[name]);
    gl.bufferData(kind, data, gl.DYNAMIC_DRAW);
  }

  body({ facts, bytes }) {
    const floats = (at, count) => new Float32Array(bytes.buffer, bytes.byteOffset + at, count);
    const positions = floats(facts.positions, facts.corners * 3);
    this.buffer("positions", positions);
    this.buffer("normals", floats(facts.normals, facts.corners * 3));
    const indices = new Uint32Array(bytes.buffer, bytes.byteOffset + facts.indices, facts.triangles * 3);
    this.buffer("indices", indices, this.gl.ELEMENT_ARRAY_BUFFER);
    this.count = indices.length;
    const dots = stipple(positions, floats(facts.values, facts.corners), indices);
    this.dot_count = dots.length / 3;
    this.buffer("dots", dots);
    const [least, most] = facts.bounds;
    this.middle = least.map((low, axis) => (low + most[axis]) / 2);
    const side = [0, 1, 2].map((axis) => most[axis] - least[axis]);
    this.high = side[2];
    this.wide = Math.hypot(side[0], side[1]);
  }

  // A strip along each thread, as wide on the screen wherever it lies.
  thread(threads) {
    this.tapes = [];
    const data = [];
    for (const { points, through } of threads) {
      const first = data.length / 7;
      points.forEach((point, at) => {
        const before = points[Math.max(0, at - 1)];
        const after = points[Math.min(points.length - 1, at + 1)];
        const along = after.map((value, axis) => value - before[axis]);
        for (const side of [-1, 1]) data.push(...point, ...along, side);
      });
      this.tapes.push({ first, count: data.length / 7 - first, through });
    }
    this.buffer("tape", new Float32Array(data));
  }

  // Seen from `yaw` (0: the front; a quarter turn: the wearer's right) and `tilt` above the level, radians.
  draw(yaw, tilt) {
    const { gl, canvas } = this;
    const ratio = Math.min(2, devicePixelRatio || 1);
    const [width, height] = [Math.round(canvas.clientWidth * ratio), Math.round(canvas.clientHeight * ratio)];
    if (canvas.width !== width || canvas.height !== height) Object.assign(canvas, { width, height });
    gl.viewport(0, 0, width, height);
    gl.clearColor(0, 0, 0, 0);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    if (!this.count || !width || !height) return;
    const mm = Math.max((this.high * MARGIN) / height, (this.wide * MARGIN) / width);
    const to = [Math.sin(yaw) * Math.cos(tilt), Math.cos(yaw) * Math.cos(tilt), Math.sin(tilt)];
    const right = [-Math.cos(yaw), Math.sin(yaw), 0];
    const up = [-Math.sin(yaw) * Math.sin(tilt), -Math.cos(yaw) * Math.sin(tilt), Math.cos(tilt)];
    const uniforms = { right, up, to, middle: this.middle };
    const scale = [2 / (mm * width), 2 / (mm * height), 1 / (this.high + this.wide)];
    this.use(this.surface, uniforms, scale);
    this.attribute(this.surface, "position", "positions", 3, 12, 0);
    this.attribute(this.surface, "normal", "normals", 3, 12, 0);
    gl.bindBuffer(gl.ELEMENT_ARRAY_BUFFER, this.buffers.indices);
    gl.drawElements(gl.TRIANGLES, this.count, gl.UNSIGNED_INT, 0);
    this.use(this.dots, uniforms, scale);
    // Smaller, it has fewer and finer dots: as many would turn it black.
    const share = Math.min(1, LARGE / (mm * ratio));
    gl.uniform1f(gl.getUniformLocation(this.dots, "size"), Math.max(LEAST_DOT, DOT * share) * ratio);
    this.attribute(this.dots, "position", "dots", 3, 12, 0);
    gl.drawArrays(gl.POINTS, 0, Math.round(this.dot_count * share));
    if (this.tapes.length === 0) return;
    this.use(this.line, uniforms, scale);
    gl.uniform2f(gl.getUniformLocation(this.line, "width"), (2 * TAPE_WIDTH * ratio) / width, (2 * TAPE_WIDTH * ratio) / height);
    this.attribute(this.line, "position", "tape", 3, 28, 0);
    this.attribute(this.line, "along", "tape", 3, 28, 12);
    this.attribute(this.line, "side", "tape", 1, 28, 24);
    for (const { first, count, through } of this.tapes) {
      if (through) gl.disable(gl.DEPTH_TEST);
      gl.drawArrays(gl.TRIANGLE_STRIP, first, count);
      gl.enable(gl.DEPTH_TEST);
    }
  }

  use(made, vectors, scale) {
    const { gl } = this;
    gl.useProgram(made);
    for (const [name, value] of Object.entries(vectors)) gl.uniform3fv(gl.getUniformLocation(made, name), value);
    gl.uniform3fv(gl.getUniformLocation(made, "scale"), scale);
  }

  attribute(made, name, buffer, size, stride, at) {
    const { gl } = this;
    const place = gl.getAttribLocation(made, name);
    if (place < 0) return;
    gl.bindBuffer(gl.ARRAY_BUFFER, this.buffers[buffer]);
    gl.enableVertexAttribArray(place);
    gl.vertexAttribPointer(place, size, gl.FLOAT, false, stride, at);
  }
}
