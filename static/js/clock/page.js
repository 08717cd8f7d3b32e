// The clock's page: shows where the engine says it stands, takes taps, keeps them on the device.
import { keepAwake } from './awake.js';
import { offerChanges, showChanges } from './change.js';
import { cutRound, cuesBetween, rungAt, scoreOf, stateAt, storyOf, words } from './engine.js';
import { allowSound, cue } from './sound.js';

/** Two touches within this are one. */
const SLIP_MS = 350;
/** A cue that is later than this is not sounded: after a lock there is no burst of old sounds. */
const LATE_MS = 1000;
/** Of work done once through: so many lines after the one that is on are shown. */
const AHEAD = 3;
/** The longest time between two looks while the page is seen. */
const TICK_MS = 100;

const screen = document.querySelector('[data-clock]');
const key = screen.dataset.key;
const find = (name) => screen.querySelector(`[data-${name}]`);
const [what, min, sec, next, main, all, pause, undo, stop, again, log, settings, cut, change] = [
  'what', 'min', 'sec', 'next', 'tap', 'all', 'pause', 'undo', 'stop', 'again', 'log', 'settings', 'cut', 'change',
].map(find);
let lines = [...screen.querySelectorAll('[data-line]')];
let written = lines.map((line) => line.textContent);
const setting = (name) => settings.querySelector(`[name=${name}]`).checked;

/** A clock as this page would start it; what is kept of it on the device is everything that it needs. */
const fresh = () => ({
  version: Number(screen.dataset.version),
  plan: JSON.parse(screen.dataset.clock),
  lines: written,
  person: key.split(' ')[2],
  name: what.dataset.what,
  page: location.pathname,
  taps: [],
  cut: {},
});

/**
 * The clock that is kept here goes on as it was started, whatever became of the page since: a new version of Dowel or of the
 * session changes nothing under way. Only what the member asked to be changed is changed.
 */
function taken() {
  const kept = JSON.parse(localStorage.getItem(key) ?? 'null');
  const now = fresh();
  if (!kept?.plan || Date.now() - kept.start > 43_200_000) return null;
  if (kept.version !== now.version) return kept.used ? null : kept;
  return kept.lines.join() === now.lines.join() ? kept : { ...kept, plan: now.plan, lines: now.lines };
}

let taps = taken();
let plan;
let seen = Date.now();

/** The page shows the clock that runs, which may be older than the page. */
function use() {
  const clock = taps ?? fresh();
  plan = clock.plan;
}

function keep() {
  if (taps) localStorage.setItem(key, JSON.stringify(taps));
  else localStorage.removeItem(key);
}

function add(kind) {
  const at = Date.now();
  if (kind === 'tap' && at - (taps.taps.at(-1)?.at ?? 0) < SLIP_MS) return;
  taps.taps.push({ at, what: kind });
  taps.put = false;
  keep();
  sound('tap');
  show();
}

function sound(name) {
  const state = stateAt(plan, taps, Date.now());
  const more = ['rest', 'change', 'start'].includes(name) && state.step ? text(state.step) || following(state) : '';
  cue(name, screen, { loud: setting('sound'), voice: setting('voice'), more });
}

function start() {
  allowSound();
  taps = { ...fresh(), start: Date.now() };
  use();
  seen = taps.start;
  keep();
  sound('count');
  keepAwake(true);
  show();
}

/** The one thing that a tap anywhere does now. */
function act() {
  if (!taps) return start();
  const state = stateAt(plan, taps, Date.now());
  if (state.phase === 'done') return undefined;
  allowSound();
  if (state.paused) return add('resume');
  if (state.phase === 'running' && state.step.tap !== 'nothing') return add('tap');
  return undefined;
}

const UNITS = { round: 'Round', rung: 'Rung', set: 'Set', minute: 'Minute', station: 'Station' };

function heading(state) {
  const { step } = state;
  if (state.paused) return 'Paused';
  if (state.phase === 'count_in') return 'Get ready';
  if (step.kind === 'rest') return 'Rest';
  if (step.kind === 'ready') return step.side === 2 ? 'Switch sides' : 'Get ready';
  const number = step.tap === 'counts' ? state.counted + 1 : step.round;
  if (step.unit === 'line') return `${number} of ${step.rounds}`;
  const of = step.tap === 'counts' ? step.count_to : step.rounds;
  const rung = rungAt(step, state.counted);
  const side = step.side ? `, ${step.side === 1 ? 'first' : 'second'} side` : '';
  if (rung !== null) return `${rung} reps each${of ? `, rung ${number} of ${of}` : ''}`;
  if (of === 1) return `${what.dataset.what}${side}`;
  if (!of && step.tap !== 'counts') return `Work${side}`;
  return `${UNITS[step.unit]} ${number}${of ? ` of ${of}` : ''}${side}`;
}

/** A line of the clock that runs, as it was given. */
const whole = (i) => ((taps?.lines ?? written)[i] ?? '').trim();

/** `10-10-8 romanian deadlift` in the third set is `8 romanian deadlift`. */
function thisTime(line, step) {
  const [, scheme, rest] = line.match(/^(\d+(?:-\d+){2,}) (.*)$/) ?? [];
  const reps = scheme?.split('-');
  return step.unit === 'set' && reps?.length === step.rounds ? `${reps[step.round - 1]} ${rest}` : line;
}

const text = (step) => step.lines.map((i) => thisTime(whole(i), step)).join(', ');

function following(state) {
  const after = plan.steps[state.index + 1];
  if (state.phase === 'count_in') return '';
  if (state.step.kind === 'ready' || state.step.unit === 'line') return '';
  if (!after) return state.step.tap === 'counts' || plan.steps.length === 1 ? '' : 'Last one';
  if (after.kind === 'rest') return `Next: rest ${after.seconds ? words(after.seconds * 1000) : ''}`;
  return `Next: ${after.side === 2 ? 'switch sides' : text(after)}`;
}

/** A tap anywhere does something now. */
const tappable = (state) => state.phase === 'ready' || state.paused || (state.phase === 'running' && state.step.tap !== 'nothing');

/** What stands on the big button. */
function label(state) {
  if (state.paused) return 'Go on';
  if (state.phase === 'count_in') return 'Get ready';
  const { step } = state;
  if (step.tap === 'nothing') return 'Runs by itself';
  if (step.kind === 'rest') return 'Ready';
  if (step.unit === 'line') return onLast(state) ? 'Finished' : 'Done, next';
  if (step.tap === 'counts') return step.count_to === state.counted + 1 ? 'Finished' : `${UNITS[step.unit]} done`;
  return onLast(state) ? 'Finished' : 'Done';
}

const onLast = (state) => state.index === plan.steps.length - 1;

/** The digits count up to the end, not down. */
const countsUp = (step) => step.seconds === null && (step.tap === 'counts' || step.unit === 'line');

/** What the lines belong to: in a rest they are those of what comes next. */
const shownStep = (state) => (state.step?.kind === 'rest' ? plan.steps.slice(state.index + 1).find((s) => s.kind !== 'rest') : undefined) ?? state.step;

/** Lines that are on, and for work done once through those that are still to come. */
function linesOf(state) {
  const step = shownStep(state);
  if (state.phase === 'ready' || !step) return [];
  return step.unit === 'line' ? plan.steps.slice(state.index).flatMap((s) => s.lines) : step.lines;
}

/** Marks the line that is on; of those to come as many as can be read. Returns how many more there are. */
function showLines(state, on) {
  const idle = state.phase === 'ready';
  const seen = state.step?.unit === 'line' ? on.slice(0, 1 + AHEAD) : on;
  const marked = !idle && state.step?.unit === 'line' && state.phase !== 'done';
  for (const line of lines) {
    const n = Number(line.dataset.line);
    line.hidden = !idle && !seen.includes(n);
    const now = idle || state.phase === 'done' ? whole(n) : thisTime(whole(n), shownStep(state));
    if (line.textContent !== now) line.textContent = now;
    line.classList.toggle('later', marked && n !== on[0]);
    if (marked && n === on[0]) line.setAttribute('aria-current', 'step');
    else line.removeAttribute('aria-current');
  }
  return on.length - seen.length;
}

/** What follows, where the lines do not say it already. */
function afterwards(state) {
  const after = plan.steps[state.index + 1];
  if (state.phase === 'running' && state.step.kind === 'rest' && after) return after.rounds > 1 ? `Next: ${UNITS[after.unit].toLowerCase()} ${after.round} of ${after.rounds}` : '';
  if (after?.kind === 'work' && !after.side && after.lines.join() === state.step.lines.join() && state.step.kind === 'work') return 'Next: the same again';
  return following(state);
}

/** What stands under the lines: how many more, what follows, and a cap that the digits do not show. */
function below(state, more) {
  const hidden = state.phase !== 'ready' && !countsUp(state.step) && state.left !== null;
  const cap = plan.cap_s !== null && !hidden ? `Cap ${words(plan.cap_s * 1000)}` : '';
  const after = state.phase === 'ready' ? '' : afterwards(state);
  return [more ? `Then ${more} more` : '', after, cap].filter(Boolean).join(' · ');
}

function face(ms) {
  const [front, back] = words(ms).split(/:(?=\d\d$)/);
  min.textContent = front.padStart(2, '0');
  sec.textContent = back;
}

/** Shows where the clock stands; returns how long until the digits change, or null where they do not. */
function show() {
  const now = Date.now();
  const state = stateAt(plan, taps, now);
  const done = state.phase === 'done';
  const idle = state.phase === 'ready';
  screen.classList.toggle('work', state.phase === 'running' && state.step.kind === 'work' && !state.paused);
  screen.classList.toggle('over', done);
  screen.classList.toggle('idle', idle);
  screen.classList.toggle('rest', state.phase === 'running' && state.step.kind === 'rest');
  for (const button of [pause, stop]) button.hidden = idle || done;
  all.hidden = idle || done || state.paused || state.phase !== 'running' || state.step.unit !== 'line' || onLast(state);
  undo.hidden = idle || (done && !taps.taps.length);
  undo.disabled = !idle && !taps.taps.length;
  again.hidden = log.hidden = !done;
  main.hidden = done;
  settings.hidden = !idle;
  if (!done) cut.hidden = true;
  const on = linesOf(state);
  const more = showLines(state, on);
  screen.classList.toggle('count', state.phase === 'count_in' && !state.paused);
  if (change) change.hidden = done;
  showChanges(screen, on);
  main.disabled = !tappable(state);
  if (!done) next.textContent = below(state, more);
  if (idle) return null;
  pause.hidden ||= state.paused;
  if (done) {
    finish(state);
    return null;
  }
  main.textContent = label(state);
  what.textContent = heading(state);
  if (state.phase === 'count_in') {
    sec.textContent = Math.ceil(state.left / 1000);
    return state.paused ? null : state.left % 1000 || 1000;
  }
  const left = state.left ?? (plan.cap_s !== null && state.step.tap !== 'ends' ? plan.cap_s * 1000 - state.moving : null);
  // what is left is rounded up, so that the last second shows 1 and not 0
  const up = countsUp(state.step);
  const runs = up ? state.clock : state.elapsed;
  face(left === null || up ? runs : Math.ceil(left / 1000) * 1000);
  if (state.paused) return null;
  return left === null || up ? 1000 - (runs % 1000) : left % 1000 || 1000;
}

/** After the end: what to log, and how far into the round that was cut. */
function finish(state) {
  const first = cut.hidden && log.dataset.shown !== 'yes';
  face(state.clock);
  what.textContent = state.stopped ? 'Stopped. What you did counts.' : state.capped ? 'Time. The cap came first.' : 'Done.';
  let counted = state.counted && state.step?.tap === 'counts' ? `${state.counted} ${state.step.unit}${state.counted === 1 ? '' : 's'} done. ` : '';
  if (state.step?.unit === 'line' && (state.stopped || state.capped)) counted = `${state.step.round - 1} of ${state.step.rounds} done. `;
  next.textContent = `${counted}${storyOf(plan, state)}`;
  if (!first) return;
  log.dataset.shown = 'yes';
  keepAwake(false);
  offerCut(state);
  fill(state);
}

/** What the log form takes over, kept with the clock. */
function fill(state) {
  taps.done = true;
  taps.fill = {
    score: scoreOf(plan, state, taps.cut),
    minutes: String(Math.max(1, Math.round(state.clock / 60_000))),
    note: storyOf(plan, state),
    version_id: String(taps.version),
  };
  keep();
}

function offerCut(state) {
  const round = cutRound(plan, state);
  cut.hidden = !round.length;
  cut.querySelectorAll('p').forEach((row) => row.remove());
  for (const { line, reps } of round) {
    const row = document.createElement('p');
    const count = document.createElement('output');
    const button = (label, to) => {
      const made = Object.assign(document.createElement('button'), { type: 'button', className: 'plain', textContent: label });
      made.addEventListener('click', () => set(to(taps.cut[line] ?? 0)));
      return made;
    };
    const set = (n) => {
      taps.cut[line] = Math.min(reps, Math.max(0, n));
      count.textContent = `${taps.cut[line]} of ${taps.lines[line]}`;
      fill(stateAt(plan, taps, Date.now()));
    };
    row.append(count, button('−', (n) => n - 1), button('+', (n) => n + 1), button('All', () => reps));
    cut.append(row);
    set(taps.cut[line] ?? 0);
  }
}

screen.addEventListener('click', (event) => {
  if (!event.target.closest('button, a, label, input, details')) act();
});
main.addEventListener('click', act);
all.addEventListener('click', () => {
  const at = Date.now();
  const { index } = stateAt(plan, taps, at);
  // one tap a line, all at this instant
  taps.taps.push(...plan.steps.slice(index).map(() => ({ at, what: 'tap' })));
  keep();
  sound('tap');
  show();
});
pause.addEventListener('click', () => add('pause'));
undo.addEventListener('click', () => {
  taps = { ...taps, done: false, used: false, cut: {} };
  log.dataset.shown = '';
  keepAwake(true);
  add('undo');
});
stop.addEventListener('click', () => add('stop'));
again.addEventListener('click', () => {
  taps = null;
  log.dataset.shown = '';
  what.textContent = what.dataset.what;
  face(0);
  use();
  keep();
  main.textContent = 'Start';
  show();
});

/** Stands still while somebody says that it hurts. Returns whether there was a clock to stop. */
function hold() {
  const state = stateAt(plan, taps, Date.now());
  if (state.phase === 'ready' || state.phase === 'done') return false;
  if (!state.paused) add('pause');
  return true;
}

function goOn() {
  if (stateAt(plan, taps, Date.now()).paused) add('resume');
}

offerChanges(screen, { hold, goOn, end: () => add('stop') }, (page) => {
  screen.dataset.clock = page.dataset.clock;
  find('lines').replaceChildren(...page.querySelectorAll('[data-line]'));
  lines = [...screen.querySelectorAll('[data-line]')];
  written = lines.map((line) => line.textContent);
  taps = taken();
  use();
  keep();
  show();
});

let timer;
/** Sounds what is due and shows the second that is on; comes back when the digits change, and ten times a second at least. */
function tick() {
  clearTimeout(timer);
  const now = Date.now();
  if (taps) {
    for (const { at, sound: name } of cuesBetween(plan, taps, seen, now)) if (now - at < LATE_MS) sound(name);
  }
  seen = now;
  timer = setTimeout(tick, Math.min(TICK_MS, Math.ceil(show() ?? TICK_MS)));
}
document.addEventListener('visibilitychange', tick);
use();
if (taps && stateAt(plan, taps, Date.now()).phase !== 'done') keepAwake(true);
tick();
