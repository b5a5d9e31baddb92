// The pages' fetches, answered by the engine: it stands in for the server at the app's own addresses.
const NOT_THE_ENGINES = /^(files\/|py\/|held\/|memory\/|accepted$|edition\.json$|sw\.js$|[\w.]+\.mjs$|index\.html$|manifest\.webmanifest$|notices\.txt$)/;
const network = globalThis.fetch.bind(globalThis);
const waiting = new Map();
let worker = null, count = 0, seen = () => {}, first = null, under_way = 0;
let told;
const engine = new Promise((resolve, reject) => { told = { resolve, reject }; });
engine.catch(() => {}); // said by whoever started it

export function start(base, step, edition) {
  worker = new Worker(new URL("worker.mjs", import.meta.url), { type: "module" });
  worker.onerror = (event) => told.reject(new Error(event.message || "The engine could not be loaded in this browser."));
  worker.onmessage = ({ data }) => {
    if (data.step) step(data.step);
    else if (data.ready) { Object.assign(globalThis.ventwright, data.ready); told.resolve(); }
    else if (data.failed) told.reject(Object.assign(new Error(data.failed), { kept: data.kept }));
    else { waiting.get(data.id)(data); waiting.delete(data.id); }
  };
  worker.postMessage({ base, origin: location.origin, edition });
  return engine;
}

async function ask(request) {
  await engine;
  return new Promise((resolve) => { const id = ++count; waiting.set(id, resolve); worker.postMessage({ id, ...request }); });
}

export function answering(base, when_seen) {
  seen = when_seen;
  globalThis.fetch = async (input, options) => {
    const request = new Request(input, options), url = new URL(request.url);
    if (url.origin !== location.origin || !url.pathname.startsWith(base) || NOT_THE_ENGINES.test(url.pathname.slice(base.length))) return network(input, options);
    if (first && request.method === "GET" && first.url === request.url) { const one = first; first = null; return one; }
    return ours(request, url);
  };
}

async function ours(request, url) {
  under_way++;
  const headers = JSON.stringify([...request.headers]);
  const body = ["GET", "HEAD"].includes(request.method) ? null : new Uint8Array(await request.arrayBuffer());
  let answer = await ask({ method: request.method, path: url.pathname, query: url.search.slice(1), headers, body }), at = url;
  for (let hop = 0; hop < 5 && [301, 302, 303, 307, 308].includes(answer.status); hop++) { // an answer made in script cannot send anybody on
    const onward = new URL(JSON.parse(answer.headers).find(([name]) => name === "location")[1], at);
    if (onward.origin !== url.origin) break;
    at = onward;
    answer = await ask({ method: "GET", path: at.pathname, query: at.search.slice(1), headers, body: null });
  }
  const given = new Response(answer.body, { status: answer.status, headers: JSON.parse(answer.headers) });
  Object.defineProperty(given, "url", { value: at.href });
  if (answer.status === 200 && (given.headers.get("content-type") || "").startsWith("text/html")) given.clone().text().then((text) => seen(at, text));
  return given;
}

export const ready = {
  // The page of the address that the app was opened at, unless the person has asked for another one meanwhile.
  async first(base) {
    if (under_way) return;
    const answer = await fetch(location.href);
    if (under_way > 1) return;
    const page = (answer.headers.get("content-type") || "").startsWith("text/html") && (await answer.clone().text()).includes('class="frame"');
    if (page) first = answer;
    else history.replaceState(history.state, "", new URL(".", location.href).pathname.replace(/\/$/, "") || base); // a file, or the printed record: the page it hangs on
    await placed(() => dispatchEvent(new PopStateEvent("popstate", { state: history.state })));
  },
};

function placed(begin) {
  return new Promise((resolve) => {
    const look = new MutationObserver(() => { look.disconnect(); resolve(); });
    look.observe(document.body, { childList: true });
    begin();
  });
}
