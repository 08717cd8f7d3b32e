// What a running clock sounds, and when: from its plan, its start and the taps since. Pure; comes when a clock starts.
import { stateAt } from './engine.js';

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

/** The same of a hold, whose end is not that of the whole. */
function cuesOfHold({ hold }) {
  if (!hold) return [];
  return cuesOfStep({ steps: hold.steps, cap_s: null }, hold).map(({ at, sound }) => ({ at: hold.at + at, sound: sound === 'stop' ? 'over' : sound }));
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
  const cues = state.phase === 'count_in' ? countIn : [...cuesOfStep(plan, state), ...cuesOfHold(state)].sort((a, b) => a.at - b.at);
  return cues.filter(({ at }) => at > start && at <= start + span).map(({ at, sound }) => ({ at: from + at - start, sound }));
}
