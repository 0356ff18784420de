// For every demo team and every shipped system the page's engine answers as the native program does:
//   node engine.mjs ENGINE.js SIXTURN PROJECT
import { execFileSync } from "node:child_process";
import { readFileSync, readdirSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join, resolve } from "node:path";

const [engineFile, program, project] = process.argv.slice(2).map((p) => resolve(p));
const NEAR = 1e-9; // of the larger: the same sums in another order of the last digits

// The build leaves a script and its code; as CommonJS from their own folder.
const source = readFileSync(engineFile, "utf8");
const module = { exports: {} };
new Function("module", "exports", "require", "__dirname", "__filename", source + "\nmodule.exports = sixturnEngine;")(
  module, module.exports, createRequire(engineFile), dirname(engineFile), engineFile);
const engine = await module.exports({ wasmBinary: readFileSync(engineFile.replace(/js$/, "wasm")) });

function ask(request) {
  const text = JSON.stringify({ format: "sixturn-request-1", ...request });
  const length = engine.lengthBytesUTF8(text);
  const at = engine._malloc(length + 1);
  engine.stringToUTF8(text, at, length + 1);
  const answer = engine._sx_door_ask(at, length);
  const told = JSON.parse(engine.UTF8ToString(answer));
  engine._free(answer);
  engine._free(at);
  return told;
}

function differences(a, b, path = "") {
  if (typeof a === "number" && typeof b === "number") {
    return Math.abs(a - b) <= NEAR * Math.max(1, Math.abs(a), Math.abs(b)) ? [] : [`${path}: ${a} and ${b}`];
  }
  if (a && b && typeof a === "object" && typeof b === "object") {
    return [...new Set([...Object.keys(a), ...Object.keys(b)])].flatMap((k) => differences(a[k], b[k], `${path}/${k}`));
  }
  return a === b ? [] : [`${path}: ${JSON.stringify(a)} and ${JSON.stringify(b)}`];
}

function native(...words) {
  try {
    return JSON.parse(execFileSync(program, [...words, "--json"], { encoding: "utf8", stdio: ["ignore", "pipe", "ignore"] }));
  } catch (error) {
    if (error.status === 1) return null; // no such lineup
    throw error;
  }
}

let wrong = 0;
let compared = 0;
const systems = readdirSync(join(project, "datasets/systems")).map((name) => name.replace(".json", ""));
for (const name of ["junior-12", "club-16"]) {
  const file = join(project, `datasets/${name}.json`);
  const team = JSON.parse(readFileSync(file, "utf8"));
  for (const system of systems) {
    for (const question of ["plan", "odds"]) {
      const here = ask({ question, team, system });
      const there = native(question, file, "--system", system);
      if (question === "plan") delete there?.sure; // which the door's quick plan leaves out
      const found = there === null ? (here.status === "no" ? [] : ["a lineup where the program has none"])
        : differences(here.answer, there);
      compared += there !== null;
      if (found.length) {
        wrong++;
        console.log(`${name}, ${system}, ${question}: ${found.length} differ, first ${found[0]} ${here.error?.text ?? ""}`);
      }
    }
  }
  for (const [question, more, words] of [
    ["rank", {}, []],
    ["receive", { options: { rotation: 3 } }, ["--rotation", "3"]],
    ["moment", { moment: { score: "14-17", rotation: 3, serving: "them", used: 2 } },
      ["--score", "14-17", "--rotation", "3", "--serving", "them", "--used", "2"]],
  ]) {
    const found = differences(ask({ question, team, ...more }).answer, native(question, file, ...words));
    compared++;
    if (found.length) {
      wrong++;
      console.log(`${name}, ${question}: ${found.length} differ, first ${found[0]}`);
    }
  }
}
console.log(`${compared} answers compared, ${wrong} differ`);
process.exit(wrong || compared < systems.length ? 1 : 0);
