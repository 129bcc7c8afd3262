// Keeps the member's page at hand, so that it opens without a connection. What the server has is always taken first;
// nothing of /api, /chat or the coach's pages is kept.

const shelf = 'tallybell-1';
const shell = ['/', '/assets/base.css', '/assets/member.css', '/assets/member.js', '/assets/card.js', '/assets/dom.js', '/assets/join.js',
  '/assets/log.js', '/assets/outbox.js', '/assets/pace.js', '/assets/replybox.js',
  '/assets/sending.js', '/assets/transcript.js', '/assets/wire.js', '/assets/bell.svg'];

self.addEventListener('install', (event) => {
  event.waitUntil(caches.open(shelf).then((cache) => cache.addAll(shell)).then(() => self.skipWaiting()));
});

self.addEventListener('activate', (event) => {
  event.waitUntil(caches.keys().then((names) => Promise.all(names.filter((n) => n !== shelf).map((n) => caches.delete(n))))
    .then(() => self.clients.claim()));
});

self.addEventListener('fetch', (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== 'GET' || url.origin !== location.origin || !shell.includes(url.pathname)) return;
  event.respondWith(fetch(event.request).then((response) => {
    if (response.ok) {
      const copy = response.clone();
      caches.open(shelf).then((cache) => cache.put(url.pathname, copy));
    }
    return response;
  }).catch(() => caches.match(url.pathname)));
});
