// The clock's page: shows where the engine says it stands, takes taps, keeps them on the device.
import { keepAwake } from './awake.js';
import { cuesBetween, rungAt, scoreOf, stateAt, words } from './engine.js';
import { allowSound, cue } from './sound.js';

/** Two touches within this are one. */
const SLIP_MS = 350;
/** A cue that is later than this is not sounded: after a lock there is no burst of old sounds. */
const LATE_MS = 1000;

const screen = document.querySelector('[data-clock]');
const plan = JSON.parse(screen.dataset.clock);
const key = screen.dataset.key;
const find = (name) => screen.querySelector(`[data-${name}]`);
const [what, min, sec, next, main, pause, undo, stop, again, log, settings] = [
  'what', 'min', 'sec', 'next', 'tap', 'pause', 'undo', 'stop', 'again', 'log', 'settings',
].map(find);
const lines = [...screen.querySelectorAll('[data-line]')];
const setting = (name) => settings.querySelector(`[name=${name}]`).checked;

let taps = JSON.parse(localStorage.getItem(key) ?? 'null');
let seen = Date.now();

function keep() {
  if (taps) localStorage.setItem(key, JSON.stringify(taps));
  else localStorage.removeItem(key);
}

function add(kind) {
  const at = Date.now();
  if (kind === 'tap' && at - (taps.taps.at(-1)?.at ?? 0) < SLIP_MS) return;
  taps.taps.push({ at, what: kind });
  keep();
  sound('tap');
  show();
}

function sound(name) {
  cue(name, screen, { loud: setting('sound'), voice: setting('voice') });
}

function start() {
  allowSound();
  taps = { start: Date.now(), taps: [] };
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
  const number = step.tap === 'counts' ? state.counted + 1 : step.round;
  const of = step.tap === 'counts' ? step.count_to : step.rounds;
  const rung = rungAt(step, state.counted);
  const side = step.side ? `, ${step.side === 1 ? 'first' : 'second'} side` : '';
  if (rung !== null) return `${rung} reps each${of ? `, rung ${number} of ${of}` : ''}`;
  if (!of && step.tap !== 'counts') return `Work${side}`;
  return `${UNITS[step.unit]} ${number}${of ? ` of ${of}` : ''}${side}`;
}

const text = (step) => step.lines.map((i) => lines.find((l) => l.dataset.line === String(i))?.textContent.trim()).join(', ');

function following(state) {
  const after = plan.steps[state.index + 1];
  if (state.phase === 'count_in') return `First: ${text(plan.steps[0])}`;
  if (!after) return state.step.tap === 'counts' && state.step.count_to ? '' : 'Last one';
  if (after.kind === 'rest') return `Next: rest ${after.seconds ? words(after.seconds * 1000) : ''}`;
  return `Next: ${after.side === 2 ? 'second side' : text(after)}`;
}

/** What stands on the big button. */
function label(state) {
  if (state.paused) return 'Go on';
  if (state.phase === 'count_in') return 'Get ready';
  const { step } = state;
  if (step.tap === 'nothing') return 'Running';
  if (step.kind === 'rest') return 'Ready';
  if (step.tap === 'counts') return step.count_to === state.counted + 1 ? 'Finished' : `${UNITS[step.unit]} done`;
  return state.index === plan.steps.length - 1 ? 'Finished' : 'Done';
}

function face(ms) {
  const [front, back] = words(ms).split(/:(?=\d\d$)/);
  min.textContent = front.padStart(2, '0');
  sec.textContent = back;
}

function show() {
  const now = Date.now();
  const state = stateAt(plan, taps, now);
  const done = state.phase === 'done';
  const idle = state.phase === 'ready';
  screen.classList.toggle('work', state.phase === 'running' && state.step.kind === 'work' && !state.paused);
  screen.classList.toggle('rest', state.phase === 'running' && state.step.kind === 'rest');
  for (const button of [pause, undo, stop]) button.hidden = idle || done;
  again.hidden = log.hidden = !done;
  main.hidden = done;
  settings.hidden = !idle;
  for (const line of lines) line.hidden = !idle && !(state.step?.lines ?? []).includes(Number(line.dataset.line));
  if (idle) return;
  pause.textContent = state.paused ? 'Go on' : 'Pause';
  if (done) {
    finish(state);
    return;
  }
  main.textContent = label(state);
  what.textContent = heading(state);
  next.textContent = following(state);
  const left = state.left ?? (plan.cap_s !== null && state.step.tap !== 'ends' ? plan.cap_s * 1000 - state.moving : null);
  // what is left is rounded up, so that the last second shows 1 and not 0
  const up = state.step.tap === 'counts' && state.step.seconds === null;
  face(left === null || up ? (up ? state.clock : state.elapsed) : Math.ceil(left / 1000) * 1000);
}

function finish(state) {
  keepAwake(false);
  face(state.clock);
  const paused = Math.round((state.clock - state.moving) / 1000);
  const how = state.stopped ? 'Stopped. What you did counts.' : state.capped ? 'Time. The cap came first.' : 'Done.';
  what.textContent = how;
  const counted = state.counted && state.step?.tap === 'counts' ? `${state.counted} ${state.step.unit}s done. ` : '';
  next.textContent = `${counted}${paused ? `${words(state.moving)} moving, ${words(paused * 1000)} paused.` : ''}`;
  const address = new URL(screen.dataset.back, location.href);
  const fill = { score: scoreOf(plan, state), minutes: Math.max(1, Math.round(state.clock / 60_000)), part: screen.dataset.part };
  for (const [name, value] of Object.entries(fill)) if (value !== '') address.searchParams.set(name, value);
  log.href = address.pathname + address.search + address.hash;
}

screen.addEventListener('click', (event) => {
  if (!event.target.closest('button, a, label, input, summary')) act();
});
main.addEventListener('click', act);
pause.addEventListener('click', () => add(stateAt(plan, taps, Date.now()).paused ? 'resume' : 'pause'));
undo.addEventListener('click', () => add('undo'));
stop.addEventListener('click', () => add('stop'));
again.addEventListener('click', () => {
  taps = null;
  keep();
  main.textContent = 'Start';
  show();
});

setInterval(() => {
  const now = Date.now();
  if (taps) {
    for (const { at, sound: name } of cuesBetween(plan, taps, seen, now)) if (now - at < LATE_MS) sound(name);
  }
  seen = now;
  show();
}, 100);
document.addEventListener('visibilitychange', show);
if (taps && stateAt(plan, taps, Date.now()).phase !== 'done') keepAwake(true);
show();
