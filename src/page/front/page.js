// The whole page: the sheet and the workshop on the left, the body on the right.
import { html } from "./view.js";
import { state, dismiss, load_file, load_kept, look_again } from "./session.js";
import { Sheet } from "./sheet.js";
import { Start } from "./start.js";
import { Workshop } from "./workshop.js";
import { Body } from "./body.js";

function Notices() {
  return html`<div class="notices" role="status" aria-live="polite">
    ${state.notice && html`<p class="notice">${state.notice}
      ${state.phase === "failed" && state.text && html`<button onClick=${look_again}>try again</button>`}
      <button onClick=${dismiss} aria-label="put this message away">put away</button></p>`}
    ${!state.keeps && html`<p class="notice">This browser keeps nothing for this page: press “keep as a file”
      before you close it.</p>`}
    ${state.other_tab && html`<p class="notice">Another tab has changed the kept sheet. What you type here takes its
      place. <button onClick=${load_kept}>show what the other tab has</button></p>`}
  </div>`;
}

function drop(event) {
  event.preventDefault();
  const file = event.dataTransfer?.files[0];
  if (file) load_file(file);
}

export function Page() {
  if (!state.questions) {
    return html`<div class="opening"><h1>layfigure</h1><p role="status">${state.notice ?? "One moment: the page is unpacked."}</p></div>`;
  }
  return html`<div class="page" onDragOver=${(event) => event.preventDefault()} onDrop=${drop}>
    <div class="paper">
      <header><h1>layfigure</h1>
        <p>From a sheet of tape measurements, a stand-in form to cut and stack. Nothing leaves this page.</p></header>
      <${Notices} />
      <${Start} />
      <${Sheet} />
      <${Workshop} />
    </div>
    <${Body} />
  </div>`;
}
