// One document for as long as the app is open: it starts the engine, answers the pages' fetches with it, and keeps what
// was seen last, so that there is something to look at and to type into before the engine is ready.
import { answering, ready, start } from "./engine.mjs";
import { away } from "./away.mjs";
import { fresh } from "./fresh.mjs";
import { asked, hold, missing, newest } from "./held.mjs";
import { is_kept } from "./memory.mjs";
import { keepSeen, showSeen } from "./seen.mjs";
import { failed, shareBy, step, stepped, told } from "./said.mjs";

const base = new URL(".", import.meta.url).pathname;
const marks = (globalThis.ventwright = { began: performance.now() });

try {
  const lacking = ["serviceWorker", "locks"].filter((one) => !(one in navigator)).concat(["caches", "indexedDB", "WebAssembly"].filter((one) => !(one in globalThis)));
  if (!isSecureContext) throw new Error("This address is plain http; a phone takes the app over https alone.");
  if (lacking.length) throw new Error("This browser is too old, or is kept from storing anything.");
  if (showSeen(base)) marks.seen = performance.now();
  await alone();
  await filed();
  await begun();
} catch (failure) {
  failed(base, failure);
}

// Two tabs would each hold a copy of the jobs, and the last to write would win: the second waits for the first to close.
function alone() {
  const name = `ventwright ${base}`;
  return new Promise((resolve) => {
    const held = () => { resolve(); return new Promise(() => {}); };
    navigator.locks.request(name, { ifAvailable: true }, (lock) => {
      if (lock) return held();
      step("The app is open in another tab or window. Close that one, and this one goes on.");
      document.documentElement.dataset.second = "yes";
      navigator.locks.request(name, () => { location.reload(); return new Promise(() => {}); });
      return null;
    });
  });
}

// The files are on the phone before anything runs: what was fetched before a broken connection is not fetched again.
async function filed() {
  let accepted = await asked(base, "accepted");
  if (!accepted) accepted = await newest(base);
  const lacking = await missing(base, accepted);
  if (lacking.length) {
    step("Fetching the app. Once it is here it works with no network.");
    await hold(base, lacking, stepped);
  }
  await asked(base, "accepted", accepted);
  marks.edition = accepted.edition;
  const waiting = navigator.serviceWorker.register(`${base}sw.js`, { scope: base, updateViaCache: "none" });
  if (navigator.serviceWorker.controller) { waiting.catch(() => {}); return; }
  await waiting;
  await navigator.serviceWorker.ready;
  if (!navigator.serviceWorker.controller) await new Promise((resolve) => navigator.serviceWorker.addEventListener("controllerchange", resolve, { once: true }));
  marks.filed = performance.now();
}

async function begun() {
  answering(base, keepSeen);
  told(marks.edition);
  away(base);
  await import(`${base}${document.body.dataset.files}/app.js`); // timers, drafts and the rest, on what is shown already
  step("Starting on this phone.");
  await start(base, step, marks.edition);
  marks.ready = performance.now();
  await ready.first(base);
  marks.first = performance.now();
  document.getElementById("starting").hidden = true;
  document.documentElement.dataset.ready = "yes";
  navigator.storage?.persist?.().catch(() => {});
  shareBy(base);
  fresh(base, marks.edition);
  setTimeout(remember, 10_000);
}

// Once in an edition, while the app is in use: an engine is begun beside the one in use, and its memory kept for the next start.
async function remember() {
  if (await is_kept(base, marks.edition)) return;
  const worker = new Worker(new URL("memory_worker.mjs", import.meta.url), { type: "module" });
  worker.onmessage = ({ data }) => { if (data.kept) document.documentElement.dataset.remembered = "yes"; worker.terminate(); };
  worker.postMessage({ base, edition: marks.edition });
}
