// Somebody who does any clock to its end: taps when a tap is due, now and then by mistake, is called away, locks the phone.
import assert from 'node:assert/strict';
import { cuesBetween } from '../../static/js/clock/cues.js';
import { begunByHand, stateAt } from '../../static/js/clock/engine.js';
import { fresh, keep, taken } from '../../static/js/clock/kept.js';
import { scoreOf, storyOf } from '../../static/js/clock/score.js';
import { below, face, following, heading, label, linesOn } from '../../static/js/clock/words.js';

const START = 1_700_000_000_000;
/** More taps and waits than this are no session. */
const MANY = 3000;

/** The same numbers in every run: `random(n)` is a whole number from 0 to n - 1. */
export function dice(seed) {
  let state = seed % 2147483647 || 1;
  return (n) => {
    state = (state * 16807) % 2147483647;
    return state % n;
  };
}

/** A device that keeps things as text. */
const kept = new Map();
globalThis.localStorage = { getItem: (key) => kept.get(key) ?? null, setItem: (key, value) => kept.set(key, value), removeItem: (key) => kept.delete(key) };
globalThis.location = { pathname: '/sessions/1/parts/0/clock' };

const KEY = 'dowel clock 1 1 p0';
function screenOf(plan, lines) {
  return {
    dataset: { clock: JSON.stringify(plan), key: KEY, version: '7' },
    querySelectorAll: () => lines.map((textContent) => ({ textContent })),
    querySelector: () => ({ dataset: { what: 'A part' } }),
  };
}

/** No hole in any word that is shown. */
function speaks(clock, state, where) {
  const said = { heading: heading(clock, state), label: label(clock, state), below: below(clock, state, 0), following: following(clock, state), lines: linesOn(clock, state).on.map((l) => l.text).join() };
  for (const [what, words] of Object.entries(said)) {
    assert.equal(typeof words, 'string', `${what} ${where}`);
    assert.doesNotMatch(words, /undefined|null|NaN|\[object|^, |, ,/, `${what} ${where}`);
  }
  assert.ok(said.heading && said.label, where);
  if (state.phase === 'running') {
    const { shows, wait } = face(clock, state);
    assert.ok(shows >= 0 && (wait === null) === Boolean(state.paused) && (wait === null || (wait > 0 && wait <= 1000)), `face ${where}: ${shows} ${wait}`);
  }
}

/** The same clock after the page was loaded again. */
function reloaded(clock, now) {
  keep(KEY, clock);
  const real = Date.now;
  Date.now = () => now;
  try {
    return taken(KEY, fresh(screenOf(clock.plan, clock.lines)));
  } finally {
    Date.now = real;
  }
}

/**
 * Does `plan` to its end. What it should have taken is added up here, from the plan and the taps alone, and held against what
 * the engine says. Returns how often a tap was undone, a page loaded again, a hold begun and a side changed.
 */
export function doIt(plan, lines, random, name) {
  const clock = { ...fresh(screenOf(plan, lines)), start: START };
  const log = clock.taps;
  let now = START + plan.count_in_s * 1000;
  let position = 0;
  let [index, counted, begun] = [0, 0, 0];
  let [undone, loads, holds, turns] = [0, 0, 0, 0];
  const cap = plan.cap_s === null ? Infinity : plan.cap_s * 1000;
  const where = () => `${name}, step ${index} of ${plan.steps.length}, second ${position / 1000}`;
  const look = () => stateAt(plan, clock, now);
  const wait = (ms) => ([now, position] = [now + ms, position + ms]);
  const next = () => ([index, counted, begun] = [index + 1, 0, position]);
  let finished = false;
  for (let turn = 0; turn < MANY && !finished; turn += 1) {
    const step = plan.steps[index];
    const state = look();
    assert.deepEqual([state.phase, state.index, state.counted, state.elapsed, state.moving], ['running', index, counted, position - begun, position], where());
    speaks(clock, state, where());
    if (random(12) === 0) {
      assert.deepEqual(stateAt(plan, reloaded(clock, now), now), state, `loaded again: ${where()}`);
      loads += 1;
    }
    if (random(15) === 0 && log.length) {
      // a call: the clock stands still, a tap meanwhile is a slip
      log.push({ at: now, what: 'pause' });
      now += 1000 * (1 + random(600));
      log.push({ at: now - 500, what: 'tap' });
      speaks(clock, look(), where());
      log.push({ at: now, what: 'resume' });
      assert.deepEqual([look().index, look().moving], [index, position], `called away: ${where()}`);
    }
    const held = begunByHand(step).find((i) => plan.holds?.[i]);
    if (held !== undefined && random(4) === 0) {
      // begun, and let go of by a tap: nothing else is changed
      const before = look();
      log.push({ at: now, what: 'hold', line: held });
      assert.equal(look().hold?.line, held, where());
      speaks(clock, look(), where());
      log.push({ at: now, what: 'tap' });
      assert.deepEqual(look(), before, `held: ${where()}`);
      holds += 1;
    }
    if (state.sides.length && random(4) === 0) {
      // the other side's turn: a round, a set and the time know nothing of it, and whoever never says so comes to the end too
      const { turned, ...before } = look();
      log.push({ at: now, what: 'turn', line: state.sides[0] });
      const after = look();
      assert.notDeepEqual(after.turned, turned, where());
      assert.deepEqual({ ...after, turned }, { ...before, turned }, `turned: ${where()}`);
      speaks(clock, after, where());
      turns += 1;
    }
    const ends = Math.min(step.seconds === null ? Infinity : begun + step.seconds * 1000, cap);
    const taps = step.tap !== 'nothing';
    // who may tap does so after a while, where there is time left for it
    const ms = 1000 + 250 * random(160);
    if (!taps || position + ms >= ends) {
      assert.ok(ends < Infinity || taps, `stuck: ${where()}`);
      const sounds = cuesBetween(plan, clock, now, now + ends - position);
      wait(ends - position);
      const over = index === plan.steps.length - 1 || ends === cap;
      assert.equal(sounds.filter(({ at }) => at === now).length, 1, `one sound at the end of ${where()}`);
      assert.equal(sounds.at(-1).sound === 'stop', over, where());
      finished = over;
      next();
      continue;
    }
    wait(ms);
    if (random(6) === 0) {
      const before = look();
      log.push({ at: now, what: 'tap' }, { at: now, what: 'undo' });
      assert.deepEqual(look(), before, `undone: ${where()}`);
      undone += 1;
    }
    if ((plan.open && turn > 12) || (step.count_to === null && step.tap === 'counts' && turn > 60)) {
      log.push({ at: now, what: 'stop' });
      finished = true;
      continue;
    }
    log.push({ at: now, what: 'tap' });
    counted += 1;
    if (step.tap === 'ends' || counted === step.count_to) {
      finished = index === plan.steps.length - 1;
      next();
    }
  }
  assert.ok(finished, `never ends: ${where()}`);
  for (const later of [0, 1, 86_400_000]) {
    const state = stateAt(plan, clock, now + later);
    assert.deepEqual([state.phase, state.moving], ['done', position], `${name}, ${later} ms after the end`);
    assert.equal(state.clock, now - START - plan.count_in_s * 1000, name);
    assert.doesNotMatch(scoreOf(plan, state) + storyOf(plan, state), /undefined|null|NaN/, name);
  }
  const end = look();
  if (log.at(-1)?.what === 'stop') {
    log.push({ at: now, what: 'undo' });
    const on = look();
    assert.deepEqual([on.phase, on.index, on.moving], ['running', end.index, position], `a stop by mistake: ${name}`);
  }
  return { undone, loads, holds, turns };
}
