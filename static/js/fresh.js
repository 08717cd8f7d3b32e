// [data-fresh="address"] is read anew whenever that address says that something changed; without such news, every minute.
import { ask } from "./ask.js";

const place = document.querySelector("[data-fresh]");
const said = document.getElementById("fresh-said");
let stream;
let timer;
let reading = false;

async function read() {
  if (reading || document.hidden) return;
  reading = true;
  try {
    // no line just now: the next news or minute tries again
    const { went, text } = await ask(location.href, { headers: { accept: "text/html" } });
    if (went !== "well") return;
    const fresh = new DOMParser().parseFromString(text, "text/html").querySelector("[data-fresh]");
    if (!fresh || fresh.innerHTML === place.dataset.last) return;
    place.dataset.last = fresh.innerHTML;
    const row = (e) => e?.closest("[id]")?.id;
    const open = [...place.querySelectorAll("details[open]")].map(row);
    const focus = place.contains(document.activeElement) ? [row(document.activeElement), document.activeElement.tagName] : null;
    place.replaceChildren(...fresh.childNodes);
    for (const id of open) document.getElementById(id)?.querySelector("details")?.setAttribute("open", "");
    if (focus?.[0]) document.getElementById(focus[0])?.querySelector(focus[1])?.focus({ preventScroll: true });
    if (said) said.textContent = `The board changed. ${place.querySelector(".mine")?.textContent ?? ""}`;
  } finally {
    reading = false;
  }
}

function stop() {
  stream?.close();
  clearInterval(timer);
}

function follow() {
  stop();
  if (document.hidden) return;
  // now and then all the same: news of a name or of somebody who left is not told
  timer = setInterval(read, 60_000);
  stream = new EventSource(place.dataset.fresh);
  stream.addEventListener("changed", read);
}

if (place) {
  document.addEventListener("visibilitychange", () => {
    follow();
    read();
  });
  addEventListener("pagehide", stop);
  follow();
}
