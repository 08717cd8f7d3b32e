// How far one came into the round that the end cut off: a row a line, counted in touches.
import { cutRound } from './score.js';
import { lineIn } from './words.js';

/** `changed` is called when a number changes. */
export function offerCut(box, clock, state, changed) {
  const { cut } = clock;
  const round = cutRound(clock.plan, state);
  box.hidden = !round.length;
  box.querySelectorAll('p').forEach((row) => row.remove());
  for (const { line, reps } of round) {
    const row = document.createElement('p');
    const count = document.createElement('output');
    const set = (n) => {
      cut[line] = Math.min(reps, Math.max(0, n));
      count.textContent = `${cut[line]} of ${lineIn(clock, line, state.step, state.counted)}`;
      changed();
    };
    const button = (textContent, to) => {
      const made = Object.assign(document.createElement('button'), { type: 'button', className: 'plain', textContent });
      made.addEventListener('click', () => set(to(cut[line] ?? 0)));
      return made;
    };
    row.append(count, button('−', (n) => n - 1), button('+', (n) => n + 1), button('All', () => reps));
    box.append(row);
    set(cut[line] ?? 0);
  }
}
