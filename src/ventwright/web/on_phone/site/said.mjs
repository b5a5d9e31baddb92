// What the person is told while the app starts, when it cannot, and how sharing begins by itself.
export function step(words) { const place = document.getElementById("step"); if (place) place.textContent = words; }

export function stepped(done, all) {
  const bar = document.getElementById("far");
  bar.hidden = false;
  bar.value = done / all;
  step(`Fetching the app: ${(done / 1e6).toFixed(1)} of ${(all / 1e6).toFixed(1)} MB. Once it is here it works with no network.`);
}

export function failed(base, failure) {
  document.documentElement.dataset.failed = "yes";
  const part = document.createElement("section");
  part.className = "alarm";
  const offline = failure instanceof TypeError && !navigator.onLine;
  part.innerHTML = "<h1>The app could not start here</h1><p></p><p>What is kept on this phone stays, and what you typed too. <a>The pages of the server</a> work in any browser while there is a network.</p>";
  part.querySelector("p").textContent = offline ? "There is no network, and the app is not on this phone yet." : failure.message;
  part.querySelector("a").href = new URL("..", new URL(base, location.origin)).href;
  if (failure.kept) {
    const save = document.createElement("a");
    save.className = "button";
    save.download = "jobs.sqlite3";
    save.href = URL.createObjectURL(new Blob([failure.kept]));
    save.textContent = "Save what is kept here as a file";
    part.append(save);
  }
  document.getElementById("starting").hidden = true;
  document.querySelector(".frame").before(part);
  console.info("not started:", failure);
}

// On opening, and whenever the network comes back: no browser of every phone can do it while the app is closed.
export function shareBy(base) {
  const run = () => fetch(`${base}share`, { method: "POST" }).catch(() => {});
  addEventListener("online", run);
  if (navigator.onLine) run();
}

// What only the browser knows, filled into whichever page asks for it: room on the phone, the edition, the local time.
export function told(edition) {
  const fill = async () => {
    for (const one of document.querySelectorAll("time[data-local]")) { one.textContent = new Date(one.dateTime).toLocaleString(); delete one.dataset.local; }
    for (const one of document.querySelectorAll("[data-edition]:empty")) one.textContent = `, edition ${edition}`;
    const room = document.querySelector("[data-room]:empty");
    if (!room) return;
    const [{ usage }, lasts] = await Promise.all([navigator.storage?.estimate?.() ?? {}, navigator.storage?.persisted?.() ?? false]);
    const kept = lasts ? "the browser will not clear it by itself" : "the browser may clear it when room runs out, so share soon";
    room.textContent = `; with the app ${usage ? `${(usage / 1e6).toFixed(0)} MB` : "some 50 MB"}; ${kept}`;
  };
  new MutationObserver(fill).observe(document.body, { childList: true });
  fill();
}
