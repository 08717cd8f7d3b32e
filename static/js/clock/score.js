// What a clock that has ended knows of the result: the score as one would type it, and what the coach may like to know. Pure.
import { rungAt, rungOf, words } from './engine.js';

const sum = (list) => list.reduce((a, b) => a + b, 0);
const works = (step) => step.kind === 'work';

/** Rounds or rungs that were tapped in one step. */
const countedIn = (state, index) => state.splits.filter((split) => split.index === index).length;

/** Reps of a line in one round of a step, or in its rung `counted`; null or none where it is not counted in reps. */
function repsIn(plan, step, i, counted) {
  if (plan.climbs.includes(i)) return rungOf(plan, step, i, counted);
  // of windows that grow each is a rung
  return plan.own_rungs?.[i] ? rungAt(plan.own_rungs[i], step.turn) : plan.line_reps[i];
}

/** The same of all its lines; null where something is not counted in reps. */
function repsOf(plan, step, counted = 0) {
  const reps = step.lines.map((i) => repsIn(plan, step, i, counted) ?? (step.unit === 'line' ? 0 : null));
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
  return openRound(plan, step, state.counted, step.unit === 'line' ? plan.steps.slice(state.index).flatMap((s) => s.lines) : step.lines);
}

const openRound = (plan, step, counted, lines) => lines.map((line) => ({ line, reps: repsIn(plan, step, line, counted) })).filter((l) => l.reps);

/** Of windows that are each begun afresh, those that are over: [{ index, counted, lines }], `lines` as of the round that was cut. */
export function cutWindows(plan, state) {
  if (!apart(plan) || !['rounds_reps', 'reps'].includes(plan.score)) return [];
  return plan.steps.flatMap((step, index) => {
    const over = index < state.index || (index === state.index && state.phase === 'done');
    if (step.tap !== 'counts' || !over) return [];
    const counted = countedIn(state, index);
    return [{ index, counted, lines: openRound(plan, step, counted, step.lines) }];
  });
}

/** Rounds and reps of each window where the coach says how they make one score, else the reps of all of them (common practice). */
function ofWindows(plan, state, cuts) {
  const windows = cutWindows(plan, state).map((window) => ({ ...window, extra: sum(Object.values(cuts[window.index] ?? {})) }));
  if (!windows.some(({ counted, extra }) => counted || extra)) return '';
  const reps = windows.map(({ index, counted, extra }) => {
    const whole = Array.from({ length: counted }, (_, n) => repsOf(plan, plan.steps[index], n));
    return whole.includes(null) ? null : sum(whole) + extra;
  });
  if (plan.combines) return plan.score === 'reps' ? reps.join('+') : windows.map(({ counted, extra }) => `${counted}+${extra}`).join(', ');
  return reps.includes(null) ? '' : `${sum(reps)} reps`;
}

/** The longest hold. One for each side is as long as its shorter side (common practice, no source). */
function longest(plan, state) {
  const holds = new Map();
  const held = (step, took, key) => holds.set(step.side ? `${step.round} ${step.lines}` : key, Math.min(took, (step.side && holds.get(`${step.round} ${step.lines}`)) || Infinity));
  for (const [n, { index, took }] of state.splits.entries()) if (works(plan.steps[index])) held(plan.steps[index], took, n);
  if (state.stopped && works(state.step)) held(state.step, state.elapsed, 'cut');
  return holds.size ? words(Math.max(...holds.values())) : '';
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

/** Stopped in the first set: words without a number. */
const NO_SET = 'no whole set';
/** The same where the sets have no words of their own; how far it came is in the note. */
const SHORT = 'stopped early';

/** The score as one would type it, from a clock that has ended; empty where the clock cannot know it. */
export function scoreOf(plan, state, { cut = {}, cuts = {}, loads = {} } = {}) {
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
      if (apart(plan)) return ofWindows(plan, state, cuts);
      // who finished the round that was cut has done one more
      const whole = extra && works(state.step) && extra === repsOf(plan, state.step, state.counted);
      const rounds = roundsDone(plan, state) + (whole ? 1 : 0);
      if (whole) return `${rounds}+0`;
      return rounds || extra ? `${rounds}+${extra}` : '';
    }
    case 'reps':
      if (noted.length) return noted.join('+');
      if (apart(plan)) return ofWindows(plan, state, cuts);
      return reps ? String(reps) : '';
    case 'load':
      return noted.length ? `${Math.max(...noted)} ${plan.unit}` : '';
    case 'hold_time':
      return longest(plan, state);
    // of plain sets those that were done; the log offers all of them, or nothing, which means that all was done
    case 'none':
      if (plan.sets) return plan.sets[roundsDone(plan, state) - 1] ?? NO_SET;
      return state.stopped && !plan.open ? SHORT : '';
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
export function storyOf(plan, state, { cuts = {}, loads = {} } = {}) {
  if (state.phase !== 'done') return '';
  const said = [];
  if (state.stopped && !plan.open) said.push(`Stopped at ${words(state.clock)}.`);
  if (apart(plan)) {
    const reps = (i) => sum(Object.values(cuts[i] ?? {}));
    const windows = plan.steps.flatMap((step, i) => (step.tap === 'counts' && i <= state.index ? [`${countedIn(state, i)}${reps(i) ? `+${reps(i)}` : ''}`] : []));
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
