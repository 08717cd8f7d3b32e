// form[data-upload]: the file goes up in pieces and, after a cut or a reload, on from where it was. See DEVELOPERS.md.
const PIECE = 1 << 20;
const wait = (ms) => new Promise((done) => setTimeout(done, ms));
const keyOf = (form, file) => `dowel upload ${form.dataset.upload} ${file.name} ${file.size} ${file.lastModified}`;
const store = {
  get: (key) => { try { return localStorage.getItem(key); } catch { return null; } },
  set: (key, value) => { try { localStorage.setItem(key, value); } catch { /* it cannot go on after a reload then */ } },
  drop: (key) => { try { localStorage.removeItem(key); } catch { /* nothing was kept */ } },
  keys: () => { try { return Object.keys(localStorage); } catch { return []; } },
};

class Refused extends Error {}

/** What the server said no to, in its words. */
async function refused(response) {
  const said = await response.json().catch(() => ({}));
  return new Refused(said.detail ?? "Dowel did not take the file. Sign in again, or reload this page.");
}

async function begin(form, file) {
  const headers = { "content-type": "application/json", "upload-length": String(file.size), "upload-complete": "?0" };
  const response = await fetch(form.dataset.upload, { method: "POST", headers, body: JSON.stringify({ name: file.name }) });
  if (response.status >= 500) throw new Error(String(response.status));
  if (response.status !== 201) throw await refused(response);
  return response.headers.get("location");
}

/** Where an upload stands; null where it is gone. */
async function standing(address) {
  const response = await fetch(address, { method: "HEAD", cache: "no-store" });
  if (response.status === 404) return null;
  if (!response.ok) throw new Error(String(response.status));
  return { offset: Number(response.headers.get("upload-offset")), done: response.headers.get("upload-complete") === "?1" };
}

async function send(address, file, offset, signal) {
  const end = Math.min(offset + PIECE, file.size);
  const headers = {
    "content-type": "application/partial-upload",
    "upload-offset": String(offset),
    "upload-complete": end === file.size ? "?1" : "?0",
  };
  const response = await fetch(address, { method: "PATCH", headers, body: file.slice(offset, end), signal });
  // somebody else is writing, or it stands elsewhere: ask again
  if ([409, 423].includes(response.status) || response.status >= 500) throw new Error(String(response.status));
  if (!response.ok) throw await refused(response);
  return end;
}

/** Sends all of it, however often the line is cut. */
async function upload(form, file, say, signal) {
  const key = keyOf(form, file);
  let address = store.get(key);
  for (let pause = 500; ; ) {
    try {
      const found = address && (await standing(address));
      if (!found) {
        address = await begin(form, file);
        store.set(key, address);
      }
      let offset = found?.offset ?? 0;
      let done = found?.done ?? false;
      say(offset / file.size);
      while (!done) {
        offset = await send(address, file, offset, signal);
        done = offset === file.size;
        pause = 500;
        say(offset / file.size);
      }
      store.drop(key);
      return;
    } catch (error) {
      if (signal.aborted || error instanceof Refused) {
        store.drop(key);
        if (signal.aborted && address) await fetch(address, { method: "DELETE" }).catch(() => {});
        throw error;
      }
      say(null);
      await wait(pause);
      pause = Math.min(pause * 2, 15_000);
    }
  }
}

for (const form of document.querySelectorAll("form[data-upload]")) {
  const input = form.elements.file;
  const bar = form.querySelector("[data-progress]");
  const says = form.querySelector("[data-upload-says]");
  const stop = form.querySelector("[data-stop]");
  const begun = store.keys().find((key) => key.startsWith(`dowel upload ${form.dataset.upload} `));
  if (begun) {
    const name = begun.slice(`dowel upload ${form.dataset.upload} `.length).split(" ").slice(0, -2).join(" ");
    says.textContent = `The upload of ${name} was cut off. Choose the same file again, and it goes on from there.`;
  }
  form.addEventListener("submit", async (event) => {
    const file = input.files[0];
    if (!file || file.size === 0) return;
    event.preventDefault();
    const giveUp = new AbortController();
    stop.onclick = () => giveUp.abort();
    const button = form.querySelector("button:not([type=button])");
    bar.hidden = stop.hidden = false;
    button.disabled = true;
    const say = (part) => {
      if (part === null) says.textContent = "No line just now. It goes on by itself; you can also come back later.";
      else {
        bar.value = part;
        says.textContent = `${Math.floor(part * 100)} % of ${file.name}`;
      }
    };
    try {
      await upload(form, file, say, giveUp.signal);
      location.assign(form.dataset.done);
    } catch (error) {
      says.textContent = error instanceof Refused ? error.message : "Given up. Nothing of it is kept.";
      bar.hidden = stop.hidden = true;
      button.disabled = false;
    }
  });
}
