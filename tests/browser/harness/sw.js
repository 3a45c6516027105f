// Asks the server for something while it is installed, and tells when asked whether the network is there.
addEventListener('install', event => event.waitUntil(fetch('asked-by-service-worker.txt').then(() => skipWaiting())));
addEventListener('activate', event => event.waitUntil(clients.claim()));
addEventListener('message', event => {
    fetch('asked-later.txt').then(() => 'online', () => 'offline').then(word => event.source.postMessage(word));
});
