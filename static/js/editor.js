// The editor: reads and saves while one types. What is typed stays on this device until the server has confirmed it,
// and a tab that fell behind stops saving instead of overwriting.
import { ask } from './ask.js';
import { device, named } from './device.js';
import { marks } from './marks.js';

const form = document.querySelector('[data-editor]');
const area = form.elements.text;
const edit = form.elements.edit;
const reading = document.querySelector('[data-reading]');
const saved = document.querySelector('[data-saved]');
const kept = document.querySelector('[data-kept]');
const underline = marks(area, document.querySelector('[data-marks]'));
const place = new URL(form.action).pathname;
const key = named('draft', place);

let behind = Boolean(document.getElementById('theirs'));
// what the server is known to have; on the page with two texts, not this one
let confirmed = behind ? null : area.value;
let timer = 0;
let busy = false;
let again = null;
// an older text of this device waits for a decision and must not be replaced
let undecided = false;

// the server said no to this text or to whoever sends it
let refused = false;
// what is typed now stands on this device too
let here = true;

// why the server will not take it however often it is sent; nothing where it may yet
const refusal = ({ went, status }) => {
  if (went === 'signed out') return ['you are signed out', 'Sign in in another tab, then come back to this one.'];
  if (status === 413) return ['it is too long for one session', 'Make it shorter.'];
  if (status === 403) return ['you may not change this session', ''];
  return went === 'no' ? ['Dowel did not take it', 'Copy it, then reload this page.'] : null;
};

const say = (words) => { saved.textContent = words; };
const chip = document.querySelector('[data-chip]');
const was = { look: chip.className, words: chip.textContent };
const where = () => here ? 'What you type is kept on this device.' : 'This device has no room to keep it: leave this page open until it is saved.';
const keep = () => {
  if (undecided) return;
  if (area.value === confirmed) device.drop(key);
  else here = device.set(key, { text: area.value, edit: edit.value });
};

/** What is saved now, beside what members see. */
function stands(text) {
  const { live } = saved.dataset;
  const same = text === area.defaultValue || was.look.includes('ask');
  const words = live ? 'changed since published' : text.trim() ? 'draft' : 'empty';
  chip.className = same || !live ? was.look : 'chip ask';
  chip.textContent = same ? was.words : words;
  say(live && !same ? `Saved. Members still see ${live} until you publish again.` : 'Saved.');
}

async function send(extra = {}) {
  if (behind) return;
  if (busy) { again = { ...again, ...extra }; return; }
  busy = true;
  const text = area.value;
  const body = new URLSearchParams({ text, edit: edit.value, ...extra });
  const answer = await ask(place + '/reading', { method: 'POST', body });
  const why = refusal(answer);
  if (answer.status === 409) {
    behind = true;
    say('Saved meanwhile in another tab or on another device. Press “Read and save” to see both.');
  } else if (answer.went === 'well') {
    refused = false;
    edit.value = answer.headers.get('dowel-edit');
    confirmed = text;
    stands(text);
  } else if (why) {
    // asking the same again would bring the same answer: the next letter, or coming back to this tab, tries anew
    refused = true;
    say(`Not saved: ${why[0]}. ${where()} ${why[1]}`);
  } else {
    say(`Not saved yet: ${answer.status ? 'Dowel cannot save just now' : 'no connection'}. ${where()}`);
    clearTimeout(timer);
    timer = setTimeout(() => send(extra), 5000);
  }
  if (answer.status === 409 || (answer.went === 'well' && area.value === text)) show(answer.text);
  busy = false;
  keep();
  if (again) { const next = again; again = null; send(next); }
}

function show(html) {
  const open = [...reading.querySelectorAll('details[open]')].map((d) => d.closest('section').id || d.closest('section').getAttribute('aria-labelledby'));
  const focus = document.activeElement?.closest('[data-reading]') ? document.activeElement.value : null;
  reading.innerHTML = html;
  for (const d of reading.querySelectorAll('details')) d.open = open.includes(d.closest('section').getAttribute('aria-labelledby'));
  mark();
  if (focus) [...reading.querySelectorAll('button')].find((b) => b.value === focus)?.focus();
}

// place in the text: line and column from 1, in characters (not UTF-16 units)
function offset(line, column, length) {
  const lines = area.value.split('\n');
  let at = 0;
  for (let i = 0; i < line - 1; i++) at += (lines[i] ?? '').length + 1;
  const chars = [...(lines[line - 1] ?? '')];
  const from = at + chars.slice(0, column - 1).join('').length;
  return [from, from + chars.slice(column - 1, column - 1 + length).join('').length];
}

// every problem says where it is; its word is underlined there
function mark() {
  underline([...reading.querySelectorAll('.problem [data-go]')].map((go) => {
    const [from, to] = offset(...go.dataset.go.split(':').map(Number));
    return { from, to, error: Boolean(go.closest('.error')) };
  }));
}

area.addEventListener('input', () => {
  keep();
  say('');
  clearTimeout(timer);
  timer = setTimeout(() => send(), 600);
});

document.addEventListener('keydown', (e) => {
  if (e.key === 'Enter' && (e.ctrlKey || e.metaKey) && e.target === area) { e.preventDefault(); form.requestSubmit(); }
});

reading.addEventListener('click', (e) => {
  const go = e.target.closest('[data-go]');
  if (go) {
    e.preventDefault();
    const [line, column, length] = go.dataset.go.split(':').map(Number);
    const [from, to] = offset(line, column, length);
    // a browser brings the caret into view when the field is entered, not when a place in it is chosen
    area.blur();
    area.setSelectionRange(from, from);
    area.focus();
    area.setSelectionRange(from, to);
    return;
  }
  const button = e.target.closest('button');
  if (!button || behind) return;
  if (button.name === 'intent') { e.preventDefault(); send({ intent: button.value }); }
  if (button.name === 'mend') {
    e.preventDefault();
    const [, line, column, length, text] = button.value.match(/^(\d+):(\d+):(\d+):([\s\S]*)$/);
    area.focus();
    area.setRangeText(text, ...offset(+line, +column, +length), 'end');
    keep();
    send();
  }
});

// back from signing in elsewhere
addEventListener('focus', () => { if (refused) send(); });

// the form takes over: it brings the text to the server and the page comes back with it
form.addEventListener('submit', () => { clearTimeout(timer); keep(); });

mark();

// what did not reach the server last time
const left = device.get(key);
if (typeof left?.text !== 'string' || left.text === confirmed) { if (!behind) device.drop(key); }
else if (behind) { /* both texts are on the page */ }
else if (left.edit === edit.value) {
  area.value = left.text;
  say('Brought back what you typed here and what was not saved yet.');
  send();
} else {
  behind = undecided = true;
  kept.hidden = false;
  kept.querySelector('[data-both]').addEventListener('click', () => {
    area.value = left.text;
    edit.value = left.edit;
    form.requestSubmit();
  });
  kept.querySelector('[data-drop]').addEventListener('click', () => {
    behind = undecided = false;
    kept.hidden = true;
    keep();
    area.focus();
  });
}
