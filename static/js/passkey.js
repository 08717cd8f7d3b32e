// form[data-passkey]: "create" makes a passkey, "get" signs in with one. The browser's answer is posted as an ordinary form.
import { ask, read } from "./ask.js";

const bytes = (text) => Uint8Array.from(atob(text.replace(/-/g, "+").replace(/_/g, "/")), (c) => c.charCodeAt(0));
const text = (buffer) =>
  btoa(String.fromCharCode(...new Uint8Array(buffer))).replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "");

/** The question as the browser wants it: bytes where JSON has base64url. */
function asked(question) {
  const key = (k) => ({ ...k, id: bytes(k.id) });
  const publicKey = { ...question, challenge: bytes(question.challenge) };
  if (question.user) publicKey.user = { ...question.user, id: bytes(question.user.id) };
  if (question.excludeCredentials) publicKey.excludeCredentials = question.excludeCredentials.map(key);
  if (question.allowCredentials) publicKey.allowCredentials = question.allowCredentials.map(key);
  return { publicKey };
}

/** The answer as JSON. */
function answered(credential) {
  const response = {};
  for (const name of ["clientDataJSON", "attestationObject", "authenticatorData", "signature", "userHandle"]) {
    if (credential.response[name]) response[name] = text(credential.response[name]);
  }
  const { id, type } = credential;
  return JSON.stringify({ id, rawId: text(credential.rawId), type, response });
}

/** Why it did not work, and what to do. */
function words(error, question) {
  const host = question?.rp?.id ?? question?.rpId;
  if (error.name === "NotAllowedError") return "Nothing came from your device. Try once more.";
  if (error.name === "InvalidStateError") return "This device has a passkey of yours already.";
  if (host && host !== location.hostname) return `Passkeys of here work at ${host}. Open Dowel there.`;
  return "That did not work. Try once more.";
}

async function run(form) {
  const ways = { create: (q) => navigator.credentials.create(q), get: (q) => navigator.credentials.get(q) };
  const trouble = form.querySelector("[role=alert]");
  trouble.hidden = true;
  let question;
  try {
    if (form.dataset.question) question = JSON.parse(form.dataset.question);
    else {
      const kept = read(await ask("/sign-in/passkey/question", { method: "POST" }));
      question = kept.question;
      form.elements.ask.value = kept.ask;
    }
    form.elements.answer.value = answered(await ways[form.dataset.passkey](asked(question)));
    form.submit();
  } catch (error) {
    trouble.textContent = words(error, question);
    trouble.hidden = false;
  }
}

for (const form of document.querySelectorAll("form[data-passkey]")) {
  if (!globalThis.PublicKeyCredential) continue;
  form.hidden = false;
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    run(form);
  });
}
