import { html, render } from "./view.js";
import { open } from "./session.js";
import { Page } from "./page.js";

open(() => render(html`<${Page} />`, document.getElementById("page")));
