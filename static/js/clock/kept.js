// What is kept of a clock on the device: everything that it needs to go on, whatever becomes of the page.
import { device } from '../device.js';

/** A clock that began longer ago than this is over. */
const LONG_AGO_MS = 43_200_000;

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

/**
 * The clock that is kept here goes on as it was started, whatever became of the page since: a new version of Dowel or of the
 * session changes nothing under way. Only what the member asked to be changed is changed. Null where none is kept.
 */
export function taken(key, now) {
  const kept = device.get(key);
  if (!kept?.plan || Date.now() - kept.start > LONG_AGO_MS) return null;
  if (kept.version !== now.version) return kept.used ? null : kept;
  return kept.lines.join() === now.lines.join() ? kept : { ...kept, plan: now.plan, lines: now.lines };
}

/** Whether this phone has room for it. */
export function keep(key, clock) {
  if (clock) return device.set(key, clock);
  device.drop(key);
  return true;
}
