// The measurement sheet: who it is, then line after line in the order in which a helper measures.
import { html } from "./view.js";
import { state, set_depth } from "./session.js";
import { HeadLine, MeasureLine, ShapeLine } from "./line.js";
import { Finding } from "./finding.js";

// How much is measured: each takes in those before it.
const DEPTHS = ["few", "usual", "all"];
const DEPTH_WORDS = { few: "the few that matter most", usual: "the usual ones", all: "all there are" };

// What everybody answers; the rest of the head is folded away.
const FIRST_OF_HEAD = ["name", "figure", "unit", "waist"];

// What only says that a needed line is empty: that stands at the line itself.
const SAID_AT_THE_LINE = ["Missing", "NoLength", "NoFigure"];

// Findings by the line they are about; those about none come under null.
function by_line(questions) {
  const lines = new Set(questions.rounds.flatMap((round) => round.measures.map((measure) => measure.key)));
  const found = new Map([[null, []]]);
  for (const finding of state.findings) {
    if (SAID_AT_THE_LINE.includes(finding.fact)) continue;
    const key = finding.measure?.replace(/\.(left|right)$/, "") ?? null;
    const place = lines.has(key) ? key : null;
    found.set(place, [...(found.get(place) ?? []), finding]);
  }
  return found;
}

// A line is shown when it is asked at this depth, and always when it holds something.
function shown(measure) {
  return DEPTHS.indexOf(measure.depth) <= DEPTHS.indexOf(state.depth)
    || measure.needed
    || measure.key in state.given.measures
    || measure.key in state.drafts;
}

function Head({ head }) {
  const no_figure = state.findings.some((finding) => finding.fact === "NoFigure");
  const first = FIRST_OF_HEAD.map((key) => head.find((line) => line.key === key)).filter(Boolean);
  const rest = head.filter((line) => !FIRST_OF_HEAD.includes(line.key));
  return html`<div class="head">${first.map((line) => html`<${HeadLine} key=${line.key} line=${line}
      missing=${no_figure && line.key === "figure"} />`)}</div>
    ${rest.length > 0 && html`<details class="more"><summary>more about the sheet</summary>
      <div class="head">${rest.map((line) => html`<${HeadLine} key=${line.key} line=${line} />`)}</div></details>`}`;
}

export function Sheet() {
  const { questions, check } = state;
  const found = by_line(questions);
  const next = new Set((check?.check.next ?? []).map((one) => one.key));
  const again = new Set(check?.check.again ?? []);
  const missing = new Set(state.given.missing ?? []);
  return html`<section class="sheet" aria-label="measurement sheet">
    <${Head} head=${questions.head} />
    <div class="findings">${found.get(null).map((finding) => html`<${Finding} finding=${finding} />`)}</div>
    <p class="depth"><label for="depth">How much is measured</label>
      <select id="depth" value=${state.depth} onChange=${(event) => set_depth(event.currentTarget.value)}>
        ${DEPTHS.map((depth) => html`<option value=${depth}>${DEPTH_WORDS[depth]}</option>`)}</select></p>
    ${questions.rounds.map((round) => {
      const lines = round.measures.filter(shown);
      return lines.length > 0 && html`<section class="round" key=${round.title}>
        <h2>${round.title}</h2>
        <details class="ready"><summary>before you begin</summary><p>${round.ready}</p></details>
        ${lines.map((measure) => html`<${MeasureLine} key=${measure.key} measure=${measure}
          findings=${found.get(measure.key) ?? []} next=${next.has(measure.key)} again=${again.has(measure.key)}
          missing=${missing.has(measure.key)} />`)}
      </section>`;
    })}
    <section class="round"><h2>in words</h2>
      ${questions.shapes.map((shape) => html`<${ShapeLine} key=${shape.key} shape=${shape} />`)}
    </section>
  </section>`;
}
