// Where a sheet comes from, and where it is kept.
import { html } from "./view.js";
import { state, load_file, load_size, load_empty, load_example, keep_file, ask_systems } from "./session.js";

function pick(event) {
  const file = event.currentTarget.files[0];
  // The same file may be picked again.
  event.currentTarget.value = "";
  if (file) load_file(file);
}

function Sizes() {
  if (!state.systems) return html`<p>One moment.</p>`;
  return state.systems.filter((system) => system.makes_forms).map((system) => {
    const columns = system.columns ?? [];
    const names = columns.length
      ? system.sizes.flatMap((size) => columns.map((column) => `${size}-${column}`))
      : system.sizes;
    const id = `size-${system.system}`;
    return html`<p class="size" key=${system.system}><label for=${id}>${system.title}</label>
      <select id=${id} onChange=${(event) => event.currentTarget.value && load_size(event.currentTarget.value)}>
        <option value="">choose a size</option>
        ${names.map((name) => html`<option value=${`${system.system}:${name}`}>${name}</option>`)}
      </select></p>`;
  });
}

export function Start() {
  return html`<section class="start" aria-label="where the sheet comes from">
    ${state.example && html`<p>This is the sheet of an invented contralto, to look at. Begin your own, or change this one.</p>`}
    <p class="doings">
      <button onClick=${load_empty}>empty sheet</button>
      <label class="file">open a sheet<input type="file" accept=".toml,text/plain" onChange=${pick} /></label>
      <button onClick=${keep_file}>keep as a file</button>
      ${!state.example && html`<button onClick=${() => load_example("woman")}>see the example</button>`}
    </p>
    <details onToggle=${(event) => event.currentTarget.open && ask_systems()}>
      <summary>begin with a size</summary><${Sizes} /></details>
  </section>`;
}
