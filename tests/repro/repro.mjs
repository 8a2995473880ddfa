// repro.mjs: prints the reproducibility hash of a WebAssembly build.   node repro.mjs repro.wasm
import { readFileSync } from "node:fs";

const text = (memory, at) => Buffer.from(memory.buffer).subarray(at).toString("latin1").split("\0", 1)[0];
let memory;
const host = {
  assertion_failed(truth, file, line) {
    throw new Error(`${text(memory, file)}:${line}: ${text(memory, truth)}`);
  },
};
const { instance } = await WebAssembly.instantiate(readFileSync(process.argv[2]), { host });
memory = instance.exports.memory;
console.log(BigInt.asUintN(64, instance.exports.thew_repro_hash()).toString(16).padStart(16, "0"));
