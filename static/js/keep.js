// What is typed into form[data-keep] survives a reload, until the server has confirmed it.
const sent = "dowel sent";
const fields = (form) => [...form.elements].filter((e) => e.name && (e.type !== "hidden" || e.name === "client_id"));
const ticks = (e) => e.type === "checkbox" || e.type === "radio";

const read = (form) => fields(form).filter((e) => !ticks(e) || e.checked).map((e) => [e.name, e.value]);

function fill(form, kept) {
  for (const e of fields(form)) {
    const mine = kept.filter(([name]) => name === e.name).map(([, value]) => value);
    if (ticks(e)) e.checked = mine.includes(e.value);
    else if (mine.length) e.value = mine[0];
  }
}

try {
  const key = sessionStorage.getItem(sent);
  if (key && document.querySelector(".said")) localStorage.removeItem(key);
  sessionStorage.removeItem(sent);
  for (const form of document.querySelectorAll("form[data-keep]")) {
    const key = `dowel draft ${form.dataset.keep}`;
    const kept = localStorage.getItem(key);
    // a form that came back from the server already holds what was typed
    if (kept && !form.querySelector(".errors")) {
      fill(form, JSON.parse(kept));
      form.closest("details")?.setAttribute("open", "");
    }
    form.addEventListener("input", () => localStorage.setItem(key, JSON.stringify(read(form))));
    form.addEventListener("submit", () => sessionStorage.setItem(sent, key));
  }
} catch {
  // no storage here: the page works all the same
}
