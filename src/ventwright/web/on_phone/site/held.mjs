// The files of the app on the phone: each under its hash, fetched once, and held against that hash when it comes.
const KINDS = { html: "text/html; charset=utf-8", js: "text/javascript; charset=utf-8", mjs: "text/javascript; charset=utf-8", css: "text/css; charset=utf-8", svg: "image/svg+xml", png: "image/png", so: "application/wasm", wasm: "application/wasm", json: "application/json", webmanifest: "application/manifest+json", zip: "application/zip", txt: "text/plain; charset=utf-8" };
const kept = (base) => caches.open(`ventwright ${base}`);
const held = (base, file) => `${base}held/${file.sha256}`;

// A list of files by its name, "accepted" for the one in use; with a list, keep it under that name.
export async function asked(base, name, list) {
  const cache = await kept(base);
  if (list) { await cache.put(base + name, new Response(JSON.stringify(list), { headers: { "content-type": "application/json" } })); return list; }
  return (await cache.match(base + name))?.json();
}

export async function newest(base) {
  const answer = await fetch(`${base}edition.json`, { cache: "no-store" });
  if (!answer.ok) throw new Error("The app's files are not where they came from.");
  return answer.json();
}

export async function missing(base, list) {
  const there = new Set((await (await kept(base)).keys()).map((one) => new URL(one.url).pathname));
  const found = Object.entries(list.files).filter(([, file]) => !there.has(held(base, file)));
  return found.map(([path, file]) => ({ path, ...file }));
}

export async function hold(base, files, far = () => {}) {
  const cache = await kept(base), all = files.reduce((sum, one) => sum + one.bytes, 0);
  let done = 0;
  for (const file of files) {
    const answer = await fetch(`${base}${file.path}?${file.sha256}`, { cache: "no-store" });
    if (!answer.ok || !answer.body) throw new Error("A file of the app did not come; it goes on from there the next time.");
    const parts = [], reader = answer.body.getReader();
    for (let part = await reader.read(); !part.done; part = await reader.read()) { parts.push(part.value); done += part.value.length; far(done, all); }
    const content = await new Blob(parts).arrayBuffer();
    const sum = [...new Uint8Array(await crypto.subtle.digest("SHA-256", content))].map((one) => one.toString(16).padStart(2, "0")).join("");
    if (sum !== file.sha256) throw new Error("A file of the app came damaged, or is of another edition; it is fetched anew the next time.");
    const kind = KINDS[file.path.split(".").pop()] || "application/octet-stream";
    await cache.put(held(base, file), new Response(content, { headers: { "content-type": kind, "content-length": String(content.byteLength) } }));
  }
}

// What no list in use names any more.
export async function drop(base, list) {
  const cache = await kept(base), used = new Set(Object.values(list.files).map((file) => held(base, file)));
  for (const one of await cache.keys()) {
    const path = new URL(one.url).pathname;
    const of_another = path.startsWith(`${base}memory/`) && path !== `${base}memory/${list.edition}`;
    if (of_another || (path.startsWith(`${base}held/`) && !used.has(path))) await cache.delete(one);
  }
}
