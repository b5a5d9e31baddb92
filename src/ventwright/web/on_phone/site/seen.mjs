// Pages as they were last seen, kept by script: shown while the engine starts, with their forms ready to be typed into.
const LIST = "seen: list", PAGES = "seen: pages", MOST = 6, LARGEST = 200_000;
const read = (name, otherwise) => { try { return JSON.parse(localStorage.getItem(name)) ?? otherwise; } catch { return otherwise; } };
const write = (name, value) => { try { localStorage.setItem(name, JSON.stringify(value)); } catch { /* full or forbidden: the app starts with nothing to look at */ } };

export function keepSeen(url, text) {
  const base = new URL(".", import.meta.url).pathname, page = new DOMParser().parseFromString(text, "text/html");
  for (const one of page.querySelectorAll("#main > form.undo, [data-again]")) one.remove();
  const frame = page.querySelector(".frame"), head = page.getElementById("head");
  if (!frame || frame.innerHTML.length > LARGEST) return;
  const seen = { path: url.pathname, title: page.title, frame: frame.outerHTML, head: head?.outerHTML };
  if (url.pathname === base) { if (!url.search) write(LIST, seen); return; }
  note(page.querySelector("a.where"));
  write(PAGES, [seen, ...read(PAGES, []).filter((one) => one.path !== seen.path)].slice(0, MOST));
}

// A job that was opened since the list was shown stands first in it.
function note(where) {
  const list = read(LIST, null);
  if (!list || !where) return;
  const held = new DOMParser().parseFromString(list.frame, "text/html"), href = where.getAttribute("href");
  const rows = held.querySelector("ul.rows:has(a[href*='/jobs/'])") || held.querySelector("ul.rows");
  const known = held.querySelector(`a[href="${href}"]`)?.closest("li");
  if (known) { if (known !== rows.firstElementChild) rows.prepend(known); }
  else { const row = held.createElement("li"), link = held.createElement("a"); link.href = href; link.append(...where.cloneNode(true).childNodes); row.append(link); rows.prepend(row); }
  write(LIST, { ...list, frame: held.querySelector(".frame").outerHTML });
}

export function showSeen(base) {
  const seen = read(PAGES, []).find((one) => one.path === location.pathname) || read(LIST, null);
  if (!seen) return false;
  const page = new DOMParser().parseFromString(`${seen.head || ""}${seen.frame}`, "text/html");
  for (const once of page.querySelectorAll("input[name=once]")) once.value = crypto.randomUUID().replaceAll("-", ""); // the form of then may have been entered
  document.querySelector(".frame").replaceWith(page.querySelector(".frame"));
  const head = page.getElementById("head");
  if (head) document.getElementById("head").replaceWith(head);
  document.title = seen.title;
  return true;
}
