// Answers for the files of the edition that the person accepted, each by its hash; it runs no Python and decides nothing.
const SCOPE = new URL(self.registration.scope);

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));
self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== location.origin || !url.pathname.startsWith(SCOPE.pathname)) return;
  if (event.request.cache === "no-store") return; // the shell asks what is new
  event.respondWith(answer(event.request, url));
});

async function answer(request, url) {
  const kept = await caches.open(`ventwright ${SCOPE.pathname}`);
  const accepted = await (await kept.match(`${SCOPE.pathname}accepted`))?.json();
  const path = request.mode === "navigate" ? "index.html" : url.pathname.slice(SCOPE.pathname.length);
  const file = accepted?.files[path];
  const held = file && await kept.match(`${SCOPE.pathname}held/${file.sha256}`);
  if (!held) return fetch(request);
  if (path !== "index.html") return held;
  // a page deep in the app starts the same shell: what it names stands at the app's own address
  const text = (await held.text()).replaceAll('"./', `"${SCOPE.pathname}`);
  return new Response(text, { headers: { "content-type": "text/html; charset=utf-8" } });
}
