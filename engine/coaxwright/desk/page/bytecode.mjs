// Run by node when a single file is made: what the engine loads for its first verdict, as bytecode of the runtime in a folder.
// node bytecode.mjs FOLDER: reads engine.bin (a parcel) and the runtime there, writes bytecode.bin (a parcel).
import { readFileSync, writeFileSync } from "node:fs";

const folder = process.argv[2];
const { loadPyodide } = await import(`${folder}/pyodide.mjs`);
const info = { abi_version: "2026_0", arch: "wasm32", platform: "emscripten_5_0_3", python: "3.14.2" };
const python = await loadPyodide({
  indexURL: `${folder}/`,
  lockFileContents: JSON.stringify({ info, packages: {} }),
  env: { HOME: "/home/pyodide", PYTHONPATH: "/engine", PYTHONHASHSEED: "0" },
  fsInit: async (system) => layOut(system, new Uint8Array(readFileSync(`${folder}/engine.bin`))),
});
writeFileSync(`${folder}/bytecode.bin`, python.pyimport("coaxwright.desk.inside").loaded_for_a_verdict().toJs());

function layOut(system, parcel) {
  let at = 4 + new DataView(parcel.buffer).getUint32(0);
  for (const [name, length] of JSON.parse(new TextDecoder().decode(parcel.subarray(4, at)))) {
    system.mkdirTree(`/engine/${name}`.replace(/\/[^/]*$/, ""));
    system.writeFile(`/engine/${name}`, parcel.slice(at, (at += length)));
  }
}
