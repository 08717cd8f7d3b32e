// How far one came into a round that the end cut off: a row a line, counted in touches.
import { cutRound, cutWindows } from './score.js';
import { lineIn } from './words.js';

/** A row a line. `kept` holds the reps of each, by line; `changed` is called when one changes. */
function rows(box, clock, { kept, lines, step, counted, name = '' }, changed) {
  for (const { line, reps } of lines) {
    const row = document.createElement('p');
    const count = document.createElement('output');
    const tell = () => (count.textContent = `${name}${kept[line]} of ${lineIn(clock, line, step, counted)}`);
    const button = (textContent, to) => {
      const made = Object.assign(document.createElement('button'), { type: 'button', className: 'plain', textContent });
      made.addEventListener('click', () => {
        kept[line] = Math.min(reps, Math.max(0, to(kept[line])));
        tell();
        changed();
      });
      return made;
    };
    kept[line] = Math.min(reps, kept[line] ?? 0);
    row.append(count, button('−', (n) => n - 1), button('+', (n) => n + 1), button('All', () => reps));
    box.append(row);
    tell();
  }
}

/** The windows that are over, each with its own reps. */
function windowsOf(clock, state) {
  clock.cuts ??= {};
  return cutWindows(clock.plan, state).map((window, n) => ({ ...window, step: clock.plan.steps[window.index], kept: (clock.cuts[window.index] ??= {}), name: `${n + 1}: ` }));
}

function show(box, clock, all, changed) {
  box.querySelectorAll('p').forEach((row) => row.remove());
  for (const round of all) rows(box, clock, round, changed);
  box.hidden = !box.querySelector('p');
}

/** At the end: of the round that was cut, or of each window's. */
export function offerCut(box, clock, state, changed) {
  box.dataset.asked = '';
  const { step, counted } = state;
  show(box, clock, [{ kept: clock.cut, lines: cutRound(clock.plan, state), step, counted }, ...windowsOf(clock, state)], changed);
}

/** In the rest after a window: of that one. Elsewhere the box is away until the end. */
export function offerInRest(box, clock, state, changed) {
  const rests = state.phase === 'running' && state.step.kind === 'rest';
  const last = rests ? windowsOf(clock, state).at(-1) : undefined;
  const of = last?.index === state.index - 1 ? `${last.index} ${last.counted}` : '';
  if (!of) box.hidden = true;
  if (of && of === box.dataset.asked) return;
  box.dataset.asked = of;
  if (of) show(box, clock, [last], changed);
}
