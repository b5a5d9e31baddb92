// A timer runs by clock time, through a reload and a sleeping screen; the screen is kept awake where the browser can.
let awake = null;

export function timers(main) {
  for (const one of main.querySelectorAll("[data-timer]")) start(one);
}

function start(one) {
  const key = `timer:${one.dataset.key || location.pathname}`, shown = one.querySelector(".timer"), button = one.querySelector("button");
  const seconds = Number(one.dataset.timer);
  button.hidden = false;
  const begin = () => { localStorage.setItem(key, String(Date.now() + 1000 * seconds)); keepAwake(); };
  button.addEventListener("click", () => { begin(); tick(); });
  if ("begin" in one.dataset && !localStorage.getItem(key)) begin(); // what is waited for was done a moment ago
  let rung = Number(localStorage.getItem(key) || 0) < Date.now();
  function tick() {
    if (!one.isConnected) return;
    const end = Number(localStorage.getItem(key) || 0), left = Math.max(0, Math.ceil((end - Date.now()) / 1000));
    shown.textContent = end ? (left ? `${Math.floor(left / 60)}:${String(left % 60).padStart(2, "0")}` : "Waited long enough") : `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
    if (left) { rung = false; keepAwake(); setTimeout(tick, 500); }
    else if (end && !rung) { rung = true; navigator.vibrate?.([200, 100, 200]); letSleep(); }
  }
  tick();
}

async function keepAwake() {
  if (awake || !("wakeLock" in navigator)) return; // over plain http there is none, and the page says so
  try { awake = await navigator.wakeLock.request("screen"); awake.addEventListener("release", () => { awake = null; }); } catch { awake = null; }
}

function letSleep() { awake?.release(); }
