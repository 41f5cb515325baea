// Opens the engine of the page as the page does: the module, its two lent functions, its calls.
import { readFile } from "node:fs/promises";

const words = new TextDecoder();
const letters = new TextEncoder();

// The engine in this file. `progress` hears of (permille, words).
export async function open(file, progress = () => {}) {
  const module = await WebAssembly.compile(await readFile(file));
  let exports;
  const read = (at, length) => words.decode(new Uint8Array(exports.memory.buffer, at, length));
  const page = {
    progress: (permille, at, length) => progress(permille, read(at, length)),
    failed: (at, length) => { throw new Error(`the engine failed: ${read(at, length)}`); },
  };
  ({ exports } = await WebAssembly.instantiate(module, { page }));
  // Asks, and takes the answer: the object, and the bytes beside it.
  const ask = (request) => {
    const text = letters.encode(JSON.stringify(request));
    const room = exports.layfigure_request(text.length);
    new Uint8Array(exports.memory.buffer, room, text.length).set(text);
    const length = exports.layfigure_call();
    const answer = JSON.parse(read(exports.layfigure_answer(), length));
    const bytes = exports.layfigure_bytes_length();
    return [answer, new Uint8Array(exports.memory.buffer, exports.layfigure_bytes(), bytes).slice()];
  };
  return { ask, memory: () => exports.memory.buffer.byteLength };
}
