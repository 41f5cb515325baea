// Makes the page: `node build.mjs ENGINE.wasm OUT.html`. One file, which asks nothing of any network.
// Same input, same bytes out.
import { createHash } from "node:crypto";
import { readFile, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";
import { build } from "esbuild";

const here = dirname(fileURLToPath(import.meta.url));
const [engine, out] = process.argv.slice(2);
if (!engine || !out) {
  console.error("node build.mjs ENGINE.wasm OUT.html");
  process.exit(2);
}

// A script in one piece. A closing tag inside it would end the element that holds it.
async function bundled(entry, define = {}) {
  const made = await build({
    entryPoints: [join(here, entry)],
    bundle: true,
    minify: true,
    write: false,
    format: "iife",
    target: ["chrome90", "firefox90", "safari15"],
    legalComments: "none",
    charset: "utf8",
    define,
  });
  return made.outputFiles[0].text.replaceAll("</script", "<\\/script").trim();
}

const worker = await bundled("worker.js");
const script = await bundled("main.js", { WORKER_SOURCE: JSON.stringify(worker) });
const style = (await build({
  entryPoints: [join(here, "sheet.css")], minify: true, write: false, charset: "utf8",
})).outputFiles[0].text.trim();
const packed = gzipSync(await readFile(engine), { level: 9 });
// The header of gzip names the system it was packed on (RFC 1952, 2.3.1: 255 is "unknown").
packed[9] = 255;
const template = await readFile(join(here, "page.html"), "utf8");

const digest = (text) => `'sha256-${createHash("sha256").update(text).digest("base64")}'`;
const policy = [
  "default-src 'none'",
  `script-src ${digest(script)} 'wasm-unsafe-eval'`,
  `style-src ${digest(style)}`,
  "worker-src blob:",
  "img-src blob: data:",
  "base-uri 'none'",
  "form-action 'none'",
].join("; ");
const parts = { policy, style, script, engine: packed.toString("base64") };
const page = template.replace(/@(policy|style|script|engine)@/g, (_, name) => parts[name]);
await writeFile(out, page);
console.log(`${out}: ${(page.length / 1e6).toFixed(2)} MB`);
