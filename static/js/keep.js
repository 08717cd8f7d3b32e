// What is typed into form[data-keep] survives a reload, until the server has confirmed it.
import { device, tab } from "./device.js";

const SENT = "dowel sent";
const fields = (form) => [...form.elements].filter((e) => e.name && (e.type !== "hidden" || e.name === "client_id"));
const ticks = (e) => e.type === "checkbox" || e.type === "radio";

const read = (form) => fields(form).filter((e) => !ticks(e) || e.checked).map((e) => [e.name, e.value]);

function fill(form, kept) {
  for (const e of fields(form)) {
    const mine = kept.filter(([name]) => name === e.name).map(([, value]) => value);
    // a choice that is gone since leaves what the page has chosen
    const there = e.type !== "radio" || [...form.elements].some((o) => o.name === e.name && mine.includes(o.value));
    if (!there) continue;
    if (ticks(e)) e.checked = mine.includes(e.value);
    else if (mine.length) e.value = mine[0];
  }
}

const sent = tab.get(SENT);
if (sent && document.querySelector(".said")) device.drop(sent);
tab.drop(SENT);
for (const form of document.querySelectorAll("form[data-keep]")) {
  const key = `dowel draft ${form.dataset.keep}`;
  const kept = device.get(key);
  // a form that came back from the server already holds what was typed
  if (Array.isArray(kept) && !form.querySelector(".errors")) {
    fill(form, kept);
    form.closest("details")?.setAttribute("open", "");
  }
  form.addEventListener("input", () => device.set(key, read(form)));
  form.addEventListener("submit", () => tab.set(SENT, key));
}
