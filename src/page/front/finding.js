// What the program says about a line, in its own words.
import { html } from "./view.js";

const SEVERITY = { note: "to know", warning: "look again", refusal: "cannot be" };

export function Finding({ finding }) {
  return html`<p class=${`finding ${finding.severity}`}><b>${SEVERITY[finding.severity]}</b> ${finding.message}.
    ${finding.hint && html` <span class="hint">${finding.hint}.</span>`}</p>`;
}
