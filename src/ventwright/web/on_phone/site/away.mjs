// What leaves the page: files to save, and the printed record, which brings its own style. Neither may unload the app.
let page = null;

export function away(base) {
  document.addEventListener("click", (event) => {
    const link = event.target.closest?.("a[href]");
    if (!link || event.defaultPrevented || event.button || event.metaKey || event.ctrlKey || event.shiftKey) return;
    const url = new URL(link.href);
    if (url.origin !== location.origin || !url.pathname.startsWith(base)) return;
    if (link.hasAttribute("download")) { event.preventDefault(); save(url, link); }
    else if ("whole" in link.dataset) { event.preventDefault(); printed(url); }
  });
  document.addEventListener("submit", (event) => {
    const button = event.submitter;
    if (event.defaultPrevented || !button || !("whole" in button.dataset)) return;
    const url = new URL(button.formAction);
    if (url.origin !== location.origin || !url.pathname.startsWith(base)) return;
    event.preventDefault();
    url.search = new URLSearchParams(new FormData(event.target, button));
    printed(url);
  });
  addEventListener("popstate", back, true);
}

async function save(url, link) {
  const answer = await fetch(url), said = answer.headers.get("content-disposition") || "";
  const name = /filename="([^"]+)"/.exec(said)?.[1] || link.download || url.pathname.split("/").pop();
  const made = document.createElement("a");
  made.href = URL.createObjectURL(await answer.blob());
  made.download = name;
  document.body.append(made);
  made.click();
  made.remove();
  setTimeout(() => URL.revokeObjectURL(made.href), 60_000);
}

// The record's page is put in place of the app's, its style as a sheet: the policy lets no page bring style of its own.
async function printed(url) {
  const answer = await fetch(url), given = new DOMParser().parseFromString(await answer.text(), "text/html");
  const sheet = new CSSStyleSheet();
  sheet.replaceSync([...given.querySelectorAll("style")].map((one) => one.textContent).join("\n") + "\n@media print { .leave-print { display: none } }");
  const styled = [...given.querySelectorAll("[style]")].map((one) => [one, one.getAttribute("style")]);
  page = { nodes: [...document.body.childNodes], title: document.title, top: scrollY };
  for (const link of document.querySelectorAll("link[rel=stylesheet]")) link.disabled = true;
  document.adoptedStyleSheets = [sheet];
  const leave = document.createElement("p"), close = document.createElement("button"), print = document.createElement("button");
  leave.className = "leave-print";
  close.type = print.type = "button";
  close.textContent = "Back to the job";
  print.textContent = "Print";
  close.addEventListener("click", () => history.back());
  print.addEventListener("click", () => globalThis.print());
  leave.append(close, " ", print);
  document.body.replaceChildren(leave, ...given.body.childNodes);
  for (const [one, text] of styled) one.style.cssText = text;
  document.title = given.title;
  history.pushState({ ours: true }, "", url);
  scrollTo(0, 0);
}

function back(event) {
  if (!page) return;
  event.stopImmediatePropagation();
  document.body.replaceChildren(...page.nodes);
  document.adoptedStyleSheets = [];
  for (const link of document.querySelectorAll("link[rel=stylesheet]")) link.disabled = false;
  document.title = page.title;
  scrollTo(0, page.top);
  page = null;
}
