// Clocks of every make that a session can have, put together at random, each done to its end against a clock of our own.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { dice, doIt } from './any_clock.mjs';

const LINES = ['10 squat', '8 push-up', '20 s side plank, per side'];

function step(more) {
  return { kind: 'work', seconds: null, tap: 'ends', count_to: null, unit: 'round', round: 1, rounds: null, lines: [0], side: null, rungs: [], grows: null, turn: 0, ...more };
}

/** Some steps of a round: what is tapped, what is timed, what is timed for each side. */
function stretch(random) {
  const timed = (more) => step({ seconds: 5 + random(90), tap: 'nothing', lines: [random(3)], ...more });
  const sides = [1, 2].flatMap((side) => [timed({ kind: 'ready', seconds: 5, side }), timed({ side })]);
  return [[step({ lines: [0, 1] })], [timed()], sides, [timed({ tap: 'ends' })], [step({ tap: 'counts', count_to: 1 + random(6) })], [timed({ tap: 'counts', seconds: 60 + random(600) })]][random(6)];
}

function rest(random) {
  const timed = random(3) > 0;
  return random(2) ? [] : [step({ kind: 'rest', lines: [], seconds: timed ? 1 + random(180) : null, tap: timed ? 'nothing' : 'ends' })];
}

function planOf(random) {
  const rounds = 1 + random(8);
  const unit = ['round', 'set', 'minute', 'rung'][random(4)];
  const once = Array.from({ length: 1 + random(3) }, () => [...stretch(random), ...rest(random)]).flat();
  const steps = Array.from({ length: rounds }, (_, turn) => once.map((s) => ({ ...s, unit, round: turn + 1, rounds, turn }))).flat();
  while (steps.at(-1).kind === 'rest') steps.pop();
  const open = random(5) === 0;
  const score = ['none', 'time', 'rounds_reps', 'reps', 'load', 'hold_time'][random(6)];
  const says = [random(2) ? ['10 squat, 60 kg', '8 squat, 70 kg'] : [], [], []];
  if (open) for (const s of steps) s.rounds = null;
  const both = [1, 2].flatMap((side) => [{ kind: 'ready', seconds: 3, side }, { kind: 'work', seconds: 20, side }]);
  const holds = random(2) ? { 1: [[{ kind: 'work', seconds: 5 + random(60), side: null }], both] } : undefined;
  const each = random(3) ? undefined : [[0], [1], [0, 1]][random(3)];
  return { holds, sides: each, count_in_s: 3, steps, cap_s: random(3) ? null : 60 + random(1800), score, line_reps: [10, 8, null], climbs: [], says, open, carries: random(4) === 0, unit: 'kg' };
}

test('any clock comes to its end, at the second that its plan and its taps add up to; an undo and a reload change nothing', (t) => {
  let [undone, loads, holds, turns] = [0, 0, 0, 0];
  for (let seed = 1; seed <= 1500; seed += 1) {
    const random = dice(seed * 7919);
    const done = doIt(planOf(random), LINES, random, `seed ${seed}`);
    undone += done.undone;
    loads += done.loads;
    holds += done.holds;
    turns += done.turns;
  }
  t.diagnostic(`${undone} taps were undone, ${loads} pages loaded again, ${holds} holds begun, ${turns} sides changed`);
  assert.ok(undone > 1000 && loads > 1000 && holds > 500 && turns > 500);
});

const plans = JSON.parse(readFileSync(new URL('../data/clock/plans.json', import.meta.url)));
test('the nine formats, twenty times each', () => {
  for (const [name, plan] of Object.entries(plans)) {
    for (let seed = 1; seed <= 20; seed += 1) doIt(plan, LINES, dice(seed * 104729), `${name}, seed ${seed}`);
  }
});
