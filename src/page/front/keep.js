// What the browser keeps of a sheet between two visits. Nothing leaves the browser.
const PLACE = "layfigure.sheet";

// The kept sheet: `{file, text, room, drafts}`, or null.
export function kept() {
  try {
    const found = JSON.parse(localStorage.getItem(PLACE));
    const whole = typeof found?.file === "string" && typeof found.text === "string" && typeof found.room === "string";
    return whole ? { ...found, drafts: { ...found.drafts } } : null;
  } catch {
    return null;
  }
}

// Keeps it; false where the browser keeps nothing, or is full.
export function keep(what) {
  try {
    localStorage.setItem(PLACE, JSON.stringify(what));
    return true;
  } catch {
    return false;
  }
}

// Calls when another tab of the same browser keeps another sheet.
export function on_other_tab(call) {
  addEventListener("storage", (event) => event.key === PLACE && event.newValue !== null && call());
}
