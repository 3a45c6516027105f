// Starts the office's part of the program: a WebAssembly module of its own, which
// nothing but the office page loads. It holds the office's store; what it is asked
// and answers is written down in app/desk/src/wire.rs.
"use strict";

importScripts("desk.js");
// A module that does not load is told as this worker's error.
wasm_bindgen({ module_or_path: "desk_bg.wasm" }).catch((reason) => setTimeout(() => { throw reason; }));
