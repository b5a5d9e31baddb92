// Python as it stands on the phone, begun the same way by the worker, by the build and by tests.
export const LOCK = { info: { abi_version: "2026_0", arch: "wasm32", platform: "emscripten_5_0_3", python: "3.14.2", version: "314.0.7" }, packages: {} };
const NATIVE = "pydantic_core.so", NATIVE_AT = "/app/pydantic_core/_pydantic_core.cpython-314-wasm32-emscripten.so";

// runtime holds loadPyodide and the module's own factory; read(NAME) gives a file of the folder "py".
// making: its memory can be kept when it stands; memory: that of one that was kept, from which it goes on once it is filled.
export async function python({ loadPyodide, factory }, indexURL, read, { making = false, memory = null } = {}) {
  const laid = Promise.all(["finder.py", "parts.pack", "ventwright.pack", NATIVE].map(read));
  const tables = memory ? [] : Promise.all(["libraries.table", "ventwright.table"].map(read));
  const quick = memory ? null : read("dataclasses.table").catch(() => null); // only the build does without
  for (const one of [laid, tables]) if (one.catch) one.catch(() => {});
  const begun = await loadPyodide({ indexURL, lockFileContents: LOCK, _makeSnapshot: making, ...(memory && { _loadSnapshot: memory.bytes }), createPyodideModule });
  const [finder, parts, beside, native] = await laid;
  begun.FS.mkdirTree("/app");
  begun.FS.mkdirTree("/data");
  begun.FS.writeFile("/app/finder.py", finder);
  for (const one of [parts, beside]) unpack(begun.FS, one);
  begun.FS.mkdirTree(NATIVE_AT.slice(0, NATIVE_AT.lastIndexOf("/")));
  begun.FS.writeFile(NATIVE_AT, native, { canOwn: true });
  if (memory) return begun;
  for (const [number, one] of (await tables).entries()) begun.FS.writeFile(`/data/${number}.table`, one, { canOwn: true });
  const recorded = await quick;
  if (recorded) begun.FS.writeFile("/data/recorded", recorded, { canOwn: true });
  begun.runPython(BEGIN);
  return begun;

  // The library in machine code is loaded before Python begins, so that it lies at the same place whenever that is done.
  async function createPyodideModule(settings) {
    const found = settings.locateFile;
    settings.dynamicLibraries = [NATIVE_AT];
    settings.locateFile = (name) => (name === NATIVE_AT ? indexURL + NATIVE : found(name));
    const made = await factory(settings);
    if (memory) {
      made._malloc(memory.bytes.length); // room for what is put over it at once
      await memory.filled;
    }
    return made;
  }
}

const BEGIN = `
import os, sys
sys.path.insert(0, "/app")
from finder import find_in, quicken
for name in ("0.table", "1.table", "recorded"):
    path = f"/data/{name}"
    if os.path.exists(path):
        with open(path, "rb") as held:
            quicken(held.read()) if name == "recorded" else find_in(held.read(), "/app")
        os.unlink(path)
`;

// A pack: how long its index is, the index (place and length of each file by its name), the files one after the other.
function unpack(FS, pack) {
  const length = new DataView(pack.buffer, pack.byteOffset).getUint32(0, true), begins = 4 + length;
  const index = JSON.parse(new TextDecoder().decode(pack.subarray(4, begins))), made = new Set();
  for (const [name, [at, size]] of Object.entries(index)) {
    const path = `/app/${name}`, folder = path.slice(0, path.lastIndexOf("/"));
    if (!made.has(folder)) { FS.mkdirTree(folder); made.add(folder); }
    FS.writeFile(path, pack.subarray(begins + at, begins + at + size), { canOwn: true });
  }
}
