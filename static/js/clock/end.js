// What a clock that has ended says, and what the log form takes over from it.
import { offerCut, offerInRest } from './cut.js';
import { scoreOf, storyOf } from './score.js';

function ended({ plan }, { stopped, capped }) {
  if (stopped && !plan.open) return 'Stopped. What you did counts.';
  if (!capped) return 'Done.';
  return plan.score === 'time' ? 'Time. The cap came first.' : 'Time.';
}

function counted({ step, counted: times, stopped, capped }) {
  if (step?.unit === 'line' && (stopped || capped)) return `${step.round - 1} of ${step.rounds} done. `;
  return times && step?.tap === 'counts' ? `${times} ${step.unit}${times === 1 ? '' : 's'} done. ` : '';
}

/** In words. */
export function tell(clock, state, { what, next }) {
  what.textContent = ended(clock, state);
  next.textContent = `${counted(state)}${storyOf(clock.plan, state, clock)}`;
}

/** While it runs: asks in the rest after a window how far into the next round it was. */
export function between(clock, state, cut, changed) {
  if (state.phase !== 'done') offerInRest(cut, clock, state, changed);
}

/** Asks how far into the round that was cut, and keeps what is to be logged. */
export function close(clock, state, cut, save) {
  offerCut(cut, clock, state, () => fill(clock, state, save));
  fill(clock, state, save);
}

/** What the log form takes over, kept with the clock. */
export function fill(clock, state, save) {
  clock.done = true;
  clock.fill = {
    score: scoreOf(clock.plan, state, clock),
    minutes: String(Math.max(1, Math.round(state.clock / 60_000))),
    note: storyOf(clock.plan, state, clock),
    version_id: String(clock.version),
  };
  save();
}
