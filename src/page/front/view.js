// The view library, bound once. Texts given to it are escaped; nothing here writes HTML of its own.
import { h, render } from "preact";
import htm from "htm";

export const html = htm.bind(h);
export { render };
