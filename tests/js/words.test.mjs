// What the clock says: which set, which side, what is done now and what comes next; and the loads of sets.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { stateAt } from '../../static/js/clock/engine.js';
import { beginAt } from '../../static/js/clock/loads.js';
import { cutRound, cutWindows, scoreOf, storyOf } from '../../static/js/clock/score.js';
import { below, besideOthers, face, following, heading, label, linesOn, tappable, turns } from '../../static/js/clock/words.js';

const START = 1_700_000_000_000;
const at = (seconds) => START + 3000 + seconds * 1000;
const step = (more) => ({
  kind: 'work', seconds: null, tap: 'ends', count_to: null, unit: 'set', round: 1, rounds: null, lines: [0], side: null, rungs: [], grows: null,
  turn: (more.round ?? 1) - 1, ...more,
});
const rest = (seconds, more) => step({ kind: 'rest', seconds, tap: seconds === null ? 'ends' : 'nothing', lines: [], ...more });
const plan = (steps, more) => ({ count_in_s: 3, steps, cap_s: null, score: 'none', line_reps: [null, null], climbs: [], open: false, carries: false, says: [[], []], ...more });

/** Where a clock stands at a second, after taps at others, and what it says. */
function says(of, seconds, taps = []) {
  const clock = { plan: of, lines: of.lines ?? ['10-8-6 squat', 'plank'], name: 'Squat' };
  const state = stateAt(of, { start: START, taps: taps.map((s) => ({ at: at(s), what: 'tap' })) }, at(seconds));
  const { on, more } = linesOn(clock, state);
  return { heading: heading(clock, state), lines: on.map((l) => l.text), below: below(clock, state, more), label: label(clock, state), face: face(clock, state), following: following(clock, state) };
}

/** 10 at 60, 8 at 65, 6 at 65 kg, 90 s between. */
const sets = plan(
  [1, 2, 3].flatMap((round) => [step({ round, rounds: 3 }), rest(90, { round, rounds: 3 })]).slice(0, -1),
  { says: [['10 squat, 60 kg', '8 squat, 65 kg', '6 squat, 65 kg']] },
);

test('a set says its own reps and load, and small the next', () => {
  const first = says(sets, 10);
  assert.deepEqual([first.heading, first.lines, first.below], ['Set 1 of 3', ['10 squat, 60 kg'], 'Rest 1:30, then 8 squat, 65 kg']);
  const resting = says(sets, 40, [20]);
  assert.deepEqual([resting.heading, resting.lines, resting.below, resting.label], ['Rest', ['8 squat, 65 kg'], 'Next: set 2 of 3', 'Runs by itself']);
  assert.deepEqual([says(sets, 120, [20]).heading, says(sets, 120, [20]).label], ['Set 2 of 3', 'Set done']);
});

test('what does not change is not said again', () => {
  const same = plan(sets.steps, { says: [[]], lines: ['5 squat'] });
  assert.equal(says(same, 10).below, 'Rest 1:30, then the same again');
  const minutes = plan([1, 2].map((round) => step({ seconds: 60, tap: 'nothing', unit: 'minute', round, rounds: 2 })), { lines: ['5 squat'] });
  assert.deepEqual([says(minutes, 5).below, says(minutes, 65).below], ['Next: the same again', 'Last one']);
});

test('a rung says its own count for every line that climbs', () => {
  const ladder = plan([step({ tap: 'counts', unit: 'rung', rungs: [2, 4, 6], grows: 2, lines: [0, 1] })], {
    climbs: [0, 1], says: [['thruster, 2 × 15 kg'], ['sit-up']], lines: ['2-4-6 ... thruster', '2-4-6 ... sit-up'],
  });
  assert.deepEqual(says(ladder, 50, [10, 20]).lines, ['6 thruster, 2 × 15 kg', '6 sit-up']);
  assert.deepEqual([says(ladder, 50, [10, 20, 30]).heading, says(ladder, 50, [10, 20, 30]).lines[1]], ['8 reps each', '8 sit-up']);
});

test('loads that change with each rung are said', () => {
  const up = plan([step({ tap: 'counts', count_to: 3, unit: 'rung', rungs: [9, 6, 3], rounds: 3 })], { climbs: [0], says: [['clean, 40 kg', 'clean, 50 kg', 'clean, 60 kg']] });
  assert.deepEqual([says(up, 5).lines, says(up, 30, [10, 20]).lines], [['9 clean, 40 kg'], ['3 clean, 60 kg']]);
});

test('a hold inside a round has its own countdown and its sides', () => {
  const hold = (side, kind = 'work', seconds = 20) => step({ kind, seconds, tap: 'nothing', unit: 'round', rounds: 2, lines: [1], side });
  const mixed = plan([step({ unit: 'round', rounds: 2 }), hold(1, 'ready', 5), hold(1), hold(2, 'ready', 5), hold(2)], { lines: ['10 squat', '20 s side plank, per side'] });
  assert.deepEqual([says(mixed, 5).lines, says(mixed, 5).below], [['10 squat'], 'Next: 20 s side plank, per side']);
  const held = says(mixed, 40, [30]);
  assert.deepEqual([held.heading, held.face.shows, held.below], ['Round 1 of 2, first side', 15_000, 'Next: switch sides']);
  assert.equal(says(mixed, 57, [30]).heading, 'Switch sides');
});

/** The same, with `turn` entries [second, line] among the taps. */
function turned(of, seconds, taps, turnsAt) {
  const log = [...taps.map((s) => ({ at: at(s), what: 'tap' })), ...turnsAt.map(([s, line]) => ({ at: at(s), what: 'turn', line }))];
  const clock = { plan: of, lines: of.lines, name: 'Squat' };
  const state = stateAt(of, { start: START, taps: log.sort((a, b) => a.at - b.at) }, at(seconds));
  return { state, clock, heading: heading(clock, state), label: label(clock, state), turns: turns(state), can: tappable(state), below: below(clock, state, 0), beside: state.step.lines.map((line) => besideOthers(state, line)) };
}

test('a set for each side says which side it is, turns over by a tap, and is done by the next', () => {
  const each = plan(sets.steps, { lines: ['8 split squat, per side'], says: [[]], sides: [0] });
  const first = turned(each, 10, [], []);
  assert.deepEqual([first.heading, first.label, first.below, first.turns], ['Set 1 of 3, first side', 'Other side', 'Next: the other side', 0]);
  const second = turned(each, 30, [], [[20, 0]]);
  assert.deepEqual([second.heading, second.label, second.turns], ['Set 1 of 3, second side', 'Set done', null]);
  const resting = turned(each, 50, [40], [[20, 0]]);
  assert.deepEqual([resting.heading, resting.below, resting.turns], ['Rest', 'Next: set 2 of 3', null]);
  assert.equal(turned(each, 140, [40], [[20, 0]]).heading, 'Set 2 of 3, first side');
  // who taps only when the whole set is done, or whose line was changed meanwhile, loses nothing
  assert.equal(turned(each, 50, [40], []).heading, 'Rest');
  assert.deepEqual(turned(sets, 30, [], [[20, 0]]).state, turned(sets, 30, [], []).state);
});

test('among other lines the one for each side says its own, in each round anew', () => {
  const rounds = plan([step({ tap: 'counts', unit: 'round', count_to: 3, rounds: 3, lines: [0, 1] })], { lines: ['8 lunge, per side', '10 push-up'], sides: [0] });
  assert.deepEqual(turned(rounds, 10, [], []).beside, ['first side', '']);
  const second = turned(rounds, 30, [], [[20, 0]]);
  assert.deepEqual([second.beside, second.heading, second.label], [['second side', ''], 'Round 1 of 3', 'Round done']);
  assert.deepEqual(turned(rounds, 30, [], [[20, 0], [25, 0]]).beside, ['first side', ''], 'a slip is turned back');
  assert.deepEqual(turned(rounds, 50, [40], [[20, 0]]).beside, ['first side', '']);
});

test('in a minute that time alone ends a tap turns over, and in a practice as often as one likes', () => {
  const minute = plan([step({ seconds: 60, tap: 'nothing', unit: 'minute', rounds: 2 })], { lines: ['8 row, per side'], sides: [0] });
  assert.deepEqual([turned(minute, 10, [], []).label, turned(minute, 10, [], []).can], ['Other side', true]);
  assert.deepEqual([turned(minute, 30, [], [[20, 0]]).label, turned(minute, 30, [], [[20, 0]]).can], ['Runs by itself', false]);
  const practice = plan([step({ seconds: 300, tap: 'nothing', unit: 'round', by_hand: true })], { lines: ['get-up, per side'], sides: [0] });
  assert.deepEqual(turned(practice, 30, [], [[10, 0], [20, 0]]).heading, 'Work, first side');
  assert.equal(turned(practice, 30, [], [[10, 0]]).turns, 0);
});

test('stations and windows are numbered', () => {
  const stations = plan([1, 2].map((n) => step({ seconds: 40, tap: 'nothing', unit: 'round', rounds: 3, lines: [n - 1], station: [n, 2] })));
  assert.equal(says(stations, 50).heading, 'Round 1 of 3, station 2 of 2');
  const window = (round) => step({ seconds: 60, tap: 'counts', unit: 'round', round, rounds: 2, turn: 0 });
  const windows = plan([window(1), rest(30, { round: 1, rounds: 2 }), window(2)], { score: 'rounds_reps' });
  assert.equal(says(windows, 100, [20, 40]).heading, 'Round 1, window 2 of 2');
  assert.equal(says({ ...windows, carries: true }, 100, [20, 40]).heading, 'Round 3, window 2 of 2');
});

const heavy = plan([1, 2, 3].flatMap((round) => [step({ round }), rest(null, { round })]).slice(0, -1), {
  open: true, cap_s: 900, score: 'load', unit: 'kg', lines: ['3 front squat'],
});

test('a build-up counts its window down, its rests up, and a tap ends or begins a set', () => {
  const first = says(heavy, 10);
  assert.deepEqual([first.heading, first.label, first.face.shows], ['Set 1', 'Set done', 890_000]);
  const resting = says(heavy, 100, [40]);
  assert.deepEqual([resting.heading, resting.label, resting.face.shows], ['Rest', 'Start the set', 60_000]);
  assert.match(resting.below, /13:20 left/);
  assert.equal(says(heavy, 130, [40, 120]).heading, 'Set 2');
});

test('the loads of a build-up are its score and its story, and to finish is no stopping', () => {
  const state = stateAt(heavy, { start: START, taps: [{ at: at(40), what: 'tap' }, { at: at(120), what: 'tap' }, { at: at(150), what: 'tap' }, { at: at(200), what: 'stop' }] }, at(210));
  const loads = { 1: 60, 2: 72.5 };
  assert.equal(scoreOf(heavy, state, { loads }), '72.5 kg');
  assert.equal(storyOf(heavy, state, { loads }), 'Set 1: 60 kg, Set 2: 72.5 kg.');
});

test('windows that are begun afresh are scored by their reps, or each by itself where the coach says how; those that go on are one', () => {
  const window = (round) => step({ seconds: 60, tap: 'counts', unit: 'round', round, rounds: 2, turn: 0 });
  const windows = plan([window(1), rest(30, {}), window(2)], { score: 'rounds_reps', line_reps: [5] });
  const log = { start: START, taps: [20, 40, 110].map((s) => ({ at: at(s), what: 'tap' })) };
  const end = (of) => stateAt(of, log, at(200));
  // common practice, no source: 10 and 4, 5 and 2
  const cuts = { 0: { 0: 4 }, 2: { 0: 2 } };
  assert.equal(scoreOf(windows, end(windows), { cuts }), '21 reps');
  assert.equal(scoreOf({ ...windows, combines: true }, end(windows), { cuts }), '2+4, 1+2');
  assert.equal(scoreOf({ ...windows, line_reps: [null] }, end(windows), { cuts }), '', 'what is not counted in reps has no sum');
  assert.match(storyOf(windows, end(windows), { cuts }), /Rounds in each window: 2\+4, 1\+2\./);
  assert.deepEqual(cutWindows(windows, end(windows)).map(({ index, lines }) => [index, lines]), [[0, [{ line: 0, reps: 5 }]], [2, [{ line: 0, reps: 5 }]]]);
  assert.deepEqual(cutWindows(windows, stateAt(windows, log, at(70))).map(({ index }) => index), [0], 'in the rest after it');
  const carries = { ...windows, carries: true };
  assert.equal(scoreOf(carries, end(carries), { cut: { 0: 3 } }), '3+3');
});

test('a clock kept by an earlier version still speaks', () => {
  const { open, carries, says: _, ...old } = plan([step({ rounds: 3 }), step({ round: 2, rounds: 3 })].map(({ turn, ...s }) => s));
  assert.deepEqual(says(old, 5).lines, ['10-8-6 squat']);
});

test('plain sets that were stopped are logged as those that were done', () => {
  const of = { ...sets, sets: ['1 x 3 at 40 kg', '2 x 3 at 40 kg', '3 x 3 at 40 kg'] };
  const after = (stop, ...taps) => scoreOf(of, stateAt(of, { start: START, taps: [...taps.map((s) => ({ at: at(s), what: 'tap' })), { at: at(stop), what: 'stop' }] }, at(stop)));
  assert.equal(after(125, 20, 120), '2 x 3 at 40 kg', 'in the rest');
  assert.equal(after(115, 20), '1 x 3 at 40 kg', 'in the middle of the second');
  assert.equal(after(5), 'no whole set');
  const unsaid = (taps, s) => scoreOf(sets, stateAt(sets, { start: START, taps: taps.map(([t, what = 'tap']) => ({ at: at(t), what })) }, at(s)));
  assert.equal(unsaid([[20], [30, 'stop']], 31), 'stopped early', 'sets of several loads have no words of their own');
  assert.equal(unsaid([[20], [120], [220]], 221), '', 'all of them were done');
});

test('the minute that was not kept up is asked for, and a whole one counts', () => {
  const minute = (round) => step({ seconds: 60, tap: 'nothing', unit: 'minute', round });
  const climb = plan([1, 2, 3].map(minute), { score: 'rounds_reps', open: true, line_reps: [null], own_rungs: { 0: { rungs: [1, 2], grows: 1 } } });
  const end = stateAt(climb, { start: START, taps: [{ at: at(150), what: 'stop' }] }, at(151));
  assert.deepEqual(cutRound(climb, end), [{ line: 0, reps: 3 }]);
  assert.deepEqual([scoreOf(climb, end), scoreOf(climb, end, { cut: { 0: 2 } }), scoreOf(climb, end, { cut: { 0: 3 } })], ['2+0', '2+2', '3+0']);
});

test('a hold for each side is as long as its shorter side', () => {
  const side = (n) => step({ side: n });
  const hold = plan([side(1), step({ kind: 'ready', seconds: 5, tap: 'nothing', side: 2 }), side(2)], { score: 'hold_time' });
  const log = { start: START, taps: [40, 75].map((s) => ({ at: at(s), what: 'tap' })) };
  assert.equal(scoreOf(hold, stateAt(hold, log, at(80))), '0:30');
  assert.deepEqual([says(hold, 10).heading, says(hold, 42, [40]).heading, says(hold, 50, [40]).heading], ['Work, first side', 'Switch sides', 'Work, second side']);
  const goes = plan([step({}), rest(null, {}), step({ round: 2 })], { score: 'hold_time' });
  assert.equal(scoreOf(goes, stateAt(goes, { start: START, taps: [40, 60, 75].map((s) => ({ at: at(s), what: 'tap' })) }, at(80))), '0:40', 'of several goes the longest');
});

test('reps that nobody knows beforehand are noted set by set and added up', () => {
  const most = plan([1, 2].flatMap((round) => [step({ round, seconds: 60, tap: 'nothing' }), rest(30, { round })]).slice(0, -1), { score: 'reps', unit: 'reps' });
  const end = stateAt(most, { start: START, taps: [] }, at(400));
  assert.deepEqual([scoreOf(most, end, { loads: { 1: 20, 2: 18 } }), scoreOf(most, end)], ['20+18', '']);
  assert.match(storyOf(most, end, { loads: { 1: 20, 2: 18 } }), /Set 1: 20 reps, Set 2: 18 reps\./);
});

test('a load begins at the one before, at the written one, or at the bar', () => {
  assert.equal(beginAt({ plan: { from: [20] }, loads: {} }, 1), 20);
  assert.equal(beginAt({ plan: { from: [20] }, loads: { 1: 42.5 } }, 2), 42.5);
  assert.equal(beginAt({ plan: { from: [40, 50, 60] }, loads: { 1: 40 } }, 2), 50, 'each set has its own');
  assert.equal(beginAt({ plan: {}, loads: {} }, 1), null);
});
