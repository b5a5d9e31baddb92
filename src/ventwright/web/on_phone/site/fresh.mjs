// A newer edition is fetched beside the one in use and offered; nothing changes until the person takes it.
import { asked, drop, hold, missing, newest } from "./held.mjs";

export function fresh(base, present) {
  const look = () => offered(base, present).catch(() => {}); // no network: the next time
  addEventListener("online", look);
  look();
}

async function offered(base, present) {
  const list = await newest(base);
  if (list.edition === present || document.getElementById("fresh")) return;
  await hold(base, await missing(base, list));
  const bar = document.createElement("p");
  bar.id = "fresh";
  bar.className = "note fresh";
  bar.append("A newer version of the app is here. What is entered stays as it is. ");
  const take = document.createElement("button");
  take.type = "button";
  take.textContent = "Take it now";
  take.addEventListener("click", async () => { await asked(base, "accepted", list); await drop(base, list); location.reload(); });
  const later = document.createElement("button");
  later.type = "button";
  later.textContent = "Not now";
  later.addEventListener("click", () => bar.remove());
  bar.append(take, " ", later);
  document.querySelector(".frame").before(bar);
}
