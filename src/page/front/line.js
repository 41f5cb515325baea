// One line of the sheet: its name, what is typed, what is estimated, and what the program says about it.
import { html } from "./view.js";
import { state, type, focus, leave, take_back } from "./session.js";
import { Finding } from "./finding.js";

const needed = () => html`<span class="needed"> needed</span>`;
const SIDES = ["left", "right"];

// What the form has where nothing was measured, or what it misses where something was.
function beside(key) {
  const of = (at) => {
    const measure = state.check?.check.measures.find((one) => one.key === at);
    return measure && { measure, words: state.check.words[at] };
  };
  const whole = of(key);
  if (whole) return told(whole);
  const sides = SIDES.map((side) => [side, of(`${key}.${side}`)]).filter(([, found]) => found);
  if (sides.length === 0) return null;
  const [first, second] = sides.map(([, found]) => told(found));
  if (!second || (first.words === second.words)) return first;
  if (sides.every(([, found]) => found.measure.origin === "given") && first.words === "" && second.words === "") return first;
  return { kind: first.kind, words: sides.map(([side], at) => `${side} ${[first, second][at].words}`).join(", ") };
}

function told({ measure, words }) {
  if (!words) return { kind: "none", words: "" };
  if (measure.origin !== "given") return { kind: "guess", words: `${words.asked} ${words.plus_minus ?? ""}` };
  if (measure.within_tolerance === false) return { kind: "missed", words: `the form has ${words.solid}` };
  return { kind: "met", words: "" };
}

// What the reading of the last answer needs beside its findings.
function Doubts({ of }) {
  if (!of) return null;
  return html`
    ${of.may_be_drop && html`<p class="finding warning"><b>look again</b> Is that degrees? If it is how far the shoulder
      drops, write its unit after it.</p>`}
    ${of.slip != null && html`<p class="finding warning"><b>look again</b> Two readings lie so far apart that one is
      hardly a try. Measure once more.</p>`}
    ${of.slip == null && of.apart != null && html`<p class="finding note"><b>to know</b> The readings differ more than
      tries usually do. A third one settles it.</p>`}`;
}

export function MeasureLine({ measure, findings, next, again, missing }) {
  const { key } = measure;
  const line = { measure: key };
  const draft = state.drafts[key];
  const given = state.given.measures[key] ?? "";
  const refused = state.typing === key ? [] : state.refused[key] ?? [];
  const found = beside(key);
  // Between two bodies an estimate beside a reading would be that of the body before.
  const at = found?.kind === "guess" && given ? null : found;
  const here = state.hand === key;
  const id = `line-${key}`;
  const doubts = state.typing === key ? null : state.doubts[key];
  const quiet = state.typing === key && refused.length === 0;
  return html`<div class=${`line ${here ? "here" : ""}`}>
    <label for=${id}>${measure.name}${missing && needed()}</label>
    <input id=${id} value=${draft ?? given} autocomplete="off" spellcheck=${false} enterkeyhint="next"
      inputmode="text" aria-describedby=${`${id}-told`} aria-invalid=${refused.length > 0}
      onFocus=${() => focus(key)} onBlur=${() => leave(key)}
      onInput=${(event) => type(line, event.currentTarget.value)}
      onKeyDown=${(event) => keyed(event, key)} />
    <span class=${`beside ${at?.kind ?? ""}`}>${at?.kind === "guess" && html`<span class="unseen">estimated </span>`}${at?.words}</span>
    <div class="told" id=${`${id}-told`}>
      ${here && html`<p class="how">${measure.definition}.<br />${measure.how}. <i>Expect ${measure.expected}.</i>
        ${measure.sides && html` Both sides: <i>left 13.4 right 12.8</i>.`}</p>`}
      ${!quiet && html`<div aria-live="polite">
        ${refused.map((finding) => html`<${Finding} finding=${finding} />`)}
        ${refused.length > 0 && html`<p class="finding"><button onClick=${() => take_back(key)}>
          ${given ? `leave it at ${given}` : "leave it empty"}</button></p>`}
        ${findings.map((finding) => html`<${Finding} finding=${finding} />`)}
        <${Doubts} of=${doubts} /></div>`}
      ${next && !given && html`<p class="finding next"><b>measure next</b> it would tell most about this body.</p>`}
      ${again && findings.length === 0 && here && html`<p class="finding next"><b>once more</b> a second reading here is worth most.</p>`}
    </div>
  </div>`;
}

// Enter and the arrows go from line to line; Escape takes back.
function keyed(event, key) {
  const step = { Enter: 1, ArrowDown: 1, ArrowUp: -1 }[event.key];
  if (event.key === "Escape") take_back(key);
  if (!step) return;
  event.preventDefault();
  const lines = [...document.querySelectorAll(".line input, .line select")];
  lines[lines.indexOf(event.currentTarget) + step]?.focus();
}

export function HeadLine({ line, missing = false }) {
  const id = `head-${line.key}`;
  const value = state.drafts[line.key] ?? state.given.head[line.key] ?? "";
  const refused = state.typing === line.key ? [] : state.refused[line.key] ?? [];
  const changed = (event) => type({ head: line.key }, event.currentTarget.value);
  const common = { id, "aria-describedby": `${id}-told`, onFocus: () => focus_head(line.key), onBlur: () => leave(line.key) };
  const known = line.choices.find((choice) => choice.word === value || choice.writes === value);
  const here = state.hand === line.key;
  return html`<div class=${`headline ${here ? "here" : ""}`}><label for=${id}>${line.title}${missing && needed()}</label>
    ${line.choices.length === 0
      ? html`<input ...${common} value=${value} autocomplete="off" onInput=${changed} />`
      : html`<select ...${common} value=${known?.word ?? value} onChange=${changed}>
          ${!known && html`<option value=${value}>${value || (line.without ? `as usual (${line.without})` : "")}</option>`}
          ${line.choices.map((choice) => html`<option value=${choice.word}>${choice.word}</option>`)}
        </select>`}
    <div class="told" id=${`${id}-told`}>${here && html`<p class="how">${line.tell}</p>`}
      ${refused.map((finding) => html`<${Finding} finding=${finding} />`)}</div></div>`;
}

// The head has no tape: the body stays as it is turned.
function focus_head(key) {
  focus(key, false);
}

export function ShapeLine({ shape }) {
  const id = `shape-${shape.key}`;
  const value = state.drafts[shape.key] ?? state.given.shapes[shape.key] ?? "";
  const means = shape.words.find((one) => one.word === value)?.means;
  return html`<div class=${`line ${state.hand === shape.key ? "here" : ""}`}><label for=${id}>${shape.title}</label>
    <select id=${id} value=${value} aria-describedby=${`${id}-told`} onFocus=${() => focus_head(shape.key)}
      onBlur=${() => leave(shape.key)} onChange=${(event) => type({ shape: shape.key }, event.currentTarget.value)}>
      <option value="">not said</option>
      ${shape.words.map((one) => html`<option value=${one.word}>${one.word}</option>`)}
    </select><span class="beside">${means}</span>
    <div class="told" id=${`${id}-told`}>${state.hand === shape.key && html`<p class="how">${shape.question}
      ${" "}${shape.words.map((one) => `${one.word}: ${one.means}`).join("; ")}.</p>`}</div></div>`;
}
