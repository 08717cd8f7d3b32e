// Where a clock stands, from its plan, the instant it was started and the taps since. Pure: the same three give the same
// answer, so a lock, a call, a reload or a crash lose nothing. Times are milliseconds.
//
// plan: as training::clock::Plan prints it. log: { start, taps: [{ at, what }] }, what is tap, undo, pause, resume, stop, hold
// with its `line`: that line's own countdown was started, or turn with its `line`: that line goes on with the other side. A tap
// with `of` is so many at once.
// cut: reps tapped off of the round that was cut, by line.

/** Taps and pauses in clock order: what was undone (a tap, the start of a hold, a change of sides, or the stop) is gone, pauses are spans. */
function settle(log, now) {
  const taps = [];
  const pauses = [];
  let stop = null;
  for (const { at, what, line, of } of log.taps) {
    if (at > now) break;
    const paused = pauses.length > 0 && pauses.at(-1).to === null;
    if (what === 'undo') {
      if (stop === null) taps.pop();
      stop = null;
    } else if (stop !== null) continue;
    else if (['tap', 'hold', 'turn'].includes(what) && !paused) taps.push({ at, line, of, turn: what === 'turn' });
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
 * with how long it took. hold: where a line's own countdown stands, null where none runs. sides: lines of this step whose
 * reps are for each side; turned: those of them that are on the second one. capped: the cap came first. stopped: ended by hand.
 */
export function stateAt(plan, log, now) {
  const [first] = plan.steps;
  const nothing = { index: 0, step: first, elapsed: 0, clock: 0, moving: 0, splits: [], counted: 0, sides: sidesOf(plan, first), turned: [], capped: false };
  if (!log?.start) return { ...nothing, phase: 'ready', left: first.seconds === null ? null : first.seconds * 1000 };
  const { taps, pauses, stop } = settle(log, now);
  const paused = stop === null && pauses.length > 0 && pauses.at(-1).to === null;
  const until = stop ?? now;
  const begin = log.start + plan.count_in_s * 1000;
  const position = moved(log.start, until, pauses) - plan.count_in_s * 1000;
  const base = { paused, stopped: stop !== null, begin };
  if (position < 0) return { ...nothing, ...base, phase: stop === null ? 'count_in' : 'done', left: -position };
  const times = taps.flatMap(({ at, line, of = 1, turn }) => Array(of).fill({ at: moved(log.start, at, pauses) - plan.count_in_s * 1000, line, turn })).filter(({ at }) => at >= 0);
  const cap = plan.cap_s === null ? Infinity : plan.cap_s * 1000;
  const reached = Math.min(position, cap);
  const walk = walkTo(plan, times.filter(({ at }) => at <= reached), reached);
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
    let before = begin;
    let hold = null;
    let turned = [];
    const sides = sidesOf(plan, step);
    while (next < times.length && times[next].at < timeout) {
      const { at, line, turn } = times[next];
      next += 1;
      // a line that was changed meanwhile may have no sides any more
      if (turn) {
        if (sides.includes(line)) turned = turned.includes(line) ? turned.filter((l) => l !== line) : [...turned, line];
        continue;
      }
      if (line !== undefined) {
        hold = holdFrom(plan, step, line, counted, at);
        continue;
      }
      // a tap while a hold is counted down ends that, and nothing else
      if (hold && at < hold.until) {
        hold = null;
        continue;
      }
      if (step.tap === 'ends') {
        end = at;
        break;
      }
      if (step.tap === 'counts') {
        counted += 1;
        splits.push({ at, index, round: counted, took: at - before });
        before = at;
        turned = [];
        if (step.count_to !== null && counted >= step.count_to) {
          end = at;
          break;
        }
      }
    }
    const last = index === plan.steps.length - 1;
    const done = end <= position;
    if (done && step.tap !== 'counts' && step.kind === 'work') splits.push({ at: end, index, round: step.round, took: end - begin });
    if (done && !last) {
      begin = end;
      continue;
    }
    const until = done ? end : position;
    const open = step.seconds === null ? null : timeout - until;
    return { done, end, index, step, stepBegin: begin, elapsed: until - begin, left: done ? 0 : open, counted, splits, sides, turned, hold: done ? null : heldAt(hold, until) };
  }
  return null;
}

/** Lines of a step whose reps are for each side, where the step itself is not one side of them. */
const sidesOf = (plan, { kind, side, lines }) => (kind === 'work' && !side && plan.sides ? lines.filter((i) => plan.sides.includes(i)) : []);

/** Lines of a step that do not run by themselves. */
export const begunByHand = ({ kind, tap, lines, by_hand }) => (kind === 'work' && (by_hand || tap !== 'nothing' || lines.length > 1) ? lines : []);

/** The countdown of a line, started at a moving time; null where the line has none in this step. */
function holdFrom(plan, step, line, counted, at) {
  const turns = begunByHand(step).includes(line) && plan.holds?.[line];
  if (!turns) return null;
  const steps = turns[(step.tap === 'counts' ? counted : step.turn) % turns.length];
  return { line, steps, at, until: at + steps.reduce((sum, { seconds }) => sum + seconds * 1000, 0) };
}

/** Where a hold stands: as a clock of its own. */
const heldAt = (hold, position) => hold && position < hold.until ? { ...hold, ...walkTo(hold, [], position - hold.at) } : null;

/** Reps of the rung that is on after so many rungs were tapped; null where there are no rungs. */
export function rungAt({ rungs, grows }, counted) {
  if (!rungs.length) return null;
  if (counted < rungs.length) return rungs[counted];
  return rungs.at(-1) + (grows ?? 0) * (counted - rungs.length + 1);
}

/** The same for one line that climbs, which may have rungs of its own. */
export const rungOf = (plan, step, line, counted) => rungAt(plan.own_rungs?.[line] ?? step, counted);

/** `7:42`, `1:02:05`, `:09` never. */
export function words(ms) {
  const total = Math.floor(ms / 1000);
  const two = (n) => String(n % 60).padStart(2, '0');
  const [hours, minutes] = [Math.floor(total / 3600), Math.floor(total / 60)];
  return hours ? `${hours}:${two(minutes)}:${two(total)}` : `${minutes}:${two(total)}`;
}
