// The clock's engine against plans of every format, second by second, with a clock of our own.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { cuesBetween } from '../../static/js/clock/cues.js';
import { rungAt, stateAt, words } from '../../static/js/clock/engine.js';
import { below, face, heading, holdFor, label, startable, tappable } from '../../static/js/clock/words.js';
import { cutRound, scoreOf, storyOf } from '../../static/js/clock/score.js';

const step = (more) => ({
  kind: 'work', seconds: null, tap: 'ends', count_to: null, unit: 'round', round: 1, rounds: null, lines: [0], side: null,
  rungs: [], grows: null, ...more,
});
const plan = (steps, more = {}) => ({ count_in_s: 3, steps, cap_s: null, score: 'none', line_reps: [null], climbs: [], ...more });
const timed = (seconds, more = {}) => step({ seconds, tap: 'nothing', ...more });
const START = 1_700_000_000_000;
const at = (seconds) => START + 3000 + seconds * 1000;
const log = (...taps) => ({ start: START, taps: taps.map(([seconds, what = 'tap']) => ({ at: at(seconds), what })) });

test('before the start it waits, then counts three', () => {
  const p = plan([timed(60)]);
  assert.equal(stateAt(p, null, START).phase, 'ready');
  const counting = stateAt(p, log(), START + 1000);
  assert.deepEqual([counting.phase, counting.left], ['count_in', 2000]);
});

test('intervals go through work and rest by time alone, every second of them', () => {
  const p = plan([timed(30), timed(15, { kind: 'rest' }), timed(30)]);
  for (let s = 0; s < 75; s += 1) {
    const state = stateAt(p, log(), at(s));
    const want = s < 30 ? [0, 30 - s] : s < 45 ? [1, 45 - s] : [2, 75 - s];
    assert.deepEqual([state.index, state.left / 1000], want, `second ${s}`);
  }
  assert.equal(stateAt(p, log(), at(75)).phase, 'done');
});

test('a tap ends a set and the rest after it runs by time', () => {
  const p = plan([step({ unit: 'set' }), timed(90, { kind: 'rest' }), step({ round: 2 })]);
  const state = stateAt(p, log([40]), at(100));
  assert.deepEqual([state.index, state.left], [1, 30_000]);
  assert.deepEqual([stateAt(p, log([40]), at(131)).index, stateAt(p, log([40], [150]), at(151)).phase], [2, 'done']);
});

test('taps count rounds and an undo takes one back', () => {
  const p = plan([timed(420, { tap: 'counts' })], { score: 'rounds_reps' });
  const taps = log([60], [62], [63, 'undo'], [121]);
  assert.equal(stateAt(p, taps, at(130)).counted, 2);
  const end = stateAt(p, taps, at(500));
  assert.deepEqual([end.phase, end.moving, scoreOf(p, end)], ['done', 420_000, '2+0']);
});

test('for time ends at the last round, and the clock stands still from then on', () => {
  const p = plan([step({ tap: 'counts', count_to: 3 })], { cap_s: 840, score: 'time' });
  const taps = log([200], [420], [652]);
  for (const later of [652, 700, 90_000]) assert.equal(stateAt(p, taps, at(later)).clock, 652_000);
  assert.equal(scoreOf(p, stateAt(p, taps, at(700))), '10:52');
  assert.deepEqual(stateAt(p, taps, at(700)).splits.map((s) => s.at / 1000), [200, 420, 652]);
});

test('the cap ends it and a later tap changes nothing', () => {
  const p = plan([step({ tap: 'counts', count_to: 3 })], { cap_s: 840, score: 'time' });
  const state = stateAt(p, log([400], [850], [860]), at(900));
  assert.deepEqual([state.phase, state.capped, state.counted, state.moving], ['done', true, 1, 840_000]);
  assert.equal(scoreOf(p, state), '1+0');
});

/** 50 of one thing, a run that is not counted, 21 of another: done once through. */
const chipper = () =>
  plan([0, 1, 2].map((i) => step({ unit: 'line', round: i + 1, rounds: 3, lines: [i] })), { cap_s: 840, score: 'time', line_reps: [50, null, 21] });

test('work done once through goes on a line a tap and ends with the last', () => {
  const taps = log([90], [240], [300]);
  assert.deepEqual([0, 100, 250].map((s) => stateAt(chipper(), taps, at(s)).step.lines[0]), [0, 1, 2]);
  const end = stateAt(chipper(), taps, at(900));
  assert.deepEqual([scoreOf(chipper(), end), storyOf(chipper(), end)], ['5:00', 'Splits: 1:30, 2:30, 1:00.']);
});

test('all of it at one instant is a time without splits, and undo goes back to the last line', () => {
  const all = log([90], [300], [300]);
  const end = stateAt(chipper(), all, at(301));
  assert.deepEqual([scoreOf(chipper(), end), storyOf(chipper(), end)], ['5:00', '']);
  const back = stateAt(chipper(), log([90], [300], [300], [305, 'undo']), at(306));
  assert.deepEqual([back.phase, back.step.lines], ['running', [2]]);
});

test('lines that were tapped through at once are no splits of their own', () => {
  const four = plan([0, 1, 2, 3].map((i) => step({ unit: 'line', round: i + 1, rounds: 4, lines: [i] })), { score: 'time', line_reps: [5, 5, 5, 5] });
  const end = stateAt(four, log([58], [58.3], [58.9], [70]), at(900));
  assert.equal(storyOf(four, end), 'Splits: 0:58 for 3, 0:11.');
});

test('the cap of work done once through counts the lines that were done and asks for the rest', () => {
  const end = stateAt(chipper(), log([90], [240]), at(900));
  assert.deepEqual(cutRound(chipper(), end), [{ line: 2, reps: 21 }]);
  assert.equal(scoreOf(chipper(), end, { cut: { 2: 5 } }), 'capped at 55');
  const untapped = stateAt(chipper(), log(), at(900));
  assert.deepEqual(cutRound(chipper(), untapped).map((c) => c.line), [0, 2], 'what was never tapped can still be said');
  assert.equal(scoreOf(chipper(), untapped, { cut: { 0: 50, 2: 3 } }), 'capped at 53');
});

test('a pause stops the step and both times are kept', () => {
  const p = plan([timed(60)]);
  const taps = log([20, 'pause'], [50, 'resume']);
  const during = stateAt(p, taps, at(40));
  assert.deepEqual([during.paused, during.left, during.moving], [true, 40_000, 20_000]);
  const after = stateAt(p, taps, at(60));
  assert.deepEqual([after.left, after.clock, after.moving], [30_000, 60_000, 30_000]);
  const end = stateAt(p, taps, at(200));
  assert.deepEqual([end.phase, end.clock, end.moving], ['done', 90_000, 60_000]);
});

test('a tap in a pause is a slip and counts nothing', () => {
  const p = plan([timed(420, { tap: 'counts' })]);
  assert.equal(stateAt(p, log([10], [20, 'pause'], [25], [30, 'resume']), at(40)).counted, 1);
});

test('thirty minutes of a locked phone change nothing', () => {
  const p = plan(Array.from({ length: 40 }, (_, i) => timed(60, { round: i + 1 })));
  const state = stateAt(p, log(), at(1835));
  assert.deepEqual([state.index, state.left], [30, 25_000]);
});

test('stopping early keeps what was done', () => {
  const p = plan([timed(420, { tap: 'counts' })], { score: 'rounds_reps' });
  const state = stateAt(p, log([60], [120], [150, 'stop']), at(1000));
  assert.deepEqual([state.phase, state.stopped, state.moving, scoreOf(p, state)], ['done', true, 150_000, '2+0']);
});

test('a hold is its own time', () => {
  const p = plan([step({ unit: 'set' })], { score: 'hold_time' });
  assert.equal(scoreOf(p, stateAt(p, log([95]), at(100))), '1:35');
});

test('rungs go on growing where the ladder is open', () => {
  const s = step({ rungs: [2, 4, 6], grows: 2 });
  assert.deepEqual([0, 2, 3, 5].map((n) => rungAt(s, n)), [2, 6, 8, 12]);
  assert.equal(rungAt(step({ rungs: [21, 15, 9] }), 2), 9);
});

/** Everything that sounds in a whole run, asked for in small steps as a page does. */
function heard(p, taps, seconds, every = 100) {
  const sounds = [];
  for (let t = START; t < at(seconds); t += every) {
    for (const cue of cuesBetween(p, taps, t, t + every)) sounds.push(`${(cue.at - START - 3000) / 1000} ${cue.sound}`);
  }
  return sounds;
}

test('every cue sounds once, at its second', () => {
  const p = plan([timed(40), timed(20, { kind: 'rest' }), timed(20, { side: 1 }), timed(20, { side: 2 })]);
  assert.deepEqual(heard(p, log(), 110), [
    '-2 count', '-1 count', '0 start',
    '30 ten', '37 count', '38 count', '39 count', '40 rest',
    '57 count', '58 count', '59 count', '60 start',
    '77 count', '78 count', '79 count', '80 switch',
    '97 count', '98 count', '99 count', '100 stop',
  ]);
});

test('a long window has a halfway and a cap a last ten seconds', () => {
  const amrap = heard(plan([timed(420, { tap: 'counts' })]), log([60]), 430);
  assert.ok(amrap.includes('210 half') && amrap.includes('410 ten') && amrap.includes('420 stop'));
  const capped = heard(plan([step({ tap: 'counts', count_to: 3 })], { cap_s: 300 }), log(), 310);
  assert.ok(capped.includes('150 half') && capped.includes('290 ten') && capped.includes('300 stop'));
});

test('nothing sounds in a pause, and after it everything is later', () => {
  const sounds = heard(plan([timed(40)]), log([10, 'pause'], [30, 'resume']), 70);
  assert.deepEqual(sounds.slice(3), ['50 ten', '57 count', '58 count', '59 count', '60 stop']);
});

test('times read as people say them', () => {
  assert.deepEqual([words(0), words(9000), words(462_400), words(3_725_000)], ['0:00', '0:09', '7:42', '1:02:05']);
});

/** Ten squats and a hold of 20 s for each side, as often as one can in seven minutes. */
const stretch = (kind, seconds, side) => ({ kind, seconds, side });
const sides = [stretch('ready', 3, 1), stretch('work', 20, 1), stretch('ready', 5, 2), stretch('work', 20, 2)];
const holding = (steps = [timed(420, { tap: 'counts', lines: [0, 1], turn: 0 })]) =>
  plan(steps, { score: 'rounds_reps', line_reps: [10, null], holds: { 1: [sides] }, open: false, carries: false });
const clockOf = (p) => ({ plan: p, lines: ['10 air squats', '20 s side plank, each side'], name: 'AMRAP' });
const held = (from) => [from, 'hold'];
const logWith = (...taps) => ({ start: START, taps: taps.map(([seconds, what = 'tap']) => ({ at: at(seconds), what, ...(what === 'hold' && { line: 1 }) })) });

test('a hold that was started by hand is counted down side by side, and the round goes on meanwhile', () => {
  const taps = logWith(held(30));
  const seen = (s) => {
    const { hold, counted, left } = stateAt(holding(), taps, at(s));
    assert.deepEqual([counted, left], [0, (420 - s) * 1000], `second ${s}`);
    return hold && [hold.step.kind, hold.step.side, hold.left / 1000];
  };
  assert.equal(seen(29), null);
  const want = [[30, ['ready', 1, 3]], [33, ['work', 1, 20]], [52, ['work', 1, 1]], [53, ['ready', 2, 5]], [58, ['work', 2, 20]], [77, ['work', 2, 1]], [78, null]];
  for (const [s, is] of want) assert.deepEqual(seen(s), is, `second ${s}`);
});

test('a tap while something is held ends that and counts no round; the next one does', () => {
  const taps = logWith(held(30), [50], [52]);
  const early = stateAt(holding(), taps, at(51));
  assert.deepEqual([early.hold, early.counted], [null, 0]);
  assert.equal(stateAt(holding(), taps, at(53)).counted, 1);
  assert.equal(stateAt(holding(), logWith(held(30), [79]), at(80)).counted, 1, 'and after its end it is a round');
});

test('a hold stands still in a pause, is undone like a tap, and ends with its stretch', () => {
  const paused = logWith(held(30), [40, 'pause'], [100, 'resume']);
  assert.equal(stateAt(holding(), paused, at(101)).hold.left, 12_000);
  assert.equal(stateAt(holding(), logWith([20], held(30), [31, 'undo']), at(32)).hold, null);
  assert.equal(stateAt(holding(), logWith([20], held(30), [31, 'undo']), at(32)).counted, 1);
  const windows = holding([timed(60, { tap: 'counts', lines: [0, 1] }), timed(60, { kind: 'rest', lines: [] }), timed(60, { tap: 'counts', lines: [0, 1] })]);
  assert.equal(stateAt(windows, logWith(held(50)), at(61)).hold, null);
  assert.equal(stateAt(windows, logWith(held(50), [125]), at(126)).counted, 1, 'a tap in the next one is its own');
});

test('what is held in the second round is that of the second round', () => {
  const p = { ...holding(), holds: { 1: [[stretch('work', 40, null)], [stretch('work', 30, null)]] } };
  assert.equal(stateAt(p, logWith(held(10)), at(10)).hold.left, 40_000);
  assert.equal(stateAt(p, logWith([60], held(70)), at(70)).hold.left, 30_000);
});

test('a hold sounds at its start, its change of sides and its end, among the sounds of the whole', () => {
  const sounds = heard(holding(), logWith(held(150)), 215).filter((s) => Number(s.split(' ')[0]) > 100);
  assert.deepEqual(sounds, [
    '151 count', '152 count', '153 start', '170 count', '171 count', '172 count', '173 switch',
    '175 count', '176 count', '177 count', '178 start', '195 count', '196 count', '197 count', '198 over', '210 half',
  ]);
});

test('the words and the digits of a hold are its own, and the whole stands small below', () => {
  const p = holding();
  const clock = clockOf(p);
  const before = stateAt(p, logWith(), at(20));
  assert.deepEqual([startable(clock, before), holdFor(clock, before, 1)], [[1], '2 × 0:20']);
  const during = stateAt(p, logWith(held(30)), at(40));
  assert.deepEqual([heading(clock, during), label(clock, during), tappable(during)], ['20 s side plank, each side, first side', 'End the hold', true]);
  assert.deepEqual([face(clock, during).shows, below(clock, during, 0)], [13_000, 'Clock 6:20']);
  assert.deepEqual(startable(clock, during), [], 'one at a time');
  assert.equal(heading(clock, stateAt(p, logWith(held(30)), at(54))), 'Switch sides');
});

test('all that is left, tapped at once, is one entry: one Undo takes it back', () => {
  const lines = [0, 1, 2].map((n) => step({ unit: 'line', round: n + 1, rounds: 3, lines: [n] }));
  const p = plan(lines, { score: 'time' });
  const all = { at: at(30), what: 'tap', of: 2 };
  const slip = { start: START, taps: [{ at: at(20), what: 'tap' }, all] };
  assert.deepEqual([stateAt(p, slip, at(31)).phase, scoreOf(p, stateAt(p, slip, at(31)))], ['done', '0:30']);
  const back = stateAt(p, { ...slip, taps: [...slip.taps, { at: at(32), what: 'undo' }] }, at(33));
  assert.deepEqual([back.phase, back.index], ['running', 1]);
  const earlier = { start: START, taps: [20, 30, 30].map((s) => ({ at: at(s), what: 'tap' })) };
  assert.equal(stateAt(p, earlier, at(31)).phase, 'done', 'a clock of an earlier version, a tap a line');
});

test('a hold of a practice by the clock is begun by hand, as often as one likes', () => {
  const hold = [{ kind: 'ready', seconds: 3, side: null }, { kind: 'work', seconds: 30, side: null }];
  const p = plan([timed(480, { by_hand: true, turn: 0 })], { holds: { 0: [hold] } });
  const begun = { start: START, taps: [{ at: at(60), what: 'hold', line: 0 }] };
  assert.deepEqual(startable({ plan: p }, stateAt(p, { start: START, taps: [] }, at(10))), [0]);
  assert.equal(stateAt(p, begun, at(70)).hold.line, 0);
  assert.deepEqual([stateAt(p, begun, at(95)).hold, stateAt(p, begun, at(95)).phase], [null, 'running']);
  assert.deepEqual(cuesBetween(p, begun, at(62.5), at(63)).map(({ sound }) => sound), ['start']);
});
