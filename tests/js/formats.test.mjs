// Every format's clock, second by second, on the plans that the program makes of tests/data/clock/nine.txt. What should be
// shown is written down by hand as stretches; a pause moves everything after it, an undo takes a tap back.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { stateAt } from '../../static/js/clock/engine.js';
import { cutRound, repsDone, scoreOf, storyOf } from '../../static/js/clock/score.js';

const plans = JSON.parse(readFileSync(new URL('../data/clock/plans.json', import.meta.url)));
const START = 1_700_000_000_000;
const instant = (seconds) => START + 3000 + seconds * 1000;

/** taps: seconds; stretches: [from, to, what is shown: index of the step, and lines]; end: second of the end. */
const CASES = {
  'Air squat': { taps: [20, 110, 200], stretches: [[0, 20, 0], [20, 80, 1], [80, 110, 2], [110, 170, 3], [170, 200, 4]], end: 200, score: '' },
  Rounds: { taps: [40, 90, 150], stretches: [[0, 40, 0], [40, 90, 1], [90, 150, 2]], end: 150, score: '' },
  'For time': { taps: [60, 130, 200], stretches: [[0, 200, 0]], end: 200, score: '3:20', counts: true },
  AMRAP: { taps: [50, 100, 160], stretches: [[0, 240, 0]], end: 240, score: '3+0', counts: true },
  EMOM: { taps: [], stretches: [[0, 60, 0, [0]], [60, 120, 1, [1]], [120, 180, 2, [0]], [180, 240, 3, [1]]], end: 240, score: '' },
  Intervals: { taps: [], stretches: [[0, 20, 0], [20, 30, 1], [30, 50, 2], [50, 60, 3], [60, 80, 4]], end: 80, score: '' },
  Ladder: { taps: [20, 60, 120, 200], stretches: [[0, 300, 0]], end: 300, score: '4+0', counts: true },
  Practice: { taps: [], stretches: [[0, 20, 0], [20, 25, 1], [25, 45, 2], [45, 50, 3], [50, 80, 4]], end: 80, score: '' },
  plank: { taps: [75], stretches: [[0, 75, 0]], end: 75, score: '1:15' },
};

const logOf = (...entries) => ({ start: START, taps: entries.sort((a, b) => a[0] - b[0]).map(([s, what]) => ({ at: instant(s), what })) });
const taps = (seconds) => seconds.map((s) => [s, 'tap']);

/** Looks at every second from the three-count to a while after the end. `shift` says how much later a second comes. */
function walk(name, log, shift = () => 0) {
  const plan = plans[name];
  const { stretches, end, counts, taps: tapped } = CASES[name];
  for (let s = -3; s < 0; s += 1) {
    const state = stateAt(plan, log, instant(s));
    assert.deepEqual([state.phase, state.left], ['count_in', -s * 1000], `${name}, second ${s}`);
  }
  for (const [from, to, index, lines] of stretches) {
    for (let s = from; s < to; s += 1) {
      const state = stateAt(plan, log, instant(s + shift(s)));
      assert.deepEqual([state.phase, state.index, state.elapsed / 1000], ['running', index, s - from], `${name}, second ${s}`);
      const { seconds } = plan.steps[index];
      assert.equal(state.left, seconds === null ? null : (from + seconds - s) * 1000, `${name}, second ${s}`);
      if (lines) assert.deepEqual(state.step.lines, lines, `${name}, second ${s}`);
      if (counts) assert.equal(state.counted, tapped.filter((t) => t <= s).length, `${name}, second ${s}`);
    }
  }
  for (const s of [end, end + 1, end + 1800]) {
    const state = stateAt(plan, log, instant(s + shift(s)));
    assert.deepEqual([state.phase, state.moving], ['done', end * 1000], `${name}, second ${s}`);
  }
}

test('the plans are of all nine formats', () => assert.deepEqual(Object.keys(plans), Object.keys(CASES)));

for (const [name, { taps: tapped, end, score }] of Object.entries(CASES)) {
  test(`${name}: every second, and the score at the end`, () => {
    const log = logOf(...taps(tapped));
    walk(name, log);
    assert.equal(scoreOf(plans[name], stateAt(plans[name], log, instant(end + 5))), score);
  });

  test(`${name}: a pause keeps clock time and moving time`, () => {
    const [at, long] = [10, 45];
    const late = tapped.map((t) => (t > at ? t + long : t));
    const log = logOf(...taps(late), [at, 'pause'], [at + long, 'resume']);
    walk(name, log, (s) => (s > at ? long : 0));
    for (let s = at; s < at + long; s += 1) {
      const state = stateAt(plans[name], log, instant(s));
      assert.deepEqual([state.paused, state.moving, state.clock], [true, at * 1000, s * 1000], `second ${s} of the pause`);
    }
    const ended = stateAt(plans[name], log, instant(end + long + 5));
    assert.deepEqual([ended.moving, ended.clock], [end * 1000, (end + long) * 1000]);
  });

  test(`${name}: a tap by mistake is undone without a trace`, () => {
    const slip = logOf(...taps(tapped), [5, 'tap'], [5.4, 'undo']);
    const clean = logOf(...taps(tapped));
    for (let s = 6; s < end + 3; s += 1) {
      assert.deepEqual(stateAt(plans[name], slip, instant(s)), stateAt(plans[name], clean, instant(s)), `second ${s}`);
    }
  });

  test(`${name}: stopped early it keeps what was done, and a stop by mistake goes on`, () => {
    const before = tapped.filter((t) => t < 30);
    const stopped = stateAt(plans[name], logOf(...taps(before), [30, 'stop']), instant(100));
    assert.deepEqual([stopped.phase, stopped.stopped, stopped.moving], ['done', true, 30_000]);
    assert.match(storyOf(plans[name], stopped), /Stopped at 0:30\./);
    const on = stateAt(plans[name], logOf(...taps(before), [30, 'stop'], [35, 'undo']), instant(40));
    assert.deepEqual([on.phase, on.moving], ['running', 40_000]);
  });
}

test('the cap cuts a round off, and its reps are counted up', () => {
  const plan = plans['For time'];
  const state = stateAt(plan, logOf(...taps([60, 130])), instant(310));
  assert.deepEqual([state.capped, state.counted, state.clock], [true, 2, 300_000]);
  assert.deepEqual(cutRound(plan, state), [{ line: 0, reps: 10 }, { line: 1, reps: 5 }]);
  assert.equal(scoreOf(plan, state, { cut: { 0: 10, 1: 3 } }), 'capped at 43');
});

test('a window counts rounds and the reps of the one it cut', () => {
  const plan = plans.AMRAP;
  const state = stateAt(plan, logOf(...taps([50, 100, 160])), instant(250));
  assert.deepEqual(cutRound(plan, state), [{ line: 0, reps: 6 }, { line: 1, reps: 4 }]);
  assert.equal(scoreOf(plan, state, { cut: { 0: 6, 1: 1 } }), '3+7');
  assert.equal(repsDone(plan, state, { 0: 6, 1: 1 }), 37);
  assert.match(storyOf(plan, state), /Splits: 0:50, 0:50, 1:00\./);
});

test('a ladder offers the reps of the rung that was cut', () => {
  const plan = plans.Ladder;
  const state = stateAt(plan, logOf(...taps([20, 60, 120, 200])), instant(301));
  // rungs of 2, 4, 6, 8 are done by both lines; the next is of 10
  assert.deepEqual(cutRound(plan, state), [{ line: 0, reps: 10 }, { line: 1, reps: 10 }]);
  assert.equal(repsDone(plan, state), 40);
});

test('stopped for time it is reps and not a time', () => {
  const plan = plans['For time'];
  const state = stateAt(plan, logOf(...taps([60]), [90, 'stop']), instant(91));
  assert.equal(scoreOf(plan, state, { cut: { 0: 4 } }), '19 reps');
});
