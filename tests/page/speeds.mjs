// How fast the engine of the page answers: node speeds.mjs ENGINE.wasm SHEET
import { readFile } from "node:fs/promises";
import { open } from "./engine.mjs";

const [engine, path] = process.argv.slice(2);
const timed = (name, work) => {
  const begun = performance.now();
  const made = work();
  console.log(`${name}: ${(performance.now() - begun).toFixed(0)} ms`);
  return made;
};
const { ask, memory } = await open(engine);
const call = (request) => {
  const answer = ask(request);
  if (!answer[0].ok) throw new Error(JSON.stringify(answer[0]));
  return answer;
};
let text = await readFile(path, "utf8");
const sheet = () => ({ file: "sheet.toml", text });
timed("questions", () => call({ call: "questions" }));
timed("first check", () => call({ call: "check", sheet: sheet() }));
const [solid, bytes] = timed("solid", () => call({ call: "solid" }));
console.log(`  ${solid.corners} corners, ${solid.triangles} triangles, ${bytes.length} bytes`);
for (const waist of ["71.0", "71.5", "72"]) {
  const line = { measure: "girth.waist" };
  const [set] = timed("set a line", () => call({ call: "set", sheet: sheet(), line, words: waist }));
  text = set.text;
  const [again] = timed("check again", () => call({ call: "check", sheet: sheet() }));
  console.log(`  from nothing: ${again.fresh}`);
  timed("solid", () => call({ call: "solid" }));
  timed("thread", () => call({ call: "thread", measure: "girth.waist" }));
  timed("thread", () => call({ call: "thread", measure: "length.side_neck_to_bust" }));
}
timed("sum", () => call({ call: "sum" }));
timed("sum again", () => call({ call: "sum" }));
timed("cost", () => call({ call: "cost" }));
timed("choices", () => call({ call: "choices", asked: "ten sheets" }));
timed("choices again", () => call({ call: "choices", asked: "paper" }));
timed("systems", () => call({ call: "systems" }));
const a = { sheet: sheet() };
timed("compare", () => call({ call: "compare", a, b: { size: "women:92" } }));
timed("compared solid", () => call({ call: "compared_solid", which: "b" }));
timed("compared page", () => call({ call: "compared_page" }));
timed("nearest", () => call({ call: "nearest", of: a, systems: ["women"] }));
console.log(`${Math.round(memory() / 2 ** 20)} MiB`);
