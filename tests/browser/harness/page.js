// The behaviour of the made-up page that the harness is tried on.
const byId = id => document.getElementById(id);

document.addEventListener('freeze', () => sessionStorage.slept = 'yes');

window.ticks = 0;
setInterval(() => ticks += 1, 20);

let counted = 0;
let kinds = [];
addEventListener('touchstart', () => kinds.push('touch'));
byId('count').addEventListener('click', event => {
    kinds.push(event.pointerType);
    counted += 1;
    byId('counted').textContent = `${counted} counted by ${kinds.join('+')}`;
});
byId('photo').addEventListener('change', event => {
    byId('photos').textContent = [...event.target.files].map(it => `${it.name}:${it.size}`).join(' ');
});
document.querySelector('[aria-label=Deep]').addEventListener('click', () => byId('deep').textContent = 'reached');
byId('file').href = URL.createObjectURL(new Blob(['job,hours\n'], { type: 'text/csv' }));

const opened = new Promise((done, failed) => {
    const asked = indexedDB.open('made-up', 1);
    asked.onupgradeneeded = event => {
        window.dataLoss = event.dataLoss;
        asked.result.createObjectStore('kept', { autoIncrement: true });
    };
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error);
});

// Resolves when the value is on the disk, as far as the browser can tell.
window.keep = async value => {
    const work = (await opened).transaction('kept', 'readwrite', { durability: 'strict' });
    work.objectStore('kept').add(value);
    return new Promise((done, failed) => {
        work.oncomplete = () => done(true);
        work.onabort = () => failed(work.error);
    });
};
window.kept = async () => {
    const asked = (await opened).transaction('kept').objectStore('kept').getAll();
    return new Promise((done, failed) => {
        asked.onsuccess = () => done(asked.result);
        asked.onerror = () => failed(asked.error);
    });
};

// Bytes like a photo's: Chromium compresses what it can, so a large value has to be noise.
window.photo = size => {
    const bytes = new Uint8Array(size);
    for (let at = 0; at < size; at += 65536) crypto.getRandomValues(bytes.subarray(at, at + 65536));
    return bytes;
};

// A second copy, in the origin private file system.
window.copy = text => new Promise((done, failed) => {
    const worker = new Worker('worker.js');
    worker.onmessage = event => done(event.data);
    worker.onerror = () => failed(new Error('the worker failed'));
    worker.postMessage(text);
});
