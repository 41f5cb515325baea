// Files in and out of the page.

// A sheet is a page of text; what is larger is something else.
const LARGEST_SHEET = 1_000_000;

// Reads a sheet: `{file, text}`, or `{refused}` in words.
export async function opened(file) {
  if (file.size > LARGEST_SHEET) {
    return { refused: `“${file.name}” is too large for a measurement sheet, which is a page of text. Take the .toml file.` };
  }
  try {
    const text = new TextDecoder("utf-8", { fatal: true }).decode(await file.arrayBuffer());
    return { file: file.name, text };
  } catch {
    return { refused: `“${file.name}” is not text. A measurement sheet is a .toml file.` };
  }
}

// Gives the person a file to save.
export function save(name, content, type) {
  const address = URL.createObjectURL(new Blob([content], { type }));
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  link.click();
  // The browser reads it after the click; a minute is plenty, and then the memory is let go.
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
