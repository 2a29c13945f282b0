// What a page does with the module, here for node: page.mjs wasm_exec.js module.wasm position.json
import { readFileSync } from 'node:fs'
import { pathToFileURL } from 'node:url'

const [, , exec, module, position] = process.argv
globalThis.fitgeomReady = () => {
	console.log(JSON.stringify(fitgeomSheet(readFileSync(position, 'utf8'), ['saddle_setback', 'bar_drop_hoods'])))
	console.log(JSON.stringify(fitgeomSheet('{"schema": "fitgeom/position"}', [])))
	process.exit()
}
await import(pathToFileURL(exec))
const go = new Go()
const { instance } = await WebAssembly.instantiate(readFileSync(module), go.importObject)
go.run(instance)
