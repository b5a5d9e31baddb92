// Python as it stands on the phone, begun the same way by the worker, by the build and by tests.
const LOCK = { info: { abi_version: "2026_0", arch: "wasm32", platform: "emscripten_5_0_3", python: "3.14.2", version: "314.0.7" }, packages: {} };

// read(NAME) gives a file of the folder "py"; without it, bare Python is begun.
export async function python(loadPyodide, indexURL, read) {
  const files = read && Promise.all(["finder.py", "libraries.table", "ventwright.table", "parts.zip", "ventwright.zip"].map(read));
  const quick = read?.("dataclasses.table").catch(() => null); // only the build does without
  files?.catch(() => {});
  const begun = await loadPyodide({ indexURL, lockFileContents: LOCK });
  if (!read) return begun;
  const [finder, libraries, program, parts, beside] = await files;
  begun.FS.mkdirTree("/app");
  begun.FS.mkdirTree("/data");
  begun.FS.writeFile("/app/finder.py", finder);
  for (const one of [parts, beside]) begun.unpackArchive(one, "zip", { extractDir: "/app" });
  begun.runPython("import sys; sys.path.insert(0, '/app')");
  const { find_in, quicken } = begun.pyimport("finder");
  for (const one of [libraries, program]) find_in(begun.toPy(one).tobytes(), "/app");
  const recorded = await quick;
  if (recorded) quicken(begun.toPy(recorded).tobytes());
  return begun;
}
