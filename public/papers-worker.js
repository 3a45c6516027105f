// Starts the part of the program that makes documents and takes files in. It is
// a WebAssembly module of its own, which a start of the app does not wait for;
// what it is asked and answers is written down in app/papers/src/wire.rs.
"use strict";

importScripts("papers.js");
// The page gives it compiled, or nothing where it could not; the module then hears the rest itself.
onmessage = ({ data }) => {
  // A module that does not load is told as this worker's error.
  wasm_bindgen({ module_or_path: data ?? "papers_bg.wasm" }).catch((reason) => setTimeout(() => { throw reason; }));
};
