// The clock's page: shows where the engine says it stands, takes taps, keeps them on the device.
import { keepAwake } from './awake.js';
import { offerChanges, showChanges } from './change.js';
import { offerCut } from './cut.js';
import { cuesBetween, stateAt, words } from './engine.js';
import { fresh, keep, taken } from './kept.js';
import { noteLoads } from './loads.js';
import { scoreOf, storyOf } from './score.js';
import { allowSound, cue } from './sound.js';
import { below, face, following, heading, label, linesOn, onLast, tappable, text } from './words.js';

/** Two touches within this are one. */
const SLIP_MS = 350;
/** A cue that is later than this is not sounded: after a lock there is no burst of old sounds. */
const LATE_MS = 1000;
/** The longest time between two looks while the page is seen. */
const TICK_MS = 100;

const screen = document.querySelector('[data-clock]');
const { key } = screen.dataset;
const find = (name) => screen.querySelector(`[data-${name}]`);
const [what, min, sec, next, main, all, pause, undo, stop, again, log, settings, cut, change] = [
  'what', 'min', 'sec', 'next', 'tap', 'all', 'pause', 'undo', 'stop', 'again', 'log', 'settings', 'cut', 'change',
].map(find);
const setting = (name) => settings.querySelector(`[name=${name}]`).checked;

/** As the page would start it; what runs may be older than the page. */
let page = fresh(screen);
let running = taken(key, page);
const clock = () => running ?? page;
const now = () => stateAt(clock().plan, running, Date.now());
let seen = Date.now();

function save() {
  keep(key, running);
}

function add(kind) {
  const at = Date.now();
  if (kind === 'tap' && at - (running.taps.at(-1)?.at ?? 0) < SLIP_MS) return;
  running.taps.push({ at, what: kind });
  // one that is used again is no longer put away
  running.put = false;
  save();
  sound('tap');
  show();
}

function sound(name) {
  const state = now();
  const more = ['rest', 'change', 'start'].includes(name) && state.step ? text(clock(), state.step, state.counted) || following(clock(), state) : '';
  cue(name, screen, { loud: setting('sound'), voice: setting('voice'), more });
}

function start() {
  allowSound();
  running = { ...structuredClone(page), start: Date.now() };
  seen = running.start;
  save();
  sound('count');
  keepAwake(true);
  show();
}

/** The one thing that a tap anywhere does now. */
function act() {
  if (!running) return start();
  const state = now();
  if (state.phase === 'done') return undefined;
  allowSound();
  if (state.paused) return add('resume');
  if (state.phase === 'running' && state.step.tap !== 'nothing') return add('tap');
  return undefined;
}

/** The lines that are on, and of those to come as many as can be read. Returns how many more there are. */
function showLines(state) {
  const { on, more } = linesOn(clock(), state);
  const marked = on.some(({ later }) => later);
  const rows = on.map(({ line, text: words, later }) => {
    const row = document.createElement('li');
    row.textContent = words;
    row.dataset.line = line;
    if (later) row.className = 'later';
    else if (marked) row.setAttribute('aria-current', 'step');
    return row;
  });
  const list = find('lines');
  if (rows.map((row) => row.outerHTML).join('') !== list.innerHTML) list.replaceChildren(...rows);
  showChanges(screen, state.phase === 'ready' || state.phase === 'done' ? [] : on.map(({ line }) => line));
  return more;
}

function showFace(ms) {
  const [front, back] = words(ms).split(/:(?=\d\d$)/);
  min.textContent = front.padStart(2, '0');
  sec.textContent = back;
}

const showLoads = noteLoads(find('loads'), clock, () => {
  save();
  show();
  if (now().phase === 'done') fill(now());
});

function showButtons(state) {
  const done = state.phase === 'done';
  const idle = state.phase === 'ready';
  pause.hidden = idle || done || state.paused;
  stop.hidden = idle || done;
  stop.textContent = clock().plan.open ? 'Finish' : 'Stop';
  all.hidden = state.phase !== 'running' || state.paused || state.step.unit !== 'line' || onLast(clock(), state);
  undo.hidden = idle || (done && !running.taps.length);
  undo.disabled = !idle && !running.taps.length;
  again.hidden = log.hidden = !done;
  settings.hidden = !idle;
  main.hidden = done;
  main.disabled = !tappable(state);
  if (!done) main.textContent = label(clock(), state);
  if (!done) cut.hidden = true;
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
  if (phase === 'done') return finish(state);
  what.textContent = phase === 'ready' ? clock().name : heading(clock(), state);
  next.textContent = phase === 'ready' ? next.dataset.next : below(clock(), state, more);
  const { shows, wait } = face(clock(), state);
  if (phase === 'count_in') sec.textContent = Math.ceil(state.left / 1000);
  else showFace(shows);
  return phase === 'ready' ? null : wait;
}

function ended({ plan }, { stopped, capped }) {
  if (stopped && !plan.open) return 'Stopped. What you did counts.';
  if (!capped) return 'Done.';
  return plan.score === 'time' ? 'Time. The cap came first.' : 'Time.';
}

/** After the end: what to log, and how far into the round that was cut. */
function finish(state) {
  const { step } = state;
  showFace(state.clock);
  what.textContent = ended(running, state);
  let counted = state.counted && step?.tap === 'counts' ? `${state.counted} ${step.unit}${state.counted === 1 ? '' : 's'} done. ` : '';
  if (step?.unit === 'line' && (state.stopped || state.capped)) counted = `${step.round - 1} of ${step.rounds} done. `;
  next.textContent = `${counted}${storyOf(running.plan, state, running)}`;
  if (!cut.hidden || log.dataset.shown === 'yes') return null;
  log.dataset.shown = 'yes';
  keepAwake(false);
  offerCut(cut, running, state, () => fill(state));
  fill(state);
  return null;
}

/** What the log form takes over, kept with the clock. */
function fill(state) {
  running.done = true;
  running.fill = {
    score: scoreOf(running.plan, state, running),
    minutes: String(Math.max(1, Math.round(state.clock / 60_000))),
    note: storyOf(running.plan, state, running),
    version_id: String(running.version),
  };
  save();
}

screen.addEventListener('click', (event) => {
  if (!event.target.closest('button, a, label, input, details, fieldset')) act();
});
main.addEventListener('click', act);
all.addEventListener('click', () => {
  const at = Date.now();
  const { index } = now();
  // one tap a line, all at this instant
  running.taps.push(...running.plan.steps.slice(index).map(() => ({ at, what: 'tap' })));
  save();
  sound('tap');
  show();
});
pause.addEventListener('click', () => add('pause'));
undo.addEventListener('click', () => {
  running = { ...running, done: false, used: false, cut: {} };
  log.dataset.shown = '';
  keepAwake(true);
  add('undo');
});
stop.addEventListener('click', () => add('stop'));
again.addEventListener('click', () => {
  running = null;
  log.dataset.shown = '';
  showFace(0);
  save();
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

offerChanges(screen, { hold, goOn, end: () => add('stop') }, (changed) => {
  page = fresh(changed);
  running = taken(key, page);
  save();
  show();
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
tick();
