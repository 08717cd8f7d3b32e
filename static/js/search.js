// Looks while one types: [data-search] is a GET form, #found the part of its page that changes.
const form = document.querySelector("[data-search]");
const found = document.getElementById("found");
let timer = 0;
let asking;

async function look() {
  const address = `${form.action}?${new URLSearchParams(new FormData(form))}`;
  asking?.abort();
  asking = new AbortController();
  try {
    const response = await fetch(address, { signal: asking.signal });
    if (!response.ok || response.redirected) return;
    const page = new DOMParser().parseFromString(await response.text(), "text/html");
    found.replaceChildren(...page.getElementById("found").childNodes);
    history.replaceState(null, "", address);
  } catch {
    // no signal, or asked again meanwhile: the button still works
  }
}

if (form && found) {
  form.addEventListener("input", () => {
    clearTimeout(timer);
    timer = setTimeout(look, 150);
  });
}
