// The engine as the page sees it: `ask` gives a promise of the answer. One request runs at a time; of requests of one
// `kind` that still wait, only the newest is sent.
/* global WORKER_SOURCE */

// The answer to a request that a newer one of its kind put aside.
export const STALE = Symbol("stale");
// The answer to requests that were open when the engine was stopped or broke.
export const ENDED = Symbol("ended");

// The engine's module, from the text that the page carries. It is compiled once, for all workers.
export async function unpacked() {
  const letters = atob(document.getElementById("engine").textContent);
  const packed = new Uint8Array(letters.length);
  for (let at = 0; at < packed.length; at += 1) packed[at] = letters.charCodeAt(at);
  const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
  return WebAssembly.compile(await new Response(stream).arrayBuffer());
}

export class Engine {
  // `on_broken(words)`: the engine stopped for good; a new one starts unless not even that worked.
  // `on_progress(permille, words)`: of a build.
  constructor(module, { on_broken, on_progress }) {
    this.module = module;
    this.on_broken = on_broken;
    this.on_progress = on_progress;
    this.waiting = [];
    this.running = null;
    this.number = 0;
    this.address = URL.createObjectURL(new Blob([WORKER_SOURCE], { type: "text/javascript" }));
    this.start();
  }

  start() {
    this.ready = false;
    this.worker = new Worker(this.address);
    const worker = this.worker;
    worker.onmessage = ({ data }) => worker === this.worker && this.hear(data);
    worker.onerror = (event) => worker === this.worker && this.broke(event.message || "the worker did not start");
    worker.postMessage({ module: this.module });
  }

  hear(data) {
    if (data.ready) {
      this.ready = true;
      this.next();
    } else if (data.broken !== undefined) {
      this.broke(data.broken);
    } else if (data.progress !== undefined) {
      this.on_progress(data.progress, data.words);
    } else if (this.running?.id === data.id) {
      const { answered } = this.running;
      this.running = null;
      answered([data.answer, data.bytes]);
      this.next();
    }
  }

  // Ends the worker with all that is open, and starts another.
  restart() {
    this.stop();
    this.start();
  }

  // Ends the worker with all that is open.
  stop() {
    this.worker.terminate();
    this.worker = null;
    const open = [this.running, ...this.waiting].filter(Boolean);
    this.running = null;
    this.waiting = [];
    for (const { answered } of open) answered([ENDED]);
  }

  broke(words) {
    const once_worked = this.ready;
    this.ready = false;
    if (once_worked) this.restart();
    else this.stop();
    this.on_broken(words);
  }

  // Asks. A `kind` says which requests stand for each other: a newer one takes the place of those that still wait.
  ask(request, kind = null) {
    return new Promise((answered) => {
      if (kind !== null) {
        this.waiting = this.waiting.filter((other) => {
          if (other.kind === kind) other.answered([STALE]);
          return other.kind !== kind;
        });
      }
      this.waiting.push({ id: ++this.number, request, kind, answered });
      this.next();
    });
  }

  next() {
    if (!this.worker || !this.ready || this.running || this.waiting.length === 0) return;
    this.running = this.waiting.shift();
    this.worker.postMessage({ id: this.running.id, request: this.running.request });
  }
}
