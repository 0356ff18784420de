// Puts page and engine into one HTML file: node build.mjs ENGINE.js ENGINE.wasm OUT.html
import { createHash } from "node:crypto";
import { readFileSync, renameSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

const [engineScript, engineCode, out] = process.argv.slice(2);
const here = dirname(fileURLToPath(import.meta.url));
const read = (name) => readFileSync(join(here, name), "utf8");

const bundle = async (entry, extra) => {
  const result = await build({
    entryPoints: [join(here, entry)],
    bundle: true,
    minify: true,
    write: false,
    format: "iife",
    target: "es2020",
    jsx: "automatic",
    jsxImportSource: "preact",
    legalComments: "inline",
    ...extra,
  });
  return result.outputFiles[0].text;
};

// Inside a script element nothing may look like its end.
const inline = (text) => text.replace(/<\/(script)/gi, "<\\/$1").replace(/<!--/g, "<\\!--");

const script = inline(await bundle("main.tsx", {}));
const worker = inline(readFileSync(engineScript, "utf8") + read("worker.js"));
const hash = createHash("sha256").update(script).digest("base64");
const csp = [
  "default-src 'none'",
  `script-src 'sha256-${hash}' 'wasm-unsafe-eval' blob:`,
  "worker-src blob:",
  "style-src 'unsafe-inline'",
  "img-src data: blob:",
  "base-uri 'none'",
  "form-action 'none'",
].join("; ");

const parts = {
  CSP: csp,
  STYLE: read("style.css"),
  TEAM: "",
  WASM: readFileSync(engineCode).toString("base64"),
  ENGINE: worker,
  SCRIPT: script,
};
const html = read("index.html").replace(/@(CSP|STYLE|TEAM|WASM|ENGINE|SCRIPT)@/g, (_, name) => parts[name]);
writeFileSync(`${out}.part`, html);
renameSync(`${out}.part`, out);
