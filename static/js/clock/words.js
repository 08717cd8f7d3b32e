// What a clock says in words: which set, round or side it is, what is done now and what comes next. Pure: `clock` is what is
// kept of it on the device ({ plan, lines, name }), `state` where the engine says that it stands.
import { begunByHand, rungAt, rungOf, words } from './engine.js';

const UNITS = { round: 'Round', rung: 'Rung', set: 'Set', minute: 'Minute', station: 'Station' };
/** Of work done once through: so many lines after the one that is on are shown. */
const AHEAD = 3;

/** Rounds of the windows before this one, where each goes on where the last was cut. */
const carried = ({ plan }, state) =>
  plan.carries ? state.splits.filter(({ index }) => index < state.index && plan.steps[index].tap === 'counts').length : 0;

/** What is held now, and which side. */
function holding(clock, { hold, step, counted }) {
  const { kind, side } = hold.step;
  if (kind === 'ready') return side === 2 ? 'Switch sides' : 'Get ready';
  return [lineIn(clock, hold.line, step, counted), SIDES[side]].filter(Boolean).join(', ');
}

/** Lines whose own countdown can be started now. */
export const startable = ({ plan }, { phase, paused, hold, step }) => (phase === 'running' && !paused && !hold && plan.holds ? begunByHand(step).filter((i) => plan.holds[i]) : []);

/** How long a line is held, as it stands on its button. */
export function holdFor({ plan }, { step, counted }, line) {
  const turns = plan.holds[line];
  const held = turns[(step.tap === 'counts' ? counted : step.turn) % turns.length].filter(({ kind }) => kind === 'work');
  return `${held.length > 1 ? `${held.length} × ` : ''}${words(held[0].seconds * 1000)}`;
}

/** The line that a tap anywhere turns over: the only one that is on. In a practice over and over. Null: none. */
export const turns = ({ phase, paused, hold, step, sides, turned }) =>
  phase === 'running' && !paused && !hold && step.lines.length === 1 && sides.length && (step.by_hand || !turned.length) ? step.lines[0] : null;

/** Of all that is on. */
const sideOf = ({ step, sides, turned }) => step.side ?? (sides?.length && step.lines.length === 1 ? 1 + turned.length : null);
const SIDES = [null, 'first side', 'second side'];

/** Of a line with others beside it. */
export const besideOthers = ({ phase, step, sides, turned }, line) => (phase === 'running' && step.lines.length > 1 && sides.includes(line) ? SIDES[turned.includes(line) ? 2 : 1] : '');

export function heading(clock, state) {
  const { step } = state;
  if (state.paused) return 'Paused';
  if (state.phase === 'count_in') return 'Get ready';
  if (state.hold) return holding(clock, state);
  if (step.kind === 'rest') return 'Rest';
  if (step.kind === 'ready') return step.side === 2 ? 'Switch sides' : 'Get ready';
  const counts = step.tap === 'counts';
  const number = counts ? carried(clock, state) + state.counted + 1 : step.round;
  const side = SIDES[sideOf(state)];
  if (step.unit === 'line') return [`${number} of ${step.rounds}`, side].filter(Boolean).join(', ');
  const of = counts ? step.count_to : step.rounds;
  const more = [
    step.station && `station ${step.station[0]} of ${step.station[1]}`,
    counts && !step.count_to && step.rounds > 1 && `window ${step.round} of ${step.rounds}`,
    side,
  ];
  const rung = rungAt(step, state.counted);
  let name = `${UNITS[step.unit]} ${number}${of ? ` of ${of}` : ''}`;
  if (rung !== null && !clock.plan.own_rungs) [name, more[0]] = [`${rung} reps each`, of && `rung ${number} of ${of}`];
  else if (of === 1) name = clock.name;
  else if (!of && !counts && !clock.plan.open) name = 'Work';
  return [name, ...more.filter(Boolean)].join(', ');
}

/** One line as it is in this step: in the third set of 10-10-8 it is 8. */
export function lineIn({ plan, lines }, i, step, counted) {
  const says = plan.says?.[i] ?? [];
  if (!says.length) return (lines[i] ?? '').trim();
  const turn = step.tap === 'counts' ? counted : step.turn;
  const said = says[turn % says.length];
  return plan.climbs.includes(i) ? `${rungOf(plan, step, i, counted)} ${said}` : said;
}

/** What is done in a step, in one breath. */
export const text = (clock, step, counted = 0) => step.lines.map((i) => lineIn(clock, i, step, counted)).join(', ');

/** What the lines belong to: in a rest they are those of what comes next. */
const shownStep = ({ plan }, { step, index }) => (step?.kind === 'rest' ? plan.steps.slice(index + 1).find((s) => s.kind !== 'rest') : undefined) ?? step;

/**
 * Lines that are on: [{ line, text, later }]. Of work done once through those that are still to come follow, as `later`; `more`
 * says how many of them do not fit.
 */
export function linesOn(clock, state) {
  const { plan, lines } = clock;
  if (state.phase === 'ready' || state.phase === 'done') return { on: lines.map((line, i) => ({ line: i, text: line.trim() })), more: 0 };
  const step = shownStep(clock, state);
  const all = step.unit === 'line' ? plan.steps.slice(state.index).flatMap((s) => s.lines) : step.lines;
  const on = step.unit === 'line' ? all.slice(0, 1 + AHEAD) : all;
  return { on: on.map((i, n) => ({ line: i, text: lineIn(clock, i, step, state.counted), later: n > 0 && step.unit === 'line' })), more: all.length - on.length };
}

/** What follows, where the lines do not say it already. */
export function following(clock, state) {
  const { steps } = clock.plan;
  const { step, index } = state;
  const after = steps[index + 1];
  if (turns(state) !== null) return 'Next: the other side';
  if (state.phase === 'count_in' || step.kind === 'ready' || step.unit === 'line') return '';
  if (!after) return step.tap === 'counts' || steps.length === 1 ? '' : 'Last one';
  if (step.kind === 'rest') return after.rounds > 1 || clock.plan.open ? `Next: ${heading(clock, { ...state, step: { ...after, kind: 'work' }, counted: 0 }).toLowerCase()}` : '';
  if (after.side === 2) return 'Next: switch sides';
  const then = after.kind === 'rest' ? steps[index + 2] : after;
  const what = then && text(clock, then);
  const again = what === text(clock, step, state.counted) ? 'the same again' : what;
  if (after.kind !== 'rest') return again ? `Next: ${again}` : '';
  return `Rest${after.seconds ? ` ${words(after.seconds * 1000)}` : ''}${again ? `, then ${again}` : ''}`;
}

/** A tap anywhere does something now. */
export const tappable = (state) => state.phase === 'ready' || state.paused || (state.phase === 'running' && (state.step.tap !== 'nothing' || Boolean(state.hold) || turns(state) !== null));

export const onLast = ({ plan }, state) => state.index === plan.steps.length - 1;

/** What stands on the big button. */
export function label(clock, state) {
  const { step } = state;
  if (state.phase === 'ready') return 'Start';
  if (state.paused) return 'Go on';
  if (state.phase === 'count_in') return 'Get ready';
  if (state.hold) return 'End the hold';
  if (turns(state) !== null) return 'Other side';
  if (step.tap === 'nothing') return 'Runs by itself';
  if (step.kind === 'rest') return `Start the ${step.unit}`;
  if (step.tap === 'counts') return step.count_to === state.counted + 1 ? 'Finished' : `${UNITS[step.unit]} done`;
  if (onLast(clock, state)) return 'Finished';
  if (step.unit === 'line') return 'Done, next';
  return step.unit === 'set' && !step.side ? 'Set done' : 'Done';
}

/**
 * What the digits show, in ms: what is left of the step or of the window, else what has gone by. `wait`: how long until they
 * change, null where they stand still. `cap`: what is left of the whole, where the digits do not show it.
 */
export function face(clock, state) {
  const { hold, paused } = state;
  if (!hold) return faceOfPart(clock, state);
  return { shows: Math.ceil(hold.left / 1000) * 1000, wait: paused ? null : hold.left % 1000 || 1000, cap: null };
}

function faceOfPart({ plan }, state) {
  const { step } = state;
  const cap = plan.cap_s === null ? null : plan.cap_s * 1000 - state.moving;
  const windowed = cap !== null && step.kind !== 'rest' && (plan.open || plan.score === 'rounds_reps');
  const left = state.left ?? (windowed ? cap : null);
  const gone = step.tap === 'counts' || step.unit === 'line' ? state.clock : state.elapsed;
  // what is left is rounded up, so that the last second shows 1 and not 0
  const shows = left === null ? gone : Math.ceil(left / 1000) * 1000;
  const wait = left === null ? 1000 - (gone % 1000) : left % 1000 || 1000;
  return { shows, wait: state.paused ? null : wait, cap: left !== null && left === cap ? null : cap };
}

/** While something is held, what the digits would show. */
const besides = (clock, state) => `Clock ${words(faceOfPart(clock, state).shows)}`;

/** What stands under the lines: how many more, what follows, and the end of the whole where the digits do not show it. */
export function below(clock, state, more) {
  const { plan } = clock;
  if (state.hold) return besides(clock, state);
  const cap = state.phase === 'running' ? face(clock, state).cap : null;
  let end = '';
  if (cap !== null) end = plan.open ? `${words(Math.ceil(cap / 1000) * 1000)} left` : `Cap ${words(plan.cap_s * 1000)}`;
  return [more && `Then ${more} more`, following(clock, state), end].filter(Boolean).join(' · ');
}
