// A clock that is opened again: after minutes it goes on, after half a day it stands where it was touched last.
import assert from 'node:assert/strict';
import { test } from 'node:test';

const HOUR = 3_600_000;
const KEY = 'dowel clock 1 1 p0';
const START = 1_700_000_000_000;
let stored = null;
globalThis.localStorage = { getItem: () => stored, setItem: (_, value) => (stored = value), removeItem: () => (stored = null) };
const { taken } = await import('../../static/js/clock/kept.js');
const { stateAt } = await import('../../static/js/clock/engine.js');

const step = { kind: 'work', seconds: null, tap: 'counts', count_to: 4, unit: 'round', round: 1, rounds: 4, lines: [0], side: null, rungs: [], grows: null, turn: 0 };
const PLAN = { count_in_s: 3, cap_s: null, score: 'time', line_reps: [10], climbs: [], steps: [step] };
const clock = (more) => ({ version: 7, plan: PLAN, lines: ['10 air squat'], name: 'A part', start: START, taps: [], cut: {}, loads: {}, ...more });

/** What is taken up of it so long after its start. */
function after(hours, kept) {
  stored = JSON.stringify(kept);
  const real = Date.now;
  Date.now = () => START + hours * HOUR;
  try {
    const got = taken(KEY, clock());
    return got && { ...got, state: stateAt(got.plan, got, Date.now()) };
  } finally {
    Date.now = real;
  }
}

const round = { at: START + 63_000, what: 'tap' };

test('one that was touched some hours ago goes on', () => {
  const { state } = after(11, clock({ taps: [round] }));
  assert.deepEqual([state.phase, state.counted], ['running', 1]);
});

test('one that was left overnight stands where it was touched last, and what was done is there', () => {
  const { state } = after(20, clock({ taps: [round, { at: START + 90_000, what: 'pause' }] }));
  assert.deepEqual([state.phase, state.stopped, state.counted, state.clock], ['done', true, 1, 87_000]);
});

test('an undo takes the stop of one that was left back, as of any other', () => {
  const left = after(20, clock({ taps: [round] }));
  const state = stateAt(left.plan, { ...left, taps: [...left.taps, { at: START + 20 * HOUR, what: 'undo' }] }, START + 20 * HOUR);
  assert.deepEqual([state.phase, state.counted], ['running', 1]);
});

test('one that was left overnight with nothing done is begun anew', () => {
  assert.equal(after(20, clock()), null);
});

test('one that came to its end by itself is still at its end the next day, until it was logged', () => {
  const timed = { ...PLAN, steps: [{ ...step, seconds: 240, tap: 'nothing' }] };
  assert.equal(after(20, clock({ plan: timed })).state.phase, 'done');
  assert.equal(after(20, clock({ plan: timed, done: true, used: true })), null);
});
