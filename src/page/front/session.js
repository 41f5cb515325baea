// One sheet, its body and its room: what is known, and what changes it. Views read `state` and call the functions.
import { Engine, unpacked, STALE, ENDED } from "./engine.js";
import { kept, keep, on_other_tab } from "./keep.js";
import { opened, save } from "./files.js";

export const state = {
  phase: "loading",       // what <html data-state> says
  questions: null,        // what a sheet can hold
  file: "sheet.toml",
  text: "",
  example: false,         // the sheet is the example, unchanged
  given: { head: {}, measures: {}, shapes: {}, missing: [] },
  drafts: {},             // by line: what was typed and is not, or not yet, in the sheet
  refused: {},            // by line: why it was not taken
  doubts: {},             // by line: what the answer to `set` said besides
  typing: null,           // the line that is being typed into just now
  focus: null,            // the line whose tape lies on the body: the last that had the focus
  hand: null,             // the line that has the focus now
  depth: "usual",         // how many lines are shown
  behind: false,          // the sheet as it stands makes no body: what is shown is the one before
  check: null,            // the last answer of a check that made a body
  findings: [],           // of the last check, good or not
  solid: null,            // { facts, bytes } of the body shown
  thread: [],             // where the tape of the focused line lies
  room: "",
  questions_of_room: null,
  room_refused: {},
  choices: null,          // { asked, heads, rows, words }
  cost: null,
  making: null,           // { permille, words } while a folder is made
  made: null,             // { name, files, told, findings }
  systems: null,
  system: null,
  notice: null,           // words for the person
  keeps: true,            // whether the browser keeps the sheet
  other_tab: false,
};

let engine;
let maker = null;
let module;
let painted = false;
let paint_view = () => {};

// Shows what has changed, once for all that changes together.
function paint() {
  if (painted) return;
  painted = true;
  queueMicrotask(() => {
    painted = false;
    document.documentElement.dataset.state = state.phase;
    paint_view();
  });
}

function change(what) {
  Object.assign(state, what);
  paint();
}

const usable = (answer) => answer !== STALE && answer !== ENDED;
const sheet = () => ({ file: state.file, text: state.text });
const room = () => ({ file: "workshop.toml", text: state.room });

// The key of a line among drafts and findings.
export const key_of = (line) => Object.values(line)[0];

function remember() {
  const { file, text, room, drafts } = state;
  const keeps = keep({ file, text, room, drafts });
  if (keeps !== state.keeps) change({ keeps });
}

export async function open(show) {
  paint_view = show;
  paint();
  try {
    module = await unpacked();
  } catch (error) {
    change({ phase: "failed", notice: `This browser cannot run the engine (${error.message}). Open the file with a newer one: Chrome or Edge from 103, Firefox from 114, Safari from 16.4.` });
    return;
  }
  engine = new Engine(module, {
    on_progress() {},
    on_broken: (words) => change({
      phase: "failed",
      notice: `The engine stopped: ${words}. Your sheet is safe, and a new engine stands ready. Change the last line, or try again.`,
    }),
  });
  on_other_tab(() => change({ other_tab: true }));
  const before = kept();
  if (before) {
    Object.assign(state, before);
    await load();
  } else {
    await load_example("woman");
  }
}

// Whatever is kept, again: another tab changed it.
export async function load_kept() {
  Object.assign(state, kept(), { other_tab: false });
  await load();
}

export async function load_example(figure) {
  const [answer] = await engine.ask({ call: "example", figure });
  if (!usable(answer)) return;
  await load_text(`${figure === "woman" ? "contralto" : "example"}.toml`, answer.text);
  change({ example: true });
}

export async function load_file(file) {
  const read = await opened(file);
  if (read.refused) change({ notice: read.refused });
  else await load_text(read.file, read.text);
}

export async function load_size(name) {
  const [answer] = await engine.ask({ call: "size", name, unit: state.given.head.unit ?? "cm" });
  if (!usable(answer)) return;
  if (answer.ok) await load_text(`${name.replace(":", "-")}.toml`, answer.text);
  else change({ notice: answer.findings.map((finding) => finding.message).join("; ") });
}

export async function load_empty() {
  const words = state.given.head.unit ?? "cm";
  const [answer] = await engine.ask({ call: "set", sheet: { file: "sheet.toml", text: "" }, line: { head: "unit" }, words });
  if (usable(answer) && answer.ok) await load_text("sheet.toml", answer.text);
}

async function load_text(file, text) {
  waiting.clear();
  Object.assign(state, { file, text, drafts: {}, given: { head: {}, measures: {}, shapes: {}, missing: [] } });
  await load();
}

// A sheet from outside: nothing known of the last one holds.
async function load() {
  change({ refused: {}, doubts: {}, made: null, check: null, solid: null, findings: [], notice: null, example: false });
  remember();
  // The lines can be seen, and typed into, before there is a body.
  if (!state.questions) await ask_questions();
  await look(true);
  await ask_room();
}

const FIGURES = ["woman", "man", "child"];
const WAISTS = ["natural", "iso", "navel"];

async function ask_questions() {
  const { figure, waist, unit } = state.given.head;
  const request = { call: "questions" };
  if (FIGURES.includes(figure)) request.figure = figure;
  if (WAISTS.includes(waist)) request.waist = waist;
  if (unit) request.unit = unit;
  const asked = JSON.stringify(request);
  if (state.questions?.asked === asked) return;
  const [answer] = await engine.ask(request, "questions");
  if (usable(answer) && answer.ok) change({ questions: { ...answer, asked } });
}

// Checks the sheet, and fetches the body where there is one.
async function look(fresh = false) {
  const [answer] = await engine.ask({ call: "check", sheet: sheet(), room: room(), fresh }, "check");
  if (!usable(answer)) return;
  if (answer.given) state.given = answer.given;
  state.findings = answer.ok ? answer.in_short : answer.findings;
  if (answer.ok) state.check = answer;
  state.behind = !answer.ok;
  if (answer.misasked) state.notice = answer.misasked;
  await ask_questions();
  if (answer.ok) {
    const [facts, bytes] = await engine.ask({ call: "solid" }, "solid");
    if (usable(facts) && facts.ok) change({ solid: { facts, bytes } });
    if (facts === STALE) return;
    await ask_thread();
    const [cost] = await engine.ask({ call: "cost", room: room() }, "cost");
    if (usable(cost)) change({ cost: cost.ok ? cost : null });
  }
  if (!state.making) change({ phase: state.made ? "made" : "body" });
}

export function look_again() {
  change({ notice: null });
  return look(true);
}

async function ask_thread() {
  const measure = state.focus;
  if (!measure || !state.solid) return change({ thread: [] });
  const [answer] = await engine.ask({ call: "thread", measure }, "thread");
  if (usable(answer)) change({ thread: answer.ok && measure === state.focus ? answer.threads : [] });
}

// What waits to be written into the sheet, by line.
const waiting = new Map();
let writing = false;
let quiet = null;
// A refusal is shown when the hand has rested so long, ms: half a number is no mistake.
const REST = 700;

export function type(line, words) {
  const key = key_of(line);
  state.drafts = { ...state.drafts, [key]: words };
  clearTimeout(quiet);
  quiet = setTimeout(() => change({ typing: null }), REST);
  change({ typing: key, example: false });
  waiting.set(key, { line, words });
  write();
}

// Writes line after line, then looks at the whole. Words that come in meanwhile are written first.
async function write() {
  if (writing) return;
  writing = true;
  const before = state.text;
  try {
    while (waiting.size > 0) {
      const [key, { line, words }] = waiting.entries().next().value;
      waiting.delete(key);
      const request = { call: "set", sheet: sheet(), line, words: words.trim() === "" ? null : words };
      const [answer] = await engine.ask(request);
      if (!usable(answer)) continue;
      const { [key]: _, ...refused } = state.refused;
      const { [key]: __, ...doubts } = state.doubts;
      if (answer.ok) {
        Object.assign(state, { text: answer.text, given: answer.given, made: null });
        if (answer.read_as) doubts[key] = answer;
        // A draft that has been taken stays while the hand is on the line; then the sheet's words stand.
        if (state.hand !== key) drop_draft(key);
      } else {
        refused[key] = answer.findings;
      }
      change({ refused, doubts });
      remember();
    }
  } finally {
    writing = false;
  }
  if (state.text !== before) look();
}

function drop_draft(key) {
  const { [key]: _, ...drafts } = state.drafts;
  state.drafts = drafts;
}

// `has_tape`: the line is a measurement; its tape is laid on the body.
export function focus(key, has_tape = true) {
  change(has_tape ? { focus: key, hand: key } : { hand: key });
  if (has_tape) ask_thread();
}

export function leave(key) {
  if (!state.refused[key] && !waiting.has(key)) drop_draft(key);
  change({ typing: null, hand: null });
}

// Takes back what was typed: the sheet's own words stand.
export function take_back(key) {
  drop_draft(key);
  const { [key]: _, ...refused } = state.refused;
  change({ refused });
  remember();
}

export const set_depth = (depth) => change({ depth });
export const dismiss = () => change({ notice: null });
export const keep_file = () => save(state.file, state.text, "application/toml");

export async function ask_systems() {
  if (state.systems) return;
  const [answer] = await engine.ask({ call: "systems" });
  if (usable(answer) && answer.ok) change({ systems: answer.systems });
}

// The room.

async function ask_room() {
  const [answer] = await engine.ask({ call: "room", room: room() }, "room");
  if (usable(answer) && answer.ok) change({ questions_of_room: answer.questions });
}

export async function answer_room(asked, words) {
  const request = { call: "set_room", room: room(), asked, words: words.trim() === "" ? null : words };
  const [answer] = await engine.ask(request);
  if (!usable(answer)) return;
  const { [asked]: _, ...room_refused } = state.room_refused;
  if (!answer.ok) return change({ room_refused: { ...room_refused, [asked]: { words, findings: answer.findings } } });
  change({ room: answer.text, questions_of_room: answer.questions ?? state.questions_of_room, room_refused, choices: null, made: null });
  remember();
  await look();
}

export async function ask_choices(asked) {
  if (state.choices?.asked === asked) return change({ choices: null });
  const [answer] = await engine.ask({ call: "choices", room: room(), asked }, "choices");
  if (usable(answer) && answer.ok) change({ choices: { asked, ...answer } });
}

// The folder. It is made by an engine of its own, so that the sheet goes on answering.

export async function make() {
  maker?.stop();
  maker = new Engine(module, {
    on_progress: (permille, words) => state.making && change({ making: { permille, words } }),
    on_broken: (words) => change({
      phase: "failed", making: null,
      notice: `The folder was not made: the engine stopped (${words}). Your sheet is safe; make it again, or change the last line.`,
    }),
  });
  change({ phase: "building", making: { permille: 0, words: "beginning" }, made: null, notice: null });
  const [answer] = await maker.ask({ call: "build", sheet: sheet(), room: room() });
  if (!usable(answer)) return;
  change({ making: null });
  if (answer.ok) change({ phase: "made", made: answer });
  else change({ phase: "failed", findings: answer.findings, notice: "The folder was not made; the reasons stand in the sheet." });
}

export function stop_making() {
  maker?.stop();
  maker = null;
  change({ making: null, phase: "body", notice: "Stopped. Nothing was made." });
}

export async function save_one(name) {
  const [answer, bytes] = await maker.ask({ call: "file", name });
  if (usable(answer) && answer.ok) save(name.split("/").pop(), bytes, "application/octet-stream");
}

export async function save_all() {
  const { name, files } = state.made;
  const [answer, bytes] = await maker.ask({ call: "zip", folder: name, names: files.map((file) => file.name) });
  if (usable(answer)) save(`${name}.zip`, bytes, "application/zip");
}
