// Asks the server for something, then writes into the origin private file system.
onmessage = async event => {
    await fetch('asked-by-worker.txt');
    const folder = await navigator.storage.getDirectory();
    const file = await folder.getFileHandle('copy', { create: true });
    const handle = await file.createSyncAccessHandle();
    handle.write(new TextEncoder().encode(event.data));
    handle.flush();
    handle.close();
    postMessage('written');
};
