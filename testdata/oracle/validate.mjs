// Judges documents by the bundled schema with a validator of JavaScript: a line of 1 or 0 for
// each line of the input. Run by .ci/prove documents, with node 20 and ajv 8.17.1 (JSON Schema
// 2020-12):
//
//   npm i ajv@8.17.1 && node validate.mjs schema.v1.json < documents.jsonl
import { readFileSync } from "node:fs"
import { createInterface } from "node:readline"
import { createRequire } from "node:module"

const require = createRequire(process.cwd() + "/") // where npm put it
const Ajv = require("ajv/dist/2020").default

const validate = new Ajv({ strict: false }).compile(JSON.parse(readFileSync(process.argv[2], "utf8")))
for await (const line of createInterface({ input: process.stdin })) console.log(validate(JSON.parse(line)) ? 1 : 0)
