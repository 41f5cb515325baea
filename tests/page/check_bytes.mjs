// The engine of the page makes the files of the program, byte for byte:
//   node check_bytes.mjs ENGINE.wasm SHEET ROOM FOLDER ...
// where each FOLDER is what `layfigure build SHEET --workshop ROOM` left; ROOM is `-` for none.
import { readdir, readFile } from "node:fs/promises";
import { basename, join, relative } from "node:path";
import { open } from "./engine.mjs";

const [engine, ...rest] = process.argv.slice(2);
if (!engine || rest.length === 0 || rest.length % 3 !== 0) {
  console.error("usage: node check_bytes.mjs ENGINE.wasm SHEET ROOM FOLDER ...");
  process.exit(2);
}

const file = async (path) => ({ file: basename(path), text: await readFile(path, "utf8") });

// Names of all files below a folder.
async function names(folder) {
  const all = await readdir(folder, { recursive: true, withFileTypes: true });
  return all.filter((e) => e.isFile())
    .map((e) => relative(folder, join(e.parentPath ?? e.path, e.name)).replaceAll("\\", "/"))
    .sort();
}

let wrong = 0;
const say = (words) => { wrong += 1; console.error(words); };
for (let i = 0; i < rest.length; i += 3) {
  const [sheet, room, folder] = rest.slice(i, i + 3);
  const steps = [];
  const begun = performance.now();
  const { ask, memory } = await open(engine, (permille) => {
    steps.push([permille, Math.round(performance.now() - begun)]);
  });
  const [made] = ask({
    call: "build",
    sheet: await file(sheet),
    room: room === "-" ? null : await file(room),
  });
  const seconds = ((performance.now() - begun) / 1000).toFixed(1);
  if (!made.ok) {
    say(`${sheet}: refused: ${JSON.stringify(made)}`);
    continue;
  }
  const own = made.files.map((f) => f.name).sort();
  // What the program keeps for itself begins with a dot.
  const theirs = (await names(folder)).filter((name) => !name.startsWith("."));
  if (own.join("\n") !== theirs.join("\n")) {
    say(`${sheet}: the engine made ${own.join(" ")}\nthe program ${theirs.join(" ")}`);
  }
  const differ = [];
  for (const name of own.filter((name) => theirs.includes(name))) {
    const [, bytes] = ask({ call: "file", name });
    const there = await readFile(join(folder, name));
    if (Buffer.compare(there, bytes) !== 0) differ.push(name);
  }
  if (differ.length > 0) say(`${sheet}: ${differ.length} files differ: ${differ.join(" ")}`);
  const mebibytes = Math.round(memory() / 2 ** 20);
  console.log(
    `${sheet}: ${own.length - differ.length} of ${own.length} files are the program's; ` +
    `${seconds} s, ${mebibytes} MiB; ${steps.map(([at, ms]) => `${at}: ${ms} ms`).join(", ")}`,
  );
}
if (wrong > 0) process.exit(1);
