// Looks while one types: [data-search] is a GET form, #found the part of its page that changes.
import { ask } from "./ask.js";

const form = document.querySelector("[data-search]");
const found = document.getElementById("found");
let timer = 0;
let asking;

async function look() {
  const address = `${form.action}?${new URLSearchParams(new FormData(form))}`;
  asking?.abort();
  asking = new AbortController();
  // no signal, or asked again meanwhile: the button still works
  const { went, text } = await ask(address, { signal: asking.signal });
  if (went !== "well") return;
  const page = new DOMParser().parseFromString(text, "text/html");
  found.replaceChildren(...(page.getElementById("found")?.childNodes ?? found.childNodes));
  history.replaceState(null, "", address);
}

if (form && found) {
  form.addEventListener("input", () => {
    clearTimeout(timer);
    timer = setTimeout(look, 150);
  });
}
