// Moves the bytes of the second copy into and out of the origin private file
// system, where only a worker can flush. It knows no rule: what the bytes mean
// and who heals whom is decided in the core. Every message is answered by its
// id, with `ok` or with an error's name. Messages are handled one at a time.
//
// A place is a folder. Its log is `log-<n>`; the live one has the greatest n
// with a marker `whole-<n>` beside it (or is `log-0`). So a log that is written
// anew counts only once it is whole, and the one before it is left for salvage.
"use strict";

const missing = (error) => error.name === "NotFoundError";

async function folder(place, name) {
  const isAble = navigator.storage?.getDirectory && globalThis.FileSystemFileHandle?.prototype.createSyncAccessHandle;
  if (!isAble) throw new DOMException("no private file system here", "NotSupportedError");
  let dir = await navigator.storage.getDirectory();
  for (const part of ["quaywright", place, name]) if (part) dir = await dir.getDirectoryHandle(part, { create: true });
  return dir;
}

// A page that has just died may hold the file a little longer.
async function patiently(open) {
  for (let waited = 0; ; waited += 50) {
    try { return await open(); } catch (error) {
      if (error.name !== "NoModificationAllowedError" || waited >= 2000) throw error;
    }
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}

// Some engines answer these calls with promises, so each is awaited.
async function access(dir, name, create, work) {
  const file = await dir.getFileHandle(name, { create });
  const handle = await patiently(() => file.createSyncAccessHandle());
  try { return await work(handle); } finally { await handle.close(); }
}

async function read(handle, from, to) {
  const bytes = new Uint8Array(to - from);
  const count = await handle.read(bytes, { at: from });
  return count === bytes.length ? bytes : bytes.slice(0, count);
}

async function write(handle, at, bytes) {
  if ((await handle.getSize()) < at) throw new DOMException("the file is shorter than it was", "InvalidStateError");
  if ((await handle.write(bytes, { at })) !== bytes.length) throw new DOMException("no room", "QuotaExceededError");
  await handle.truncate(at + bytes.length);
  await handle.flush();
}

async function live(dir) {
  let n = 0;
  for await (const name of dir.keys()) if (name.startsWith("whole-")) n = Math.max(n, Number(name.slice(6)));
  return n;
}

// Where each place's live log is, as it was last read or written anew. A person
// waits for `write`, and whoever begins to write has read the end before.
const logs = {};
const find = async (place) => (logs[place] = await folder(place).then(async (dir) => ({ dir, n: await live(dir) })));

async function readLog(place, from) {
  const { dir, n } = await find(place);
  return access(dir, `log-${n}`, false, async (handle) => {
    const length = await handle.getSize();
    return { length, bytes: await read(handle, from(length), length) };
  }).catch((error) => { if (missing(error)) return { length: 0, bytes: new Uint8Array(0) }; throw error; });
}

const commands = {
  end: ({ place, most }) => readLog(place, (length) => Math.max(0, length - most)),
  whole: async ({ place }) => (await readLog(place, () => 0)).bytes,
  async write({ place, at, bytes }) {
    const { dir, n } = logs[place] ?? await find(place);
    await access(dir, `log-${n}`, true, (handle) => write(handle, at, bytes));
  },
  async rewrite({ place, bytes }) {
    const { dir, n } = await find(place);
    await access(dir, `log-${n + 1}`, true, (handle) => write(handle, 0, bytes));
    await dir.getFileHandle(`whole-${n + 1}`, { create: true });
    logs[place].n = n + 1;
    for (const old of [`whole-${n - 1}`, `log-${n - 1}`]) await dir.removeEntry(old).catch(() => {});
  },
  async put({ place, name, bytes }) {
    const dir = await folder(place, "photos"), canMove = "move" in FileSystemFileHandle.prototype;
    const part = canMove ? `${name}.part` : name;
    await access(dir, part, true, (handle) => write(handle, 0, bytes));
    if (!canMove) return;
    await dir.removeEntry(name).catch(() => {});
    await (await dir.getFileHandle(part)).move(name);
  },
  get: async ({ place, name }) => access(await folder(place, "photos"), name, false, async (handle) => read(handle, 0, await handle.getSize()))
    .catch((error) => { if (missing(error)) return null; throw error; }),
  async list({ place }) {
    const names = [];
    for await (const name of (await folder(place, "photos")).keys()) if (!name.endsWith(".part")) names.push(name);
    return names;
  },
};

let last = Promise.resolve();
onmessage = ({ data }) => {
  last = last.then(async () => {
    try {
      const ok = (await commands[data.what](data)) ?? null;
      const buffer = (ok?.bytes ?? ok)?.buffer;
      postMessage({ id: data.id, ok }, buffer ? [buffer] : []);
    } catch (error) {
      postMessage({ id: data.id, error: error.name, message: String(error.message) });
    }
  });
};
