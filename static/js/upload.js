// form[data-upload]: the file goes up in pieces and, after a cut, a sign-in or a reload, on from where it was. How far it is
// the server says. See docs/ROOMS.md.
import { ask, read } from "./ask.js";
import { device, named } from "./device.js";

const PIECE = 1 << 20;
/** What came of a piece until then is kept by the server. */
const PIECE_MS = 120_000;
const SIGNED_OUT = "You are signed out. Sign in in another tab, then come back to this one: it goes on from where it was.";
const CUT = "No line just now. It goes on by itself; you can also come back later.";
const keyOf = (form, file) => named("upload", `${form.dataset.upload} ${file.name} ${file.size} ${file.lastModified}`);

/** The server will not take it, in its words. */
class Refused extends Error {}
/** It stands still, and may go on. */
class Stopped extends Error {}

/** An answer with one of these statuses; anything else stops or ends the upload. */
function wanted(answer, ...statuses) {
  if (answer.went === "signed out") throw new Stopped(SIGNED_OUT);
  if (statuses.includes(answer.status)) return answer;
  // it stands elsewhere, is gone, or somebody else is writing: ask again
  if (answer.went !== "no" || [404, 409, 423].includes(answer.status)) throw new Stopped(CUT);
  throw new Refused(read(answer).detail ?? "Dowel did not take the file. Reload this page.");
}

/** How far it is. An answer that does not say so is none of Dowel's. */
function stands({ headers }) {
  if (!headers.has("upload-offset")) throw new Stopped(CUT);
  return { offset: Number(headers.get("upload-offset")), done: headers.get("upload-complete") === "?1" };
}

async function begin(form, file) {
  const headers = { "content-type": "application/json", "upload-length": String(file.size), "upload-complete": "?0" };
  const answer = await ask(form.dataset.upload, { method: "POST", headers, body: JSON.stringify({ name: file.name }) });
  if (answer.status === 404) throw new Refused("This session is no longer there. Go back to the week.");
  return wanted(answer, 201).headers.get("location");
}

/** Where an upload stands; null where it is gone. */
async function standing(address) {
  const answer = await ask(address, { method: "HEAD", cache: "no-store" });
  return answer.status === 404 ? null : stands(wanted(answer, 200, 204));
}

async function send(address, file, offset, signal) {
  const end = Math.min(offset + PIECE, file.size);
  const headers = {
    "content-type": "application/partial-upload",
    "upload-offset": String(offset),
    "upload-complete": end === file.size ? "?1" : "?0",
  };
  const body = file.slice(offset, end);
  return stands(wanted(await ask(address, { method: "PATCH", headers, body, signal, wait: PIECE_MS }), 200, 204));
}

/** Until that time, if any, or until one comes back to this page, has a line again or gives up. */
const rest = (ms, signal) =>
  new Promise((done) => {
    for (const name of ["focus", "online"]) addEventListener(name, done, { once: true });
    signal.addEventListener("abort", done, { once: true });
    if (ms) setTimeout(done, ms);
  });

/** Sends all of it, however often the line is cut. */
async function upload(form, file, say, signal) {
  const key = keyOf(form, file);
  let address = device.get(key);
  for (let pause = 500; !signal.aborted; pause = Math.min(pause * 2, 15_000)) {
    try {
      let at = address && (await standing(address));
      if (!at) {
        address = await begin(form, file);
        device.set(key, address);
        at = { offset: 0, done: false };
      }
      say(at.offset);
      while (!at.done) {
        at = await send(address, file, at.offset, signal);
        pause = 500;
        say(at.offset);
      }
      device.drop(key);
      return;
    } catch (error) {
      if (error instanceof Refused) device.drop(key);
      if (!(error instanceof Stopped)) throw error;
      if (signal.aborted) break;
      say(null, error.message);
      await rest(error.message === SIGNED_OUT ? 0 : pause, signal);
    }
  }
  device.drop(key);
  if (address) await ask(address, { method: "DELETE" });
  throw new Refused("Given up. Nothing of it is kept.");
}

for (const form of document.querySelectorAll("form[data-upload]")) {
  const input = form.elements.file;
  const bar = form.querySelector("[data-progress]");
  const says = form.querySelector("[data-upload-says]");
  const stop = form.querySelector("[data-stop]");
  const here = `${named("upload", form.dataset.upload)} `;
  const [begun] = device.keys(here);
  if (begun) {
    const name = begun.slice(here.length).split(" ").slice(0, -2).join(" ");
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
    const say = (offset, words) => {
      if (!words) bar.value = offset / file.size;
      says.textContent = words ?? `${Math.floor((offset / file.size) * 100)} % of ${file.name}`;
    };
    try {
      await upload(form, file, say, giveUp.signal);
      location.assign(form.dataset.done);
    } catch (error) {
      says.textContent = error instanceof Refused ? error.message : "That did not work. Reload this page and choose the same file again.";
      bar.hidden = stop.hidden = true;
      button.disabled = false;
    }
  });
}
