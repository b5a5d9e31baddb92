// The memory of an engine that stands ready, kept on this phone: the next start goes on from it instead of importing
// everything again. It belongs to one edition and one browser; whatever is wrong with it, the app starts without.
const place = (base, edition) => `${base}memory/${edition}`;
const kept = (base) => caches.open(`ventwright ${base}`);
const trying = (base) => `${base}memory/trying`;

// The memory, which fills while the rest is begun, or null: none was kept, it is another browser's, or a start from it
// did not end well.
export async function remembered(base, edition) {
  try {
    const cache = await kept(base), found = await cache.match(place(base, edition));
    if (!found) return null;
    if (found.headers.get("x-browser") !== navigator.userAgent || await cache.match(trying(base))) { await forget(base, edition); return null; }
    await cache.put(trying(base), new Response("")); // taken away when the engine has answered for itself
    const bytes = new Uint8Array(Number(found.headers.get("x-bytes"))), filled = fill(bytes, found.body);
    filled.catch(() => {}); // said by whoever waits for it
    return { bytes, filled };
  } catch { return null; }
}

async function fill(bytes, packed) {
  const reader = packed.pipeThrough(new DecompressionStream("gzip")).getReader();
  let at = 0;
  for (let part = await reader.read(); !part.done; part = await reader.read()) { bytes.set(part.value, at); at += part.value.length; }
  if (at !== bytes.length) throw new Error("The memory that was kept is not whole.");
}

export async function stands(base) { await (await kept(base)).delete(trying(base)); }

export async function forget(base, edition) {
  const cache = await kept(base);
  for (const one of [place(base, edition), trying(base)]) await cache.delete(one);
}

export async function is_kept(base, edition) { return Boolean(await (await kept(base)).match(place(base, edition))); }

export async function keep(base, edition, memory) {
  const packed = new Response(new Blob([memory]).stream().pipeThrough(new CompressionStream("gzip")));
  await (await kept(base)).put(place(base, edition), new Response(await packed.blob(), { headers: { "x-browser": navigator.userAgent, "x-bytes": String(memory.length) } }));
}
