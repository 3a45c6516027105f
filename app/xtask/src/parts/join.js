// Joins parts of the program to it when they are wanted. A part shares memory,
// stack and table with the program that it was cut from; all of their names bear
// one hash, so that no other is ever taken.
import { initSync } from "./PROGRAM.js";

const coming = new Map();

async function bring(file) {
  const answer = await fetch(new URL(file, import.meta.url));
  if (!answer.ok) throw new Error(`${file}: ${answer.status}`);
  const shared = { __wasm_split: initSync() };
  if (answer.headers.get("content-type") === "application/wasm") return WebAssembly.instantiateStreaming(answer, shared);
  return WebAssembly.instantiate(await answer.arrayBuffer(), shared);
}

// What could not be brought is asked for again the next time.
function once(file) {
  if (!coming.has(file)) {
    const bringing = bring(file);
    bringing.catch(() => coming.delete(file));
    coming.set(file, bringing);
  }
  return coming.get(file);
}

const join = (...files) => async (callback, data) => {
  let there = true;
  try {
    await Promise.all(files.map(once));
  } catch (reason) {
    console.error(reason);
    there = false;
  }
  initSync().__indirect_function_table.get(callback)(data, there);
};

