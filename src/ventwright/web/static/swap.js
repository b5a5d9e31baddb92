// Links and forms are fetched and their page put in place of the present one: the document, and with it timers and
// what is being typed, lives on. Anything that is not a page of ours is left to the browser.
import { entered } from "./drafts.js";

const parts = ["head", "stages", "main", "said"];
let under_way = 0;
let placed = () => {};

export function say(words) {
  const said = document.getElementById("said");
  said.textContent = "";
  requestAnimationFrame(() => { said.textContent = words; });
  clearTimeout(say.later);
  say.later = setTimeout(() => { said.textContent = ""; }, 6000);
}

export function swapping(when_placed) {
  placed = when_placed;
  history.scrollRestoration = "manual";
  history.replaceState({ ...history.state, ours: true }, "");
  document.addEventListener("click", followed);
  document.addEventListener("submit", sent);
  addEventListener("popstate", () => go(new Request(location.href), { push: false, top: history.state?.top ?? 0 }));
}

function followed(event) {
  const link = event.target.closest?.("a[href]");
  if (!link || event.defaultPrevented || event.button || event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return;
  const url = new URL(link.href);
  if (url.origin !== location.origin || link.hasAttribute("download") || link.target || "whole" in link.dataset) return;
  if (url.pathname === location.pathname && url.search === location.search && url.hash) return;
  event.preventDefault();
  go(new Request(url), { push: true });
}

function sent(event) {
  const form = event.target;
  if (event.defaultPrevented || "whole" in form.dataset || "whole" in (event.submitter?.dataset ?? {})) return;
  event.preventDefault();
  if (form.dataset.sending) return; // a double tap
  const data = new FormData(form, event.submitter);
  const url = new URL(event.submitter?.formAction && event.submitter.hasAttribute("formaction") ? event.submitter.formAction : form.action);
  form.dataset.sending = "yes";
  const done = () => { delete form.dataset.sending; };
  if (form.method === "get") {
    url.search = new URLSearchParams(data);
    go(new Request(url), { push: true }).finally(done);
    return;
  }
  const files = form.enctype === "multipart/form-data";
  const request = new Request(url, { method: "POST", body: files ? data : new URLSearchParams(data) });
  go(request, { push: true, form }).finally(done);
}

async function go(request, { push, top = 0, form = null }) {
  const mine = ++under_way;
  document.documentElement.setAttribute("aria-busy", "true");
  try {
    const answer = await fetch(request);
    if (!(answer.headers.get("content-type") || "").startsWith("text/html")) {
      if (request.method === "GET") location.href = request.url;
      else say(await answer.text());
      return;
    }
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    if (form && answer.ok) entered(form);
    if (!page.querySelector(".frame")) { location.href = answer.url; return; } // a page with a look of its own, such as the record
    if (mine !== under_way) return; // the person has gone on meanwhile
    if (push) {
      history.replaceState({ ...history.state, top: scrollY }, "");
      const same = answer.url === location.href || (form && !answer.ok);
      if (!same) history.pushState({ ours: true }, "", answer.url);
    }
    place(page);
    scrollTo(0, top);
    focus(page);
  } catch (problem) {
    say(form ? "No answer. What you typed is kept on this device; send it again when there is a connection." : "No answer. Try again when there is a connection.");
  } finally {
    if (mine === under_way) document.documentElement.removeAttribute("aria-busy");
  }
}

function place(page) {
  document.title = page.title;
  const frame = document.querySelector(".frame");
  frame.replaceWith(page.querySelector(".frame"));
  for (const id of parts) {
    const old = document.getElementById(id), fresh = page.getElementById(id);
    if (old && fresh && !old.closest(".frame") && id !== "said") old.replaceWith(fresh);
  }
  const words = page.getElementById("said")?.textContent.trim();
  if (words) say(words);
  placed();
}

function focus() {
  const refused = document.getElementById("refused");
  const first = refused || document.querySelector("main [autofocus]") || document.getElementById("main");
  first.focus({ preventScroll: !refused });
}
