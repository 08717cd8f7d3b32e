// The clock's page: shows where the engine says it stands, takes taps, keeps them on the device.
import { keepAwake } from './awake.js';
import { stateAt } from './engine.js';
import { fresh, keep, taken } from './kept.js';
import { offerSignals } from './signals.js';
import { allowSound, cue } from './sound.js';
import { below, besideOthers, face, following, heading, holdFor, label, lineIn, linesOn, onLast, startable, tappable, text, turns } from './words.js';

/** Two touches within this are one. */
const SLIP_MS = 350;
/** A cue that is later than this is not sounded: after a lock there is no burst of old sounds. */
const LATE_MS = 1000;
/** The longest time between two looks while the page is seen. */
const TICK_MS = 100;

const NO_ROOM = 'This phone has no room to keep the clock: stay on this page, and note your score. ';

const screen = document.querySelector('[data-clock]');
const { key } = screen.dataset;
const find = (name) => screen.querySelector(`[data-${name}]`);
const [what, min, sec, next, main, all, pause, undo, stop, again, log, settings, cut, change] = [
  'what', 'min', 'sec', 'next', 'tap', 'all', 'pause', 'undo', 'stop', 'again', 'log', 'settings', 'cut', 'change',
].map(find);
const signals = offerSignals(settings, find('wake'));

/** As the page would start it; what runs may be older than the page. */
let page = fresh(screen);
let running = taken(key, page);
const clock = () => running ?? page;
const now = () => stateAt(clock().plan, running, Date.now());
let seen = Date.now();
/** What "Start over" threw away: it may have been a slip. */
let dropped = null;

let roomy = true;
function save() {
  roomy = keep(key, running);
}

function add(kind, more) {
  const at = Date.now();
  if ((kind === 'tap' || kind === 'turn') && at - (running.taps.at(-1)?.at ?? 0) < SLIP_MS) return;
  running.taps.push({ at, what: kind, ...more });
  // one that is used again is no longer put away
  running.put = false;
  save();
  sound(kind === 'turn' ? 'switch' : 'tap');
  show();
}

function sound(name) {
  cue(name, screen, { ...signals.wanted(), more: ['rest', 'change', 'start'].includes(name) ? spoken(now()) : '' });
}

function spoken(state) {
  if (state.hold) return lineIn(clock(), state.hold.line, state.step, state.counted);
  return state.step ? text(clock(), state.step, state.counted) || following(clock(), state) : '';
}

function start() {
  allowSound();
  dropped = null;
  running = { ...structuredClone(page), start: Date.now() };
  seen = running.start;
  save();
  sound('count');
  keepAwake(true);
  brought();
  show();
}

/** The one thing that a tap anywhere does now. */
function act() {
  if (!running) return start();
  const state = now();
  if (state.phase === 'done') return undefined;
  allowSound();
  if (state.paused) return add('resume');
  if (turns(state) !== null) return add('turn', { line: turns(state) });
  if (state.phase === 'running' && tappable(state)) return add('tap');
  return undefined;
}

/** The lines that are on, and some of those to come. Returns how many more there are. */
function showLines(state) {
  const { on, more } = linesOn(clock(), state);
  const marked = on.some(({ later }) => later);
  const held = startable(clock(), state);
  const rows = on.map(({ line, text: words, later }) => {
    const row = document.createElement('li');
    row.textContent = words;
    row.dataset.line = line;
    if (later) row.className = 'later';
    else if (marked) row.setAttribute('aria-current', 'step');
    if (held.includes(line) && !later) row.append(lineButton(`Start ${holdFor(clock(), state, line)}`, 'hold', line));
    const side = besideOthers(state, line);
    // in place of the words that it has sides
    if (side) row.replaceChildren(words.replace(', per side', ''), sideButton(state, side, line));
    return row;
  });
  const list = find('lines');
  if (rows.map((row) => row.outerHTML).join('') !== list.innerHTML) list.replaceChildren(...rows);
  changes?.showChanges(screen, state.phase === 'ready' || state.phase === 'done' ? [] : on.map(({ line }) => line));
  return more;
}

/** Says which side it is. */
function sideButton({ paused, hold: held }, side, line) {
  const button = lineButton(`${side} ⇄`, 'turn', line);
  button.setAttribute('aria-label', `${side}: go on with the other`);
  button.disabled = paused || Boolean(held);
  return button;
}

/** At a line: begins its countdown, or turns it over. */
function lineButton(textContent, what, line) {
  const button = Object.assign(document.createElement('button'), { type: 'button', className: 'plain', textContent });
  button.dataset[what] = line;
  return button;
}

const two = (n) => String(Math.floor(n)).padStart(2, '0');
/** Minutes go on past 59: three rows of digits would be too small. Under one the seconds stand alone. */
function showFace(ms) {
  const s = ms / 1000;
  min.textContent = two(s / 60);
  sec.textContent = two(s % 60);
  screen.classList.toggle('secs', s < 60);
}

let end = null;
let changes = null;
let showLoads = () => {};
let fit = () => {};
let cuesBetween = () => [];
/** What only a running clock needs comes when it starts: at its end there may be no signal. */
async function bring() {
  if (end) return;
  const [got, room, cues, loads] = await Promise.all([import('./end.js'), import('./fit.js'), import('./cues.js'), find('loads') && import('./loads.js'), changes ?? bringChanges()]);
  fit = room.fit;
  cuesBetween = cues.cuesBetween;
  if (loads && !end) showLoads = loads.noteLoads(find('loads'), clock, noted);
  end = got;
  show();
}

function noted() {
  save();
  show();
  if (now().phase === 'done') end.fill(running, now(), save);
}

async function bringChanges() {
  const got = await import('./change.js');
  if (!changes) got.offerChanges(screen, { hold, goOn, end: () => add('stop') }, changed);
  changes = got;
  return got;
}

function showButtons(state) {
  const done = state.phase === 'done';
  const idle = state.phase === 'ready';
  pause.hidden = idle || done || state.paused;
  stop.hidden = idle || done;
  stop.textContent = clock().plan.open ? 'Finish' : 'Stop';
  all.hidden = state.phase !== 'running' || state.paused || state.step.unit !== 'line' || Boolean(state.hold) || onLast(clock(), state);
  undo.hidden = idle ? !dropped : done && !running.taps.length;
  undo.disabled = !idle && !running.taps.length;
  again.hidden = log.hidden = !done;
  settings.hidden = !idle;
  signals.show(!idle && !done);
  main.hidden = done;
  main.disabled = !tappable(state);
  if (!done) main.textContent = label(clock(), state);
  if (change) change.hidden = done;
}

/** Shows where the clock stands; returns how long until the digits change, or null where they do not. */
function show() {
  const state = now();
  const { phase, paused } = state;
  const runs = phase === 'running';
  const classes = { work: runs && state.step.kind === 'work' && !paused, rest: runs && state.step.kind === 'rest', over: phase === 'done', idle: phase === 'ready', count: phase === 'count_in' && !paused };
  for (const [name, on] of Object.entries(classes)) screen.classList.toggle(name, on);
  showButtons(state);
  const more = showLines(state);
  showLoads(state);
  end?.between(running, state, cut, noted);
  if (phase === 'done') return finish(state);
  what.textContent = phase === 'ready' ? clock().name : heading(clock(), state);
  next.textContent = phase === 'ready' ? next.dataset.next : `${roomy ? '' : NO_ROOM}${below(clock(), state, more)}`;
  const { shows, wait } = face(clock(), state);
  if (phase === 'count_in') sec.textContent = Math.ceil(state.left / 1000);
  else showFace(shows);
  fit(screen, find('do'));
  return phase === 'ready' ? null : wait;
}

/** After the end: what to log, and how far into the round that was cut. */
function finish(state) {
  showFace(state.clock);
  if (!end) {
    what.textContent = clock().name;
    return null;
  }
  end.tell(running, state, { what, next });
  if (!cut.hidden || log.dataset.shown === 'yes') return null;
  log.dataset.shown = 'yes';
  keepAwake(false);
  end.close(running, state, cut, save);
  return null;
}

screen.addEventListener('click', (event) => {
  if (!event.target.closest('button, a, label, input, details, fieldset')) act();
});
main.addEventListener('click', act);
find('lines').addEventListener('click', ({ target }) => {
  const { hold: held, turn } = target.closest('[data-hold], [data-turn]')?.dataset ?? {};
  if (!held && !turn) return;
  allowSound();
  add(held ? 'hold' : 'turn', { line: Number(held ?? turn) });
});
// one tap a line, all at once: one Undo takes them back
all.addEventListener('click', () => add('tap', { of: running.plan.steps.length - now().index }));
pause.addEventListener('click', () => add('pause'));
undo.addEventListener('click', () => {
  if (!running) return takeBack();
  running = { ...running, done: false, used: false, cut: {} };
  log.dataset.shown = '';
  keepAwake(true);
  return add('undo');
});
stop.addEventListener('click', () => add('stop'));
again.addEventListener('click', () => {
  [dropped, running] = [running, null];
  log.dataset.shown = '';
  showFace(0);
  save();
  show();
});

function takeBack() {
  [running, dropped] = [dropped, null];
  save();
  show();
}

// the same clock in another tab: what was tapped there counts here
addEventListener('storage', ({ key: changedKey }) => {
  if (changedKey !== key) return;
  running = taken(key, page);
  if (!running || now().phase !== 'done') log.dataset.shown = '';
  brought();
  show();
});

/** Stands still while somebody says that it hurts. Returns whether there was a clock to stop. */
function hold() {
  const state = now();
  if (state.phase === 'ready' || state.phase === 'done') return false;
  if (!state.paused) add('pause');
  return true;
}

function goOn() {
  if (now().paused) add('resume');
}

function changed(section) {
  page = fresh(section);
  running = taken(key, page);
  save();
  show();
}

change?.addEventListener('toggle', () => {
  if (!changes) bringChanges().then(show, () => {});
});

let timer;
/** Sounds what is due and shows the second that is on; comes back when the digits change, and ten times a second at least. */
function tick() {
  clearTimeout(timer);
  const at = Date.now();
  if (running) {
    for (const { at: due, sound: name } of cuesBetween(running.plan, running, seen, at)) if (at - due < LATE_MS) sound(name);
  }
  seen = at;
  timer = setTimeout(tick, Math.min(TICK_MS, Math.ceil(show() ?? TICK_MS)));
}
document.addEventListener('visibilitychange', tick);
if (running && now().phase !== 'done') keepAwake(true);
const brought = () => running && bring().catch(() => {});
addEventListener('online', brought);
brought();
tick();
