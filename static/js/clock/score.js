// What a clock that has ended knows of the result: the score as one would type it, and what the coach may like to know. Pure.
import { rungOf, words } from './engine.js';

const sum = (list) => list.reduce((a, b) => a + b, 0);
const works = (step) => step.kind === 'work';

/** Rounds or rungs that were tapped in one step. */
const countedIn = (state, index) => state.splits.filter((split) => split.index === index).length;

/** Reps of one round of a step, or of its rung `counted`; null where something is not counted in reps. */
function repsOf(plan, step, counted = 0) {
  const reps = step.lines.map((i) => (plan.climbs.includes(i) ? rungOf(plan, step, i, counted) : plan.line_reps[i] ?? (step.unit === 'line' ? 0 : null)));
  return reps.includes(null) ? null : sum(reps);
}

/** Reps done in all, with those of the round that was cut; null where it is not known. */
export function repsDone(plan, state, cut = {}) {
  const all = Object.values(cut);
  const finished = !state.stopped && !state.capped;
  for (const [index, step] of plan.steps.entries()) {
    if (!works(step) || index > state.index) continue;
    if (step.tap === 'counts') for (let n = 0; n < countedIn(state, index); n += 1) all.push(repsOf(plan, step, n));
    else if (index !== state.index || finished) all.push(repsOf(plan, step));
  }
  return all.includes(null) ? null : sum(all);
}

/** Several windows of rounds, each begun afresh: rounds of one cannot be put to those of another. */
const apart = (plan) => !plan.carries && plan.steps.filter((step) => step.tap === 'counts').length > 1;

/** Lines of the round that the end cut off, with the reps of each: [{ line, reps }]; empty where nothing was cut or counted. */
export function cutRound(plan, state) {
  const { step } = state;
  if (state.phase !== 'done' || !step || !works(step) || !['time', 'rounds_reps', 'reps'].includes(plan.score) || apart(plan)) return [];
  const open = state.stopped || state.capped || (step.tap === 'counts' && step.seconds !== null);
  if (!open) return [];
  const reps = (i) => (plan.climbs.includes(i) ? rungOf(plan, step, i, state.counted) : plan.line_reps[i]);
  const lines = step.unit === 'line' ? plan.steps.slice(state.index).flatMap((s) => s.lines) : step.lines;
  return lines.map((line) => ({ line, reps: reps(line) })).filter((l) => l.reps);
}

/** Whole rounds: tapped ones, or steps that are rounds. */
function roundsDone(plan, state) {
  if (state.step.tap === 'counts') return plan.carries ? sum(plan.steps.map((step, i) => (step.tap === 'counts' ? countedIn(state, i) : 0))) : state.counted;
  if (state.step.unit === 'line') return 0;
  const finished = !state.stopped && !state.capped;
  const before = (i) => i < state.index || (finished && i === state.index);
  const last = plan.steps.filter((step, i) => works(step) && before(i)).at(-1);
  const whole = last && !plan.steps.some((step, i) => works(step) && step.round === last.round && !before(i));
  return last ? last.round - (whole ? 0 : 1) : 0;
}

/** The score as one would type it, from a clock that has ended; empty where the clock cannot know it. */
export function scoreOf(plan, state, { cut = {}, loads = {} } = {}) {
  if (state.phase !== 'done' || !state.step) return '';
  const reps = repsDone(plan, state, cut);
  const extra = sum(Object.values(cut));
  const noted = Object.values(loads);
  switch (plan.score) {
    case 'time': {
      if (!state.capped && !state.stopped) return words(state.clock);
      if (reps) return state.capped ? `capped at ${reps}` : `${reps} reps`;
      const rounds = roundsDone(plan, state);
      return rounds ? `${rounds}+${extra}` : '';
    }
    case 'rounds_reps': {
      const rounds = apart(plan) ? 0 : roundsDone(plan, state);
      return rounds || extra ? `${rounds}+${extra}` : '';
    }
    case 'reps':
      return reps ? String(reps) : '';
    case 'load':
      return noted.length ? `${Math.max(...noted)} ${plan.unit}` : '';
    case 'hold_time': {
      const holds = state.splits.filter(({ index }) => works(plan.steps[index])).map(({ took }) => took);
      if (state.stopped && works(state.step)) holds.push(state.elapsed);
      return holds.length ? words(Math.max(...holds)) : '';
    }
    default:
      return '';
  }
}

/** Nobody does a line or a round in less: these were tapped through at once, and belong to the one before. */
const AT_ONCE = 2000;

/** How long each took, those that were tapped through at once together: `0:58 for 3, 0:11`. "All done" makes no splits. */
function splitsOf(own) {
  const groups = [];
  for (const { took } of own) {
    if (took < AT_ONCE && groups.length) groups.at(-1).of += 1;
    else groups.push({ took, of: 1 });
  }
  if (groups.length < 2 || groups.at(-1).of > 1) return [];
  return [`Splits: ${groups.map(({ took, of }) => words(took) + (of > 1 ? ` for ${of}` : '')).join(', ')}.`];
}

/** What the coach may like to know: rounds of each window, loads of each set, how long each round took, where it was stopped. */
export function storyOf(plan, state, { loads = {} } = {}) {
  if (state.phase !== 'done') return '';
  const said = [];
  if (state.stopped && !plan.open) said.push(`Stopped at ${words(state.clock)}.`);
  if (apart(plan)) {
    const windows = plan.steps.flatMap((step, i) => (step.tap === 'counts' && i <= state.index ? [countedIn(state, i)] : []));
    said.push(`Rounds in each window: ${windows.join(', ')}.`);
  }
  const own = state.splits.filter(({ index }) => ['ends', 'counts'].includes(plan.steps[index].tap));
  const noted = Object.keys(loads).map(Number).sort((a, b) => a - b);
  if (noted.length) said.push(`${noted.map((n) => `Set ${n}: ${loads[n]} ${plan.unit}`).join(', ')}.`);
  else if (own.length <= 40) said.push(...splitsOf(own));
  const paused = Math.round((state.clock - state.moving) / 1000);
  if (paused) said.push(`${words(state.moving)} moving, ${words(paused * 1000)} paused.`);
  return said.join(' ');
}
