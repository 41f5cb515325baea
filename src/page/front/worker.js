import { zipSync } from "fflate";

// The engine's own thread. It hears a module once, then one request after the other, and answers each.
const words = new TextDecoder();
const letters = new TextEncoder();
let exports;

const read = (at, length) => words.decode(new Uint8Array(exports.memory.buffer, at, length));

// What the engine asks of the page.
const page = {
  progress: (permille, at, length) => postMessage({ progress: permille, words: read(at, length) }),
  failed: (at, length) => {
    throw new Error(read(at, length));
  },
};

// Asks the engine, and takes the answer with the bytes beside it. Memory that grows moves: every view is new.
function ask(request) {
  const text = letters.encode(JSON.stringify(request));
  const at = exports.layfigure_request(text.length);
  new Uint8Array(exports.memory.buffer, at, text.length).set(text);
  const length = exports.layfigure_call();
  const answer = JSON.parse(read(exports.layfigure_answer(), length));
  const size = exports.layfigure_bytes_length();
  const bytes = new Uint8Array(exports.memory.buffer, exports.layfigure_bytes(), size).slice();
  return { answer, bytes };
}

// Files of a zip carry a date; the same folder gives the same zip on every day. Zip knows none before 1980.
const NO_DATE = new Date(1980, 0, 1);

// All files of the last build in one, in a folder of this name.
function zipped(folder, names) {
  const files = {};
  for (const name of names) files[`${folder}/${name}`] = ask({ call: "file", name }).bytes;
  return zipSync(files, { level: 6, mtime: NO_DATE });
}

onmessage = async ({ data }) => {
  try {
    if (data.module) {
      exports = (await WebAssembly.instantiate(data.module, { page })).exports;
      postMessage({ ready: true });
      return;
    }
    const { request } = data;
    const { answer, bytes } = request.call === "zip"
      ? { answer: { ok: true }, bytes: zipped(request.folder, request.names) }
      : ask(request);
    postMessage({ id: data.id, answer, bytes }, [bytes.buffer]);
  } catch (error) {
    postMessage({ broken: String(error.message ?? error) });
  }
};
