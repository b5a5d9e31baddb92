// Python in a thread of its own: it loads, takes back what was kept, and answers. What a request changed is in the
// browser's own database, flushed, before the answer goes out.
import { loadPyodide } from "./py/pyodide.mjs";
import factory from "./py/pyodide.asm.mjs";
import { forget, remembered, stands } from "./memory.mjs";
import { python as begun } from "./python.mjs";

const NAME = "jobs.sqlite3", PATH = `/data/${NAME}`, PART = 16384;
const marks = {}, began = performance.now();
const mark = (name) => { marks[name] = Math.round(performance.now() - began); };
let database = null, last = null, python = null;

const done = (request) => new Promise((resolve, reject) => { request.onsuccess = () => resolve(request.result); request.onerror = () => reject(request.error); });

async function opened(base) {
  const request = indexedDB.open(`ventwright ${base}`, 1);
  request.onupgradeneeded = () => request.result.createObjectStore("parts");
  return done(request);
}

async function taken() {
  const parts = database.transaction("parts").objectStore("parts");
  const [length, all] = await Promise.all([done(parts.get([NAME, "length"])), done(parts.getAll(IDBKeyRange.bound([NAME, 0], [NAME, Infinity])))]);
  if (length === undefined) return null;
  const whole = new Uint8Array(length);
  all.forEach((part, number) => whole.set(part, number * PART));
  return whole;
}

// Only the parts of the file that changed are written, in one transaction that is on the disk when it ends: a phone
// that dies in it has the file from before.
async function put() {
  const now = python.FS.readFile(PATH), before = last || new Uint8Array(0);
  const writing = database.transaction("parts", "readwrite", { durability: "strict" }), parts = writing.objectStore("parts");
  const ended = new Promise((resolve, reject) => { writing.oncomplete = resolve; writing.onabort = writing.onerror = () => reject(writing.error || new Error("no room")); });
  for (let number = 0; number * PART < now.length; number++) {
    const from = number * PART, part = now.subarray(from, from + PART), old = before.subarray(from, from + PART);
    if (part.length !== old.length || part.some((one, at) => one !== old[at])) parts.put(part.slice(), [NAME, number]);
  }
  if (before.length > now.length) parts.delete(IDBKeyRange.bound([NAME, Math.ceil(now.length / PART)], [NAME, Infinity]));
  parts.put(now.length, [NAME, "length"]);
  await ended;
  last = now;
}

let writing = null, following = null;
function keep() { // one at a time; whoever comes meanwhile shares the next
  if (!writing) return (writing = put().finally(() => { writing = null; }));
  following ||= writing.catch(() => {}).then(() => { following = null; return keep(); });
  return following;
}

async function keepOlder(path) {
  const copying = database.transaction("parts", "readwrite", { durability: "strict" });
  copying.objectStore("parts").put(python.FS.readFile(path), ["before", path]);
  return new Promise((resolve, reject) => { copying.oncomplete = resolve; copying.onerror = copying.onabort = () => reject(copying.error); });
}

async function posted(base, text) {
  try {
    const answer = await fetch(new URL("../sync", new URL(base, location.origin)), { method: "POST", body: text, headers: { "content-type": "application/json" }, cache: "no-store" });
    return JSON.stringify({ status: answer.status, text: await answer.text() });
  } catch { return JSON.stringify({ status: 0, text: "" }); }
}

// From the memory that was kept, or else from the beginning.
async function stood(base, edition, read) {
  const memory = await remembered(base, edition);
  if (memory) {
    try {
      const python = await begun({ loadPyodide, factory }, `${base}py/`, read, { memory });
      python.runPython("from ventwright.web.on_phone.engine import awake\nawake()");
      marks.remembered = true;
      return python;
    } catch (failure) { console.info("not from memory:", failure); await forget(base, edition); }
  }
  return begun({ loadPyodide, factory }, `${base}py/`, read);
}

async function begin({ base, origin, edition }) {
  const say = (step) => postMessage({ step });
  const read = async (name) => {
    const answer = await fetch(`${base}py/${name}`);
    if (!answer.ok) throw new Error(`${name} did not come`);
    return new Uint8Array(await answer.arrayBuffer());
  };
  database = await opened(base);
  const before = taken();
  python = await stood(base, edition, read);
  mark("python");
  last = await before;
  if (last) python.FS.writeFile(PATH, last);
  say("Starting on this phone: the engine is nearly there.");
  const { Engine } = python.pyimport("ventwright.web.on_phone.engine");
  mark("imported");
  const engine = Engine(PATH, keep, base, origin);
  for (const path of engine.older()) await keepOlder(path);
  await engine.start((text) => posted(base, text));
  mark("opened");
  self.onmessage = async ({ data }) => {
    const answer = await engine.answer(data.method, data.path, data.query, data.headers, python.toPy(data.body || new Uint8Array(0)));
    const [status, headers, content] = answer.toJs();
    answer.destroy();
    postMessage({ id: data.id, status, headers, body: content.slice() });
  };
  marks.memory = python._module.HEAP8.length;
  postMessage({ ready: marks });
  if (marks.remembered) await stands(base);
}

self.onmessage = ({ data }) => begin(data).catch((failure) => {
  const whole = String(failure.message || failure).trim();
  console.info(whole);
  const said = whole.split("\n").findLast((line) => /^[\w.]+: /.test(line)) || whole.split("\n").pop();
  postMessage({ failed: said.replace(/^[\w.]*Refused: /, ""), kept: last?.slice() });
});
