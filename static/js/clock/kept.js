// What is kept of a clock on the device: everything that it needs to go on, whatever becomes of the page.
import { device } from '../device.js';
import { stateAt } from './engine.js';

/** A clock that nobody touched for so long was left. */
const LEFT_MS = 43_200_000;

/** A clock as this page would start it. */
export function fresh(screen) {
  const { clock, key, version } = screen.dataset;
  return {
    version: Number(version),
    plan: JSON.parse(clock),
    lines: [...screen.querySelectorAll('[data-line]')].map((line) => line.textContent.trim()),
    person: key.split(' ')[2],
    name: screen.querySelector('[data-what]').dataset.what,
    page: location.pathname,
    taps: [],
    cut: {},
    loads: {},
  };
}

/** One that was left stands where it was touched last; null where it holds nothing. */
function held(clock) {
  const last = clock.taps.at(-1)?.at ?? clock.start;
  if (Date.now() - last < LEFT_MS) return clock;
  if (clock.used) return null;
  if (stateAt(clock.plan, clock, Date.now()).phase === 'done') return clock;
  return clock.taps.length ? { ...clock, taps: [...clock.taps, { at: last, what: 'stop' }] } : null;
}

/**
 * The clock that is kept here goes on as it was started, whatever became of the page since: a new version of Dowel or of the
 * session changes nothing under way. Only what the member asked to be changed is changed. Null where none is kept.
 */
export function taken(key, now) {
  const there = device.get(key);
  const kept = there?.plan ? held(there) : null;
  if (!kept) return null;
  if (kept.version !== now.version) return kept.used ? null : kept;
  return kept.lines.join() === now.lines.join() ? kept : { ...kept, plan: now.plan, lines: now.lines };
}

/** Whether this phone has room for it. */
export function keep(key, clock) {
  if (clock) return device.set(key, clock);
  device.drop(key);
  return true;
}
