// Runs a program built for wasip1, as `go test -exec` wants it: node wasi.mjs PROGRAM ARGS.
import { readFile } from 'node:fs/promises'
import process from 'node:process'
import { WASI } from 'node:wasi'

const [program, ...args] = process.argv.slice(2)
const wasi = new WASI({
  version: 'preview1',
  args: [program, ...args],
  env: { ...process.env, PWD: process.cwd() },
  preopens: { '/': '/' },
  returnOnExit: true,
})
const module = await WebAssembly.compile(await readFile(program))
process.exitCode = wasi.start(await WebAssembly.instantiate(module, wasi.getImportObject()))
