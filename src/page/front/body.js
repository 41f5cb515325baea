// The body beside the sheet: what turns it, and what it shows in words.
import { Component } from "preact";
import { html } from "./view.js";
import { state } from "./session.js";
import { Drawing } from "./drawing.js";

const STEP = Math.PI / 12;          // an arrow key turns so far, radians
const TILT = Math.PI / 3;           // the body is never seen from farther above or below, radians
const DRAG = 0.008;                 // radians for each pixel dragged
const TURN = 350;                   // how long a turn to the tape takes, ms
const MM_PER = { mm: 1, cm: 10, in: 25.4 };

// The shorter way round, radians.
const way = (from, to) => ((((to - from) % (2 * Math.PI)) + 3 * Math.PI) % (2 * Math.PI)) - Math.PI;

export class Body extends Component {
  constructor() {
    super();
    this.yaw = -0.5;
    this.tilt = 0.08;
  }

  componentDidMount() {
    this.drawing = Drawing.on(this.canvas);
    if (!this.drawing) {
      this.setState({ blind: true });
      return;
    }
    this.watch = new ResizeObserver(() => this.draw());
    this.watch.observe(this.canvas);
    // A browser may take the drawing surface away and give it back: all is sent again.
    this.canvas.addEventListener("webglcontextlost", (event) => {
      event.preventDefault();
      this.drawing = null;
    });
    this.canvas.addEventListener("webglcontextrestored", () => {
      this.drawing = Drawing.on(this.canvas);
      this.shown = this.laid = null;
      this.follow();
    });
    this.follow();
  }

  componentDidUpdate() {
    this.follow();
  }

  // Sends what has changed to the screen; turns to a tape that is new.
  follow() {
    if (!this.drawing) return;
    if (state.solid && this.shown !== state.solid) {
      this.shown = state.solid;
      this.drawing.body(state.solid);
    }
    if (this.laid !== state.thread) {
      this.laid = state.thread;
      this.drawing.thread(state.thread);
      const from = state.thread[0]?.seen_from;
      if (from && this.turned_for !== state.focus) {
        this.turned_for = state.focus;
        this.turn_to(Math.atan2(from[0], from[1]));
      }
    }
    this.draw();
  }

  turn_to(yaw) {
    const start = this.yaw;
    const whole = way(start, yaw);
    if (matchMedia("(prefers-reduced-motion: reduce)").matches) {
      this.yaw = yaw;
      return;
    }
    const begun = performance.now();
    const turn = (this.turning = (now) => {
      if (this.turning !== turn) return;
      const part = Math.min(1, Math.max(0, now - begun) / TURN);
      this.yaw = start + whole * part * (2 - part);
      this.draw();
      if (part < 1) requestAnimationFrame(turn);
    });
    requestAnimationFrame(turn);
  }

  by(yaw, tilt) {
    this.turning = null;
    this.yaw += yaw;
    this.tilt = Math.max(-TILT, Math.min(TILT, this.tilt + tilt));
    this.draw();
  }

  draw() {
    if (this.asked) return;
    this.asked = requestAnimationFrame(() => {
      this.asked = null;
      this.drawing?.draw(this.yaw, this.tilt);
    });
  }

  keyed(event) {
    const turn = { ArrowLeft: [-STEP, 0], ArrowRight: [STEP, 0], ArrowUp: [0, STEP], ArrowDown: [0, -STEP] }[event.key];
    if (!turn) return;
    event.preventDefault();
    this.by(...turn);
  }

  dragged(event) {
    if (event.buttons === 0 || !this.last) return;
    this.by((event.clientX - this.last[0]) * DRAG, (event.clientY - this.last[1]) * DRAG);
    this.last = [event.clientX, event.clientY];
  }

  render() {
    const { solid, check, behind } = state;
    const name = check?.check.name ?? "";
    return html`<figure class="body">
      <canvas ref=${(canvas) => { this.canvas = canvas; }} tabindex="0" role="img"
        aria-label=${`The body${name && ` of ${name}`}. Arrow keys turn it.`}
        onKeyDown=${(event) => this.keyed(event)}
        onPointerDown=${(event) => { this.last = [event.clientX, event.clientY]; event.currentTarget.setPointerCapture(event.pointerId); }}
        onPointerMove=${(event) => this.dragged(event)} onPointerUp=${() => { this.last = null; }}></canvas>
      <figcaption>${this.state.blind
        ? "This browser draws no bodies (it has no WebGL 2). The sheet, the checks and the folder work as they are."
        : solid && behind ? "The sheet as it stands makes no body: this is the one before."
        : solid ? words_of(solid, check) : "No body yet: fill in the lines that are needed."}</figcaption>
    </figure>`;
  }
}

// How unsure the surface is, in the sheet's unit.
function words_of(solid, check) {
  const unit = check?.unit ?? "mm";
  const places = unit === "mm" ? 0 : 1;
  const words = (mm) => (mm / (MM_PER[unit] ?? 1)).toFixed(places);
  return `More dots, less known: ± ${words(solid.facts.least)} to ${words(solid.facts.most)} ${unit}. Drag to turn.`;
}
