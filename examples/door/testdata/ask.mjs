// Asks from Node: node ask.mjs wasm_exec.js door.wasm <request.json
// In a browser the same: load wasm_exec.js, fetch door.wasm, and call fitgeomAnswer(text).
import { readFileSync } from "node:fs";
import { pathToFileURL } from "node:url";

const [, , exec, wasm] = process.argv;
await import(pathToFileURL(exec));
const go = new globalThis.Go();
const { instance } = await WebAssembly.instantiate(readFileSync(wasm), go.importObject);
go.run(instance);
process.stdout.write(await globalThis.fitgeomAnswer(readFileSync(0, "utf8")), () => process.exit(0));
