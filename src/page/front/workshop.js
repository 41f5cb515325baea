// The workshop as questions, what a form takes, and the folder.
import { html } from "./view.js";
import { state, answer_room, ask_choices, make, stop_making, save_all, save_one } from "./session.js";
import { Finding } from "./finding.js";

function Question({ question }) {
  const { asked } = question;
  const id = `room-${asked.replaceAll(" ", "-")}`;
  const refused = state.room_refused[asked];
  const changed = (event) => answer_room(asked, event.currentTarget.value);
  const value = refused?.words ?? question.given ?? "";
  const usual = question.without ? `as usual: ${question.without}` : "";
  const plain = question.choices.length > 0 && (value === "" || question.choices.includes(value));
  const table = state.choices?.asked === asked ? state.choices : null;
  return html`<div class="question"><label for=${id}>${asked}</label>
    ${plain
      ? html`<select id=${id} value=${value} aria-describedby=${`${id}-told`} onChange=${changed}>
          <option value="">${usual}</option>${question.choices.map((choice) => html`<option value=${choice}>${choice}</option>`)}</select>`
      : html`<input id=${id} value=${value} placeholder=${usual} autocomplete="off" aria-describedby=${`${id}-told`} onChange=${changed} />`}
    <div class="told" id=${`${id}-told`}><p class="how">${question.tell}</p>
      ${refused?.findings.map((finding) => html`<${Finding} finding=${finding} />`)}</div>
    ${COMPARED.includes(asked) && html`<p><button onClick=${() => ask_choices(asked)} aria-expanded=${Boolean(table)}>
      what each would take</button></p>`}
    ${table && html`<${Choices} table=${table} />`}</div>`;
}

// The questions whose answers change what a form takes.
const COMPARED = ["material", "ten sheets", "board", "machine", "paper"];

function Choices({ table }) {
  if (table.rows.length === 0) return html`<p>${table.words || "Nothing to choose from here."}</p>`;
  return html`<div class="wide"><table><thead><tr>${table.heads.map((head) => html`<th scope="col">${head}</th>`)}</tr></thead>
    <tbody>${table.rows.map((row) => html`<tr>${row.cells.map((cell, at) => html`<td>${at > 0 ? cell
      : html`<button onClick=${() => answer_room(table.asked, row.answer)}>${cell}</button>`}</td>`)}</tr>`)}</tbody></table></div>`;
}

const MINUTES = 60;
const hours = ([least, most]) => `${Math.round(least / MINUTES)} to ${Math.round(most / MINUTES)} hours`;

export function Cost() {
  const { cost } = state;
  if (!cost) return null;
  const parts = [
    `${cost.layers} layers of ${cost.material}`,
    `${cost.boards} boards`,
    `${cost.pages} pages`,
    `${cost.weight.toFixed(1)} kg`,
    `${hours(cost.minutes_by_hand)} by hand`,
  ];
  if (cost.cost != null) parts.push(`${cost.cost} ${cost.currency}`);
  return html`<p class="cost" role="status">${parts.join(", ")}.</p>`;
}

const PERMILLE = 1000;
const KILO = 1000;

function Folder() {
  const { making, made } = state;
  if (making) {
    return html`<p class="making"><label for="progress" aria-live="polite">${making.words}</label>
      <progress id="progress" max=${PERMILLE} value=${making.permille}></progress>
      <button onClick=${stop_making}>stop</button></p>`;
  }
  return html`<p><button class="make" onClick=${make} disabled=${!state.solid || state.behind}>make the folder</button>
      ${(!state.solid || state.behind) && html` <span class="beside">when the sheet makes a body</span>`}</p>
    ${made && html`<div class="made"><p role="status">${made.files.length} files are ready.
      ${" "}<button onClick=${save_all}>save all as one zip</button></p>
      ${told(made).map((words) => html`<p>${words}</p>`)}
      <ul>${made.files.map(({ name, size }) => html`<li key=${name}><button class="plain" onClick=${() => save_one(name)}>${name}</button>
        ${" "}<span>${Math.ceil(size / KILO)} kB</span></li>`)}</ul></div>`}`;
}

const told = (made) => [made.told].flat().filter(Boolean).flatMap((words) => String(words).split("\n"));

export function Workshop() {
  const questions = state.questions_of_room ?? [];
  return html`<section class="workshop" aria-label="workshop"><h2>the workshop</h2>
    <${Cost} />
    <details><summary>with what it is made</summary>
      ${questions.map((question) => html`<${Question} key=${question.asked} question=${question} />`)}</details>
    <${Folder} /></section>`;
}
