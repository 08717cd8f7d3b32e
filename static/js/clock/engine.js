// Where a clock stands, from its plan, the instant it was started and the taps since. Pure: the same three give the same
// answer, so a lock, a call, a reload or a crash lose nothing. Times are milliseconds.
//
// plan: as training::clock::Plan prints it. log: { start, taps: [{ at, what }] }, what is tap, undo, pause, resume or stop.
// cut: reps tapped off of the round that was cut, by line.

/** Taps and pauses in clock order: what was undone (a tap, or the stop) is gone, pauses are spans. */
function settle(log, now) {
  const taps = [];
  const pauses = [];
  let stop = null;
  for (const { at, what } of log.taps) {
    if (at > now) break;
    const paused = pauses.length > 0 && pauses.at(-1).to === null;
    if (what === 'undo') {
      if (stop === null) taps.pop();
      stop = null;
    } else if (stop !== null) continue;
    else if (what === 'tap' && !paused) taps.push(at);
    else if (what === 'pause' && !paused) pauses.push({ from: at, to: null });
    else if (what === 'resume' && paused) pauses.at(-1).to = at;
    else if (what === 'stop') stop = at;
  }
  return { taps, pauses, stop };
}

/** Milliseconds in motion from `start` to `at`: pauses do not count. */
function moved(start, at, pauses) {
  const paused = pauses.reduce((sum, { from, to }) => {
    const end = Math.min(to ?? at, at);
    return sum + Math.max(0, end - Math.max(from, start));
  }, 0);
  return at - start - paused;
}

/**
 * What the clock shows at `now`.
 *
 * phase: 'ready' (not started), 'count_in', 'running', 'done'. index, step: where it is in the plan. elapsed, left: in this
 * step (left is null where a tap ends it). counted: rounds or rungs tapped in this step. clock, moving: since the first step
 * began, with and without pauses. splits: moving time of each counted tap and each step's end,
 * with how long it took. capped: the cap came first.
 * stopped: ended by hand.
 */
export function stateAt(plan, log, now) {
  if (!log?.start) return { phase: 'ready', index: 0, step: plan.steps[0], clock: 0, moving: 0, splits: [], counted: 0 };
  const { taps, pauses, stop } = settle(log, now);
  const paused = stop === null && pauses.length > 0 && pauses.at(-1).to === null;
  const until = stop ?? now;
  const begin = log.start + plan.count_in_s * 1000;
  const position = moved(log.start, until, pauses) - plan.count_in_s * 1000;
  const base = { paused, stopped: stop !== null, begin };
  if (position < 0) {
    const left = -position;
    const phase = stop === null ? 'count_in' : 'done';
    return { ...base, phase, index: 0, step: plan.steps[0], left, clock: 0, moving: 0, splits: [], counted: 0, capped: false };
  }
  const times = taps.map((at) => moved(log.start, at, pauses) - plan.count_in_s * 1000).filter((t) => t >= 0);
  const cap = plan.cap_s === null ? Infinity : plan.cap_s * 1000;
  const reached = Math.min(position, cap);
  const walk = walkTo(plan, times.filter((t) => t <= reached), reached);
  const capped = !walk.done && position >= cap;
  const done = walk.done || capped || stop !== null;
  const moving = walk.done ? walk.end : Math.min(position, cap);
  // the instant at which `moving` was reached, so that the clock time of a finish does not go on
  const clock = walk.done || capped ? wallAt(begin, moving, pauses) - begin : until - begin;
  return { ...base, ...walk, phase: done ? 'done' : 'running', capped, clock, moving };
}

/** The instant at which so much moving time had gone by. */
function wallAt(begin, moving, pauses) {
  let at = begin + moving;
  for (const { from, to } of pauses) {
    if (to !== null && to <= begin) continue;
    if (from <= at && to !== null) at += to - Math.max(from, begin);
  }
  return at;
}

/** Goes through the steps up to a moving time. */
function walkTo(plan, times, position) {
  let begin = 0;
  let next = 0;
  const splits = [];
  for (const [index, step] of plan.steps.entries()) {
    const timeout = step.seconds === null ? Infinity : begin + step.seconds * 1000;
    let end = timeout;
    let counted = 0;
    let last = begin;
    while (next < times.length && times[next] < timeout) {
      const at = times[next];
      next += 1;
      if (step.tap === 'ends') {
        end = at;
        break;
      }
      if (step.tap === 'counts') {
        counted += 1;
        splits.push({ at, index, round: counted, took: at - last });
        last = at;
        if (step.count_to !== null && counted >= step.count_to) {
          end = at;
          break;
        }
      }
    }
    if (end > position) {
      const elapsed = position - begin;
      const left = step.seconds === null ? null : timeout - position;
      return { done: false, index, step, stepBegin: begin, elapsed, left, counted, splits };
    }
    if (step.tap !== 'counts' && step.kind === 'work') splits.push({ at: end, index, round: step.round, took: end - begin });
    if (index === plan.steps.length - 1) {
      return { done: true, end, index, step, stepBegin: begin, elapsed: end - begin, left: 0, counted, splits };
    }
    begin = end;
  }
  return { done: true, end: 0, index: 0, step: null, stepBegin: 0, elapsed: 0, left: 0, counted: 0, splits };
}

/** Reps of the rung that is on after so many rungs were tapped; null where there are no rungs. */
export function rungAt(step, counted) {
  if (!step.rungs.length) return null;
  if (counted < step.rungs.length) return step.rungs[counted];
  if (step.grows === null) return step.rungs.at(-1);
  return step.rungs.at(-1) + step.grows * (counted - step.rungs.length + 1);
}

/** The next cue: { at (moving time from the first step's start), sound } of everything that will sound in this step by time alone. */
function cuesOfStep(plan, state) {
  const cues = [];
  const end = state.left === null || state.left === undefined ? null : state.stepBegin + state.step.seconds * 1000;
  const cap = plan.cap_s === null ? null : plan.cap_s * 1000;
  const last = state.index === plan.steps.length - 1;
  const following = plan.steps[state.index + 1];
  const ending = end !== null && (cap === null || end <= cap) ? end : cap;
  if (ending === null) return cues;
  const whole = ending === end ? end - state.stepBegin : cap;
  const closes = ending === cap || last;
  if (state.step.kind === 'work' && whole >= 120_000) cues.push({ at: ending - whole / 2, sound: 'half' });
  if (state.step.kind === 'work' && whole >= 30_000) cues.push({ at: ending - 10_000, sound: 'ten' });
  for (const n of [3, 2, 1]) if (whole > n * 1000) cues.push({ at: ending - n * 1000, sound: 'count' });
  let sound = 'start';
  if (closes) sound = 'stop';
  else if (following?.side === 2 && state.step.kind === 'work') sound = 'switch';
  else if (following?.kind === 'ready' && state.step.kind === 'work') sound = 'change';
  else if (following?.kind === 'rest') sound = 'rest';
  cues.push({ at: ending, sound });
  return cues;
}

/** What sounds after `from` and up to `to`, in order. Both are instants; nothing sounds in a pause or after the end. */
export function cuesBetween(plan, log, from, to) {
  const state = stateAt(plan, log, from);
  if (state.phase === 'ready' || state.phase === 'done' || state.paused) return [];
  const start = state.phase === 'count_in' ? -state.left : state.moving;
  const span = to - from;
  const countIn = [3, 2, 1]
    .filter((n) => n <= plan.count_in_s)
    .map((n) => ({ at: -n * 1000, sound: 'count' }))
    .concat({ at: 0, sound: 'start' });
  const cues = state.phase === 'count_in' ? countIn : cuesOfStep(plan, state);
  return cues.filter(({ at }) => at > start && at <= start + span).map(({ at, sound }) => ({ at: from + at - start, sound }));
}

/** `7:42`, `1:02:05`, `:09` never; tenths where asked. */
export function words(ms, tenths = false) {
  const total = tenths ? Math.floor(ms / 100) / 10 : Math.floor(ms / 1000);
  const hours = Math.floor(total / 3600);
  const minutes = Math.floor(total / 60) % 60;
  const rest = total % 60;
  const seconds = (tenths ? rest.toFixed(1) : String(rest)).padStart(tenths ? 4 : 2, '0');
  return hours ? `${hours}:${String(minutes).padStart(2, '0')}:${seconds}` : `${minutes}:${seconds}`;
}

/** Reps of one round of a step, or of its rung `counted`; null where something is not counted in reps. */
function repsOf(plan, step, counted = 0) {
  return step.lines.reduce((sum, i) => {
    const reps = plan.climbs.includes(i) ? rungAt(step, counted) : plan.line_reps[i] ?? (step.unit === 'line' ? 0 : null);
    return sum === null || reps === null ? null : sum + reps;
  }, 0);
}

/** Reps done in all, with those of the round that was cut; null where it is not known. */
export function repsDone(plan, state, cut = {}) {
  let sum = Object.values(cut).reduce((a, b) => a + b, 0);
  const add = (reps) => (sum = sum === null || reps === null ? null : sum + reps);
  const finished = !state.stopped && !state.capped;
  for (const [index, step] of plan.steps.entries()) {
    const here = index === state.index;
    if (step.kind !== 'work' || index > state.index) continue;
    if (step.tap !== 'counts') {
      if (!here || finished) add(repsOf(plan, step));
      continue;
    }
    const times = here ? state.counted : step.count_to ?? 0;
    for (let n = 0; n < times; n += 1) add(repsOf(plan, step, n));
  }
  return sum;
}

/** Lines of the round that the end cut off, with the reps of each: [{ line, reps }]; empty where nothing was cut or counted. */
export function cutRound(plan, state) {
  const { step } = state;
  if (state.phase !== 'done' || step?.kind !== 'work' || !['time', 'rounds_reps', 'reps'].includes(plan.score)) return [];
  const open = state.stopped || state.capped || (step.tap === 'counts' && step.seconds !== null);
  if (!open) return [];
  const reps = (i) => (plan.climbs.includes(i) ? rungAt(step, state.counted) : plan.line_reps[i]);
  const lines = step.unit === 'line' ? plan.steps.slice(state.index).flatMap((s) => s.lines) : step.lines;
  return lines.map((line) => ({ line, reps: reps(line) })).filter((l) => l.reps);
}

/** Whole rounds: tapped ones, or steps that are rounds. */
function roundsDone(plan, state) {
  if (state.step.tap === 'counts') return state.counted;
  if (state.step.unit === 'line') return 0;
  const finished = !state.stopped && !state.capped;
  const last = plan.steps.filter((s, i) => s.kind === 'work' && (i < state.index || (finished && i === state.index))).at(-1);
  const whole = last && !plan.steps.some((s, i) => s.kind === 'work' && s.round === last.round && (i > state.index || (!finished && i === state.index)));
  return last ? last.round - (whole ? 0 : 1) : 0;
}

/** The score as one would type it, from a clock that has ended; empty where the clock cannot know it. */
export function scoreOf(plan, state, cut = {}) {
  if (state.phase !== 'done' || !state.step) return '';
  const reps = repsDone(plan, state, cut);
  const extra = Object.values(cut).reduce((a, b) => a + b, 0);
  const rounds = roundsDone(plan, state);
  switch (plan.score) {
    case 'time':
      if (!state.capped && !state.stopped) return words(state.clock);
      if (reps) return state.capped ? `capped at ${reps}` : `${reps} reps`;
      return rounds ? `${rounds}+${extra}` : '';
    case 'rounds_reps':
      return rounds || extra ? `${rounds}+${extra}` : '';
    case 'reps':
      return reps ? String(reps) : '';
    case 'hold_time': {
      const holds = state.splits.filter(({ index }) => plan.steps[index].kind === 'work').map(({ took }) => took);
      if (state.stopped && state.step.kind === 'work') holds.push(state.elapsed);
      return holds.length ? words(Math.max(...holds)) : '';
    }
    default:
      return '';
  }
}

/** What the coach may like to know: how long each round took, and where it was stopped. */
export function storyOf(plan, state) {
  if (state.phase !== 'done') return '';
  const own = state.splits.filter(({ index }) => ['ends', 'counts'].includes(plan.steps[index].tap));
  // taps at one instant are no splits: "All done" makes them
  const splits = own.length > 1 && own.length <= 40 && own.every(({ took }) => took > 0) ? `Splits: ${own.map(({ took }) => words(took)).join(', ')}.` : '';
  const paused = Math.round((state.clock - state.moving) / 1000);
  const pauses = paused ? `${words(state.moving)} moving, ${words(paused * 1000)} paused.` : '';
  const stopped = state.stopped ? `Stopped at ${words(state.clock)}.` : '';
  return [stopped, splits, pauses].filter(Boolean).join(' ');
}
